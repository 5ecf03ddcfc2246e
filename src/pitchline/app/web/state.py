"""The bench: one open job with its history, its last sound answer, and what is wrong with it now.

The only thing in the app that changes. Every change goes through :meth:`Bench.edit`, is kept in the history once per
operation id, and is answered with what it led to.
"""

import contextlib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING, Any

from pitchline.app.web.journal import ELSEWHERE, Journal
from pitchline.job.positions import Path as Place
from pitchline.job.read import decode, read_bytes
from pitchline.kit.errors import Fault, InputError, PitchlineError
from pitchline.kit.units import Unit

if TYPE_CHECKING:
    from pitchline.app.web.edits import Change
    from pitchline.story import Memo, Solved
    from pitchline.survey.adjust import Adjusted

SOUND_TRIED = 12
"""Earlier states that are tried after a start, when the job as it stands is not sound."""


class StaleError(PitchlineError):
    """An edit of something that has changed since the page was drawn; ``places`` says what."""

    def __init__(self, places: Sequence[Place]) -> None:
        self.places = tuple(places)
        super().__init__("This was changed on another page meanwhile; both are shown, choose one.")


@dataclass(frozen=True, slots=True)
class State:
    """The job at one moment: its text and values, the faults in them, and the last sound answer.

    ``solved`` is the answer to this text when ``fresh``, otherwise to an earlier one; None before any.
    """

    version: int
    text: str
    raw: Mapping[str, Any]
    faults: tuple[Fault, ...]
    solved: "Solved | None"
    fresh: bool
    undo: str | None
    redo: str | None

    @property
    def first(self) -> bool:
        """Whether nothing has been worked out yet, as on the first page after a start."""
        return self.solved is None and not self.faults

    @property
    def unit(self) -> Unit:
        """The unit of plain numbers."""
        head = self.raw.get("job")
        word = head.get("units") if isinstance(head, dict) else None
        return Unit.INCH if word == Unit.INCH.value else Unit.MM

    @property
    def title(self) -> str:
        """The title of the job, or nothing."""
        head = self.raw.get("job")
        return str(head.get("title", "")) if isinstance(head, dict) else ""

    def faults_at(self, where: str) -> tuple[Fault, ...]:
        """The faults of one place, such as ``flights[0].rises.values[3]``."""
        return tuple(fault for fault in self.faults if fault.where == where)


