"""Whole packs read back with general libraries: page sizes, true scale, DXF, CSV, workbook, complete tables.

Paper sizes: ISO 216 (A3 420 x 297, A4 297 x 210) and ASME Y14.1 (size A 11 x 8.5 in, size B 17 x 11 in), from
memory. A PDF point is 1/72 in (ISO 32000-1, 8.3.2.3, from memory).
"""

import csv
import html
import io
import json
import math
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import openpyxl
import pypdfium2
import pytest
from numpy.typing import NDArray
from tests.packs import designs, example_text, groups_of, packed, solved, style_of

from pitchline.job.load import load_text
from pitchline.kit.drawing.marks import Pen, Stroke
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import EDGE, FILING, TitleBlock
from pitchline.kit.drawing.svg import write_svg
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.kit.naming import safe_name
from pitchline.sheets.bevelcards import distinct_angles
from pitchline.sheets.drawings import angle_sheets
from pitchline.sheets.elevation import elevation
from pitchline.sheets.sections import rail_section
from pitchline.story import solve

POINT = 25.4 / 72
PAPER = {
    ("mm", "drawings"): {(420.0, 297.0)},
    ("mm", "lists"): {(210.0, 297.0), (297.0, 210.0)},
    ("in", "drawings"): {(17 * 25.4, 11 * 25.4)},
    ("in", "lists"): {(8.5 * 25.4, 11 * 25.4), (11 * 25.4, 8.5 * 25.4)},
}


@pytest.fixture(scope="module", params=["mm", "in"])
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    units = str(request.param)
    return units, packed(solved(units), tmp_path_factory.mktemp("pack") / units)


def pages_text(path: Path) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path)]


