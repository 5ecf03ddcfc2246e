"""Times the steps against what they should reach: ``python -m benchmarks.run [--write]``.

Printed are milliseconds, the reach aimed for and the ratio of the two (1 or less is within reach). The machine
matters; the ratios between rows matter more. With ``--write`` the tables are kept in docs/benchmarks.md.
"""

import argparse
import math
import os
import platform
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchmarks.browser import browser_table
from benchmarks.jobs import demo_job, edited, long_job, with_uprights
from benchmarks.strength import strength_rows_of
from benchmarks.timing import Timed, process, warm
from pitchline.job.new import starting_text
from pitchline.job.value import Job
from pitchline.kit.units import Unit
from pitchline.story import Memo, solve

PAGE = Path(__file__).parents[1] / "docs" / "benchmarks.md"
RISERS = (5, 10, 20, 40)
STEPS = ("adjust", "build", "review", "design", "parts", "check", "advice")


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that was timed, and the seconds it should reach."""

    what: str
    timed: Timed
    reach: float

    @property
    def ratio(self) -> float:
        """How many times the reach it takes on the clock."""
        return self.timed.clock / self.reach


class Stopwatch(Memo):
    """A memory of the steps that remembers how long each took as well."""

    def __init__(self) -> None:
        super().__init__()
        self.seconds: dict[str, float] = {}

    def recall(self, step, inputs, work):  # type: ignore[no-untyped-def]  # as the memory it wraps
        """As the plain memory, timed."""
        start = time.perf_counter()
        answer = super().recall(step, inputs, work)
        name = step.split()[0]
        self.seconds[name] = min(self.seconds.get(name, math.inf), time.perf_counter() - start)
        return answer


def rows() -> Iterator[Row]:
    """The table of reaches."""
    demo = demo_job()
    yield Row("edit one reading of the example (two designs), solve again", _edit(demo), 0.033)
    yield Row("the same with 100 uprights (one design)", _edit(with_uprights(demo, 100, 10.0)), 0.060)
    yield from strength_rows(demo)
    yield Row("pitchline --help, cold process", process(["--help"]), 0.2)
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "example.toml"
        job.write_text(starting_text("mm", Unit.MM), encoding="utf-8")
        yield Row("pitchline check, cold process", process(["check", str(job)]), 0.8)
        pack = Path(folder) / "pack"
        yield Row("pitchline build, cold process", process(["build", str(job), "-o", str(pack)], 3), 3.0)


def strength_rows(demo: Job) -> Iterator[Row]:
    """Whether it will stand: the verdict of a design, and one frame under a single load at up to 50 places."""
    for what, timed, reach in strength_rows_of(demo):
        yield Row(what, timed, reach)


def _edit(job: Job, memo: Memo | None = None) -> Timed:
    known = Memo() if memo is None else memo
    return warm(lambda step: solve(edited(job, step), known))


@dataclass(frozen=True, slots=True)
class Growth:
    """How long the steps take for a flight of so many risers; ``steps`` by name, seconds."""

    risers: int
    uprights: int
    timed: Timed
    steps: dict[str, float]


def growth() -> Iterator[Growth]:
    """The whole job solved again after an edit, for longer and longer flights."""
    for risers in RISERS:
        job = long_job(risers)
        watch = Stopwatch()
        solve(job, watch)
        watch.seconds.clear()
        timed = _edit(job, watch)
        steps = {name: watch.seconds[name] for name in STEPS}
        yield Growth(risers, len(solve(job).designs[0].design.uprights), timed, steps)


def table(timed: list[Row], grown: list[Growth]) -> str:
    """Both tables as text that reads well in a terminal and on a page."""
    lines = ["| what | ms | processor, ms | reach, ms | ratio |", "|---|---:|---:|---:|---:|"]
    lines += [
        f"| {row.what} | {1000 * row.timed.clock:.1f} | {1000 * row.timed.processor:.1f} | "
        f"{1000 * row.reach:.0f} | {row.ratio:.2f} |"
        for row in timed
    ]
    lines += ["", "Milliseconds after an edit, as the flight grows:", ""]
    lines += [f"| risers | uprights | all | {' | '.join(STEPS)} | all, for each riser |"]
    lines += ["|---:" * (len(STEPS) + 4) + "|"]
    for one in grown:
        cells = [f"{1000 * one.steps[name]:.1f}" for name in STEPS]
        all_ms = 1000 * one.timed.clock
        lines.append(
            f"| {one.risers} | {one.uprights} | {all_ms:.1f} | {' | '.join(cells)} | {all_ms / one.risers:.2f} |"
        )
    return "\n".join(lines)


def page(tables: str) -> str:
    """The page of the documentation."""
    return (
        "# How long it takes\n\n"
        f"Written by `python -m benchmarks.run --write` on a machine with {os.cpu_count()} cores, "
        f"{platform.python_implementation()} {platform.python_version()}. The reach is what makes the program "
        "pleasant to use: an edit within two frames of a screen, a command before one looks away. Nothing here is "
        "asserted by a test, because another machine is another number; growth with the flight should be close "
        "to linear.\n\n"
        "Told is the best of some rounds; where the clock shows much more than the processor, the machine was busy "
        "with something else. An edit changes one reading, so every step is done again. `adjust` to "
        "`review` are the survey, the others are done once for each design.\n\n"
        f"{tables}\n"
    )


def main() -> None:
    """Time everything, print it, and keep it if asked."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.run", description=__doc__)
    parser.add_argument("--write", action="store_true", help=f"keep the tables in {PAGE.name}")
    wanted = parser.parse_args()
    tables = f"{table(list(rows()), list(growth()))}\n\n{browser_table()}"
    print(tables)
    if wanted.write:
        PAGE.write_text(page(tables), encoding="utf-8")
        sys.stderr.write("Wrote docs/benchmarks.md\n")


if __name__ == "__main__":
    main()
