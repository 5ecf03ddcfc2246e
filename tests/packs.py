"""The invented examples solved once, for tests that look at their sheets and packs."""

from functools import cache
from pathlib import Path

from pitchline.app.result import result_document
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit
from pitchline.parts.explode import Group, grouped
from pitchline.sheets.drawings import Style
from pitchline.sheets.pack import write_pack
from pitchline.story import Solved, SolvedDesign, solve

UNITS = {"mm": Unit.MM, "in": Unit.INCH}


def example_text(units: str) -> str:
    """The text of an invented example."""
    return starting_text(units, UNITS[units])


@cache
def solved(units: str) -> Solved:
    """An invented example, solved."""
    return solve(load_text(example_text(units)))


def designs(units: str) -> tuple[SolvedDesign, ...]:
    """Its designs."""
    return solved(units).designs


def groups_of(design: SolvedDesign) -> tuple[Group, ...]:
    """The pieces of a design by mark."""
    return grouped(design.parts)


def style_of(job: Solved) -> Style:
    """How its user wants drawings."""
    return Style(job.job.unit, job.job.paper, job.job.projection == "first")


def packed(job: Solved, folder: Path) -> Path:
    """Its whole pack, written."""
    write_pack(job, folder, result_document(job))
    return folder
