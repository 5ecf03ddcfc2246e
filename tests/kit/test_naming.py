"""File names made from any text."""

import pytest

from pitchline.kit.naming import safe_name, same_name


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A", "A"),
        ("A b/c:d", "A-b-c-d"),
        ("../../etc/passwd", "etc-passwd"),
        ("", "unnamed"),
        ("...", "unnamed"),
        ("CON", "CON-"),
        ("nul.txt", "nul.txt-"),
        ("Länge", "L-nge"),
        ("x" * 200, "x" * 60),
    ],
)
def test_names(text: str, name: str) -> None:
    assert safe_name(text) == name


def test_names_that_clash_on_some_system() -> None:
    assert same_name("A b", "a-B")
    assert not same_name("A b", "A c")
