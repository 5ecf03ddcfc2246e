"""The printed survey sheet: a sketch that shows where each reading is taken, and rows to write it in.

It asks for exactly the readings that the job file takes, under the same names.
"""

from collections.abc import Iterator

from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Dimension,
    Drawing,
    Fill,
    Label,
    Leader,
    Mark,
    Pen,
    Points,
    Stroke,
)
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import Paper, Section, Table, TextPage, TitleBlock
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.units import Unit

RISE, GOING, STEPS = 190.0, 230.0, 5
"""A regular stair for the sketch only."""

ROWS = 16
"""Rows for rises: the most risers that one flight usually has (16 in common practice, no source)."""


def survey_sheet(unit: Unit) -> bytes:
    """The survey sheet as a PDF on the paper of the unit's country."""
    paper: Paper = "Letter" if unit is Unit.INCH else "A4"
    pages = (
        TextPage("Survey sheet: where to read", tuple(_first(unit)), paper),
        TextPage("Survey sheet: rises and goings", tuple(_second()), paper),
        TextPage("Survey sheet: checks and posts", tuple(_third()), paper),
    )
    block = TitleBlock("Survey of one flight", "to be filled in at the stair", units=unit.value)
    return compile_pdf(pages, block)


def _first(unit: Unit) -> Iterator[Section]:
    picture = write_svg(
        Drawing("survey-sketch", "Where to read", 12.0, tuple(_sketch()), "seen from the open side")
    )
    name = "inches and fractions" if unit is Unit.INCH else "mm"
    yield Section(
        "Where each reading is taken",
        (
            f"All lengths in {name}. Read on the guarded side, about a hand's breadth in from the ends of the "
            "treads. Nosings are called N1, N2 and so on from the foot; the last one is the edge of the upper floor. "
            "Write what you read, even where it disagrees: the program weighs readings against each other.",
        ),
        picture=picture,
        caption="a to h: see the tables. Keep clear of the open edge; have someone hold the foot of the tape.",
    )
    yield Section("The stair", tables=(_table(("What", "Reading"), _roomy(_FACTS), (None, 45.0)),))


def _second() -> Iterator[Section]:
    yield Section(
        "a  Rises and  b  goings",
        (
            "Rise 1 is from the lower floor to N1; going 1 is level from N1 to N2. Hold the tape plumb for a, and a "
            "level or square for b. Leave out what you cannot reach.",
        ),
        tables=(_steps_table(),),
    )


def _third() -> Iterator[Section]:
    yield Section(
        "Readings that check the others",
        ("Three or four of c are worth more than every rise read twice. Write from and to as nosing names.",),
        tables=(_table(("What", "from", "to", "Reading"), _CHECKS, (None, 18.0, 18.0, 38.0)),),
    )
    yield Section(
        "g  String",
        ("Plumb, from a nosing up to the top edge of a closed string: near both ends and twice between.",),
        tables=(_table(_MARGIN_HEADINGS, _roomy((("N", "", "N", ""),) * 2), (18.0, None, 18.0, None)),),
    )
    yield Section(
        "h  Newels and walls that stand",
        (
            "The level distance from the last nosing (or N1) to the face that looks at the flight, and how high "
            "above the lower floor you read it; + is up the stair. Hang a plumb line beside the post: how far its "
            "top is out up the stair, and towards the side you walk on, over what height. Twist: with a bevel from "
            "the string.",
        ),
        tables=(_table(_POST_HEADINGS, _roomy((("",) * 8,) * 3), (None,) * 8),),
    )


_MARGIN_HEADINGS = ("Nosing", "Margin above it", "Nosing", "Margin above it")
_FACTS = (
    ("Number of rises, the last one up to the upper floor included", ""),
    ("Clear width of the stair", ""),
    ("Overhang of the nosings beyond the riser below", ""),
    ("Least headroom above the nosings, plumb", ""),
    ("Still to be laid: lower floor / treads / upper floor; does it wrap the nosings?", ""),
    ("Guarded side going up: left or right", ""),
    ("String: thickness / depth", ""),
    ("Tape: class printed on it (I, II, III)", ""),
)
_CHECKS = (
    *(("c  straight distance, nosing to nosing", "", "", ""),) * 4,
    *(("d  pitch: straightedge on the nosings, gauge, degrees", "", "", ""),) * 2,
    *(("e  level: down from one laser or water level line", "line 1", "", ""),) * 4,
    *(("f  plumb: level from one plumb line, + up the stair", "line 1", "", ""),) * 3,
)
_POST_HEADINGS = (
    "Post or wall",
    "from",
    "distance",
    "height read at",
    "section",
    "lean up stair",
    "lean across",
    "twist",
)


