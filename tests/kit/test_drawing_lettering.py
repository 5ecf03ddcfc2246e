from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.drawing.lettering import (
    FONT_FILE,
    FONT_FOLDER,
    clean_text,
    letter_outline,
    open_face,
    text_lines,
)
from pitchline.kit.errors import OutputError


def test_width_follows_height() -> None:
    face = open_face()
    assert face.width("1160 mm", 5.0) == pytest.approx(2 * face.width("1160 mm", 2.5))
    assert face.width("", 2.5) == 0.0


def test_a_text_is_as_wide_as_its_letters_where_they_are_not_kerned() -> None:
    face = open_face()
    letters = "8888"
    assert face.width(letters, face.cap_height) == pytest.approx(4 * face.advances["8"])


def test_kerned_pairs_stand_nearer() -> None:
    face = open_face()
    assert face.kerning, "the font has kerning"
    (left, right), by = min(face.kerning.items(), key=lambda pair: pair[1])
    both = face.width(left + right, face.cap_height)
    assert both == pytest.approx(face.advances[left] + face.advances[right] + by)


def test_the_letters_a_workshop_needs_are_there() -> None:
    face = open_face()
    assert face.covers("0123456789 .,-+/\"'°±×Øø½¼¾ABCxyz()%#éüñçß")
    assert not face.covers("θ")
    assert face.runs("a θ") == ((True, "a "), (False, "θ"))


def test_outlines_are_paths_and_a_missing_letter_has_none() -> None:
    assert letter_outline("A").startswith("M")
    assert letter_outline("θ") == ""


def test_a_missing_font_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=rf"{FONT_FILE} are missing from .*install pitchline again"):
        open_face(tmp_path)


def test_a_broken_font_is_said_plainly(tmp_path: Path) -> None:
    (tmp_path / FONT_FILE).write_bytes(b"this is no font at all")
    with pytest.raises(OutputError, match="cannot be read"):
        open_face(tmp_path)


def test_the_licence_lies_beside_the_font() -> None:
    assert "Open Font License" in (FONT_FOLDER / "OFL.txt").read_text(encoding="utf-8")


def test_control_letters_become_spaces_and_turning_marks_vanish() -> None:
    assert clean_text("a\tb\x00c\x1b[31m\x85d\u2028e") == "a b c [31m d e"
    assert clean_text("abc\u202edef\u2066g") == "abcdefg"
    assert clean_text("x\ud800y\uffffz") == "x\ufffdy\ufffdz"


def test_lines_part_at_every_kind_of_line_end() -> None:
    assert text_lines("a\nb\r\nc\rd") == ("a", "b", "c", "d")
    assert text_lines("") == ("",)


@given(st.text())
def test_cleaning_is_done_once_and_leaves_printable_text_alone(text: str) -> None:
    once = clean_text(text)
    assert clean_text(once) == once
    assert "\n" not in once
    once.encode("utf-8")
    if text.isprintable():
        assert once == text
