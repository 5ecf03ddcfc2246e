"""Where in a TOML text each key and each list item stands: a map from path to line.

The text must already have parsed as TOML. Tables, lists of tables, dotted keys, inline tables and lists over
several lines are followed; a path that the text does not hold is answered with the line of its nearest table.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from pitchline.job.tokens import Token, tokens

Path = tuple[str | int, ...]


def lines_of(text: str) -> dict[Path, int]:
    """The line (from 1) on which each key, table and list item of a TOML text begins."""
    return _Walk([*tokens(text), Token("newline", "\n", 0)]).run()


def values_of(text: str) -> dict[Path, tuple[int, int]]:
    """From where to where in the text each value without parts stands: a number, a string, true or false, a date."""
    walk = _Walk([*tokens(text), Token("newline", "\n", 0)])
    walk.run()
    return walk.values


def line_of(path: Path, lines: Mapping[Path, int]) -> int | None:
    """The line of a path, or of the nearest thing around it that stands in the text."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


@dataclass(slots=True)
class _Walk:
    """One pass over the tokens: ``at`` is the token to be read next."""

    stream: list[Token]
    at: int = 0
    lines: dict[Path, int] = field(default_factory=dict)
    counts: dict[Path, int] = field(default_factory=dict)
    values: dict[Path, tuple[int, int]] = field(default_factory=dict)

    def run(self) -> dict[Path, int]:
        table: Path = ()
        while self.at < len(self.stream):
            token = self.stream[self.at]
            if token.kind == "newline":
                self.at += 1
            elif token.text == "[" and token.kind == "mark":
                table = self._header()
            else:
                self._pair(table)
        return self.lines

    def _next(self) -> Token:
        token = self.stream[self.at]
        self.at += 1
        return token

    def _is(self, mark: str) -> bool:
        token = self.stream[self.at]
        return token.kind == "mark" and token.text == mark

    def _key(self) -> list[str]:
        """A dotted key, up to the mark that ends it."""
        parts: list[str] = []
        while not (self._is("=") or self._is("]")):
            token = self._next()
            if token.kind == "string":
                parts.append(_unquoted(token.text))
            elif token.kind == "bare":
                parts.append(token.text)
        return parts

    def _header(self) -> Path:
        """[a.b] or [[a.b]]: the path of the table it opens."""
        line = self._next().line
        is_list = self._is("[")
        self.at += int(is_list)
        parts = self._key()
        self.at += 1 + int(is_list)
        above = self._resolved((), parts[:-1], line)
        path: Path = (*above, parts[-1])
        if is_list:
            self.lines.setdefault(path, line)
            self.counts[path] = self.counts.get(path, -1) + 1
            path = (*path, self.counts[path])
            self.lines[path] = line
            return path
        path = self._resolved(above, parts[-1:], line)
        self.lines[path] = line
        return path

    def _resolved(self, path: Path, parts: list[str], line: int) -> Path:
        """The parts below a path, with the latest item of every list of tables put in."""
        for part in parts:
            path = (*path, part)
            self.lines.setdefault(path, line)
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    def _pair(self, table: Path) -> None:
        line = self.stream[self.at].line
        path = table
        for part in self._key():
            path = (*path, part)
            self.lines.setdefault(path, line)
        self.at += 1
        self._value(path)

    def _value(self, path: Path) -> None:
        if self._is("["):
            self.at += 1
            self._items(path)
        elif self._is("{"):
            self.at += 1
            self._inline(path)
        else:
            start = self.stream[self.at].start
            self._plain()
            last = self.stream[self.at - 1]
            self.values[path] = (start, last.start + len(last.text))

    def _plain(self) -> None:
        """A value without parts: on to the comma, bracket or line end that ends it."""
        while self.stream[self.at].kind != "newline" and not any(self._is(mark) for mark in ",]}"):
            self.at += 1

    def _skip_blank(self) -> None:
        while self.stream[self.at].kind == "newline" or self._is(","):
            self.at += 1

    def _items(self, path: Path) -> None:
        index = 0
        self._skip_blank()
        while not self._is("]"):
            self.lines[(*path, index)] = self.stream[self.at].line
            self._value((*path, index))
            index += 1
            self._skip_blank()
        self.at += 1

    def _inline(self, path: Path) -> None:
        self._skip_blank()
        while not self._is("}"):
            self._pair(path)
            self._skip_blank()
        self.at += 1


def _unquoted(text: str) -> str:
    return text[1:-1] if text.startswith("'") else str(tomllib.loads(f"k = {text}")["k"])
