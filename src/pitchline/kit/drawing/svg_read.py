"""Lines of an SVG drawing in mm: paths, rectangles, circles, ellipses, polygons, with their groups' transforms.

Sizes follow the SVG standard: the sheet's ``width`` and ``height`` in real units and its ``viewBox`` say how long a
unit of the drawing is. The grammar of paths is read by fontTools; arcs are taken as the standard's appendix on
the implementation of elliptical arcs gives them (SVG 1.1, F.6.5).
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from fontTools.svgLib.path import parse_path  # type: ignore[import-untyped]  # no types there

from pitchline.kit.drawing.outlines_read import Chain, chords_of_cubic
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import CHORD_OFF_ARC
from pitchline.kit.units import MM_PER_INCH

Matrix = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f of the standard: x' = a x + c y + e, y' = b x + d y + f."""

_PX = MM_PER_INCH / 96.0
_UNITS = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH, "pt": MM_PER_INCH / 72.0, "pc": MM_PER_INCH / 6.0}
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-zA-Z%]*)\s*$")
_FIGURE = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_SILENT = {
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "metadata",
    "title",
    "desc",
    "style",
    "namedview",
}
_REFUSED = {
    "use": "replace copies by the drawn lines themselves",
    "text": "turn letters into paths",
    "image": "draw what the picture shows as paths",
    "svg": "draw everything on one sheet",
}


def read_svg(data: bytes, source: str, unit_mm: float | None) -> tuple[list[Chain], Point2]:
    """The lines of a drawing, y upwards from the sheet's lower edge, and the size of the sheet. InputError."""
    if b"<!ENTITY" in data:
        raise InputError([Fault("drawing", "it declares entities", remedy="save it as plain SVG")], source)
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as problem:
        raise InputError([Fault("drawing", f"it is no sound SVG: {problem}")], source) from problem
    if _tag(root) != "svg":
        raise InputError([Fault("drawing", "it is no SVG drawing", f"<{_tag(root)}>", "<svg>")], source)
    reader = _Reader()
    page, matrix = _sheet(root, unit_mm, reader)
    reader.walk(root, matrix)
    if reader.faults:
        raise InputError(reader.faults, source)
    return reader.chains, page


def _tag(element: ElementTree.Element) -> str:
    return element.tag.rsplit("}", 1)[-1] if isinstance(element.tag, str) else ""


def _sheet(root: ElementTree.Element, unit_mm: float | None, reader: "_Reader") -> tuple[Point2, Matrix]:
    """The size of the sheet in mm, and the way from its units to mm with y upwards.

    Without a ``viewBox`` a unit is a pixel of the standard, 1/96 in.
    """
    sizes = [_LENGTH.match(root.get(key, "")) for key in ("width", "height")]
    bare = [float(size[1]) if size else 0.0 for size in sizes]
    real = [_UNITS.get(size[2], 0.0) * float(size[1]) if size else 0.0 for size in sizes]
    box = [float(word) for word in _FIGURE.findall(root.get("viewBox", ""))]
    left, top, wide, high = box if len(box) == 4 else (0.0, 0.0, real[0] / _PX, real[1] / _PX)
    if unit_mm is not None and len(box) != 4:
        wide, high = bare
    if unit_mm is None and not min(*real, wide, high) > 0.0:
        found = f'width="{root.get("width", "")}" height="{root.get("height", "")}"'
        allowed = f"width and height in {', '.join(_UNITS)}"
        remedy = "set the drawing's units to mm, or say how long one of its units is"
        reader.faults.append(Fault("drawing", "it does not say how large it is", found, allowed, remedy))
        return (0.0, 0.0), (1.0, 0.0, 0.0, -1.0, 0.0, 0.0)
    across, upwards = (unit_mm, unit_mm) if unit_mm is not None else (real[0] / wide, real[1] / high)
    if abs(across - upwards) > _PROPORTION * across:
        problem = "its width and height do not go with its viewBox, so it would be stretched"
        reader.faults.append(Fault("drawing", problem, remedy="give sheet and viewBox the same proportions"))
    height = high * across
    return (wide * across, height), (across, 0.0, 0.0, -across, -left * across, height + top * across)


_PROPORTION = 1e-3
"""Share by which a sheet's two scales may differ: what rounding of its written size leaves."""


