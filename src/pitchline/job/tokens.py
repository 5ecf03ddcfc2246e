"""A TOML text cut into tokens: enough to count nesting before parsing and to find lines after it."""

import re
from collections.abc import Iterator
from typing import NamedTuple

_TOKEN = re.compile(
    r'''(?P<string>"""(?:[^\\]|\\[\s\S])*?"{3,5}|'{3}[\s\S]*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')'''
    r"""|(?P<comment>\#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{}=,.])|(?P<bare>[^\s\[\]{}=,.\#"']+)|(?P<stray>["'])"""
)


class Token(NamedTuple):
    """A piece of TOML text: its kind (string, newline, mark, bare), its text, its line and where it begins."""

    kind: str
    text: str
    line: int
    start: int = 0


def tokens(text: str) -> Iterator[Token]:
    """The tokens of a text, comments left out. A text that is not TOML gives some tokens all the same."""
    line = 1
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or "stray"
        if kind != "comment":
            yield Token(kind, match.group(), line, match.start())
        line += match.group().count("\n")


class Depth(NamedTuple):
    """The deepest nesting met in a text, and where."""

    depth: int
    line: int


def deepest(text: str, enough: int) -> Depth:
    """How deep brackets nest or how many dots a key has, whichever is more; no further once past ``enough``."""
    worst = Depth(0, 1)
    open_brackets = dots = 0
    for token in tokens(text):
        if token.text in {"[", "{"} and token.kind == "mark":
            open_brackets, dots = open_brackets + 1, 0
        elif token.text in {"]", "}"} and token.kind == "mark":
            open_brackets, dots = max(0, open_brackets - 1), 0
        elif token.text == "." and token.kind == "mark":
            dots += 1
        elif token.kind == "newline" or token.text in {"=", ","}:
            dots = 0
        if max(open_brackets, dots) > worst.depth:
            worst = Depth(max(open_brackets, dots), token.line)
            if worst.depth > enough:
                break
    return worst
