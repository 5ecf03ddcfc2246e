"""Labels: what they say of a piece, and codes that a reader of its own opens."""

import io
from functools import cache

import pypdfium2
import pytest
import zxingcpp

from pitchline.job.load import load_text
from pitchline.job.new import demo_text, starting_text
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.qr import qr_modules, qr_path
from pitchline.kit.drawing.sheet import TitleBlock
from pitchline.kit.units import Unit
from pitchline.making.labels import Label, anchor_of, code_of, labels_of
from pitchline.making.labels_sheet import label_sheet
from pitchline.parts.explode import grouped
from pitchline.sheets.drawings import Style
from pitchline.sheets.labels_chapter import all_labels
from pitchline.sheets.labels_pages import label_pages
from pitchline.sheets.parts_page import parts_page
from pitchline.solids.scene import scene_of
from pitchline.story import Solved, solve

ADDRESS = "https://server.example/jobs/stair/"


@cache
def solved(name: str = "mm") -> Solved:
    return solve(load_text(starting_text(name, Unit.MM)))


def labels(address: str | None = None, name: str = "mm") -> list[Label]:
    whole = solved(name).balustrades[0]
    scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    return list(labels_of(whole.id, [("main", scene.parts)], address))


def test_every_piece_has_a_label_or_lies_in_a_labelled_bag() -> None:
    whole = solved().balustrades[0]
    found = labels()
    assert sum(label.quantity for label in found) == len(whole.parts)
    assert len({label.anchor for label in found}) == len(found)
    bags = [label for label in found if label.quantity > 1]
    assert {label.what for label in bags} == {"rail fillets", "base fillets"}


def test_bays_of_one_leg_all_have_their_labels() -> None:
    """The demo has a newel between: two bays over one flight, told apart by their names."""
    job = solve(load_text(demo_text().replace('rack = "rack.toml"', "")))
    placed = {whole.id: scene_of(whole.edges, [leg.parts for leg in whole.legs]) for whole in job.balustrades}
    found = list(all_labels(job, placed))
    assert sum(label.quantity for label in found) == sum(len(whole.parts) for whole in job.balustrades)
    assert {"bay 1", "bay 2"} <= {label.where.split(",")[0] for label in found}


def test_the_arrow_points_to_the_end_that_is_higher() -> None:
    whole = solved().balustrades[0]
    scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    parts = {part.place: part for part in scene.parts}
    for label in labels():
        if label.quantity == 1 and label.up:
            part = parts[label.place]
            ends = {
                "start end": part.frame.origin[2],
                "far end": part.frame.to_world((part.length, 0.0, 0.0))[2],
            }
            assert label.up == max(ends, key=lambda end: ends[end])


def test_a_code_leads_to_the_piece_on_its_page() -> None:
    whole = solved().balustrades[0]
    page = parts_page("t", False, [(whole.id, "A", grouped(whole.parts))], {}, str)
    for label in labels(ADDRESS):
        assert label.code == f"{ADDRESS}parts.html#{label.anchor}"
        assert page.count(f'id="{label.anchor}"') == 1
    assert code_of("A", "U07", None) == "A U07"
    assert anchor_of("A 1/2", "U07") == "A-1-2-U07"


@pytest.mark.parametrize("address", [None, ADDRESS])
def test_codes_are_read_back_from_the_printed_sheet(address: str | None) -> None:
    """Read by a library of its own (ZXing) from the sheet at 200 dots an inch."""
    found = labels(address)
    style = Style(Unit.MM, "A3", True)
    pages = tuple(label_pages(found, label_sheet("A4"), style))
    document = pypdfium2.PdfDocument(io.BytesIO(compile_pdf(pages, TitleBlock("t", "Labels"))))
    assert len(document) == len(pages) == -(-len(found) // 24)
    read: set[str] = set()
    for page in document:
        assert page.get_size() == pytest.approx((595.3, 841.9), abs=0.5)
        picture = page.render(scale=200 / 72).to_pil()
        read |= {code.text for code in zxingcpp.read_barcodes(picture)}
    assert read == {label.code for label in found}


def test_a_code_fills_its_square_but_for_the_light_border() -> None:
    """Four modules are left light on each side (ISO/IEC 18004)."""
    count = len(qr_modules("A U07"))
    path = qr_path("A U07", 0.0, 0.0, float(count + 8))
    starts = [tuple(map(float, piece.split("h")[0].split())) for piece in path.split("M")[1:]]
    assert min(x for x, _ in starts) == min(y for _, y in starts) == 4.0
