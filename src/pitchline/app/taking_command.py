"""`pitchline take`: carry out a design's cutting plan on the shop's rack."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import typer

from pitchline.app.cli import FAILS, HOLDS
from pitchline.job.load import load_job
from pitchline.job.rack import load_rack
from pitchline.job.rack_update import RackChangedError, carry_out
from pitchline.job.value import Job
from pitchline.kit.cutting.report import purchases
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import Unit, show_length
from pitchline.parts.explode import grouped
from pitchline.stock.plan import Cutting, plan_parts
from pitchline.stock.taking import Taking, name_of, taking_of
from pitchline.story import SolvedBalustrade, solve

TRIES = 5
"""How often a plan is made anew because other jobs took something in the meantime."""


def take(job_file: Path, design: str | None, *, seconds: float, again: bool) -> int:
    """Plan, take the stock off the rack and put the rests there; 1 when the stock does not suffice."""
    job = load_job(job_file)
    if job.rack is None:
        fault = Fault("job.rack", "the job names no rack", remedy='add rack = "rack.toml" to [job]')
        raise InputError([fault], job_file.name)
    whole = _chosen(solve(job).balustrades, design, job_file.name)
    for attempt in range(1, TRIES + 1):
        cutting, taking = _planned(job, job.rack, whole, seconds, again=again)
        if cutting.plan.unplaced:
            for one in cutting.plan.unplaced:
                typer.echo(f"Not cut, {one.quantity} x {one.part}: {one.why}.", err=True)
            typer.echo("Nothing was taken off the rack.", err=True)
            return FAILS
        try:
            done = carry_out(job.rack, taking, f"{job.title}, design {whole.id}")
        except RackChangedError:
            if attempt == TRIES:
                raise
            continue
        break
    if not done:
        typer.echo(f"Design {whole.id} was cut from this rack before; --again cuts it once more.")
        return HOLDS
    for line in _told(cutting, taking, job.unit):
        typer.echo(line)
    return HOLDS


def _chosen(wholes: tuple[SolvedBalustrade, ...], design: str | None, source: str) -> SolvedBalustrade:
    names = [whole.id for whole in wholes]
    if design is None and len(wholes) == 1:
        return wholes[0]
    for whole in wholes:
        if whole.id == design:
            return whole
    allowed = " or ".join(names)
    problem = (
        "several designs are asked for; one of them is made" if design is None else "there is no such design"
    )
    raise InputError([Fault("designs", problem, design, allowed, "name it with --design")], source)


def _planned(
    job: Job, path: Path, whole: SolvedBalustrade, seconds: float, *, again: bool
) -> tuple[Cutting, Taking]:
    rack = load_rack(path)
    cutting = plan_parts(grouped(whole.parts), rack, seconds, show=lambda mm: _size(mm, job.unit))
    name = name_of(cutting.need, f"{job.title}: {whole.id}")
    taking = taking_of(cutting.plan, rack, name)
    if again:
        taking = replace(taking, plan=_unused(path, name))
    return cutting, taking


def _unused(path: Path, name: str) -> str:
    """The name with the first number that the rack does not know yet."""
    text = path.read_text(encoding="utf-8")
    return next(f"{name}-{n}" for n in range(2, 10_000) if f"{name}-{n}" not in text)


def _told(cutting: Cutting, taking: Taking, unit: Unit) -> Iterator[str]:
    currency = f" {cutting.rack.currency}" if cutting.rack.currency else ""
    yield f"Cost {cutting.plan.cost:.2f}{currency}."
    for one in purchases(cutting.need, cutting.plan):
        counted = "taken off the rack" if one.stock.count is not None else "to be bought"
        yield f"  {one.quantity} x {one.stock.id}: {counted}"
    for bar in taking.new_bars:
        yield f"  kept: {bar.stock.id}, {_size(bar.stock.length, unit)}"
    for sheet in taking.new_sheets:
        size = f"{_size(sheet.stock.length, unit)} x {_size(sheet.stock.width, unit)}"
        yield f"  kept: {sheet.stock.id}, {size}"


def _size(mm: float, unit: Unit) -> str:
    return show_length(mm, unit) + (" mm" if unit is Unit.MM else "")