def rows_of(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


def test_pages_have_the_size_of_their_paper(pack: tuple[str, Path]) -> None:
    units, folder = pack
    for name, kind in (("drawings", "drawings"), ("lists", "lists"), ("full-size-angles", "lists")):
        for page in pypdfium2.PdfDocument(folder / f"{name}.pdf"):
            width, height = (side * POINT for side in page.get_size())
            assert any(abs(width - w) < 0.1 and abs(height - h) < 0.1 for w, h in PAPER[units, kind]), (
                name,
                width,
                height,
            )


def test_viewers_are_asked_not_to_scale_the_print(pack: tuple[str, Path]) -> None:
    for name in ("drawings.pdf", "lists.pdf", "rules.pdf", "full-size-angles.pdf"):
        data = (pack[1] / name).read_bytes()
        assert b"/PrintScaling/None" in data
        assert len(pypdfium2.PdfDocument(data)) >= 1


def test_every_row_of_every_list_is_on_the_printed_lists(pack: tuple[str, Path]) -> None:
    """Mark by mark: the sheets hold each row's first cells, the lists themselves or the sheets of their subject."""

    def words_of(*names: str) -> str:
        return re.sub(r"\s+", " ", " ".join(text for name in names for text in pages_text(pack[1] / name)))

    lists, subjects = words_of("lists.pdf"), words_of("making.pdf", "work.pdf", "strength.pdf").casefold()
    for path in sorted((pack[1] / "lists").glob("*.csv")):
        elsewhere = path.stem.endswith(ON_SHEETS_OF_THEIR_OWN) and path.stem != "main-steps"
        rows = rows_of(path)[1:]
        for row in rows[:MOST_USED] if path.stem.endswith("-utilisations") else rows:
            for cell in row[:2]:
                told = re.sub(r"\s+", " ", cell.removeprefix("'"))[:40]
                assert told.casefold() in subjects if elsewhere else told in lists, (path.name, cell)


MOST_USED = 10
"""The sheet on strength shows the pieces used most and leaves the rest to the workbook, as it says."""

ON_SHEETS_OF_THEIR_OWN = (
    "-saw-settings",
    "-jigs",
    "-steps",
    "-finish-areas",
    "-utilisations",
    "-movements",
    "-bases",
)
"""How the lists end that are printed with their subject and not in ``lists.pdf``."""


def test_the_cut_list_is_that_of_the_parts(pack: tuple[str, Path]) -> None:
    units, folder = pack
    show = style_of(solved(units)).list_show
    for design in designs(units):
        rows = rows_of(folder / "lists" / f"{design.design.id}-cut-list.csv")
        groups = {group.mark: group for group in groups_of(design)}
        assert [row[0] for row in rows[1:]] == list(groups)
        assert sum(int(row[1]) for row in rows[1:]) == len(design.parts)
        for row in rows[1:]:
            part = groups[row[0]].part
            assert row[4] == show(part.length)
            assert (row[6], row[7], row[8]) == tuple(
                map(show, (part.width, part.thickness, part.blank_length))
            )


def test_the_workbook_holds_lengths_as_numbers(pack: tuple[str, Path]) -> None:
    units, folder = pack
    book = openpyxl.load_workbook(folder / "lists.xlsx")
    assert len(book.sheetnames) == len(list((folder / "lists").glob("*.csv")))
    if units == "in":
        return
    for design in designs(units):
        sheet = book[f"{design.design.id}-cut-list"]
        for group, row in zip(groups_of(design), sheet.iter_rows(min_row=2), strict=True):
            assert row[0].value == group.mark
            assert row[4].value == pytest.approx(group.part.length, abs=1e-9)
            assert row[6].value == pytest.approx(group.part.width, abs=1e-9)


def read_dxf(path: Path) -> Any:
    """A drawing file as the DXF library reads it, untyped."""
    library: Any = ezdxf
    return library.readfile(path)


def meeting(plane: Plane, line: Line) -> float:
    """u where a plane n.(x - p) = 0 cuts z = z0 + slope u at y = 0."""
    (nx, ny, nz), (px, py, pz) = plane.normal, plane.point
    return (nx * px + ny * py + nz * (pz - line.z0)) / (nx + nz * line.slope)


def test_the_handrail_is_true_in_the_dxf(pack: tuple[str, Path]) -> None:
    """Model space is full size: the longest edge on the cut layer has the rail's own length and slope."""
    units, folder = pack
    for design in designs(units):
        document = read_dxf(folder / "drawings" / f"{design.design.id}-elevation.dxf")
        rail = design.design.handrail
        ends = [meeting(plane, rail.top) for plane in (rail.start, rail.finish)]
        length = (ends[1] - ends[0]) / math.cos(rail.top.angle)
        edges = [
            (math.dist(a[:2], b[:2]), math.degrees(math.atan2(abs(b[1] - a[1]), abs(b[0] - a[0]))))
            for line in document.modelspace().query("LWPOLYLINE")
            for a, b in pairwise([*line.get_points(), line.get_points()[0]])
        ]
        near = [angle for size, angle in edges if abs(size - length) < 1e-6]
        assert near == pytest.approx([math.degrees(rail.top.angle)] * len(near), abs=1e-6)
        assert near
        assert not document.audit().errors


def test_sections_are_full_size_in_the_dxf(pack: tuple[str, Path]) -> None:
    units, folder = pack
    for design in designs(units):
        for name, bar in (("rail", design.design.handrail), ("base", design.design.base_rail)):
            path = folder / "drawings" / f"{design.design.id}-section-{name}.dxf"
            space = read_dxf(path).modelspace()
            points = [
                p
                for line in space.query('LWPOLYLINE[layer=="Cut edges"]')
                for p in line.get_points("xy")
                if -1e-9 <= p[1] <= bar.depth + 1e-9
            ]
            xs, ys = zip(*points, strict=True)
            assert max(xs) - min(xs) == pytest.approx(bar.width, abs=1e-6)
            assert max(ys) - min(ys) == pytest.approx(bar.depth, abs=1e-6)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_pictures_are_true_to_scale_on_paper(units: str) -> None:
    """A known level length, nosing 1 to the last, in the picture's own mm."""
    design = designs(units)[0].design
    drawing = elevation(design, style_of(solved(units)).show, 20.0)
    picture = write_svg(drawing)
    sign = 1.0 if design.side.value == "right" else -1.0
    first, last = design.flight.nosings[0], design.flight.nosings[-1]
    a, b = (picture.on_paper((sign * u, z)) for u, z in (first, last))
    assert abs(b[0] - a[0]) == pytest.approx((last[0] - first[0]) / 20.0, abs=1e-9)
    assert a[1] - b[1] == pytest.approx((last[1] - first[1]) / 20.0, abs=1e-9)
    width, box = re.findall(r'width="([\d.]+)mm"|viewBox="0 0 ([\d.]+) ', picture.svg)[:2]
    assert float(width[0]) == float(box[1]) == pytest.approx(picture.width_mm, abs=1e-3)
    section = write_svg(rail_section(design, str, 1.0))
    assert section.width_mm > design.handrail.width


PIXELS = 12
"""Pixels to the millimetre when a card is measured."""


def pixels_of(pdf: bytes) -> NDArray[np.uint8]:
    """The first page in shades of grey, rows from the top."""
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=PIXELS * POINT, grayscale=True).to_pil()
    return np.asarray(picture, dtype=np.uint8)


def test_printed_cards_show_the_true_angles() -> None:
    """The cut's line on the printed card, measured on the rendered page, against the angle of the parts."""
    design = designs("mm")[0]
    style = style_of(solved("mm"))
    sheet = next(iter(angle_sheets(design.design.id, groups_of(design), style)))
    pdf = compile_pdf((sheet.page,), TitleBlock("a", "b"))
    page = pixels_of(pdf)
    view, drawn = sheet.page.views[0], sheet.drawn[0]
    cuts = [mark for mark in drawn.drawing.marks if isinstance(mark, Stroke) and mark.pen is Pen.CUT]
    angles = distinct_angles(groups_of(design))
    for (angle, _), cut in zip(angles, cuts, strict=False):
        ends = [drawn.picture.on_paper(point) for point in cut.points]
        placed = [(FILING + view.x_mm + x, EDGE + view.y_mm + y) for x, y in ends]
        assert measured_angle(page, placed[0], placed[1]) == pytest.approx(angle, abs=0.1)