def _table(
    headings: tuple[str, ...], rows: tuple[tuple[str, ...], ...], widths: tuple[float | None, ...]
) -> Table:
    return Table(headings, rows, widths=widths)


def _roomy(rows: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    """Rows high enough to write in by hand: two empty lines in their last column."""
    return tuple((*row[:-1], "\u00a0\n\u00a0") for row in rows)


def _steps_table() -> Table:
    rows = tuple(
        (
            f"rise {k}", "floor to N1" if k == 1 else f"N{k - 1} to N{k}", "",
            f"going {k}" if k < ROWS else "", f"N{k} to N{k + 1}" if k < ROWS else "", "",
        )
        for k in range(1, ROWS + 1)
    )  # fmt: skip
    return Table(
        ("a  Rise", "plumb", "Reading", "b  Going", "level", "Reading"),
        _roomy(rows),
        widths=(18.0, 26.0, None, 20.0, 26.0, None),
    )


def _nosing(k: int) -> tuple[float, float]:
    return ((k - 1) * GOING, k * RISE)


def _profile() -> Points:
    points: list[tuple[float, float]] = [(-420.0, 0.0), (18.0, 0.0)]
    for k in range(1, STEPS + 1):
        u, z = _nosing(k)
        points += [(u + 18.0, z - 24.0), (u, z - 24.0), (u, z)]
        if k < STEPS:
            points.append((u + GOING + 18.0, z))
    return (*points, ((STEPS - 1) * GOING + 520.0, STEPS * RISE))


def _sketch() -> Iterator[Mark]:
    profile = _profile()
    yield Area(
        (*profile, (profile[-1][0], profile[-1][1] - 120.0), (260.0, -40.0), (-420.0, -40.0)), Fill.GREY
    )
    yield Stroke(profile, Pen.CUT)
    for k in range(1, STEPS + 1):
        u, z = _nosing(k)
        yield Label((u + 55.0, z - 42.0), f"N{k}", 2.5, Anchor.MIDDLE)
    yield Dimension(_nosing(1), _nosing(2), -16.0, "a", direction_deg=90.0)
    yield Dimension(_nosing(1), _nosing(2), -14.0, "b", direction_deg=0.0)
    yield Dimension(_nosing(2), _nosing(4), 14.0, "c")
    yield from _straightedge()
    yield from _level_line()
    yield from _plumb_line()
    yield from _string_and_post()


def _straightedge() -> Iterator[Mark]:
    (u3, z3), (u5, z5) = _nosing(3), _nosing(5)
    yield Stroke(((u3 - 60.0, z3 - 60.0 * RISE / GOING), (u5 + 60.0, z5 + 60.0 * RISE / GOING)), Pen.OUTLINE)
    yield Leader((u5 - 70.0, z5 - 70.0 * RISE / GOING), (u5 - 260.0, z5 + 150.0), "d  straightedge and gauge")


def _level_line() -> Iterator[Mark]:
    line = STEPS * RISE + 260.0
    yield Stroke(((-400.0, line), ((STEPS - 1) * GOING + 460.0, line)), Pen.CENTRE)
    yield Label((-400.0, line + 14.0), "e  level line", 2.5, Anchor.BASE_LEFT)
    for point in ((-330.0, 0.0), (_nosing(5)[0] + 330.0, STEPS * RISE)):
        yield Dimension(point, (point[0], line), 0.0, "e", direction_deg=90.0)


def _plumb_line() -> Iterator[Mark]:
    u = _nosing(5)[0] + 230.0
    yield Stroke(((u, STEPS * RISE - 380.0), (u, STEPS * RISE + 230.0)), Pen.CENTRE)
    yield Dimension(_nosing(4), (u, _nosing(4)[1]), -8.0, "f", direction_deg=0.0)


def _string_and_post() -> Iterator[Mark]:
    rise = RISE / GOING
    edge = ((-70.0, RISE + 62.0 - 70.0 * rise), (150.0, RISE + 62.0 + 150.0 * rise))
    yield Stroke(edge, Pen.HIDDEN)
    yield Dimension(_nosing(1), (0.0, RISE + 62.0), 6.0, "g", direction_deg=90.0)
    left = _nosing(5)[0] + 90.0
    post = (
        (left, STEPS * RISE),
        (left + 90.0, STEPS * RISE),
        (left + 90.0, STEPS * RISE + 180.0),
        (left, STEPS * RISE + 180.0),
    )
    yield Area(post, Fill.WOOD, pen=Pen.OUTLINE)
    yield Dimension(_nosing(5), (left, STEPS * RISE + 90.0), 14.0, "h", direction_deg=0.0)
