"""Full-size templates on ordinary paper: a drawing cut into tiles that are printed, trimmed and joined.

Tiles are named by column letter and row number from the upper left. Neighbours overlap, and a cross stands at every
corner where tiles meet, so that joined sheets can be laid exactly over each other against a light.
"""

from dataclasses import replace
from math import ceil
from pathlib import Path

from pitchline.kit.drawing.author import extents, lay_out
from pitchline.kit.drawing.lettering import FONT_FOLDER
from pitchline.kit.drawing.marks import Anchor, Bounds, Drawing, Label, Mark, Pen, Point, Stroke
from pitchline.kit.drawing.scales import name_of_scale
from pitchline.kit.drawing.sheet import CAPTION_HEIGHT, DrawingPage, Paper, PlacedView, drawing_field
from pitchline.kit.drawing.svg import write_svg

OVERLAP = 10.0
"""How far neighbouring tiles overlap, paper mm."""
CROSS = 8.0
"""Length of the arms of a joining cross, paper mm."""


def tile_pages(
    drawing: Drawing,
    paper: Paper = "A4",
    landscape: bool = False,
    notes: tuple[str, ...] = (),
    fonts: Path = FONT_FOLDER,
) -> tuple[DrawingPage, ...]:
    """The drawing at its own scale (1 for full size) on as many sheets as it needs, row by row from the upper left.

    OutputError if the letters are missing; ValueError for a drawing without marks.
    """
    field = drawing_field(paper, landscape, notes, fonts)
    width, height = field.width, field.height - CAPTION_HEIGHT
    box = extents(lay_out(drawing, fonts)).grown(2.0 * drawing.scale)
    step_x, step_y = (width - OVERLAP) * drawing.scale, (height - OVERLAP) * drawing.scale
    lap = OVERLAP * drawing.scale
    columns, rows = max(1, ceil((box.width - lap) / step_x)), max(1, ceil((box.height - lap) / step_y))
    corners = tuple(
        (box.left + column * step_x + lap / 2, box.top - row * step_y - lap / 2)
        for row in range(rows + 1)
        for column in range(columns + 1)
    )
    joined = replace(drawing, marks=drawing.marks + joining_marks(corners, drawing.scale))
    pages = []
    for row in range(rows):
        for column in range(columns):
            left, top = box.left + column * step_x, box.top - row * step_y
            window = Bounds(left, top - height * drawing.scale, left + width * drawing.scale, top)
            name = tile_name(column, row)
            view = PlacedView(
                write_svg(joined, window, fonts),
                field.x,
                field.y,
                f"tile {name} of {columns} x {rows}",
                name_of_scale(drawing.scale),
            )
            pages.append(DrawingPage(f"{drawing.title}, {name}", (view,), notes, paper, landscape))
    return tuple(pages)


def tile_name(column: int, row: int) -> str:
    """``A1`` is the upper left tile, ``B1`` its right neighbour; after Z comes AA."""
    letters = ""
    count = column + 1
    while count:
        count, index = divmod(count - 1, 26)
        letters = chr(ord("A") + index) + letters
    return f"{letters}{row + 1}"


def joining_marks(corners: tuple[Point, ...], scale: float) -> tuple[Mark, ...]:
    """A numbered cross at every place where neighbouring sheets are laid over each other."""
    arm = CROSS / 2 * scale
    marks: list[Mark] = []
    for number, (x, y) in enumerate(corners, start=1):
        marks.append(Stroke(((x - arm, y), (x + arm, y)), Pen.THIN))
        marks.append(Stroke(((x, y - arm), (x, y + arm)), Pen.THIN))
        place = (x + 0.6 * scale, y + 0.6 * scale)
        marks.append(Label(place, str(number), 1.8, Anchor.BASE_LEFT, 0.0, Pen.GHOST))
    return tuple(marks)
