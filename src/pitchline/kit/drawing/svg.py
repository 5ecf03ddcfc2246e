"""Ink -> SVG of exact paper size.

Letters are written twice over: as outlines for screens, which need no font there, and as live text for the
printed sheets, where the sheet compiler has the font and the text stays searchable.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import groupby
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from pitchline.kit.drawing.author import extents, in_drawing_order, lay_out
from pitchline.kit.drawing.ink import (
    Arc,
    Blot,
    Dot,
    Hatching,
    Ink,
    Line,
    Patch,
    RoundPatch,
    Writing,
    ink_bounds,
)
from pitchline.kit.drawing.lettering import (
    FONT_FAMILY,
    FONT_FOLDER,
    Face,
    clean_text,
    letter_outline,
    open_face,
)
from pitchline.kit.drawing.marks import Bounds, Drawing, Pen, Point, Points

MARGIN = 2.0
"""Room round the ink on every side of a picture, paper mm."""
HALO = 0.45
"""Width of the white edge that keeps letters readable on lines, paper mm on each side."""

SCREEN_FONT = "sans-serif"
"""Asked for letters that the drawing font lacks, on screens."""
PRINT_FONT = "Libertinus Serif"
"""And on printed sheets: the typesetter's own font with Greek, Cyrillic and Hebrew letters."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as SVG, of exact size on paper.

    ``extents`` is the model box shown (margin not counted) and ``scale`` its denominator, both None for a
    picture without a scale. ``live`` is the same picture with searchable text, used on printed sheets; where it
    is empty ``svg`` is used there too.
    """

    svg: str
    width_mm: float
    height_mm: float
    extents: Bounds | None = None
    scale: float | None = None
    live: str = ""

    def on_paper(self, point: Point) -> Point:
        """Where a model point lies in the picture, in paper mm from its upper left corner (y down)."""
        if self.extents is None or self.scale is None:
            raise ValueError("a picture without a scale has no model points")
        margin_x = (self.width_mm - self.extents.width / self.scale) / 2
        margin_y = (self.height_mm - self.extents.height / self.scale) / 2
        return (
            margin_x + (point[0] - self.extents.left) / self.scale,
            margin_y + (self.extents.top - point[1]) / self.scale,
        )


def write_svg(drawing: Drawing, window: Bounds | None = None, fonts: Path = FONT_FOLDER) -> Picture:
    """The drawing as a picture: all of it with a margin of 2 mm, or the ``window`` (model mm) without a margin.

    OutputError if the letters are missing; ValueError if there are no marks.
    """
    inked = lay_out(drawing, fonts)
    box = extents(inked) if window is None else window
    margin = MARGIN if window is None else 0.0
    ink = in_drawing_order(inked)
    if window is not None:
        ink = tuple(one for one in ink if ink_bounds(one).meets(window))
    paper = _Paper(box, drawing.scale, margin)
    face = open_face(fonts)
    outlines = _Outlines(_identifier(drawing.id), face, fonts)
    return Picture(
        svg=_document(drawing, paper, ink, outlines.write, outlines.definitions(ink)),
        width_mm=paper.width,
        height_mm=paper.height,
        extents=box,
        scale=drawing.scale,
        live=_document(drawing, paper, ink, partial(_live_text, face=face, other=PRINT_FONT), ""),
    )


def picture_size(drawing: Drawing, fonts: Path = FONT_FOLDER) -> tuple[float, float]:
    """Width and height in paper mm that the whole drawing takes as a picture, its margin included.

    Errors as for `write_svg`.
    """
    paper = _Paper(extents(lay_out(drawing, fonts)), drawing.scale, MARGIN)
    return paper.width, paper.height


@dataclass(frozen=True, slots=True)
class _Paper:
    """From model mm to the picture's mm, y down."""

    box: Bounds
    scale: float
    margin: float

    @property
    def width(self) -> float:
        return self.box.width / self.scale + 2 * self.margin

    @property
    def height(self) -> float:
        return self.box.height / self.scale + 2 * self.margin

    def at(self, point: Point) -> str:
        x = (point[0] - self.box.left) / self.scale + self.margin
        y = (self.box.top - point[1]) / self.scale + self.margin
        return f"{number(x)} {number(y)}"

    def attributes(self, point: Point, names: tuple[str, str]) -> str:
        x, y = self.at(point).split()
        return f'{names[0]}="{x}" {names[1]}="{y}"'

    def length(self, model: float) -> str:
        return number(model / self.scale)

    def path(self, points: Points, closed: bool) -> str:
        first, *others = (self.at(point) for point in points)
        return f"M{first}" + (f"L{' '.join(others)}" if others else "") + ("Z" if closed else "")


