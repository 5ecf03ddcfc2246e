from pathlib import Path

import pytest

from pitchline.job.load import load_bytes, load_job
from pitchline.job.new import starting_text
from pitchline.job.read import DEEPEST_NESTING, LARGEST_FILE
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import Unit

GOOD = starting_text("mm", Unit.MM)


def only_fault(data: bytes) -> Fault:
    with pytest.raises(InputError) as caught:
        load_bytes(data, "job.toml")
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (GOOD.encode("utf-16"), "UTF-16"),
        (GOOD.encode("utf-16-le"), "binary"),
        (b"PK\x03\x04\x00\x00", "binary"),
        (b"", "empty"),
        (b" \n\t\n", "empty"),
        (b"#" * (LARGEST_FILE + 1), "too large"),
        (b"a = " + b"[" * 5000 + b"]" * 5000, "nested too deeply"),
        (b"a = [" + b"{b = " * 200, "nested too deeply"),
        (b".".join([b"a"] * 3000) + b" = 1", "nested too deeply"),
        (b"[" + b" . ".join([b"'a'"] * 3000) + b"]", "nested too deeply"),
        (b"a = " + b"9" * 10_000, "too long"),
    ],
)
def test_bytes_that_are_no_job_are_refused_in_words(data: bytes, words: str) -> None:
    assert words in only_fault(data).sentence()


def test_the_depth_that_is_allowed_is_far_more_than_a_job_needs() -> None:
    assert DEEPEST_NESTING > 5


def test_a_letter_in_another_encoding_is_told_at_its_line() -> None:
    fault = only_fault(GOOD.replace("oak", "\xe9k", 1).encode("latin-1"))
    assert "0xe9" in fault.sentence()
    assert fault.line == GOOD[: GOOD.index("oak")].count("\n") + 1


@pytest.mark.parametrize("data", [b"\xef\xbb\xbf" + GOOD.encode(), GOOD.replace("\n", "\r\n").encode()])
def test_a_byte_order_mark_and_dos_line_ends_do_no_harm(data: bytes) -> None:
    assert load_bytes(data, "job.toml") == load_bytes(GOOD.encode(), "job.toml")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("width = 860", "width = 860,5", "decimals with a point"),
        ("width = 860", "width = 34 5/16", "fraction in quotes"),
        ("width = 860", "width = 860 mm", "with its unit in quotes"),
        ("width = 860", 'width = 34"', "with its unit in quotes"),
        ("width = 860", "width = 0860", "nought in front"),
        ('place = "england-dwelling"', "place = “england-dwelling”", "straight quotes"),
        ('place = "england-dwelling"', "place = england-dwelling", "straight double quotes"),
        ('place = "england-dwelling"', 'place: "england-dwelling"', "put = between"),
        ("risers = 13", "risers =", "value after the ="),
        ("187.5, 190", "187.5, -, 190", 'in quotes: "-"'),
        ('id = "main"', 'id = "main', "not closed on its line"),
        ("width = 860", "width = 860\nwidth = 870", "twice"),
    ],
)
def test_slips_against_toml_are_told_at_their_line_with_what_to_do(old: str, new: str, words: str) -> None:
    assert old in GOOD
    fault = only_fault(GOOD.replace(old, new, 1).encode())
    assert words in fault.sentence()
    last = new.rsplit("\n", maxsplit=1)[-1]
    spoilt = GOOD.replace(old, new, 1)
    assert fault.line == spoilt[: spoilt.index(last)].count("\n") + 1


def test_a_table_that_stands_twice_and_a_list_left_open() -> None:
    assert "twice" in only_fault((GOOD + "\n[job]\n").encode()).sentence()
    assert "not closed" in only_fault(GOOD.replace("188.5]", "188.5").encode()).sentence()


def test_a_file_that_is_not_there_or_is_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        load_job(tmp_path / "none.toml")
    with pytest.raises(InputError, match="this is a folder"):
        load_job(tmp_path)
    with pytest.raises(InputError, match="cannot be read"):
        load_job(tmp_path / "a\0b.toml")


def test_a_rule_file_is_looked_for_beside_the_job(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(GOOD.replace('currency = "GBP"', 'rules_file = "own.toml"'), encoding="utf-8")
    with pytest.raises(InputError, match="there is no such rule file"):
        load_job(path)
    (tmp_path / "own.toml").write_text("", encoding="utf-8")
    assert load_job(path).rules_file == tmp_path / "own.toml"
    assert load_job(path).path == path
