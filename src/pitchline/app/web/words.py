"""The app's words, by language: catalogue files in ``words/``, one key a phrase, correctable by anybody."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

LANGUAGES: Mapping[str, str] = {"en": "English", "de": "Deutsch"}
"""The languages there are, each in its own words."""

USUAL = "en"


@dataclass(frozen=True, slots=True)
class Words:
    """The phrases of one language."""

    language: str
    phrases: Mapping[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """The phrase of a key with its values put in. KeyError for a key that is in no catalogue."""
        phrase = self.phrases[key]
        return phrase.format(**values) if values else phrase

    def maybe(self, key: str, otherwise: str) -> str:
        """The phrase of a key, or other words where the catalogue has none."""
        return self.phrases.get(key, otherwise)

    def under(self, name: str) -> dict[str, str]:
        """All phrases of one table, without its name: what a script of a page needs."""
        start = f"{name}."
        return {key.removeprefix(start): p for key, p in self.phrases.items() if key.startswith(start)}


@cache
def catalogue(language: str) -> Words:
    """The words of a language; those of the usual one for a language that there is not."""
    language = language if language in LANGUAGES else USUAL
    text = files("pitchline.app.web").joinpath("words", f"{language}.toml").read_text(encoding="utf-8")
    return Words(language, dict(_flat(tomllib.loads(text), "")))


def _flat(table: Mapping[str, Any], before: str) -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", str(value)


def preferred(asked: str | None, accepted: str) -> str:
    """The language asked for on the page, else the first that the browser accepts and there is."""
    if asked in LANGUAGES:
        return str(asked)
    for entry in accepted.split(","):
        word = entry.split(";")[0].strip().lower()[:2]
        if word in LANGUAGES:
            return word
    return USUAL
