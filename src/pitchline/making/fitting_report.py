"""What is built so far beside what was planned, and what there is to say of it. Lengths in mm, angles in degrees."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby, pairwise

from pitchline.design.as_built import Standing, State
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import BLUNDER_SUSPECTED, COVERAGE_FACTOR, NEWEL_FAR, PIECE_FITS
from pitchline.kit.words import Words
from pitchline.making.fitting import as_made
from pitchline.making.fitting_differences import Difference, Pair, differences, fitted_uprights
from pitchline.making.fitting_match import TO_MAKE, Fate, LeftOver, Match, Placed, match
from pitchline.parts.part import Part


@dataclass(frozen=True, eq=False)
class AsBuilt:
    """One design as it stands after a gate of the work: differences from the plan and what becomes of every piece.

    ``legs`` are its legs as planned and as laid out around what stands, ``planned`` the pieces of the plan.
    """

    design: str
    gate: str
    date: str
    standing: Standing
    legs: tuple[Pair, ...]
    differences: tuple[Difference, ...]
    match: Match
    findings: tuple[Finding, ...]
    planned: tuple[Part, ...]

    @property
    def after(self) -> str:
        """After what, in words."""
        return f"{self.gate}, {self.date}" if self.date else self.gate


def as_built(
    standing: Standing, legs: Sequence[Pair], parts: tuple[Sequence[Part], Sequence[Part]], words: Words
) -> AsBuilt:
    """What is built of one design; ``parts`` are the pieces as planned and as they come out now.

    The marks of ``standing`` must be those of pieces of the plan.
    """
    before, now = ({part.place: part for part in known} for known in parts)
    found = differences(legs, standing, (before, now))
    fitted = _fitted(standing, legs, before, now)
    cut = {
        piece.mark: as_made(before[piece.mark], piece)
        for piece in standing.pieces
        if piece.state is State.CUT
    }
    matched = match(parts[0], parts[1], fitted, cut)
    findings = (
        _summary(standing, matched, words),
        *_contradictions(standing, found, words),
        *_far(standing, found, words),
        *_counts(standing, matched, legs),
        *_gaps(standing, legs, words),
        *_trims(standing, matched, words),
        *_left(standing, matched, words),
    )
    return AsBuilt(
        standing.design,
        standing.gate,
        standing.date,
        standing,
        tuple(legs),
        found,
        matched,
        findings,
        tuple(parts[0]),
    )


def _fitted(
    standing: Standing, legs: Sequence[Pair], before: Mapping[str, Part], now: Mapping[str, Part]
) -> dict[str, str]:
    """The places of the new plan that are filled, with the mark of the piece there."""
    posts = {post.post for post in standing.posts}
    rails = {rail.rail for rail in standing.rails}
    rails |= {f"K{rail[1:]}" for rail in rails if rail.startswith("B")}
    named = {piece.mark for piece in standing.pieces if piece.state is State.FITTED}
    moved = {old: new.mark for pair in legs for old, new in fitted_uprights(pair).items()}
    fitted = {place: place for place in now if place in posts or place.rstrip("abc") in rails}
    fitted |= {moved.get(mark, mark): mark for mark in named if moved.get(mark, mark) in now}
    return {place: mark for place, mark in fitted.items() if mark in before}


def _summary(standing: Standing, found: Match, words: Words) -> Finding:
    fates = Counter(one.fate for one in found.placed)
    after = f"{standing.gate} ({standing.date})" if standing.date else standing.gate
    said = [f"{fates[fate]} {_FATES[fate][fates[fate] > 1]}" for fate in Fate if fates[fate]]
    text = f"After '{after}' the rest is laid out around what stands. Of {len(found.placed)} pieces "
    text += ", ".join(said)
    if found.left_over:
        text += f"; {len(found.left_over)} that are cut find no place"
    if found.gone:
        text += f"; {len(found.gone)} places of the plan are gone"
    return Finding("asbuilt.round", Verdict.REPORT, f"{standing.design}: as built", f"{text}.")


_FATES = {
    Fate.FITTED: ("stands", "stand"),
    Fate.FITS: ("is cut and fits as it is", "are cut and fit as they are"),
    Fate.TRIM: ("is cut and wants trimming", "are cut and want trimming"),
    Fate.SAME: ("is to be made as planned", "are to be made as planned"),
    Fate.CHANGED: ("is to be made to new sizes", "are to be made to new sizes"),
    Fate.NEW: ("is to be made anew", "are to be made anew"),
}
"""What becomes of one piece, and of several."""


def _contradictions(standing: Standing, found: Sequence[Difference], words: Words) -> Iterator[Finding]:
    """Newels that were surveyed before and now read elsewhere by more than the two measurements explain."""
    for one in found:
        if not one.again or not one.apart:
            continue
        times = abs(one.difference) / one.apart
        if times <= COVERAGE_FACTOR or abs(one.difference) < PIECE_FITS:
            continue
        sure = times > BLUNDER_SUSPECTED
        text = (
            f"{one.where} ({one.what}) was surveyed at {words.mm(one.planned)} and now comes out at "
            f"{words.mm(one.measured)}, {words.mm(abs(one.difference))} {_way(one.difference)}, where the readings "
            f"explain ±{words.mm(COVERAGE_FACTOR * one.apart)}."
        )
        yield Finding(
            "asbuilt.contradicts",
            Verdict.FAIL if sure else Verdict.ADVICE,
            f"{standing.design}: {one.where}",
            text,
            one.difference,
            COVERAGE_FACTOR * one.apart,
            remedy="It was moved since, or one of the readings is a slip: read its face again from two points.",
        )


def _far(standing: Standing, found: Sequence[Difference], words: Words) -> Iterator[Finding]:
    """Newels of the work that read farther from their marks than anybody sets them."""
    for one in found:
        if one.again or not one.face or abs(one.difference) <= NEWEL_FAR:
            continue
        text = (
            f"{one.where} ({one.what}) reads {words.mm(abs(one.difference))} {_way(one.difference)} from its mark, "
            "farther than a newel is set by mishap."
        )
        remedy = (
            "Read it again, from another nosing too; if it stands there, see what follows before going on."
        )
        yield Finding(
            "asbuilt.far",
            Verdict.ADVICE,
            f"{standing.design}: {one.where}",
            text,
            one.difference,
            limit=NEWEL_FAR,
            remedy=remedy,
        )


def _way(difference: float) -> str:
    return "up the stair" if difference > 0 else "down the stair"


def _counts(standing: Standing, found: Match, legs: Sequence[Pair]) -> Iterator[Finding]:
    """More or fewer uprights than were planned."""
    for planned, built in legs:
        more = len(built.uprights) - len(planned.uprights)
        if more:
            text = (
                f"Leg {built.id}: {len(built.uprights)} uprights now, not {len(planned.uprights)} as planned, "
                + ("so that no gap passes the limit." if more > 0 else "for there is no room for more.")
                + " Places are numbered anew from the foot; the list of pieces tells which mark goes to which place."
            )
            yield Finding(
                "asbuilt.count", Verdict.ADVICE, f"{standing.design}: {built.id}", text, float(more), unit=""
            )


def _gaps(standing: Standing, legs: Sequence[Pair], words: Words) -> Iterator[Finding]:
    """Gaps over the limit between things that stand, which no laying out can mend, with the ways out."""
    for pair in legs:
        built = pair[1]
        if built.brief.built is None or built.bay.opening is None:
            continue
        fixed = {upright.mark for upright in fitted_uprights(pair).values()}
        limit = _allowed(pair[0], built.bay.opening - _neck(pair))
        marks = ["", *(upright.mark for upright in built.uprights), ""]
        for (below, above), gap in zip(pairwise(marks), _clear_gaps(built), strict=True):
            if gap > limit + PIECE_FITS / 10 and all(mark in fixed or not mark for mark in (below, above)):
                yield _too_wide(standing, built.id, (below, above), (gap, limit), words)


def _allowed(planned: Design, limit: float) -> float:
    """The limit on gaps; those of a plan over its own limit (a count was asked for) are not told again."""
    infill, opening = planned.brief.uprights, planned.bay.opening
    widest = max(_clear_gaps(planned))
    own = widest if opening is None else opening - (infill.width - infill.narrowest)
    return max(limit, widest) if widest > own + PIECE_FITS / 10 else limit


def _clear_gaps(design: Design) -> tuple[float, ...]:
    """Every clear gap of a leg from the foot up; one of nothing where it has no uprights."""
    uprights = design.uprights
    return (*(upright.gap_before for upright in uprights), uprights[-1].gap_after if uprights else 0.0)


def _neck(pair: Pair) -> float:
    infill = pair[1].brief.uprights
    return infill.width - infill.narrowest


def _too_wide(
    standing: Standing, leg: str, between: tuple[str, str], sizes: tuple[float, float], words: Words
) -> Finding:
    gap, limit = sizes
    names = [mark or ("the lower end" if k == 0 else "the upper end") for k, mark in enumerate(between)]
    over = gap - limit
    text = (
        f"Between {names[0]} and {names[1]} the gap stands at {words.mm(gap)}, {words.mm(over)} over what the layout "
        f"may leave ({words.mm(limit)}), and both are fixed."
    )
    movable = next(mark for mark in reversed(between) if mark)
    remedy = (
        f"Ways out: free {movable} and move it by {words.enough(over)} or more; or enter it as not fitted, and the "
        "rest is spread over it; or fit one more upright between the two."
    )
    return Finding(
        "asbuilt.gap",
        Verdict.ADVICE,
        f"{standing.design}: {leg}, {names[0]} to {names[1]}",
        text,
        gap,
        limit=limit,
        remedy=remedy,
    )


def _trims(standing: Standing, found: Match, words: Words) -> Iterator[Finding]:
    trimmed = [one for one in found.placed if one.fate is Fate.TRIM and one.fit is not None]
    if not trimmed:
        return
    most = max(one.fit.waste for one in trimmed if one.fit is not None)
    named = _listed([_trimmed(one) for one in trimmed])
    text = (
        f"Cut, and to be trimmed, by at most {words.mm(most)}: {named}. The list of pieces says at which end and how "
        "much. Offer each up before it is cut."
    )
    yield Finding("asbuilt.trim", Verdict.REPORT, f"{standing.design}: pieces", text, most)


def _trimmed(one: Placed) -> str:
    return one.piece if one.piece == one.place else f"{one.piece} at {one.place}"


def _left(standing: Standing, found: Match, words: Words) -> Iterator[Finding]:
    """Pieces that were cut and fit nowhere: why, and whether trimming cures it; what is amiss alike is said once."""
    for why, alike in groupby(sorted(found.left_over, key=_why), key=_why):
        pieces = tuple(alike)
        marks, one = _listed([piece.piece for piece in pieces]), len(pieces) == 1
        short = [piece.fit.short for piece in pieces if piece.fit is not None and why is Why.SHORT]
        if why is Why.SHORT:
            least, most = words.mm(min(short)), words.mm(max(short))
            lacking = most if least == most else f"{least} to {most}"
            text = (
                f"{marks} {'is' if one else 'are'} too short for {pieces[0].nearest if one else 'any place left'} "
                f"by {lacking}: trimming does not cure that. Make {'it' if one else 'them'} anew, and keep the old "
                "for the offcut rack."
            )
        else:
            text = f"{marks} {'is' if one else 'are'} cut, but {_BECAUSE[why]}."
        yield Finding(
            "asbuilt.left-over",
            Verdict.ADVICE,
            f"{standing.design}: {marks}",
            text,
            max(short) if short else None,
        )


class Why(StrEnum):
    """Why a piece that is cut goes nowhere."""

    NO_PLACE = "no place"
    ELSEWHERE = "worked elsewhere"
    SHORT = "too short"
    FILLED = "filled"


_BECAUSE = {
    Why.NO_PLACE: "no place of this kind is left",
    Why.ELSEWHERE: "holes, housings or turnings lie elsewhere than the places left now need",
    Why.FILLED: "other pieces that are cut fill all places of this kind",
}


def _why(one: LeftOver) -> Why:
    if one.fit is None:
        return Why.NO_PLACE
    if one.fit.misplaced:
        return Why.ELSEWHERE
    return Why.SHORT if one.fit.short > 0.0 else Why.FILLED


def _listed(marks: Sequence[str]) -> str:
    """Marks in a row: a run by its ends; of many others, how many more there are."""
    numbers = [int(mark.lstrip(_LETTERS) or 0) for mark in marks if mark.lstrip(_LETTERS).isdigit()]
    if len(numbers) == len(marks) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return f"{marks[0]} to {marks[-1]}"
    first = marks[:MOST_NAMED]
    more = len(marks) - len(first)
    named = ", ".join(first)
    return f"{named} and {more} more" if more else named


_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

MOST_NAMED = 8
"""How many marks a sentence names."""


def to_make(found: Match) -> tuple[Placed, ...]:
    """The places for which a piece is still to be cut."""
    return tuple(one for one in found.placed if one.fate in TO_MAKE)