def number(value: float) -> str:
    """A length for SVG: a ten thousandth of a millimetre, no needless zeros."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _document(
    drawing: Drawing,
    paper: _Paper,
    ink: Iterable[Ink],
    write: Callable[[Writing, _Paper], str],
    definitions: str,
) -> str:
    width, height = number(paper.width), number(paper.height)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" fill="none" stroke-linecap="round" stroke-linejoin="round">'
        f"<title>{escape(clean_text(drawing.title))}</title>"
    )
    return head + definitions + "".join(_groups(ink, paper, write)) + "</svg>"


def _groups(ink: Iterable[Ink], paper: _Paper, write: Callable[[Writing, _Paper], str]) -> Iterator[str]:
    """Shapes of one look after another share a group; the order on paper stays."""
    for look, members in groupby(ink, key=_look):
        body = "".join(_shape(one, paper, write) for one in members)
        if body:
            yield f"<g {look}>{body}</g>"


def _look(ink: Ink) -> str:
    match ink:
        case Line() | Arc():
            return _stroke(ink.pen)
        case Hatching():
            return (
                f'stroke="{ink.pen.colour}" stroke-width="{number(ink.pen.weight_mm)}" stroke-linecap="butt"'
            )
        case Patch() | RoundPatch():
            return f'fill="{ink.fill.colour}" fill-rule="evenodd"'
        case Blot() | Dot() | Writing():
            return f'fill="{ink.pen.colour}"'


def _stroke(pen: Pen) -> str:
    look = f'stroke="{pen.colour}" stroke-width="{number(pen.weight_mm)}"'
    if pen.dashes_mm:
        look += (
            f' stroke-dasharray="{" ".join(number(dash) for dash in pen.dashes_mm)}" stroke-linecap="butt"'
        )
    return look


def _shape(ink: Ink, paper: _Paper, write: Callable[[Writing, _Paper], str]) -> str:
    match ink:
        case Writing():
            return write(ink, paper) if ink.text.strip() else ""
        case Arc():
            return _arc(ink, paper)
        case Dot() | RoundPatch():
            return f'<circle {paper.attributes(ink.centre, ("cx", "cy"))} r="{paper.length(ink.radius)}"/>'
        case Line():
            path = paper.path(ink.points, ink.closed)
        case Blot():
            path = paper.path(ink.points, True)
        case Patch():
            path = "".join(paper.path(ring, True) for ring in ink.rings)
        case Hatching():
            path = "".join(paper.path(line, False) for line in ink.lines)
    return f'<path d="{path}"/>' if path else ""


def _arc(arc: Arc, paper: _Paper) -> str:
    radius = paper.length(arc.radius)
    if arc.sweep_deg >= 360.0:
        return f'<circle {paper.attributes(arc.centre, ("cx", "cy"))} r="{radius}"/>'
    start, end = paper.at(arc.at(arc.start_deg)), paper.at(arc.at(arc.start_deg + arc.sweep_deg))
    large = 1 if arc.sweep_deg > 180.0 else 0
    return f'<path d="M{start}A{radius} {radius} 0 {large} 0 {end}"/>'


def _live_text(writing: Writing, paper: _Paper, face: Face, other: str) -> str:
    """A text element; letters that the drawing font lacks are asked from the ``other`` font."""
    size = number(writing.height / paper.scale * face.units_per_em / face.cap_height)
    body = "".join(
        escape(run) if known else f'<tspan font-family="{other}">{escape(run)}</tspan>'
        for known, run in face.runs(writing.text)
    )
    return (
        f'<text transform="translate({paper.at(writing.start)}) rotate({number(-writing.angle_deg)})" '
        f'font-family="{FONT_FAMILY}" font-size="{size}" stroke="#ffffff" stroke-width="{number(2 * HALO)}" '
        f'paint-order="stroke" xml:space="preserve">{body}</text>'
    )


@dataclass(frozen=True, slots=True)
class _Outlines:
    """Writes texts as outlines that are defined once a letter; names carry the drawing's id, so that two
    pictures in one page do not take each other's letters."""

    prefix: str
    face: Face
    fonts: Path

    def definitions(self, ink: Iterable[Ink]) -> str:
        letters = sorted({letter for one in ink if isinstance(one, Writing) for letter in one.text})
        paths = [
            f'<path id="{self._name(letter)}" d="{outline}"/>'
            for letter in letters
            if (outline := letter_outline(letter, self.fonts))
        ]
        return f"<defs>{''.join(paths)}</defs>" if paths else ""

    def write(self, writing: Writing, paper: _Paper) -> str:
        if not self.face.covers(writing.text):
            return _live_text(writing, paper, self.face, SCREEN_FONT)
        size = writing.height / paper.scale / self.face.cap_height
        turn = number(-writing.angle_deg)
        transform = f"translate({paper.at(writing.start)}) rotate({turn}) scale({size:.6f} {-size:.6f})"
        uses = "".join(
            f'<use href="#{self._name(letter)}" x="{number(place)}"/>'
            for letter, place in zip(writing.text, self.face.places(writing.text), strict=False)
            if letter_outline(letter, self.fonts)
        )
        halo = f'<g stroke="#ffffff" stroke-width="{number(2 * HALO / size)}">{uses}</g>'
        return f'<g transform="{transform}" aria-label={quoteattr(writing.text)}>{halo}{uses}</g>'

    def _name(self, letter: str) -> str:
        return f"{self.prefix}-{ord(letter):x}"


def _identifier(name: str) -> str:
    """A drawing's id made fit for an XML name."""
    return "d" + "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in name)
