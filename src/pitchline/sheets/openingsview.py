"""Openings and heights: the largest balls at their places, and the height of the rail above every nosing."""

from collections.abc import Iterator, Sequence

from pitchline.checks.openings import Opening, OpeningKind
from pitchline.checks.run import CheckReport
from pitchline.design.model import Design
from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Disc,
    Drawing,
    Fill,
    Label,
    Leader,
    Mark,
    Pen,
    Stroke,
)
from pitchline.kit.finding import Verdict
from pitchline.sheets.elevation import Reach, stair_marks, underside, upright_outline
from pitchline.sheets.looking import Looker, Show, bar_outline, closed, post_outline, view_words

FLOOR_OUT = 12.0
"""Paper mm of floor drawn beyond the ends."""


def openings_drawing(design: Design, report: CheckReport, show: Show, scale: float) -> Drawing:
    """The balustrade in outline at 1:``scale`` with its worst openings and all its heights."""
    look = Looker(design.side)
    worst = worst_openings(report.openings)
    marks = (
        *stair_marks(design, look, Reach.of(design, scale, FLOOR_OUT)),
        *(_tinted(opening, look) for opening in worst),
        *_outlines(design, look),
        *_balls(design, worst, look, show, scale),
        *_heights(design, report, look, show, scale),
    )
    title = f"Openings and heights, {view_words(design)}"
    return Drawing(f"{design.id}-openings", title, scale, marks, view_words(design))


def worst_openings(openings: Sequence[Opening]) -> tuple[Opening, ...]:
    """The opening nearest its limit (or furthest past it) among those of the infill and among those under the rail.

    Openings that the rules leave free count only where no other of their kind is limited.
    """
    under = [opening for opening in openings if opening.kind is OpeningKind.UNDER]
    infill = [opening for opening in openings if opening.kind is not OpeningKind.UNDER]
    return tuple(max(group, key=pressing) for group in (infill, under) if group)


def pressing(opening: Opening) -> tuple[bool, float]:
    """A key that ranks openings: limited ones by how near the ball comes to the limit, then free ones."""
    if opening.limit is None:
        return False, opening.ball.diameter
    return True, opening.ball.diameter / opening.limit


def _tinted(opening: Opening, look: Looker) -> Area:
    """An opening without what stands inside it."""
    return Area(look.all(opening.outline), _tint(opening), tuple(map(look.all, opening.islands)))


def _tint(opening: Opening) -> Fill:
    return Fill.WARNING if opening.verdict in (Verdict.FAIL, Verdict.UNSURE) else Fill.GLASS


def _outlines(design: Design, look: Looker) -> Iterator[Mark]:
    for upright in design.uprights:
        yield closed(look.all(upright_outline(upright)), Pen.THIN)
    for strand in design.strands:
        yield closed(look.all(strand.sight), Pen.THIN)
    for panel in design.panels:
        for ring in (panel.sight, *panel.holes):
            yield closed(look.all(ring), Pen.THIN)
    for bar in design.bars:
        yield Area(look.all(bar_outline(bar)), Fill.WOOD, pen=Pen.OUTLINE)
    for post in design.posts:
        yield Area(look.all(post_outline(post)), Fill.WOOD, pen=Pen.OUTLINE)


def _balls(
    design: Design, worst: Sequence[Opening], look: Looker, show: Show, scale: float
) -> Iterator[Mark]:
    """Each ball, with its size and its limit in the free corner under the stair."""
    for number, opening in enumerate(worst):
        pen = Pen.ACCENT if opening.verdict in (Verdict.FAIL, Verdict.UNSURE) else Pen.OUTLINE
        u, z = opening.ball.centre
        yield Disc(look.at((u, z)), opening.ball.diameter / 2, pen)
        elbow = u + 16.0 * scale
        at = (elbow, underside(design, elbow) - (10.0 + 12.0 * number) * scale)
        yield Leader(look.at((u, z)), look.at(at), ball_words(opening, show), dot=True)


def ball_words(opening: Opening, show: Show) -> str:
    """Size, limit and place of a ball."""
    limit = "no limit in these rules" if opening.limit is None else f"limit {show(opening.limit)}"
    size = f"{show(opening.ball.diameter)} ± {show(opening.expanded)}"
    return f"largest ball {size}, {limit}: {opening.verdict.value}\n{opening.where}"


def _heights(design: Design, report: CheckReport, look: Looker, show: Show, scale: float) -> Iterator[Mark]:
    """A plumb line from each nosing to the top of the rail, the height written above it."""
    top = design.handrail.top
    for number, ((u, z), height) in enumerate(
        zip(design.flight.nosings, report.heights, strict=True), start=1
    ):
        tight = "  tightest" if number == design.rail_line.tightest else ""
        yield Stroke(look.all(((u, z), (u, top.at(u)))), Pen.DIMENSION)
        yield Disc(look.at((u, z)), 0.6 * scale, Pen.DIMENSION, Fill.WHITE)
        words = f"{height.nosing}  {show(height.height)} ± {show(height.expanded)}{tight}"
        at = (u, _above(design, u, scale))
        yield Label(look.at(at), words, 2.5, Anchor.MIDDLE_LEFT, 90.0)


def _above(design: Design, u: float, scale: float) -> float:
    """Where a height can be written over a nosing: above the rail, and above a post that stands there."""
    over = design.handrail.top.at(u)
    for post in design.posts:
        outline = post_outline(post)
        if min(p[0] for p in outline) - 2.0 * scale <= u <= max(p[0] for p in outline) + 2.0 * scale:
            over = max(over, *(p[1] for p in outline))
    return over + 2.0 * scale
