"""What the tables of an infill must say of each other."""

import math
from collections.abc import Callable, Iterator

from pitchline.design.brief import PanelKind, Shape, Spread, StrandKind
from pitchline.job.faults import Slip
from pitchline.job.model_infill import InfillTable, PanelsTable, StrandsTable, UprightsTable
from pitchline.job.positions import Path

Say = Callable[[float], str]
"""Puts a length into the job's unit."""


def infill_slips(path: Path, infill: InfillTable, say: Say) -> Iterator[Slip]:
    """Every contradiction inside one infill."""
    match infill:
        case StrandsTable():
            yield from _strands(path, infill, say)
        case PanelsTable():
            yield from _panels(path, infill, say)
        case _:
            yield from _uprights(path, infill, say)


def _strands(path: Path, infill: StrandsTable, say: Say) -> Iterator[Slip]:
    bar = infill.strand is StrandKind.BAR
    if not bar and infill.thickness is not None and infill.thickness != infill.depth:
        problem = f"a {infill.strand.value} is as thick as it is deep"
        yield Slip((*path, "thickness"), problem, remedy="take thickness out, or write the depth again")
    if not bar and infill.arris > 0:
        problem = f"a {infill.strand.value} has no long edges to chamfer"
        yield Slip((*path, "arris"), problem, remedy="take arris out")
    least = min(infill.depth, infill.thickness or infill.depth)
    if bar and infill.arris > least / 2:
        problem = f"a chamfer of {say(infill.arris)} leaves nothing of the bar"
        yield Slip((*path, "arris"), problem, None, f"up to {say(least / 2)}")
    if infill.strand is StrandKind.CABLE and infill.pull_n is None:
        remedy = "add pull_n = ..., what the maker of the fittings asks for"
        yield Slip((*path, "pull_n"), "it is not said how hard the cables are pulled", remedy=remedy)
    for key in ("pull_n", "push_n", "stretch_n"):
        if infill.strand is not StrandKind.CABLE and getattr(infill, key) is not None:
            problem = "only a cable is pulled, pressed apart and stretched"
            yield Slip((*path, key), problem, getattr(infill, key), remedy=f"take {key} out")
    yield from _spacing(path, infill, infill.depth, say)


def _panels(path: Path, infill: PanelsTable, say: Say) -> Iterator[Slip]:
    slatted = infill.panel is PanelKind.SLATTED
    word = f'panel = "{PanelKind.SLATTED.value}"'
    for key in ("slat", "slot"):
        if slatted and getattr(infill, key) is None:
            yield Slip((*path, key), f"a slatted panel needs its {key}", remedy=f"add {key} = ..., a length")
        if not slatted and getattr(infill, key) is not None:
            problem = f"{key} only means something with {word}"
            yield Slip((*path, key), problem, getattr(infill, key), remedy=f"take it out, or write {word}")
    word = f'panel = "{PanelKind.CUT.value}"'
    cut = infill.panel is PanelKind.CUT
    if cut and infill.pattern is None:
        remedy = 'add pattern = { file = "..." }, an SVG or DXF drawing beside the job'
        yield Slip((*path, "pattern"), "a cut pattern needs its drawing", remedy=remedy)
    if not cut and infill.pattern is not None:
        problem = f"pattern only means something with {word}"
        yield Slip((*path, "pattern"), problem, remedy=f"take it out, or write {word}")
    if infill.widest is None and infill.joint > 0:
        problem = "one panel that fills the bay has no joint"
        yield Slip((*path, "joint"), problem, infill.joint, remedy="add widest = ..., or take joint out")


