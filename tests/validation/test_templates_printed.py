"""Full-size templates read back from the PDF by independent readers: bars, one part's end, a corrected printer.

Paths are read with pypdfium2, the viewer's wishes with pypdf. Paper sizes and the entry that keeps a viewer
from scaling are of ISO 216 and ISO 32000-1, 12.2 (from memory). Sizes of a piece's end are plain trigonometry.
"""

import ctypes
import io
import json
import math
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from tests.validation.test_drawing_paper import POINT, stroke_colour, total_matrix

from pitchline.design.model import BarRole
from pitchline.kit.drawing.full_size import Print, measuring_page, packed_pages
from pitchline.kit.drawing.marks import Drawing, Pen, Stroke
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import TitleBlock
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.units import Unit, read_length
from pitchline.making.jigs_boxes import mitre_box
from pitchline.making.jigs_infill import spacer
from pitchline.making.shop import Printer
from pitchline.making.templates import templates_of
from pitchline.parts.explode import Group
from pitchline.parts.part import Part, Role
from pitchline.sheets.drawings import Style
from pitchline.sheets.templates_pages import print_of, template_pages

BLOCK = TitleBlock("Invented job", "templates")
STYLE = Style(Unit.MM, "A3", first_angle=True)
CASES = {
    case["id"]: case
    for case in json.loads((Path(__file__).parent / "data" / "trade_checks.json").read_text(encoding="utf-8"))
}
Size = tuple[float, float]


