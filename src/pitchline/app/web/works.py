"""Long work in a process of its own: it says how far it is, can be stopped, and ends when the app does."""

import multiprocessing
import secrets
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from threading import RLock
from typing import Any, Literal

from pitchline.app.web.worker import run

Stand = Literal["running", "done", "failed", "stopped"]
MOST_REMEMBERED = 20
"""Finished works whose answers are kept."""
AT_ONCE = 2
"""Sheets being made at a time, so that the app stays quick: for more, those asked for first give way."""
KEPT_ON = "pack"
"""Work that gives way to nothing: it was asked for by hand."""


@dataclass(slots=True)
class Work:
    """One piece of long work: of what kind, on which version of the job, where it stands."""

    id: str
    kind: str
    version: int
    process: BaseProcess
    line: Connection
    stand: Stand = "running"
    stage: str = ""
    steps: int = 0
    answer: Any = None
    said: tuple[str, ...] = ()
    folder: Path | None = None

    def clear(self) -> None:
        """Take away what it has written for the page."""
        if self.folder is not None:
            shutil.rmtree(self.folder, ignore_errors=True)

    def listen(self) -> None:
        """Take in what the process has said since."""
        try:
            while self.stand == "running" and self.line.poll():
                self._hear(self.line.recv())
        except (EOFError, OSError):
            self.stand, self.said = "failed", ("The work ended before it was done.",)
        if self.stand != "running":
            self.line.close()
            self.process.join(1.0)

    def _hear(self, message: tuple[str, Any]) -> None:
        word, value = message
        if word == "stage":
            self.stage, self.steps = str(value), self.steps + 1
        elif word == "answer":
            self.stand, self.answer = "done", value
        else:
            self.stand, self.said = "failed", tuple(value)

    def stop(self) -> None:
        """End it; what it had half done is taken away by the process itself."""
        self.listen()
        if self.stand == "running":
            self.stand = "stopped"
            self.process.terminate()
            self.process.join(3.0)
            if self.process.is_alive():
                self.process.kill()
            self.line.close()


@dataclass(slots=True)
class Works:
    """All long work of one app."""

    known: dict[str, Work] = field(default_factory=dict)
    lock: RLock = field(default_factory=RLock)

    def start(self, kind: str, version: int, asked: Mapping[str, Any]) -> Work:
        """Begin work, or join the same work already running."""
        with self.lock:
            running = [work for work in self.all() if work.stand == "running"]
            for work in running:
                if (work.kind, work.version) == (kind, version):
                    return work
            for work in running:
                if work.kind == kind:
                    work.stop()
            self._make_room(running)
            work = self._begun(kind, version, asked)
            self.known[work.id] = work
            for old in list(self.known)[:-MOST_REMEMBERED]:
                if self.known[old].stand != "running":
                    self.known.pop(old).clear()
            return work

    def _make_room(self, running: list[Work]) -> None:
        """Stop the sheets of a page that was left, where much is running; a pack gives way to nothing."""
        sheets = [work for work in running if work.stand == "running" and work.kind != KEPT_ON]
        for work in sheets[: max(0, len(sheets) - AT_ONCE + 1)]:
            work.stop()

    def _begun(self, kind: str, version: int, asked: Mapping[str, Any]) -> Work:
        spawning = multiprocessing.get_context("spawn")
        ours, theirs = spawning.Pipe(duplex=False)
        folder = Path(tempfile.mkdtemp(prefix="pitchline-"))
        told = {**asked, "sheets": str(folder)}
        process = spawning.Process(target=run, args=(kind, told, theirs), daemon=True)
        process.start()
        theirs.close()
        return Work(secrets.token_urlsafe(8), kind, version, process, ours, folder=folder)

    def all(self) -> list[Work]:
        """Every work known, brought up to date."""
        with self.lock:
            for work in self.known.values():
                work.listen()
            return list(self.known.values())

    def find(self, work_id: str) -> Work | None:
        """One work, brought up to date."""
        with self.lock:
            work = self.known.get(work_id)
            if work is not None:
                work.listen()
            return work

    def latest(self, kind: str) -> Work | None:
        """The last work of a kind."""
        return next((work for work in reversed(self.all()) if work.kind == kind), None)

    def answer(self, kind: str) -> Work | None:
        """The last work of a kind that was done."""
        found = (work for work in reversed(self.all()) if work.kind == kind and work.stand == "done")
        return next(found, None)

    def end(self) -> None:
        """Stop everything."""
        with self.lock:
            for work in self.known.values():
                work.stop()
                work.clear()
