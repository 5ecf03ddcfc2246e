"""Invented jobs to time: the built-in example with an edit, with many uprights, and flights of any length."""

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

from pitchline.design.brief import Spread
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.job.value import Job
from pitchline.kit.units import Unit


def demo_job() -> Job:
    """The built-in invented example."""
    return load_text(starting_text("mm", Unit.MM), "example.toml")


def with_uprights(job: Job, count: int, width: float) -> Job:
    """The first design of a job alone, with so many slender square uprights."""
    brief = job.designs[0]
    spacing = replace(brief.infill.spacing, spread=Spread.EQUAL, count=count, max_gap=None, module=None)
    infill = replace(brief.infill, width=width, thickness=width, spacing=spacing, arris=0.0)
    return replace(job, designs=(replace(brief, infill=infill),))


def edited(job: Job, step: int) -> Job:
    """The job with its first reading moved a little, by another amount at every step."""
    flight = job.flights[0]
    first, *others = flight.readings
    moved = replace(first, value=first.value + 0.05 * (step + 1))
    return replace(job, flights=(replace(flight, readings=(moved, *others)), *job.flights[1:]))


def long_job(risers: int) -> Job:
    """One flight of so many risers, irregular by a fixed pattern, with grooved uprights between new newels."""
    return load_text("\n".join(_long_text(risers)), f"flight of {risers}")


def _long_text(risers: int) -> Iterator[str]:
    rises = [188.0 + (7 * k % 5 - 2) for k in range(risers)]
    goings = [226.0 + (3 * k % 7 - 3) for k in range(risers - 1)]
    yield 'schema = "pitchline-job/1"'
    yield '[job]\ntitle = "Invented flight to time"\nplace = "england-dwelling"\nunits = "mm"'
    yield f'[[flights]]\nid = "main"\nrisers = {risers}\nnosing_overhang = 20\nreadings = ['
    for first in range(1, risers - 2, 3):
        run, rise = sum(goings[first - 1 : first + 2]), sum(rises[first : first + 3])
        yield f'  {{ kind = "straight", from = "N{first}", to = "N{first + 3}", value = {hypot(run, rise):.1f} }},'
    high = sum(rises) + 100.0
    yield f'  {{ kind = "level", setup = "laser", to = "floor", value = {high} }},'
    yield f'  {{ kind = "level", setup = "laser", to = "N{risers}", value = 100 }},'
    yield '  { kind = "plumb", setup = "plumb line", to = "N1", value = 0 },'
    yield f'  {{ kind = "plumb", setup = "plumb line", to = "N{risers}", value = {sum(goings)} }},'
    yield f"]\n[flights.rises]\nvalues = {rises}\n[flights.goings]\nvalues = {goings}"
    yield '[flights.string]\nid = "string"\nthickness = 32\ndepth = 240'
    margins = ["60", *['"-"'] * (risers - 2), "60"]
    yield f"margins = [{', '.join(margins)}]"
    yield '[[designs]]\nid = "A"\ntitle = "Invented"\nflight = "main"\nside = "left"'
    yield "[designs.handrail]\nwidth = 62\ndepth = 52"
    yield '[designs.base_rail]\nwidth = 62\ndepth = 34\nseat = "packed"\nleast_packing = 3'
    for end, at, offset in (("bottom", "N1", -62), ("top", f"N{risers}", 62)):
        yield f'[designs.{end}]\nkind = "new newel"\nat = "{at}"\noffset = {offset}'
        yield "along = 90\nacross = 90\nabove_rail = 90"
    yield '[designs.infill]\nkind = "uprights"\nshape = "rectangular"\nwidth = 32\nthickness = 32'
    yield '[designs.making]\nkind = "grooved"\nrail_groove = 10\nbase_groove = 8\nfillet_thickness = 6'
