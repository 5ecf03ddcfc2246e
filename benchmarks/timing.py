"""Timing of calls and of whole processes.

The best of some rounds is told: whatever else a machine does can only make a round longer. Beside the time on the
clock stands the time the processor worked, which a busy machine stretches less.
"""

import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

PROGRAM = Path(sys.executable).with_name("pitchline")


class Timed(NamedTuple):
    """Seconds on the clock and seconds of the processor."""

    clock: float
    processor: float

    @staticmethod
    def best(rounds: Iterable["Timed"]) -> "Timed":
        """The least of each."""
        clocks, processors = zip(*rounds, strict=True)
        return Timed(min(clocks), min(processors))


def warm(work: Callable[[int], object], rounds: int = 25) -> Timed:
    """A call that is told its round; three rounds go first to warm up."""
    timed = []
    for step in range(rounds + 3):
        clock, processor = time.perf_counter(), time.process_time()
        work(step)
        timed.append(Timed(time.perf_counter() - clock, time.process_time() - processor))
    return Timed.best(timed[3:])


def process(arguments: Sequence[str], rounds: int = 5) -> Timed:
    """A cold process of the program; its exit code may be 0 or 1."""
    timed = []
    for _ in range(rounds):
        clock, processor = time.perf_counter(), _of_children()
        done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)
        timed.append(Timed(time.perf_counter() - clock, _of_children() - processor))
        if done.returncode > 1 or "Traceback" in done.stderr:
            raise RuntimeError(f"pitchline {' '.join(arguments)}: {done.stderr}")
    return Timed.best(timed)


def _of_children() -> float:
    """Seconds of the processor that ended child processes have used."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
