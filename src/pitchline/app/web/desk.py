"""What the app has open: a folder, at most one job on the bench, the long work, and the keys of this start."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from pitchline.app.web.guard import Keys
from pitchline.app.web.hold import hold
from pitchline.app.web.state import Bench
from pitchline.app.web.works import Works
from pitchline.kit.errors import Fault, InputError


@dataclass(slots=True)
class Desk:
    """One running app. ``kept`` is a small memory for pages: answers by the version they belong to."""

    folder: Path
    keys: Keys
    bench: Bench | None = None
    works: Works = field(default_factory=Works)
    kept: dict[str, tuple[int, Any]] = field(default_factory=dict)
    held: BinaryIO | None = None

    def open(self, job: Path) -> None:
        """Put a job on the bench. InputError for one that cannot be read or is open in another program."""
        if self.bench is not None and self.bench.path == job:
            return
        held = hold(job)
        try:
            bench = Bench.opened(job)
        except BaseException:
            held.close()
            raise
        self.close()
        self.bench, self.held, self.works = bench, held, Works()
        self.kept.clear()

    def close(self) -> None:
        """Stop what is being made and let go of the job."""
        self.works.end()
        if self.held is not None:
            self.held.close()
        self.bench, self.held = None, None

    @property
    def job(self) -> Bench:
        """The open job. InputError when none is open."""
        if self.bench is None:
            fault = Fault("the app", "no job is open", remedy="open one on the first page")
            raise InputError([fault], "the app")
        return self.bench

    @property
    def photo_folder(self) -> Path:
        """Where the photos of the open job are kept."""
        return self.job.path.with_name(f"{self.job.path.stem}-photos")

    @property
    def pack_folder(self) -> Path:
        """Where the pack of the open job is written."""
        return self.job.path.with_name(f"{self.job.path.stem}-pack")
