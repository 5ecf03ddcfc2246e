"""Safe names, CSV, workbooks, and a folder that appears whole or not at all."""

import csv
import io
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.errors import OutputError
from pitchline.kit.naming import safe_name
from pitchline.sheets.files import MARKER, csv_text, whole_folder, workbook, write_all
from pitchline.sheets.tables import Listing, Quantity


def show(mm: float) -> str:
    return f"{mm:.1f}"


LISTING = Listing(
    "A-list",
    "A list",
    ("Mark", "Length", "Angle"),
    (("=1+1", Quantity(12.345), Quantity(-39.7, "degrees")), ('@x, "y"', Quantity(-3.0), "+44 square")),
)


def test_csv_cells_never_start_a_formula_and_keep_their_text() -> None:
    rows = list(csv.reader(io.StringIO(csv_text(LISTING, show))))
    assert rows[0] == ["Mark", "Length", "Angle"]
    assert rows[1] == ["'=1+1", "12.3", "-39.70"]
    assert rows[2] == ['\'@x, "y"', "-3.0", "'+44 square"]


def test_workbook_keeps_text_as_text_and_numbers_as_numbers() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook([LISTING, LISTING], show, inches=False)))
    assert len(book.sheetnames) == 2
    cells = next(book.worksheets[0].iter_rows(min_row=2, max_row=2))
    assert cells[0].value == "=1+1"
    assert cells[0].data_type == "s"
    assert cells[1].value == pytest.approx(12.345, abs=1e-12)


def test_workbook_in_inches_shows_lengths_as_text() -> None:
    book = openpyxl.load_workbook(
        io.BytesIO(workbook([LISTING], lambda mm: f"{mm / 25.4:.2f} in", inches=True))
    )
    assert book.worksheets[0]["B2"].value == "0.49 in"


def test_same_lists_give_the_same_bytes() -> None:
    assert workbook([LISTING], show, inches=False) == workbook([LISTING], show, inches=False)


@given(st.text(max_size=120))
def test_any_text_gives_a_safe_file_name(text: str) -> None:
    name = safe_name(text)
    assert 1 <= len(name) <= 61
    assert not set(name) & set('/\\:*?"<>|\0 ')
    assert not name.startswith(".")
    assert name.split(".")[0].lower() not in {"con", "nul", "com1", "lpt9"}


def test_a_folder_appears_only_when_all_is_written(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    with whole_folder(target) as beside:
        write_all(beside, [("a/b.txt", b"1"), (MARKER, b"{}")])
        assert not target.exists()
    assert (target / "a" / "b.txt").read_bytes() == b"1"
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_what_stops_half_way_leaves_the_earlier_pack_and_nothing_else(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    with whole_folder(target) as beside:
        write_all(beside, [("old.txt", b"old"), (MARKER, b"{}")])
    with pytest.raises(KeyboardInterrupt), whole_folder(target) as beside:
        write_all(beside, [("new.txt", b"new")])
        raise KeyboardInterrupt
    assert sorted(path.name for path in target.iterdir()) == ["old.txt", MARKER]
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_an_earlier_pack_is_replaced_whole(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    for name in ("first.txt", "second.txt"):
        with whole_folder(target) as beside:
            write_all(beside, [(name, b""), (MARKER, b"{}")])
    assert sorted(path.name for path in target.iterdir()) == [MARKER, "second.txt"]


def test_a_folder_of_somebody_elses_is_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "photos"
    target.mkdir()
    (target / "cat.jpg").write_bytes(b"meow")
    with pytest.raises(OutputError, match="not a pack"), whole_folder(target):
        pytest.fail("it must refuse before anything is written")
    assert [path.name for path in target.iterdir()] == ["cat.jpg"]
