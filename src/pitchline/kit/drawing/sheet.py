"""What goes on sheets of paper: pages of views, of tables and of text, and the title block they share.

Pure data; ``pages`` turns it into PDF. Lengths in paper mm.
"""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pitchline.kit.drawing.lettering import FONT_FOLDER, Face, open_face, text_lines
from pitchline.kit.drawing.marks import LETTER_HEIGHT
from pitchline.kit.drawing.svg import Picture
from pitchline.kit.tolerances import SAME_POINT

Paper = Literal["A3", "A4", "Letter", "Tabloid"]
Side = Literal["left", "right", "centre"]

PAPER_SIZES: dict[Paper, tuple[float, float]] = {
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}
"""Width and height upright: ISO 216 and ASME Y14.1 sizes A and B (from memory)."""

FILING = 20.0
"""Filing margin on the left (ISO 5457, from memory)."""
EDGE = 10.0
"""Border on the other sides (ISO 5457, from memory)."""
TITLE_WIDTH = 180.0
"""Width of the title block (ISO 7200, from memory)."""
TITLE_HEIGHT = 36.0
STRIP_HEIGHT = 11.0
"""Height of the title strip on pages of tables and text."""
CAPTION_HEIGHT = 14.0
"""Room below a view for its caption, scale and scale bar."""
PADDING = 5.0
"""Room between the border and what stands inside it."""
NOTE_LINE = 4.0
"""Distance of the lines of notes."""
NOTE_GAP = 0.5
"""And what is added between two notes."""
NOTE_NUMBER = 6.0
"""Room for the number of a note."""
NOTE_GUTTER = 8.0
"""Room between two columns of notes."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What all sheets of a set say about themselves; the sheet numbers come by themselves."""

    title: str
    subject: str
    drawn_by: str = ""
    date: str = ""
    units: Literal["mm", "in"] = "mm"
    projection: Literal["first", "third"] = "first"
    notes: str = "Print at 100 %, check the scale bar."


@dataclass(frozen=True, slots=True)
class PlacedView:
    """A picture on a drawing page, its upper left corner at (x, y) from that of the border."""

    picture: Picture
    x_mm: float
    y_mm: float
    caption: str = ""
    scale_text: str = ""


@dataclass(frozen=True, slots=True)
class DrawingPage:
    """A sheet of views with numbered notes."""

    title: str
    views: tuple[PlacedView, ...]
    notes: tuple[str, ...] = ()
    paper: Paper = "A3"
    landscape: bool = True


@dataclass(frozen=True, slots=True)
class Table:
    """A table; cells are texts or small pictures.

    ``widths`` one a column: mm, 0 for as wide as its words, None for a share of the rest; empty for 0 everywhere.
    ``align`` one a column, empty for left everywhere. Rows counted in ``accents`` are written in the colour of
    attention.
    """

    headings: tuple[str, ...]
    rows: tuple[tuple[str | Picture, ...], ...]
    align: tuple[Side, ...] = ()
    widths: tuple[float | None, ...] = ()
    caption: str = ""
    accents: frozenset[int] = frozenset()

    def __post_init__(self) -> None:
        columns = len(self.headings)
        for name, given in (("align", self.align), ("widths", self.widths)):
            if given and len(given) != columns:
                raise ValueError(f"table {self.caption!r}: {columns} columns but {len(given)} in {name}")
        for index, row in enumerate(self.rows):
            if len(row) != columns:
                raise ValueError(
                    f"table {self.caption!r}: row {index} has {len(row)} cells for {columns} columns"
                )


@dataclass(frozen=True, slots=True)
class TablePage:
    """Tables that run on over as many sheets as they need, headings repeated."""

    title: str
    tables: tuple[Table, ...]
    intro: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    paper: Paper = "A4"
    landscape: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page of text: paragraphs, numbered points, a picture, tables, in this order."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    picture: Picture | None = None
    caption: str = ""
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True, slots=True)
class TextPage:
    """Text that runs on over as many sheets as it needs."""

    title: str
    sections: tuple[Section, ...]
    paper: Paper = "A4"
    landscape: bool = False


@dataclass(frozen=True, slots=True)
class Card:
    """One step of a piece of work: a number, a title with a quiet line below it, words, facts, a picture beside them.

    ``facts`` are pairs of a name and what is said of it; a ``loud`` card is marked in the colour of attention.
    """

    number: str
    title: str
    quiet: str = ""
    paragraphs: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    picture: Picture | None = None
    loud: bool = False