@dataclass(slots=True)
class Bench:
    """An open job. All methods may be called from any thread."""

    path: Path
    journal: Journal
    lock: RLock = field(default_factory=RLock)
    memo: "Memo | None" = None
    kept: State | None = None
    stamp: tuple[int, int] = (0, 0)

    @classmethod
    def opened(cls, path: Path) -> "Bench":
        """Open a job file with its history. InputError when the file cannot be read as text."""
        text = decode(read_bytes(path), path.name)
        bench = cls(path, Journal.opened(history_path(path), text))
        if bench.journal.text != text:
            bench._write()
        bench.stamp = _stamp(path)
        return bench

    @property
    def name(self) -> str:
        """The name of the job file."""
        return self.path.name

    def glance(self) -> State:
        """The job as it is known without solving: at once, even right after a start."""
        with self.lock:
            if self.kept is not None and self.kept.version == self.journal.version:
                return self.kept
            return self._state((), None, fresh=False)

    def state(self) -> State:
        """The job solved; after an edit with another program, that edit is taken in first."""
        with self.lock:
            self._take_in()
            if self.kept is None or self.kept.version != self.journal.version:
                self.kept = self._solve()
            return self.kept

    def edit(
        self, op: str, changes: Sequence["Change"], seen: int, say: str = "", *, joined: bool = False
    ) -> State:
        """Make an edit once. StaleError when it meets a change that its page had not seen; InputError for no edit."""
        from pitchline.app.web.edits import edited

        with self.lock:
            self._take_in()
            if op in self.journal.known:
                return self.state()
            self._refuse_stale(changes, seen)
            text = edited(self.journal.text, _resolved(changes, self._raw(), self.glance().unit))
            self.journal.edit(op, say, text, joined=joined)
            self._write()
            return self.state()

    def try_out(self, changes: Sequence["Change"]) -> State:
        """What an edit would lead to, without keeping it: for a slider while it moves."""
        from pitchline.app.web.edits import edited

        with self.lock:
            before = self.state()
            text = edited(self.journal.text, _resolved(changes, self._raw(), before.unit))
            return self._solve(text)

    def stair(self, state: State) -> Mapping[str, "Adjusted"]:
        """The legs that the readings of an unsound state determine all the same, by their ids."""
        from pitchline.job.load import load_legs
        from pitchline.story import Memo
        from pitchline.survey.adjust import adjust

        found: dict[str, Adjusted] = {}
        with self.lock:
            memo = self.memo = self.memo or Memo()
            try:
                legs = load_legs(state.text, self.path.name, self.path)
            except InputError:
                return found
            for leg in legs:
                name, read = f"leg {leg.facts.id}", (leg.readings, leg.fixed)
                with contextlib.suppress(PitchlineError):  # told among the faults of the state
                    found[leg.facts.id] = memo.recall(name, read, partial(adjust, *read))
        return found

    def undo(self, op: str) -> State:
        """Take the last edit back, once per operation id."""
        return self._step(op, self.journal.undo)

    def redo(self, op: str) -> State:
        """Do again what was taken back, once per operation id."""
        return self._step(op, self.journal.redo)

    def _step(self, op: str, step: Any) -> State:
        with self.lock:
            self._take_in()
            if op not in self.journal.known and step(op):
                self._write()
            return self.state()

    def _refuse_stale(self, changes: Sequence["Change"], seen: int) -> None:
        from pitchline.job.faults import value_at

        if seen == self.journal.version:
            return
        raw = self._raw()
        met = [c.path for c in changes if not c.has_was or value_at(c.path, raw) != c.was]
        if met:
            raise StaleError(met)

    def _write(self) -> None:
        from pitchline.job.save import save_text  # heavy, and a page can be drawn before it is needed

        save_text(self.path, self.journal.text)
        self.stamp = _stamp(self.path)

    def _take_in(self) -> None:
        """Take in what another program wrote into the job file meanwhile."""
        stamp = _stamp(self.path)
        if stamp == self.stamp:
            return
        if stamp == (0, 0):
            self._write()
            return
        text = decode(read_bytes(self.path), self.path.name)
        self.stamp = stamp
        if text != self.journal.text:
            self.journal.edit(f"{ELSEWHERE}-{self.journal.version}", ELSEWHERE, text)

    def _raw(self) -> Mapping[str, Any]:
        return _values(self.journal.text)

    def _solve(self, text: str | None = None) -> State:
        """Solve the text; where that cannot be, the last sound answer stays beside the faults."""
        text = self.journal.text if text is None else text
        try:
            return self._state((), self._answer(text), fresh=True, text=text)
        except InputError as wrong:
            faults = wrong.faults
        before = self.kept.solved if self.kept is not None else self._earlier()
        return self._state(faults, before, fresh=False, text=text)

    def _answer(self, text: str) -> "Solved":
        from pitchline.job.load import load_text
        from pitchline.story import Memo, solve

        self.memo = self.memo or Memo()
        return solve(load_text(text, self.path.name, self.path), self.memo)

    def _earlier(self) -> "Solved | None":
        """The last sound answer in the history."""
        text = self.journal.text
        for entry in reversed(self.journal.done[-SOUND_TRIED:]):
            text = entry.change.back(text)
            try:
                return self._answer(text)
            except InputError:
                continue
        return None

    def _state(
        self, faults: tuple[Fault, ...], solved: "Solved | None", *, fresh: bool, text: str | None = None
    ) -> State:
        journal = self.journal
        held = journal.text if text is None else text
        undo = journal.done[-1].say if journal.done else None
        redo = journal.undone[-1].say if journal.undone else None
        return State(journal.version, held, _values(held), faults, solved, fresh, undo, redo)


def history_path(job: Path) -> Path:
    """Where the history of a job is kept."""
    return job.with_name(f".{job.name}.history")


def _values(text: str) -> Mapping[str, Any]:
    """The values of a TOML text, nothing where it is none."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return {}


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return (0, 0)
    return found.st_mtime_ns, found.st_size


def _resolved(changes: Sequence["Change"], raw: Mapping[str, Any], unit: Unit) -> Iterator["Change"]:
    """The changes with what was typed turned into values of the file."""
    from dataclasses import replace

    from pitchline.app.web.entry import LEFT_OUT, item_written, written
    from pitchline.job.faults import value_at

    for change in changes:
        if change.do == "add" and isinstance(change.value, dict):
            yield replace(change, value=item_written(change.path, change.value, unit))
        elif change.do != "typed":
            yield change
        else:
            value = written(change.path, change.value, raw, unit)
            if value is not LEFT_OUT:
                yield replace(change, do="put", value=value)
            elif value_at(change.path, raw) is not None:
                yield replace(change, do="drop")
