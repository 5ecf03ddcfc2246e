"""What winders must say of the flights between which they lie."""

from collections.abc import Iterator

from pitchline.job.convert_winders import winder_facts
from pitchline.job.cross_edge import Stack
from pitchline.job.cross_names import unknown
from pitchline.job.faults import Slip
from pitchline.job.model_winders import WindersTable
from pitchline.job.positions import Path
from pitchline.stair.winder_facts import winder_faults


def winder_slips(path: Path, winders: WindersTable, stack: Stack) -> Iterator[Slip]:
    """Every contradiction of one set of winders."""
    for key, name in (("lower", winders.lower), ("upper", winders.upper)):
        flight = stack.flights.get(name)
        if flight is None and stack.whole:
            yield unknown((*path, key), "the job has no flight of this id", name, stack.names)
        elif flight is not None and flight.level:
            yield Slip((*path, key), "winders lie between two flights, and this is the edge of a floor", name)
    lower = stack.flights.get(winders.lower)
    if (
        winders.leaves is not None
        and lower is not None
        and winders.leaves > (lower.nosings or winders.leaves)
    ):
        problem = f"{winders.lower!r} has no nosing {winders.leaves}"
        yield Slip((*path, "leaves"), problem, winders.leaves, f"1 to {lower.nosings}")
    top = None if lower is None else lower.nosings
    told = list(_rises(path, winders))
    yield from told
    if not told:
        for clause in winder_faults(winder_facts(winders, top or 1)):
            yield Slip((*path, "nosings"), clause)
    yield from _stands(winders, stack)


def _rises(path: Path, winders: WindersTable) -> Iterator[Slip]:
    """Every nosing but the first has its rise."""
    for k, nosing in enumerate(winders.nosings):
        if k == 0 and nosing.rise is not None:
            problem = "the first nosing is the last of the flight below, which has its rise already"
            yield Slip((*path, "nosings", k, "rise"), problem, nosing.rise, remedy="take it out")
        elif k > 0 and nosing.rise is None:
            remedy = "add rise = ..., plumb from the nosing before"
            yield Slip((*path, "nosings", k, "rise"), "this nosing needs its rise", remedy=remedy)


def _stands(winders: WindersTable, stack: Stack) -> Iterator[Slip]:
    """The flight above stands on them: its own lower floor is the last winder's tread."""
    upper = stack.flights.get(winders.upper)
    if upper is None or not upper.whole:
        return
    if upper.stands_on is None or upper.stands_on.flight != winders.id:
        problem = f"the flight above winders {winders.id!r} stands on them"
        remedy = f'write stands_on = {{ flight = "{winders.id}" }}'
        yield Slip((*upper.path, "stands_on"), problem, remedy=remedy)
