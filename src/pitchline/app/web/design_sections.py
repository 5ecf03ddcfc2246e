"""The rails cut square to the rake as a small picture without words: what goes where when the pieces are joined."""

from collections.abc import Iterable

from pitchline.app.web.design_drawing import Frame
from pitchline.design.model import Design
from pitchline.kit.drawing.marks import Area, Disc, Drawing, Fill, Mark, Points, Stroke, mark_points
from pitchline.sheets.looking import Show
from pitchline.sheets.sections import lower_section, rail_section

_KINDS = {
    Fill.WOOD: "piece",
    Fill.END_GRAIN: "grain",
    Fill.GLASS: "glass",
    Fill.GREY: "stair",
    Fill.WHITE: "void",
    Fill.WARNING: "void",
}
_BETWEEN = 26.0
"""mm left between the handrail's section and the one below it."""


def _silent(_: float) -> str:
    return ""


def section_thumbnail(design: Design) -> str:
    """The section through the handrail above that through the base rail or the tread."""
    upper = _things(rail_section(design, _silent, 1.0))
    below = lower_section(design)
    lower = [] if below is None else _things(_drawn(below, _silent))
    marks = list(upper)
    if lower:
        drop = min(y for mark in upper for _, y in mark_points(mark)) - _BETWEEN
        drop -= max(y for mark in lower for _, y in mark_points(mark))
        marks += [_moved(mark, drop) for mark in lower]
    frame = Frame.around([point for mark in marks for point in mark_points(mark)], 8.0)
    body = "".join(_svg(mark) for mark in marks)
    return (
        f'<svg class="thumb section" xmlns="http://www.w3.org/2000/svg" viewBox="{frame.box}" aria-hidden="true">'
        f"{body}</svg>"
    )


def _drawn(draw: object, show: Show) -> Drawing:
    made = draw(show, 1.0)  # type: ignore[operator]  # what lower_section gives draws
    assert isinstance(made, Drawing)
    return made


def _things(drawing: Drawing) -> list[Area | Stroke | Disc]:
    """What is drawn, without words and sizes."""
    return [mark for mark in drawing.marks if isinstance(mark, Area | Stroke | Disc)]


def _moved(mark: Area | Stroke | Disc, drop: float) -> Area | Stroke | Disc:
    def down(points: Iterable[tuple[float, float]]) -> Points:
        return tuple((x, y + drop) for x, y in points)

    match mark:
        case Area():
            return Area(down(mark.outline), mark.fill, tuple(map(down, mark.holes)), mark.pen)
        case Stroke():
            return Stroke(down(mark.points), mark.pen, mark.closed)
        case Disc():
            return Disc(down([mark.centre])[0], mark.radius, mark.pen, mark.fill)


def _svg(mark: Mark) -> str:
    match mark:
        case Area():
            rings = "".join(_ring(ring, shut=True) for ring in (mark.outline, *mark.holes))
            return f'<path class="{_KINDS[mark.fill]}" d="{rings}"/>'
        case Stroke():
            return f'<path class="edge" d="{_ring(mark.points, shut=mark.closed)}"/>'
        case Disc():
            x, y = mark.centre
            return f'<circle class="edge" cx="{x:.1f}" cy="{-y:.1f}" r="{mark.radius:.1f}"/>'
    return ""


def _ring(points: Points, *, shut: bool) -> str:
    return "M" + "L".join(f"{x:.1f} {-y:.1f}" for x, y in points) + ("Z" if shut else "")
