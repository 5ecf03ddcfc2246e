"""The finish, the labels and the pack's address of a job: what is told, what is usual, what is refused."""

import pytest

from pitchline.catalogue.finishes import load_finishes
from pitchline.job.load import load_text
from pitchline.job.model_finish import FinishWord
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.making.finishing_brief import FinishBrief, finish_plan
from pitchline.making.labels_sheet import label_sheet

TEXT = starting_text("mm", Unit.MM)


def told(tables: str) -> str:
    return TEXT.replace("[[flights]]", f"{tables}\n[[flights]]", 1)


def faults(tables: str) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        load_text(told(tables))
    assert all(fault.line for fault in caught.value.faults)
    return [(fault.where, fault.sentence()) for fault in caught.value.faults]


def test_the_words_are_the_finishes_of_the_catalogue_and_none() -> None:
    assert {word.value for word in FinishWord} == {*load_finishes().finishes, "none"}


def test_a_job_that_says_nothing_is_varnished_and_labelled_as_usual() -> None:
    job = load_text(TEXT)
    assert (job.finish, job.labels, job.pack_address) == (FinishBrief(), label_sheet("A4"), None)
    assert load_text(starting_text("in", Unit.INCH)).labels == label_sheet("Letter")


def test_what_can_be_told() -> None:
    job = load_text(
        told(
            '[finish]\nkind = "oil"\ncoats = 4\ncoats_before_fitting = 0\n[shop.labels]\nacross = 2\nleft = 10\n'
        )
    )
    assert job.finish == FinishBrief("oil", 4, 0)
    assert job.labels == label_sheet("A4", across=2, left=10.0)
    assert load_text(told('[finish]\nkind = "none"\n')).finish == FinishBrief(None)


def test_a_plan_leaves_the_last_coat_for_the_stair_unless_told() -> None:
    usual = finish_plan(FinishBrief("paint"))
    assert usual is not None and (usual.coats, usual.at_bench, usual.in_place) == (3, 2, 1)
    own = finish_plan(FinishBrief("paint", 2, 0))
    assert own is not None and (own.coats, own.at_bench, own.in_place) == (2, 0, 2)
    assert finish_plan(FinishBrief(None)) is None


def test_the_usual_sheets_hold_their_labels() -> None:
    for sheet in (label_sheet("A4"), label_sheet("Letter")):
        assert sheet.count == 24 and sheet.over_right <= 0.0 and sheet.over_bottom <= 0.0
        x, y = sheet.corner(sheet.count - 1)
        assert x + sheet.width == pytest.approx(sheet.size[0] - sheet.left)
        assert y + sheet.height == pytest.approx(sheet.size[1] - sheet.top)


@pytest.mark.parametrize(
    ("tables", "where", "words"),
    [
        ('[finish]\nkind = "tar"\n', "finish.kind", "tar"),
        ('[finish]\nkind = "none"\ncoats = 2\n', "finish.coats", "bare wood"),
        ("[finish]\ncoats = 2\ncoats_before_fitting = 3\n", "finish.coats_before_fitting", "0 to 2"),
        ("[finish]\ncoats_before_fitting = 4\n", "finish.coats_before_fitting", "0 to 3"),
        ("[finish]\nshade = 1\n", "finish.shade", "shade"),
        ("[shop.labels]\nwidth = 90\n", "shop.labels.width", "right edge"),
        ("[shop.labels]\ndown = 9\n", "shop.labels", "lower edge"),
    ],
)
def test_what_is_refused(tables: str, where: str, words: str) -> None:
    found = faults(tables)
    assert [place for place, _ in found] == [where]
    assert words in found[0][1]


@pytest.mark.parametrize("address", ["my pack", "https://", "ftp://a.example/x", "https://a.example/x#y"])
def test_an_address_that_no_browser_opens(address: str) -> None:
    text = TEXT.replace("[job]\n", f'[job]\npack_address = "{address}"\n', 1)
    with pytest.raises(InputError) as caught:
        load_text(text)
    assert [fault.where for fault in caught.value.faults] == ["job.pack_address"]


def test_an_address() -> None:
    text = TEXT.replace("[job]\n", '[job]\npack_address = "https://a.example/stair/"\n', 1)
    assert load_text(text).pack_address == "https://a.example/stair/"
