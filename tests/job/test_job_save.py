import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.job.positions import Path as Place
from pitchline.job.save import drop_value, save_text, set_value
from pitchline.kit.errors import InputError, OutputError
from pitchline.kit.units import Unit

MM = starting_text("mm", Unit.MM)


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [(a, b) for a, b in zip(old, new, strict=True) if a != b]


@pytest.mark.parametrize(
    ("place", "value", "old", "new"),
    [
        (("flights", 0, "rises", "values", 3), 192.25, "187, 191.5,", "187, 192.25,"),
        (("flights", 0, "readings", 4, "value"), 1184.0, "value = 1183.5", "value = 1184.0"),
        (("flights", 0, "string", "margins", 0), "58 mm", '["-",', '["58 mm",'),
        (("flights", 0, "posts", 0, "lean_along", "offset"), 6, "offset = 5,", "offset = 6,"),
        (("designs", 0, "handrail", "width"), 65, "width = 62", "width = 65"),
        (("designs", 1, "infill", "width"), 41.5, "width = 40", "width = 41.5"),
        (("job", "title"), 'a "fine" stair', "Invented example: oak", 'a \\"fine\\" stair'),
    ],
)
def test_one_value_changes_and_every_other_byte_stays(
    place: Place, value: str | float, old: str, new: str
) -> None:
    after = set_value(MM, place, value)
    ((was, now),) = changed_lines(MM, after)
    assert old in was
    assert new in now
    load_text(after)


def test_a_key_that_was_left_out_is_added_to_its_table() -> None:
    after = set_value(MM, ("designs", 0, "handrail", "height"), 930)
    assert load_text(after).designs[0].rail.height == 930
    added = [line for line in after.split("\n") if line not in MM.split("\n")]
    assert added == ["height = 930"]
    assert [line for line in after.split("\n") if line != "height = 930"] == MM.split("\n")


def test_a_key_that_is_dropped_takes_only_its_own_line_along() -> None:
    added = set_value(MM, ("designs", 0, "handrail", "height"), 930)
    assert drop_value(added, ("designs", 0, "handrail", "height")) == MM
    after = drop_value(MM, ("job", "currency"))
    assert after == MM.replace('currency = "GBP"\n', "")
    assert load_text(after).currency is None
    inside = drop_value(MM, ("flights", 0, "readings", 0, "value"))
    ((was, now),) = changed_lines(MM, inside)
    assert "value = 1180.5" in was
    assert "value" not in now


@pytest.mark.parametrize(
    "place", [("job", "paper"), ("designs", 0, "handrail"), ("flights", 0, "rises", "values", 1)]
)
def test_only_a_key_that_stands_can_be_dropped(place: Place) -> None:
    with pytest.raises(InputError, match="no place for this value"):
        drop_value(MM, place)


def test_the_line_ends_of_the_file_stay() -> None:
    dos = MM.replace("\n", "\r\n")
    after = set_value(dos, ("designs", 0, "handrail", "width"), 65)
    assert after == dos.replace("width = 62", "width = 65", 1)


@pytest.mark.parametrize(
    "place",
    [
        ("flights", 7, "rises", "values", 3),
        ("flights", 0, "rises", "values", 99),
        ("flights", 0, "rises", "values", -1),
        ("flights", 0, "paint", "coats"),
        ("flights", 0, "rises"),
        ("designs",),
        ("job", 0),
        ("job", "title", "more"),
        ("flights", 0, "readings", 2),
    ],
)
def test_a_value_without_a_place_is_refused(place: Place) -> None:
    with pytest.raises(InputError, match="no place for this value"):
        set_value(MM, place, 1)


def test_a_text_that_is_not_toml_is_refused() -> None:
    with pytest.raises(InputError, match="not TOML"):
        set_value("a = = 1", ("a",), 1)
    with pytest.raises(ValueError, match="needs a place"):
        set_value(MM, (), 1)


@given(
    st.integers(0, 12),
    st.floats(50, 400, allow_nan=False).map(lambda x: round(x, 3)),
    st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=40),
)
def test_what_is_written_is_read_again(step: int, rise: float, title: str) -> None:
    text = set_value(MM, ("flights", 0, "rises", "values", step), rise)
    text = set_value(text, ("job", "title"), title)
    job = load_text(text)
    assert job.flights[0].readings[step].value == rise
    assert job.title == title
    back = set_value(
        text, ("flights", 0, "rises", "values", step), load_text(MM).flights[0].readings[step].value
    )
    assert load_text(set_value(back, ("job", "title"), load_text(MM).title)) == load_text(MM)


def test_a_file_is_replaced_in_one_step(tmp_path: Path) -> None:
    path = tmp_path / "stair.toml"
    save_text(path, "a = 1\r\n")
    assert path.read_bytes() == b"a = 1\r\n"
    path.chmod(0o640)
    save_text(path, "b = 2\n")
    assert path.read_text(encoding="utf-8") == "b = 2\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [entry.name for entry in tmp_path.iterdir()] == ["stair.toml"]


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    target, link = tmp_path / "real.toml", tmp_path / "link.toml"
    target.write_text("a = 1\n", encoding="utf-8")
    link.symlink_to(target)
    save_text(link, "a = 2\n")
    assert link.is_symlink()
    assert target.read_text(encoding="utf-8") == "a = 2\n"


def test_nothing_half_written_is_left_when_the_disk_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "stair.toml"
    save_text(path, "a = 1\n")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        save_text(path, "a = 2\n")
    assert path.read_text(encoding="utf-8") == "a = 1\n"
    assert [entry.name for entry in tmp_path.iterdir()] == ["stair.toml"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        save_text(tmp_path / "none" / "stair.toml", "a = 1\n")
