"""Timing of calls and of whole processes.

The best of some rounds is told: whatever else a machine does can only make a round longer.
"""

import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

PROGRAM = Path(sys.executable).with_name("pitchline")


def warm(work: Callable[[int], object], rounds: int = 15) -> float:
    """Least seconds of a call that is told its round; three rounds go first to warm up."""
    for step in range(3):
        work(step)
    seconds = []
    for step in range(3, rounds + 3):
        start = time.perf_counter()
        work(step)
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def process(arguments: Sequence[str], rounds: int = 5) -> float:
    """Least seconds of a cold process of the program; its exit code may be 0 or 1."""
    seconds = []
    for _ in range(rounds):
        start = time.perf_counter()
        done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)
        seconds.append(time.perf_counter() - start)
        if done.returncode > 1:
            raise RuntimeError(f"pitchline {' '.join(arguments)}: {done.stderr}")
    return min(seconds)