def red_lines(pdf: bytes, page: int) -> list[Size]:
    """How far every red line of a page runs to the right and upwards, mm, from the ends that stand in the file."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    for item in document[page].get_objects(max_depth=12):
        if item.type != pdfium.FPDF_PAGEOBJ_PATH or stroke_colour(item) != Pen.ACCENT.colour:
            continue
        ends = [
            _point(pdfium.FPDFPath_GetPathSegment(item, k))
            for k in range(pdfium.FPDFPath_CountSegments(item))
        ]
        across, up = total_matrix(item)
        own = item.get_matrix()
        dx, dy = ends[-1][0] - ends[0][0], ends[-1][1] - ends[0][1]
        run = own.a * dx + own.c * dy, own.b * dx + own.d * dy
        found.append((abs(run[0]) * across * POINT, abs(run[1]) * up * POINT))
    return found


def _point(segment: Any) -> Size:
    x, y = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPathSegment_GetPoint(segment, x, y)
    return x.value, y.value


def upright_with(reading: SawReading) -> Group:
    """A baluster of 40 x 30 whose far end is cut so."""
    start = (start_plane((0.0, 0.0, 0.0), SawReading(0.0, 0.0)),)
    finish = (end_plane((800.0, 0.0, 0.0), reading),)
    part = Part("U1", "U1", Role.UPRIGHT, "oak-european", 900.0, 40.0, 30.0, start, finish, (), Frame())
    return Group("U1", part, ("U1",))


def printed(printer: Printer, reading: SawReading, style: Style = STYLE) -> bytes:
    found = {"Design A": templates_of([upright_with(reading)], ())}
    return compile_pdf(tuple(template_pages("Templates", found, printer, style)), BLOCK)


def test_the_bars_measure_100_mm_in_both_directions_on_every_page_but_the_first() -> None:
    pdf = printed(Printer("A4"), SawReading(40.0, 0.0))
    pages = len(pypdfium2.PdfDocument(pdf))
    assert pages == 3
    for page in range(1, pages):
        lines = red_lines(pdf, page)
        assert any(
            w == pytest.approx(100.0, abs=0.02) and h == pytest.approx(0.0, abs=0.02) for w, h in lines
        )
        assert any(
            h == pytest.approx(100.0, abs=0.02) and w == pytest.approx(0.0, abs=0.02) for w, h in lines
        )


def test_four_inches_where_the_job_is_in_inches() -> None:
    pdf = printed(Printer("Letter"), SawReading(40.0, 0.0), Style(Unit.INCH, "Tabloid", first_angle=False))
    lines = red_lines(pdf, 1)
    assert any(w == pytest.approx(101.6, abs=0.02) for w, _ in lines)
    assert any(h == pytest.approx(101.6, abs=0.02) for _, h in lines)
    width, height = pypdfium2.PdfDocument(pdf)[1].get_size()
    assert (width / 72, height / 72) == pytest.approx((8.5, 11.0), abs=0.001)


@pytest.mark.parametrize("mitre", [15.0, 40.19, 55.0])
def test_the_red_line_of_an_end_is_as_long_as_the_cut(mitre: float) -> None:
    """Across a face of 40 the line runs 40 tan(mitre) along the piece; on the edge of 30 it runs square."""
    pdf = printed(Printer("A4"), SawReading(mitre, 0.0))
    along = 40.0 * math.tan(math.radians(mitre))
    lines = red_lines(pdf, 2)
    assert any(w == pytest.approx(along, abs=0.01) and h == pytest.approx(40.0, abs=0.01) for w, h in lines)
    assert any(w == pytest.approx(0.0, abs=0.01) and h == pytest.approx(30.0, abs=0.01) for w, h in lines)


@pytest.mark.parametrize(("across", "along"), [(0.99, 1.012), (1.005, 0.995)])
def test_on_a_printer_that_is_off_everything_comes_out_true(across: float, along: float) -> None:
    """What the file says, times what the printer makes of it, is what it must be: bars and template alike."""
    pdf = printed(Printer("A4", across, along), SawReading(40.0, 0.0))
    run = 40.0 * math.tan(math.radians(40.0))
    lines = [(w * across, h * along) for w, h in red_lines(pdf, 2)]
    assert any(w == pytest.approx(100.0, abs=0.02) and h == pytest.approx(0.0, abs=0.02) for w, h in lines)
    assert any(h == pytest.approx(100.0, abs=0.02) and w == pytest.approx(0.0, abs=0.02) for w, h in lines)
    assert any(w == pytest.approx(run, abs=0.01) and h == pytest.approx(40.0, abs=0.01) for w, h in lines)
    uncorrected = red_lines(pdf, 1)
    assert any(w == pytest.approx(100.0, abs=0.02) for w, _ in uncorrected)
    assert any(h == pytest.approx(100.0, abs=0.02) for _, h in uncorrected)


def test_a_measured_printer_measured_again_needs_no_further_correction() -> None:
    printer = Printer("A4", 0.99, 1.012)
    made = print_of(printer, STYLE)
    assert made.across * printer.across == pytest.approx(1.0)
    assert made.along * printer.along == pytest.approx(1.0)


def test_the_viewer_is_asked_not_to_scale() -> None:
    pdf = printed(Printer("A3"), SawReading(40.0, 0.0))
    root: Any = pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_the_page_to_measure_the_printer_by_is_never_corrected() -> None:
    pdf = compile_pdf((measuring_page(Print("A4", 1.05, 0.95), ("A note",)),), BLOCK)
    lines = red_lines(pdf, 0)
    assert any(w == pytest.approx(100.0, abs=0.02) for w, _ in lines)
    assert any(h == pytest.approx(100.0, abs=0.02) for _, h in lines)


def test_a_line_of_150_mm_is_150_mm_long() -> None:
    drawing = Drawing("line", "A line", 1.0, (Stroke(((0.0, 0.0), (150.0, 0.0)), Pen.ACCENT),))
    pdf = compile_pdf(packed_pages([drawing], "Lines", Print()), BLOCK)
    assert any(w == pytest.approx(150.0, abs=0.02) for w, _ in red_lines(pdf, 0))


def test_a_spacer_on_the_rake_of_seven_in_ten() -> None:
    """Hatfield, American House Carpenter, art. 296: rise 7, tread 10, two to a tread: half the rake, 6.103 in."""
    pitch = math.degrees(math.atan2(7.0, 10.0))
    (view,) = spacer(6.103 * 25.4, pitch, pitch, 18, BarRole.BASE).views
    (ax, _), (bx, _), (_, top), (dx, dy) = view.outlines[0]
    assert (bx - ax) * math.cos(math.radians(pitch)) == pytest.approx(5.0 * 25.4, abs=0.01)
    assert (dx - ax) / dy == pytest.approx(7.0 / 10.0)
    assert top == dy


def tongue(angle: int) -> float:
    """What the Building-Trades Pocketbook prints for 12 in on the blade, in inches."""
    return read_length(f"{CASES[f'square-{angle}']['expected']['printed']} in", Unit.MM) / 25.4


@pytest.mark.parametrize("angle", [5, 15, 30, 45, 60])
def test_a_mitre_box_agrees_with_the_steel_square(angle: int) -> None:
    """Building-Trades Pocketbook, 'Laying out angles', to its 1/32 in: across 12 in a slot runs so far along."""
    (plan, _) = mitre_box(SawReading(float(angle), 0.0), 60.0, 40.0, ("A",), 0.6).views
    slot = plan.marks[0]
    along, across = abs(slot.b[0] - slot.a[0]), abs(slot.b[1] - slot.a[1])
    assert 12.0 * along / across == pytest.approx(tongue(angle), abs=1 / 32)
