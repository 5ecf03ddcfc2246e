"""What stands beside what was planned, and what becomes of every piece, as lists."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.tolerances import COVERAGE_FACTOR
from pitchline.making.fitting import Fit
from pitchline.making.fitting_differences import Difference
from pitchline.making.fitting_match import TO_MAKE, Fate, LeftOver, Placed
from pitchline.making.fitting_report import AsBuilt
from pitchline.parts.part import Part
from pitchline.sheets.looking import Show
from pitchline.sheets.tables import Cell, Kind, Listing, Quantity, cell_text, end_words


def built_lists(design: str, built: AsBuilt, parts: Sequence[Part], show: Show) -> Iterator[Listing]:
    """The lists of one design: differences, pieces at hand, pieces to make, pieces and places without each other."""
    now = {part.place: part for part in parts}
    yield differences_list(design, built)
    at_hand = [one for one in built.match.placed if one.fate not in TO_MAKE]
    if at_hand:
        yield at_hand_list(design, at_hand, now)
    to_make = [one for one in built.match.placed if one.fate in TO_MAKE]
    if to_make:
        yield to_make_list(design, to_make, now, show)
    if built.match.left_over or built.match.gone:
        yield over_list(design, built)


def differences_list(design: str, built: AsBuilt) -> Listing:
    """Every quantity that was measured or follows from what was: planned, as built, how surely."""
    return Listing(
        f"{design}-as-built-differences",
        f"Planned and as built, design {design}",
        ("Where", "What, and from where", "Planned", "As built", "Difference", "± before", "± after"),
        tuple(_difference_row(one) for one in built.differences),
        frozenset(k for k, one in enumerate(built.differences) if _stands_out(one)),
        intro="Difference: as built less planned. ± is the expanded uncertainty (k = 2): before, what the survey and "
        "setting a newel by hand left open; after, what the readings of the thing itself leave. A difference beyond "
        "what was open before is marked.",
        widths=(24.0, None, 22.0, 22.0, 22.0, 18.0, 18.0),
        wide=True,
    )


def _stands_out(one: Difference) -> bool:
    return one.before is not None and abs(one.difference) > one.before


def _difference_row(one: Difference) -> tuple[Cell, ...]:
    kind: Kind = "length" if one.unit == "mm" else "degrees"
    sizes = (one.planned, one.measured, one.difference, one.before, one.after)
    return (one.where, one.what, *(NOTHING if size is None else Quantity(size, kind) for size in sizes))


NOTHING = "–"
"""What stands where there is nothing to tell."""


def at_hand_list(design: str, at_hand: Sequence[Placed], now: Mapping[str, Part]) -> Listing:
    """The pieces that stand or are cut: where they go, and what is done to them."""
    return Listing(
        f"{design}-as-built-pieces-at-hand",
        f"Pieces at hand, design {design}",
        (
            "Piece",
            "Goes to",
            "What",
            "What to do",
            "Length wanted",
            "Off lower end",
            "Off upper end",
            "Saw to",
        ),
        tuple(_at_hand_row(one, now[one.place]) for one in at_hand),
        frozenset(k for k, one in enumerate(at_hand) if one.fate is Fate.TRIM),
        intro="Marks stay with the pieces; 'goes to' is the place in the new layout. What comes off is told at the "
        "longest point of the end. 'Saw to' tells an end whose angle changes, mitre and bevel from square.",
        wide=True,
    )


def _at_hand_row(one: Placed, part: Part) -> tuple[Cell, ...]:
    fit = Fit() if one.fit is None else one.fit
    ends = []
    if fit.resawn[0] and fit.trim_start:
        ends.append(f"lower end {_angles(part.start_cuts)}")
    if fit.resawn[1] and fit.trim_finish:
        ends.append(f"upper end {_angles(part.finish_cuts)}")
    return (
        one.piece,
        one.place,
        one.role.value,
        one.fate.value,
        Quantity(one.length),
        Quantity(fit.trim_start),
        Quantity(fit.trim_finish),
        "; ".join(ends),
    )


def _angles(cuts: Sequence[Plane]) -> str:
    return " and ".join(end_words(saw_reading(cut.normal)) for cut in cuts)


def to_make_list(design: str, to_make: Sequence[Placed], now: Mapping[str, Part], show: Show) -> Listing:
    """The pieces that are still to be cut: the lengths of the plan and those that they need now.

    Places that follow each other and want the same piece share a row.
    """
    rows = [(one.place, _to_make_row(one, now[one.place], show)) for one in to_make]
    alike = [
        [place for place, _ in run] for _, run in groupby(rows, key=lambda pair: _written(pair[1], show))
    ]
    wanted = dict(rows)
    return Listing(
        f"{design}-as-built-to-make",
        f"Still to make, design {design}",
        (
            "Places", "Off", "What", "What to do", "Planned", "Now", "Difference", "±", "Lower end", "Upper end",
        ),
        tuple(
            (_run(places), Quantity(len(places), "count"), *wanted[places[0]]) for places in alike
        ),
        intro="Lengths from longest point to longest point. ± is the expanded uncertainty (k = 2) that the readings "
        "leave in the length; a piece with one is cut long and fitted in place. Angles are the saw's, from a square "
        "cut (0): mitre in the wide face, bevel through the thickness.",
        wide=True,
    )  # fmt: skip


def _run(places: Sequence[str]) -> str:
    return places[0] if len(places) == 1 else f"{places[0]} to {places[-1]}"


def _to_make_row(one: Placed, part: Part, show: Show) -> tuple[Cell, ...]:
    difference = one.difference
    return (
        one.role.value,
        one.fate.value,
        NOTHING if one.planned is None else show(one.planned),
        Quantity(one.length),
        NOTHING if difference is None else show(difference),
        Quantity(COVERAGE_FACTOR * one.sigma) if one.sigma else NOTHING,
        _angles(part.start_cuts),
        _angles(part.finish_cuts),
    )


def _written(cells: Sequence[Cell], show: Show) -> tuple[str, ...]:
    return tuple(cell_text(cell, show) for cell in cells)


def over_list(design: str, built: AsBuilt) -> Listing:
    """Pieces that are cut and find no place, and places of the plan that are gone."""
    rows: list[tuple[Cell, ...]] = [
        (one.piece, one.role.value, Quantity(one.length), _why(one), one.nearest or NOTHING, _short(one))
        for one in built.match.left_over
    ]
    lengths = {part.place: part for part in built.planned}
    rows += [
        (
            place,
            lengths[place].role.value,
            Quantity(lengths[place].length),
            "no longer needed",
            NOTHING,
            NOTHING,
        )
        for place in built.match.gone
        if place not in {one.piece for one in built.match.left_over}
    ]
    return Listing(
        f"{design}-as-built-left-over",
        f"No longer needed, design {design}",
        ("Mark", "What", "Length", "Why", "Nearest place", "Short by"),
        tuple(rows),
        frozenset(range(len(built.match.left_over))),
        intro="Pieces that are cut and find no place, and places of the plan that are gone.",
    )


def _why(one: LeftOver) -> str:
    if one.fit is None:
        return "cut, and no place of its kind is left"
    if one.fit.misplaced:
        return "cut, and what is worked on it lies elsewhere"
    return "cut, and too short" if one.fit.short > 0.0 else "cut, and its places are filled"


def _short(one: LeftOver) -> Cell:
    return NOTHING if one.fit is None or one.fit.misplaced else Quantity(one.fit.short)