@dataclass(frozen=True, slots=True)
class CardPage:
    """Cards below each other that run on over as many sheets as they need; none is broken."""

    title: str
    cards: tuple[Card, ...]
    intro: tuple[str, ...] = ()
    paper: Paper = "A4"
    landscape: bool = False


@dataclass(frozen=True, slots=True)
class PlainPage:
    """A sheet with a picture and nothing else: no border, no title; its upper left corner from that of the sheet."""

    title: str
    picture: Picture
    x_mm: float = 0.0
    y_mm: float = 0.0
    paper: Paper = "A4"
    landscape: bool = False


Page = DrawingPage | TablePage | TextPage | CardPage | PlainPage


@dataclass(frozen=True, slots=True)
class NoteColumn:
    """A column of numbered notes, its upper left corner from that of the border; ``first`` is its first number."""

    x: float
    y: float
    width: float
    first: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """The room for views on a drawing page from the border's upper left corner, and where its notes stand."""

    x: float
    y: float
    width: float
    height: float
    notes: tuple[NoteColumn, ...]


def paper_size(paper: Paper, landscape: bool) -> tuple[float, float]:
    """Width and height of a sheet."""
    width, height = PAPER_SIZES[paper]
    return (height, width) if landscape else (width, height)


def drawing_field(
    paper: Paper, landscape: bool, notes: tuple[str, ...] = (), fonts: Path = FONT_FOLDER
) -> Field:
    """Where views and notes may stand: notes left of the title block on wide sheets, above it on narrow ones.

    OutputError if the letters, needed for measuring the notes, are missing.
    """
    sheet_width, sheet_height = paper_size(paper, landscape)
    width, height = sheet_width - FILING - EDGE, sheet_height - 2 * EDGE
    beside = width - TITLE_WIDTH >= 80.0
    room = (width - TITLE_WIDTH if beside else width) - 2 * PADDING
    count = 2 if room > 150.0 and len(notes) > 1 else 1
    column_width = (room - NOTE_GUTTER * (count - 1)) / count
    heights = [_note_height(note, column_width, open_face(fonts)) for note in notes]
    split = _balanced(heights) if count == 2 else len(notes)
    needed = max(sum(heights[:split]), sum(heights[split:])) + PADDING if notes else 0.0
    foot = max(TITLE_HEIGHT, needed) if beside else TITLE_HEIGHT + needed
    top = height - foot + PADDING / 2
    columns = (
        NoteColumn(PADDING, top, column_width, 1, notes[:split]),
        NoteColumn(PADDING + column_width + NOTE_GUTTER, top, column_width, split + 1, notes[split:]),
    )
    return Field(
        x=PADDING,
        y=PADDING,
        width=width - 2 * PADDING,
        height=height - foot - 2 * PADDING,
        notes=tuple(column for column in columns if column.notes),
    )


def _note_height(note: str, column_width: float, face: Face) -> float:
    """Height of a note, a little too much where words break badly."""
    room = column_width - NOTE_NUMBER
    lines = sum(max(1, math.ceil(1.1 * face.width(line, LETTER_HEIGHT) / room)) for line in text_lines(note))
    return NOTE_LINE * lines + NOTE_GAP


def _balanced(heights: list[float]) -> int:
    """How many notes go into the first of two columns so that the higher one is as low as possible."""
    return min(range(1, len(heights) + 1), key=lambda count: max(sum(heights[:count]), sum(heights[count:])))


def place_in_rows(
    views: tuple[tuple[Picture, str, str], ...], field: Field, gap: float = 8.0
) -> tuple[PlacedView, ...]:
    """Views (picture, caption, scale text) set in rows from the left, each row below the one before.

    ValueError names the first view that finds no room.
    """
    placed = []
    x, y, row_height = field.x, field.y, 0.0
    for picture, caption, scale_text in views:
        if x > field.x and x + picture.width_mm > field.x + field.width + SAME_POINT:
            x, y, row_height = field.x, y + row_height + gap, 0.0
        needed = picture.height_mm + CAPTION_HEIGHT
        over = max(x + picture.width_mm - field.x - field.width, y + needed - field.y - field.height)
        if over > SAME_POINT:
            raise ValueError(
                f"the view {caption!r} ({picture.width_mm:.0f} x {needed:.0f} mm) finds no room on its sheet"
            )
        placed.append(PlacedView(picture, x, y, caption, scale_text))
        x += picture.width_mm + gap
        row_height = max(row_height, needed)
    return tuple(placed)
