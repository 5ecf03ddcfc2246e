"""Drawings of patterns beside a job: found from its folder, read when one is asked for."""

from collections.abc import Iterator
from pathlib import Path

from pitchline.design.brief import CutPattern
from pitchline.job.faults import Slip
from pitchline.job.model_infill import InfillTable, PanelsTable, PatternTable
from pitchline.job.pieces import DesignPieces
from pitchline.job.positions import Path as Place
from pitchline.kit.errors import InputError


def pattern_of(table: PatternTable, folder: Path) -> CutPattern:
    """The pattern of a drawing in the job's folder. InputError with every fault of the drawing."""
    from pitchline.design.infill.pattern_file import PatternWish, read_pattern  # heavy, and few jobs have one

    wish = PatternWish(table.width, table.height, table.follow, table.margin, table.clip, table.unit)
    return read_pattern(folder / table.file, wish)


def pattern_slips(design: DesignPieces, job: Path | None) -> Iterator[Slip]:
    """Drawings that are not there or that nothing can be cut from; ``job`` is the job file, None if never saved."""
    for leg in (design.asked, *design.legs):
        place, table = (*leg.at("infill"), "pattern", "file"), _pattern(leg.infill)
        if table is not None:
            yield from _drawing(place, table, job)


def _pattern(infill: InfillTable | None) -> PatternTable | None:
    return infill.pattern if isinstance(infill, PanelsTable) else None


def _drawing(place: Place, table: PatternTable, job: Path | None) -> Iterator[Slip]:
    if job is None:
        problem = "a job that is not saved yet has no folder to look in"
        yield Slip(place, problem, table.file, remedy="save the job first")
    elif not (job.parent / table.file).is_file():
        remedy = "the name starts from the folder of the job file"
        yield Slip(place, "there is no such drawing", table.file, remedy=remedy)
    else:
        try:
            pattern_of(table, job.parent)
        except InputError as error:
            for fault in error.faults:
                seen = "" if fault.found is None else f" ({fault.found})"
                problem = f"{fault.where}: {fault.problem}{seen}"
                yield Slip(place, problem, table.file, fault.allowed, fault.remedy)
