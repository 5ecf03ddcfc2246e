"""The history of a job file, kept beside it: every edit once, undo and redo over restarts.

The history is the authority: an edit is written there and forced to disk before the job file is replaced, so a
server that is killed between the two loses nothing. It holds a text to start from and what each edit took out and
put in, one JSON document a line; a line torn by a crash is the last one and is dropped.
"""

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pitchline.kit.errors import OutputError

MOST_KEPT = 600
"""Edits that the history grows to before the oldest are let go."""
LEAST_KEPT = 300
"""Edits that can be undone after that: more than a long day's survey."""
IDS_KEPT = 2000
"""Operation ids remembered beyond their edits, so that a late repeat is still known."""

ELSEWHERE = "elsewhere"
"""Name of an edit that somebody made with another program."""


@dataclass(frozen=True, slots=True)
class Splice:
    """One change of a text: at a place, ``out`` is replaced by ``put``."""

    at: int
    out: str
    put: str

    @classmethod
    def between(cls, before: str, after: str) -> "Splice":
        """The shortest single change that turns one text into another."""
        start = _alike(before, after)
        rest = _alike(before[start:][::-1], after[start:][::-1])
        return cls(start, before[start : len(before) - rest], after[start : len(after) - rest])

    def on(self, text: str) -> str:
        """The text after the change."""
        return text[: self.at] + self.put + text[self.at + len(self.out) :]

    def back(self, text: str) -> str:
        """The text before the change."""
        return text[: self.at] + self.out + text[self.at + len(self.put) :]


@dataclass(frozen=True, slots=True)
class Entry:
    """One edit: its operation id, what it is called, what it changes, whether it is undone with the one before."""

    op: str
    say: str
    change: Splice
    joined: bool = False

    def line(self) -> dict[str, Any]:
        """The edit as data."""
        change = self.change
        told = {"do": "edit", "op": self.op, "say": self.say, "at": change.at, "out": change.out}
        return {**told, "put": change.put, "join": self.joined}


@dataclass(slots=True)
class Journal:
    """The history of one job file; ``version`` grows with every edit, undo and redo and never falls."""

    path: Path
    text: str = ""
    version: int = 0
    done: list[Entry] = field(default_factory=list)
    undone: list[Entry] = field(default_factory=list)
    known: dict[str, int] = field(default_factory=dict)

    @classmethod
    def opened(cls, path: Path, text: str) -> "Journal":
        """The history kept in a file, brought up to the text that the job file holds now.

        A job file that is one edit behind its history was cut off while being written: the history wins. Any
        other difference was made with another program and becomes an edit like any other.
        """
        journal = cls(path)
        if not path.exists() or not journal._replay():
            return cls(path, text)
        behind = [journal.done[-1].change.back(journal.text)] if journal.done else []
        behind += [journal.undone[-1].change.on(journal.text)] if journal.undone else []
        if text != journal.text and text not in behind:
            journal.edit(f"{ELSEWHERE}-{journal.version}", ELSEWHERE, text)
        return journal

    def _replay(self) -> bool:
        """Read the file; False where it holds no history."""
        data = self.path.read_bytes()
        whole, newline, torn = data.rpartition(b"\n")
        lines = list(_documents(whole))
        if not lines or lines[0].get("do") != "base":
            return False
        base = lines[0]
        self.text, self.version = base["text"], base["version"]
        self.known = dict.fromkeys(base["ops"], self.version)
        for line in lines[1:]:
            self._take(line)
        if torn or not newline:
            self.rewrite()
        return True

    def _take(self, line: dict[str, Any]) -> None:
        match line["do"]:
            case "edit":
                change = Splice(line["at"], line["out"], line["put"])
                entry = Entry(line["op"], line["say"], change, line["join"])
                self.text = change.on(self.text)
                self.done.append(entry)
                self.undone.clear()
            case "undo":
                entry = self.done.pop()
                self.text = entry.change.back(self.text)
                self.undone.append(entry)
            case "redo":
                entry = self.undone.pop()
                self.text = entry.change.on(self.text)
                self.done.append(entry)
        self.version += 1
        self.known[line["op"]] = self.version

    def edit(self, op: str, say: str, text: str, *, joined: bool = False) -> None:
        """Keep an edit that leads to this text. OutputError when it cannot be written; then nothing changed."""
        entry = Entry(op, say, Splice.between(self.text, text), joined and bool(self.done))
        self._keep([entry.line()])
        if len(self.done) > MOST_KEPT:
            self._let_go()

    def undo(self, op: str) -> bool:
        """Take back the last edit and those joined to it; False when there is none."""
        return self._step("undo", op, self._last_group())

    def redo(self, op: str) -> bool:
        """Do again what was taken back last; False when there is nothing."""
        return self._step("redo", op, self._next_group())

    def _step(self, do: str, op: str, count: int) -> bool:
        lines = [{"do": do, "op": op if k == 0 else f"{op}+{k}"} for k in range(count)]
        if lines:
            self._keep(lines)
        return bool(lines)

    def _last_group(self) -> int:
        count = 0
        for entry in reversed(self.done):
            count += 1
            if not entry.joined:
                break
        return count

    def _next_group(self) -> int:
        if not self.undone:
            return 0
        count = 1
        for entry in reversed(self.undone[:-1]):
            if not entry.joined:
                break
            count += 1
        return count

    def _keep(self, lines: list[dict[str, Any]]) -> None:
        try:
            if self.version == 0 or not self.path.exists():
                self.rewrite()
            with self.path.open("ab") as file:
                file.write("".join(_line(line) for line in lines).encode("utf-8"))
                file.flush()
                os.fsync(file.fileno())
        except OSError as fault:
            reason = (fault.strerror or str(fault)).lower()
            raise OutputError(f"The history {self.path.name} cannot be written: {reason}.") from fault
        for line in lines:
            self._take(line)

    def _let_go(self) -> None:
        self.done = self.done[-LEAST_KEPT:]
        self.known = dict(list(self.known.items())[-IDS_KEPT:])
        self.rewrite()

    def rewrite(self) -> None:
        """Write the whole file afresh, in one step. Raises OutputError."""
        base = self.text
        for entry in reversed(self.done):
            base = entry.change.back(base)
        tail = [entry.line() for entry in (*self.done, *reversed(self.undone))]
        tail += [{"do": "undo", "op": f"{entry.op}~"} for entry in self.undone]
        head = {"do": "base", "text": base, "version": self.version - len(tail), "ops": list(self.known)}
        from pitchline.job.save import save_text  # heavy, and a page can be drawn before it is needed

        save_text(self.path, "".join(_line(line) for line in (head, *tail)))
        self.path.chmod(0o600)


def _alike(one: str, other: str) -> int:
    """How many letters two texts begin with alike."""
    return len(os.path.commonprefix((one, other)))  # noqa: RUF071  # letters are wanted here, not folders


def _line(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")) + "\n"


def _documents(data: bytes) -> Iterator[dict[str, Any]]:
    for row in data.split(b"\n"):
        try:
            document = json.loads(row)
        except ValueError:
            return
        if not isinstance(document, dict):
            return
        yield document
