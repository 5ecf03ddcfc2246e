"""Faults of a file or of the program's surroundings; faults in the user's WORK are findings, not errors.

A fault is data (where, what was found, what is allowed, what to do) and one clear sentence made from it.
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input file.

    ``where`` is a path inside the file such as ``designs[0].rail.depth``; ``line`` counts from 1 and is None
    where no line can be named; ``found`` is the offending value as written.
    """

    where: str
    problem: str
    found: str | None = None
    allowed: str | None = None
    remedy: str | None = None
    line: int | None = None

    def sentence(self) -> str:
        """The fault as one sentence for a person."""
        place = f"line {self.line}, {self.where}" if self.line is not None else self.where
        text = f"{place}: {self.problem}"
        if self.found is not None:
            text += f" (found {self.found})"
        if self.allowed is not None:
            text += f"; allowed: {self.allowed}"
        if self.remedy is not None:
            text += f"; {self.remedy}"
        return text + "."


class PitchlineError(Exception):
    """Root of what pitchline raises on purpose; the message is one sentence for a person."""


class InputError(PitchlineError, ValueError):
    """An input that cannot be used; carries every fault found, not only the first."""

    def __init__(self, faults: Iterable[Fault], source: str = "the job file") -> None:
        self.faults = tuple(faults)
        self.source = source
        super().__init__("\n".join(f"{source}, {fault.sentence()}" for fault in self.faults))


class ImpossibleDesignError(PitchlineError, ValueError):
    """A brief that leaves nothing to build; the message says what stands in the way."""


class OutputError(PitchlineError, OSError):
    """A file or folder could not be written; nothing half written is left behind."""