@dataclass
class _Reader:
    """What has been read so far."""

    chains: list[Chain] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    number: int = 0

    def walk(self, element: ElementTree.Element, matrix: Matrix) -> None:
        """Everything drawn inside an element."""
        for child in element:
            tag = _tag(child)
            if not tag or tag in _SILENT or _is_hidden(child):
                continue
            if tag in _REFUSED:
                remedy = _REFUSED[tag]
                self.faults.append(Fault("drawing", f"it holds <{tag}>, which is not read", remedy=remedy))
                continue
            self.number += 1
            try:
                inner = _through(matrix, child.get("transform", ""))
                self._draw(child, tag, inner)
            except (ValueError, IndexError, KeyError, TypeError) as problem:
                name = child.get("id", f"number {self.number}")
                self.faults.append(Fault(f"<{tag}> {name}", f"it cannot be read: {problem}"))
                continue
            self.walk(child, inner)

    def _draw(self, element: ElementTree.Element, tag: str, matrix: Matrix) -> None:
        pen = _Pen(matrix, self.chains)
        if tag == "path":
            parse_path(element.get("d", ""), pen)
        elif tag == "rect":
            _rectangle(element, pen)
        elif tag in ("circle", "ellipse"):
            _ellipse(element, tag, pen)
        elif tag in ("polygon", "polyline", "line"):
            _straight(element, tag, pen)
        pen.finish()


def _is_hidden(element: ElementTree.Element) -> bool:
    style = element.get("style", "").replace(" ", "")
    return (
        element.get("display") == "none"
        or "display:none" in style
        or element.get("visibility") == "hidden"
        or "visibility:hidden" in style
    )


def _number(element: ElementTree.Element, key: str, default: float | None = None) -> float:
    """A length in the drawing's own units."""
    text = element.get(key)
    if text is None:
        if default is None:
            raise ValueError(f"it has no {key}")
        return default
    match = _LENGTH.match(text)
    if match is None or match[2] not in ("", "px", *_UNITS):
        raise ValueError(f'{key}="{text}" is no length')
    return float(match[1]) * (_UNITS[match[2]] / _PX if match[2] in _UNITS else 1.0)


def _rectangle(element: ElementTree.Element, pen: "_Pen") -> None:
    x, y = _number(element, "x", 0.0), _number(element, "y", 0.0)
    w, h = _number(element, "width"), _number(element, "height")
    rx, ry = (_number(element, key, -1.0) for key in ("rx", "ry"))
    rx, ry = (rx if rx >= 0 else max(ry, 0.0)), (ry if ry >= 0 else max(rx, 0.0))
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    pen.moveTo((x + rx, y))
    corners = (
        ((x + w - rx, y), (x + w, y + ry)),
        ((x + w, y + h - ry), (x + w - rx, y + h)),
        ((x + rx, y + h), (x, y + h - ry)),
        ((x, y + ry), (x + rx, y)),
    )
    for before, after in corners:
        pen.lineTo(before)
        if rx > 0 and ry > 0:
            pen.arcTo(rx, ry, 0.0, False, True, after)
    pen.closePath()


def _ellipse(element: ElementTree.Element, tag: str, pen: "_Pen") -> None:
    cx, cy = _number(element, "cx", 0.0), _number(element, "cy", 0.0)
    rx, ry = (
        ((_number(element, "r"),) * 2)
        if tag == "circle"
        else (_number(element, "rx"), _number(element, "ry"))
    )
    if rx <= 0 or ry <= 0:
        return
    pen.moveTo((cx + rx, cy))
    pen.arcTo(rx, ry, 0.0, False, True, (cx - rx, cy))
    pen.arcTo(rx, ry, 0.0, False, True, (cx + rx, cy))
    pen.closePath()


