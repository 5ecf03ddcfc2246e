"""Real sizes on paper, read back from the PDF by an independent reader.

Sources: ISO 5455 (1979) scales; ISO 216 paper sizes; ISO 5456-2 first and third angle projection (all from
memory). The reader counts one line weight on each side of a path to its bounds.
"""

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from pitchline.kit.drawing.marks import Drawing, Label, Pen, Stroke
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import DrawingPage, Paper, PlacedView, TitleBlock, paper_size
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.drawing.tiles import OVERLAP, tile_pages

POINT = 25.4 / 72.0
BLOCK = TitleBlock("Invented job", "a balustrade", "R. Example", "2026-03-01")


@dataclass(frozen=True, slots=True)
class Path:
    """A path of a page in mm, from the left of its sheet or form; a stroke width wider on each side."""

    left: float
    width: float
    height: float
    colour: str


def paths(pdf: bytes, page: int = 0) -> Iterator[Path]:
    document = pypdfium2.PdfDocument(pdf)
    for item in document[page].get_objects(max_depth=12):
        if item.type != pdfium.FPDF_PAGEOBJ_PATH:
            continue
        edges = [ctypes.c_float() for _ in range(4)]
        pdfium.FPDFPageObj_GetBounds(item, *edges)
        left, bottom, right, top = (edge.value * POINT for edge in edges)
        across, up = total_matrix(item)
        yield Path(left, (right - left) * across, (top - bottom) * up, stroke_colour(item))


def total_matrix(item: Any) -> tuple[float, float]:
    """Scale in x and y of the forms that an object is nested in."""
    x = y = 1.0
    holder = item.container
    while holder is not None:
        matrix = holder.get_matrix()
        x, y = x * abs(matrix.a), y * abs(matrix.d)
        holder = holder.container
    return x, y


def stroke_colour(item: Any) -> str:
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    pdfium.FPDFPageObj_GetStrokeColor(item, red, green, blue, alpha)
    return f"#{red.value:02x}{green.value:02x}{blue.value:02x}"


def sheet(drawing: Drawing, paper: Paper = "A3") -> DrawingPage:
    return DrawingPage("Elevation", (PlacedView(write_svg(drawing), 20.0, 20.0, "view", "1:20"),), (), paper)


@pytest.mark.parametrize(
    ("real", "scale", "on_paper"), [(4160.0, 20.0, 208.0), (2438.4, 16.0, 152.4), (120.0, 1.0, 120.0)]
)
def test_a_line_has_its_exact_length_on_the_printed_sheet(real: float, scale: float, on_paper: float) -> None:
    # 8 ft at 3/4" to the foot is 6 inches, 152.4 mm
    drawing = Drawing("d", "t", scale, (Stroke(((0.0, 0.0), (real, 0.0)), Pen.ACCENT),))
    (line,) = [
        path for path in paths(compile_pdf((sheet(drawing),), BLOCK)) if path.colour == Pen.ACCENT.colour
    ]
    assert line.width - 2 * Pen.ACCENT.weight_mm == pytest.approx(on_paper, abs=0.01)


@pytest.mark.parametrize("paper", ["A3", "A4", "Letter", "Tabloid"])
@pytest.mark.parametrize("landscape", [True, False])
def test_sheets_have_their_paper_size(paper: Paper, landscape: bool) -> None:
    pdf = compile_pdf((DrawingPage("empty", (), (), paper, landscape),), BLOCK)
    width, height = pypdfium2.PdfDocument(pdf)[0].get_size()
    inches = {"Letter": (8.5, 11.0), "Tabloid": (11.0, 17.0)}
    upright = tuple(25.4 * side for side in inches[paper]) if paper in inches else paper_size(paper, False)
    expected = upright[::-1] if landscape else upright
    assert (width * POINT, height * POINT) == pytest.approx(expected, abs=0.01)


def test_a3_is_two_a4_side_by_side() -> None:
    # ISO 216: halving a sheet gives the next size
    assert paper_size("A3", True) == (2 * paper_size("A4", False)[0], paper_size("A4", False)[1])


def test_tiles_of_a_template_are_full_size_and_cover_it_all() -> None:
    marks = (Stroke(((0.0, 0.0), (700.0, 0.0)), Pen.ACCENT), Label((350.0, 90.0), "rail end"))
    pages = tile_pages(Drawing("rail", "Rail end", 1.0, marks), "A4")
    pictures = [page.views[0].picture for page in pages]
    assert all(picture.scale == 1.0 for picture in pictures)
    boxes = [picture.extents for picture in pictures if picture.extents is not None]
    assert min(box.left for box in boxes) < 0.0
    assert max(box.right for box in boxes) > 700.0
    for left, right in pairwise(boxes):
        assert left.right - right.left == pytest.approx(OVERLAP)
    pdf = compile_pdf(pages, BLOCK)
    assert len(pypdfium2.PdfDocument(pdf)) == len(pages) == 5


@pytest.mark.parametrize("projection", ["first", "third"])
def test_the_projection_symbol_stands_the_right_way_round(projection: Literal["first", "third"]) -> None:
    # ISO 5456-2: the small end looks to the left, and the view from the left, with both circles, stands on the right
    # in first angle and on the left in third angle
    block = TitleBlock("Invented job", "a balustrade", projection=projection)
    pdf = compile_pdf((DrawingPage("x", ()),), block)
    assert f"{projection} angle" in page_text(pdf)
    weight = 0.25
    drawn = [(path, path.width - 2 * weight, path.height - 2 * weight) for path in paths(pdf)]
    (circle,) = [
        path for path, w, h in drawn if w == pytest.approx(6.0, abs=0.3) and h == pytest.approx(w, abs=0.05)
    ]
    (cone,) = [
        path for path, w, h in drawn if w == pytest.approx(9.0, abs=0.3) and h == pytest.approx(6.0, abs=0.8)
    ]
    assert (circle.left > cone.left) == (projection == "first")


def page_text(pdf: bytes, page: int = 0) -> str:
    return str(pypdfium2.PdfDocument(pdf)[page].get_textpage().get_text_range())