def _uprights(path: Path, infill: UprightsTable, say: Say) -> Iterator[Slip]:
    if "lean" in infill.model_fields_set and "lean_deg" in infill.model_fields_set:
        yield Slip(
            (*path, "lean_deg"), "lean and lean_deg both say how the uprights lean", remedy="keep one of them"
        )
    thickness = infill.width if infill.thickness is None else infill.thickness
    if infill.shape is not Shape.RECTANGULAR and thickness != infill.width:
        problem = f"a {infill.shape.value} upright is as thick as it is wide"
        yield Slip((*path, "thickness"), problem, remedy="take thickness out, or write the width again")
    if infill.arris > min(infill.width, thickness) / 2:
        allowed = f"up to {say(min(infill.width, thickness) / 2)}"
        yield Slip(
            (*path, "arris"), f"a chamfer of {say(infill.arris)} leaves nothing of the upright", None, allowed
        )
    if infill.shape is Shape.ROUND and infill.arris > 0:
        yield Slip((*path, "arris"), "a round upright has no long edges to chamfer", remedy="take arris out")
    yield from _spacing(path, infill, infill.width, say)
    yield from _turning(path, infill, say)


_ONLY_WITH = {
    Spread.MODULE: ("module", "centred"),
    Spread.GROUPS: ("group", "inner_gap"),
    Spread.PER_TREAD: ("per_tread", "tread_place"),
}
"""Keys that mean something with one spread only."""

_OF_STRANDS = (Spread.EQUAL, Spread.HALF_ENDS, Spread.MODULE)


def _spacing(path: Path, infill: UprightsTable | StrandsTable, width: float, say: Say) -> Iterator[Slip]:
    by_module = infill.spread is Spread.MODULE
    if by_module and infill.module is None:
        remedy = "add module = ... (centre to centre), or choose another spread"
        yield Slip((*path, "spread"), "a fixed module is asked for, but not how large", remedy=remedy)
    if isinstance(infill, StrandsTable) and infill.spread not in _OF_STRANDS:
        allowed = ", ".join(f'"{spread.value}"' for spread in _OF_STRANDS)
        yield Slip((*path, "spread"), "strands are not spread like that", infill.spread.value, allowed)
    for spread, keys in _ONLY_WITH.items():
        word = f'spread = "{spread.value}"'
        for key in keys:
            if infill.spread is not spread and key in infill.model_fields_set:
                problem = f"{key} only means something with {word}"
                yield Slip(
                    (*path, key), problem, getattr(infill, key), remedy=f"take it out, or write {word}"
                )
    if infill.module is not None and infill.module <= width:
        members = "uprights" if isinstance(infill, UprightsTable) else "strands"
        problem = f"a module of {say(infill.module)} leaves no gap between {members} {say(width)} wide"
        yield Slip((*path, "module"), problem, allowed=f"more than {say(width)}")
    if infill.spread is Spread.PER_TREAD and infill.count is not None:
        problem = "how many there are follows from the treads, so count has no say"
        yield Slip((*path, "count"), problem, infill.count, remedy="take it out, or write per_tread = ...")
    others = [key for key in ("count", "module", "per_tread") if getattr(infill, key, None) is not None]
    if infill.max_gap is not None and others:
        problem = f"the gap follows from {' and '.join(others)}, so max_gap has no say"
        yield Slip((*path, "max_gap"), problem, remedy="keep max_gap or the other, not both")


def _turning(path: Path, infill: UprightsTable, say: Say) -> Iterator[Slip]:
    if infill.shape is not Shape.TURNED:
        for key in ("profile", "turned_from"):
            if key in infill.model_fields_set:
                problem = f'{key} only means something with shape = "turned"'
                yield Slip((*path, key), problem, remedy='take it out, or write shape = "turned"')
        return
    if len(infill.profile) < 2:
        remedy = "add profile = [ { above = ..., diameter = ... }, ... ] from the foot upwards"
        yield Slip(
            (*path, "profile"), "a turned upright needs two places of its turning or more", remedy=remedy
        )
    last = -math.inf
    for k, place in enumerate(infill.profile):
        here = (*path, "profile", k)
        if place.diameter > infill.width:
            problem = (
                f"a turning {say(place.diameter)} thick does not come out of a blank {say(infill.width)} wide"
            )
            yield Slip((*here, "diameter"), problem, allowed=f"up to {say(infill.width)}")
        if place.above <= last:
            yield Slip((*here, "above"), "the places of a turning go upwards, each above the last")
        last = place.above