def measured_angle(page: NDArray[np.uint8], base: tuple[float, float], top: tuple[float, float]) -> float:
    """Angle from square of the dark line near two points of the page (mm), from many rows of pixels."""
    rows, places = [], []
    for share in np.linspace(0.72, 0.97, 60):
        x, y = (a + share * (b - a) for a, b in zip(base, top, strict=True))
        row = page[round(y * PIXELS), round((x - 1.2) * PIXELS) : round((x + 1.2) * PIXELS)]
        dark = np.flatnonzero(row < 100)
        if dark.size:
            rows.append(round(y * PIXELS))
            places.append(round((x - 1.2) * PIXELS) + dark.mean())
    slope = np.polyfit(rows, places, 1)[0]
    return math.degrees(math.atan(-float(slope)))


def test_the_scale_bar_of_the_cards_is_true() -> None:
    """The full-size scale bar's dark fields, measured on the rendered page."""
    design = designs("mm")[0]
    sheet = next(iter(angle_sheets(design.design.id, groups_of(design), style_of(solved("mm")))))
    pixels = pixels_of(compile_pdf((sheet.page,), TitleBlock("a", "b")))
    view = sheet.page.views[0]
    left, top = FILING + view.x_mm + 2.0, EDGE + view.y_mm + view.picture.height_mm + 2.5
    strip = pixels[round((top + 4.5) * PIXELS) : round((top + 9.0) * PIXELS), round((left - 1) * PIXELS) :]
    dark = (strip[:, : 90 * PIXELS] < 140).sum(axis=1)
    row = strip[int(np.flatnonzero(dark > 30 * PIXELS)[0]) + PIXELS // 2]
    edges = np.flatnonzero(np.diff((row < 140).astype(int)))
    assert (edges[1] - edges[0]) / PIXELS == pytest.approx(20.0, abs=0.3)


HOSTILE = '<b>&amp; #set page(); \\\\$x$ "quoted" \\u0007 {{7*7}} \\u202egnp.exe =1+1 %%d ^C ' + "x" * 30


def test_hostile_texts_stay_texts_on_every_sheet(tmp_path: Path) -> None:
    text = example_text("mm")
    title = f'"{HOSTILE.replace(chr(34), chr(92) + chr(34)).replace(chr(92) + "u0007", "")}"'
    title = title.replace("\\u202e", "")
    text = re.sub(r"^title = .*$", lambda _: f"title = {title}", text, flags=re.MULTILINE)
    folder = packed(solve(load_text(text)), tmp_path / "pack")
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert "<b>" not in page
    assert html.escape("<b>&amp; #set page();", quote=False) in page
    for path in sorted((folder / "lists").glob("*.csv")):
        for row in rows_of(path):
            assert not any(cell.startswith(("=", "+", "-", "@")) and not _number(cell) for cell in row)
    assert "#set page()" in re.sub(r"\s+", " ", " ".join(pages_text(folder / "drawings.pdf")))
    assert "#set page()" in re.sub(r"\s+", " ", " ".join(pages_text(folder / "lists.pdf")))


def _number(cell: str) -> bool:
    return re.fullmatch(r"[-+]?\d+(\.\d+)?", cell) is not None


def test_the_front_page_names_every_file_once_and_loads_nothing_from_outside(pack: tuple[str, Path]) -> None:
    _, folder = pack
    page = (folder / "index.html").read_text(encoding="utf-8")
    marker = json.loads((folder / "pack.json").read_text(encoding="utf-8"))
    names = [name for name in marker["files"] if name != "index.html"]
    lists = re.sub(r'<div class="pictures">.*?</div>', "", page, flags=re.DOTALL)
    linked = re.findall(r'href="([^"]+)"', lists)
    assert sorted(linked) == sorted(names)
    assert all((folder / name).is_file() for name in names)
    assert "http" not in page.replace("http-equiv", "")
    assert all(name == "/".join(map(safe_name, name.split("/"))) for name in names)


def _luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def test_words_of_the_front_page_stand_out_in_light_and_dark(pack: tuple[str, Path]) -> None:
    """Contrast of at least 4.5 : 1, WCAG 2.1 success criterion 1.4.3 (level AA)."""
    page = (pack[1] / "index.html").read_text(encoding="utf-8")
    roots = re.findall(r":root \{([^}]*)\}", page)
    assert len(roots) == 2
    for root in roots:
        colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", root))
        for name in ("ink", "quiet", "loud"):
            light, dark = sorted((_luminance(colours[name]), _luminance(colours["paper"])), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 4.5
