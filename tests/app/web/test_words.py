"""The words of the app: every language says everything with the same things put in, and no key lacks."""

import re
import string
from pathlib import Path

import pytest

import pitchline.app.web
from pitchline.app.web.words import LANGUAGES, USUAL, catalogue, preferred

HOME = Path(pitchline.app.web.__file__).parent
OTHERS = [language for language in LANGUAGES if language != USUAL]
ASKED = re.compile(r"""\b(?:t|words)\(\s*f?(["'])([a-z_0-9.-]+)\1""")


@pytest.mark.parametrize("language", OTHERS)
def test_no_key_is_missing(language: str) -> None:
    assert set(catalogue(language).phrases) == set(catalogue(USUAL).phrases)


@pytest.mark.parametrize("language", OTHERS)
def test_the_same_things_are_put_in(language: str) -> None:
    own, usual = catalogue(language).phrases, catalogue(USUAL).phrases
    for key, phrase in usual.items():
        assert fields_of(own[key]) == fields_of(phrase), key


def fields_of(phrase: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(phrase) if name}


@pytest.mark.parametrize("language", OTHERS)
def test_it_is_another_language(language: str) -> None:
    """Names of units, rules and the like are alike anywhere; most phrases are not."""
    own, usual = catalogue(language).phrases, catalogue(USUAL).phrases
    alike = [
        key for key, phrase in usual.items() if own[key] == phrase and len(re.findall("[a-z]{3}", phrase)) > 3
    ]
    assert alike == []


def test_every_key_that_is_asked_for_is_there() -> None:
    known = set(catalogue(USUAL).phrases)
    files = [*HOME.glob("templates/*.html"), *HOME.glob("*.py")]
    asked = {key for path in files for _, key in ASKED.findall(path.read_text("utf-8"))}
    assert len(asked) > 100
    assert {key for key in asked if key not in known and not key.endswith((".", "_"))} == set()


def test_every_word_that_a_script_asks_for_is_there() -> None:
    known = set(catalogue(USUAL).under("js"))
    scripts = HOME.glob("static/*.js")
    asked = {key for path in scripts for key in re.findall(r"\bwords\.([a-z_]+)", path.read_text("utf-8"))}
    assert asked - known == set()


@pytest.mark.parametrize(
    ("asked", "accepted", "expected"),
    [
        ("de", "en", "de"),
        (None, "de-AT,de;q=0.9,en;q=0.8", "de"),
        (None, "fr, DE;q=0.5", "de"),
        (None, "fr", "en"),
        ("fr", "", "en"),
        (None, "", "en"),
    ],
)
def test_the_language_of_a_reader(asked: str | None, accepted: str, expected: str) -> None:
    assert preferred(asked, accepted) == expected