def _straight(element: ElementTree.Element, tag: str, pen: "_Pen") -> None:
    if tag == "line":
        points = [(_number(element, f"x{k}", 0.0), _number(element, f"y{k}", 0.0)) for k in (1, 2)]
    else:
        words = [
            float(word)
            for word in re.findall(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?", element.get("points", ""))
        ]
        points = list(zip(words[::2], words[1::2], strict=True))
    if points:
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        if tag == "polygon":
            pen.closePath()


class _Pen:
    """Draws what the path reader tells it, in mm; the names of its verbs are the reader's."""

    def __init__(self, matrix: Matrix, chains: list[Chain]) -> None:
        self._matrix = matrix
        self._chains = chains
        self._points: list[Point2] = []
        self._at: Point2 = (0.0, 0.0)

    def _place(self, point: Point2) -> Point2:
        a, b, c, d, e, f = self._matrix
        return (a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f)

    def finish(self, *, closed: bool = False) -> None:
        """End the line that is being drawn."""
        if len(self._points) > 1:
            self._chains.append(Chain(tuple(self._points), closed))
        self._points = []

    def moveTo(self, point: Point2) -> None:  # noqa: N802  # the reader's name
        self.finish()
        self._points, self._at = [self._place(point)], point

    def lineTo(self, point: Point2) -> None:  # noqa: N802  # the reader's name
        self._points.append(self._place(point))
        self._at = point

    def curveTo(self, first: Point2, second: Point2, end: Point2) -> None:  # noqa: N802  # the reader's name
        a, b, c, d = (self._place(point) for point in (self._at, first, second, end))
        self._points += chords_of_cubic(a, b, c, d, CHORD_OFF_ARC)
        self._at = end

    def qCurveTo(self, middle: Point2, end: Point2) -> None:  # noqa: N802  # the reader's name
        near, far = (
            (p[0] + 2.0 / 3.0 * (middle[0] - p[0]), p[1] + 2.0 / 3.0 * (middle[1] - p[1]))
            for p in (self._at, end)
        )
        self.curveTo(near, far, end)

    def arcTo(  # noqa: N802  # the reader's name
        self, rx: float, ry: float, rotation: float, large: bool, sweep: bool, end: Point2
    ) -> None:
        a, b, c, d, _, _ = self._matrix
        grown = math.hypot(a, b, c, d)
        points = _arc(
            self._at, end, (abs(rx), abs(ry), math.radians(rotation)), (bool(large), bool(sweep)), grown
        )
        self._points += [self._place(point) for point in points]
        self._at = end

    def closePath(self) -> None:  # noqa: N802  # the reader's name
        self.finish(closed=True)

    def endPath(self) -> None:  # noqa: N802  # the reader's name
        self.finish()


def _arc(
    start: Point2, end: Point2, shape: tuple[float, float, float], flags: tuple[bool, bool], grown: float
) -> Iterator[Point2]:
    """Points along an elliptical arc after its first; ``grown`` is by how much a transform enlarges it at most."""
    rx, ry, turn = shape
    if rx == 0.0 or ry == 0.0 or start == end:
        yield end
        return
    cos, sin = math.cos(turn), math.sin(turn)
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cos * hx + sin * hy, cos * hy - sin * hx
    lack = (x / rx) ** 2 + (y / ry) ** 2
    if lack > 1.0:
        rx, ry = rx * math.sqrt(lack), ry * math.sqrt(lack)
    share = max(0.0, (rx * ry) ** 2 - (rx * y) ** 2 - (ry * x) ** 2) / ((rx * y) ** 2 + (ry * x) ** 2)
    root = math.sqrt(share) * (-1.0 if flags[0] == flags[1] else 1.0)
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    first = math.atan2((y - cy) / ry, (x - cx) / rx)
    sweep = math.atan2((-y - cy) / ry, (-x - cx) / rx) - first
    if flags[1] and sweep < 0.0:
        sweep += math.tau
    elif not flags[1] and sweep > 0.0:
        sweep -= math.tau
    middle = ((start[0] + end[0]) / 2 + cos * cx - sin * cy, (start[1] + end[1]) / 2 + sin * cx + cos * cy)
    step = 2.0 * math.acos(max(0.0, 1.0 - CHORD_OFF_ARC / max(max(rx, ry) * grown, CHORD_OFF_ARC)))
    count = max(2, math.ceil(abs(sweep) / step))
    for k in range(1, count):
        angle = first + sweep * k / count
        ex, ey = rx * math.cos(angle), ry * math.sin(angle)
        yield (middle[0] + cos * ex - sin * ey, middle[1] + sin * ex + cos * ey)
    yield end


_FUNCTION = re.compile(r"(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^)]*)\)")


def _through(outer: Matrix, text: str) -> Matrix:
    """What is drawn under a transform, seen from outside. ValueError for one that is not of the standard."""
    if _FUNCTION.sub("", text).strip(" ,\t\r\n"):
        raise ValueError(f'transform="{text}" is not understood')
    for name, inner in _FUNCTION.findall(text):
        outer = _times(outer, _function(name, [float(word) for word in re.split(r"[\s,]+", inner.strip())]))
    return outer


def _function(name: str, n: list[float]) -> Matrix:
    if name == "matrix" and len(n) == 6:
        return (n[0], n[1], n[2], n[3], n[4], n[5])
    if name == "translate" and len(n) in (1, 2):
        return (1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) == 2 else 0.0)
    if name == "scale" and len(n) in (1, 2):
        return (n[0], 0.0, 0.0, n[-1], 0.0, 0.0)
    if name == "rotate" and len(n) in (1, 3):
        c, s = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
        x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
        return (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
    if name in ("skewX", "skewY") and len(n) == 1:
        t = math.tan(math.radians(n[0]))
        return (1.0, 0.0, t, 1.0, 0.0, 0.0) if name == "skewX" else (1.0, t, 0.0, 1.0, 0.0, 0.0)
    raise ValueError(f"{name} takes another number of figures than {len(n)}")


def _times(m: Matrix, k: Matrix) -> Matrix:
    return (
        m[0] * k[0] + m[2] * k[1],
        m[1] * k[0] + m[3] * k[1],
        m[0] * k[2] + m[2] * k[3],
        m[1] * k[2] + m[3] * k[3],
        m[0] * k[4] + m[2] * k[5] + m[4],
        m[1] * k[4] + m[3] * k[5] + m[5],
    )
