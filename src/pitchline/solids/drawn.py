"""A picture in space as marks of a drawing, or as an SVG file by itself. The same bytes for the same picture."""

from collections.abc import Iterator
from html import escape

from pitchline.kit.drawing.marks import Area, Fill, Mark, Pen, Stroke
from pitchline.solids.picture import Picture, Points2, ShadedFace

LIGHT = 0.9
"""Faces at least so bright are tinted as lit ones where a drawing has two tints only."""

_MARGIN = 0.02
"""Share of the picture's larger side left free around it."""

_LINE, _THIN_LINE = "#3b332a", "#8d928f"


def picture_marks(picture: Picture) -> tuple[Mark, ...]:
    """Areas in the few tints of a drawing, glass behind all others, then the lines over them, in the picture's mm."""
    ordered = sorted(picture.faces, key=lambda face: not face.is_clear)
    areas = [Area(face.outline, _tint(face), face.holes) for face in ordered]
    lines = [Stroke(line.points, Pen.GHOST if line.around else Pen.THIN) for line in picture.lines]
    return (*areas, *lines)


def _tint(face: ShadedFace) -> Fill:
    if face.is_clear:
        return Fill.GLASS
    if face.around:
        return Fill.WHITE if face.shade >= LIGHT else Fill.GREY
    return Fill.WOOD if face.shade >= LIGHT else Fill.END_GRAIN


def picture_svg(picture: Picture, title: str, width: float = 900.0) -> str:
    """The picture in its own colours as an SVG document ``width`` px wide; lines keep their weight when scaled."""
    left, bottom, right, top = picture.bounds
    margin = _MARGIN * max(right - left, top - bottom)
    scale = width / (right - left + 2 * margin)
    height = scale * (top - bottom + 2 * margin)
    page = _Page(left - margin, top + margin, scale)
    lines = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" role="img">',
        f"<title>{escape(title)}</title>",
        '<g stroke-width="0.5" stroke-linejoin="round" fill-rule="evenodd">',
        *page.faces(picture),
        "</g>",
        *page.lines(picture),
        "</svg>",
    )
    return "\n".join(lines) + "\n"


class _Page:
    """Where the picture's points come to lie on the page, and its faces and lines there."""

    def __init__(self, left: float, top: float, scale: float) -> None:
        self._left, self._top, self._scale = left, top, scale

    def faces(self, picture: Picture) -> Iterator[str]:
        """A path for each face, edged in its own colour so that no hairline shows between neighbours; glass last."""
        for face in sorted(picture.faces, key=lambda face: face.is_clear):
            rings = " ".join(f"M{self._at(ring)}Z" for ring in (face.outline, *face.holes))
            edge = f'stroke="{face.colour}"' if not face.is_clear else f'fill-opacity="{face.opacity:g}"'
            yield f'<path d="{rings}" fill="{face.colour}" {edge}/>'

    def lines(self, picture: Picture) -> Iterator[str]:
        """The lines of the stair thin and grey, those of the balustrade over them."""
        for around, colour, weight in ((True, _THIN_LINE, 0.5), (False, _LINE, 0.8)):
            drawn = " ".join(f"M{self._at(line.points)}" for line in picture.lines if line.around is around)
            if drawn:
                style = f'fill="none" stroke="{colour}" stroke-width="{weight}" stroke-linecap="round"'
                yield f'<path d="{drawn}" {style} vector-effect="non-scaling-stroke"/>'

    def _at(self, points: Points2) -> str:
        return " ".join(
            f"{self._scale * (x - self._left):.2f},{self._scale * (self._top - y):.2f}" for x, y in points
        )
