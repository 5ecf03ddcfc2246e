"""Drawings and models of the job as it is solved now, made when asked for and kept until the next edit."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from pitchline.app.web.desk import Desk

if TYPE_CHECKING:
    from pitchline.story import Solved

T = TypeVar("T")


def drawing(desk: Desk, name: str) -> str | None:
    """A drawing as SVG: FLIGHT-stair, DESIGN-elevation, DESIGN-openings, DESIGN-plan or DESIGN-whole; else None."""
    state = desk.job.state()
    if state.solved is None:
        return None
    makers = dict(drawings(state.solved))
    if name not in makers:
        return None
    return kept(desk, f"drawing {name}", state.version, makers[name])


def kept(desk: Desk, name: str, version: int, work: Callable[[], T]) -> T:
    """What was made for this version of the job, else the work, kept."""
    known = desk.kept.get(name)
    if known is not None and known[0] == version:
        return known[1]  # type: ignore[no-any-return]  # the name fixes the type
    made = work()
    desk.kept[name] = (version, made)
    return made


def drawings(solved: "Solved") -> Iterator[tuple[str, Callable[[], str]]]:
    """Every drawing that can be asked for, by its name, and what draws it."""
    from pitchline.app.web.sheet_data import style_of
    from pitchline.sheets import drawings as sheets

    style = style_of(solved.job)
    sides = {design.design.flight.id: design.design.side for design in solved.designs}
    for surveyed in solved.flights:
        flight = surveyed.flight
        if flight.id in sides and not flight.is_level:
            yield f"{flight.id}-stair", partial(_first, sheets.stair_sheet, flight, sides[flight.id], style)
    for leg in solved.designs:
        name = leg.design.id
        yield f"{name}-elevation", partial(_first, sheets.elevation_sheet, leg.design, None, style)
        yield f"{name}-openings", partial(_first, sheets.openings_sheet, leg.design, leg.report, style)
        yield f"{name}-plan", partial(_first, sheets.plan_sheet, leg.design, style)


def _first(sheet: Callable[..., object], *told: object) -> str:
    """The main drawing of a sheet."""
    made = sheet(*told)
    return str(made.drawn[0].picture.svg)  # type: ignore[attr-defined]  # every sheet has drawings


def model(desk: Desk, design: str) -> bytes | None:
    """A design and the stair about it as GLB; None where there is no such design."""
    state = desk.job.state()
    if state.solved is None:
        return None
    whole = next((w for w in state.solved.balustrades if w.id == design), None)
    if whole is None:
        return None

    def work() -> bytes:
        from pitchline.solids.glb import scene_glb
        from pitchline.solids.scene import scene_of

        scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
        return scene_glb(whole.title, scene.parts, scene.around)

    return kept(desk, f"model {design}", state.version, work)
