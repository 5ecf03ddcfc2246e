"""Whether a way of making fits the rails and the members that it joins."""

import math
from collections.abc import Iterator

from pitchline.design.brief import Shape
from pitchline.design.makings import TreadFoot
from pitchline.job.faults import Slip
from pitchline.job.model_design import BaseRailTable
from pitchline.job.model_heads import BoredHeadTable, DowelledHeadTable, GroovedHeadTable, MortisedHeadTable
from pitchline.job.model_infill import PanelsTable, StrandsTable, UprightsTable
from pitchline.job.model_making import (
    BetweenPostsTable,
    BoredMetalTable,
    BoredTable,
    ClampedTable,
    DowelledTable,
    GroovedTable,
    MakingTable,
    MortisedTable,
    OnTreadsTable,
    StackedTable,
)
from pitchline.job.pieces import LegPieces
from pitchline.job.positions import Path
from pitchline.kit.tolerances import STACK_FIT

_GROOVED = GroovedTable | GroovedHeadTable
_MORTISED = MortisedTable | MortisedHeadTable
_DOWELLED = DowelledTable | DowelledHeadTable
_BORED = BoredTable | BoredHeadTable


def _rail(leg: LegPieces) -> BaseRailTable | None:
    """The base rail, None if there is none or it cannot be read."""
    return leg.base_rail if isinstance(leg.base_rail, BaseRailTable) else None


def _uprights(leg: LegPieces) -> UprightsTable | None:
    """The uprights, None if there are none or they cannot be read."""
    return leg.infill if isinstance(leg.infill, UprightsTable) else None


def thickness_of(infill: UprightsTable) -> float:
    """The side of uprights across the stair."""
    return infill.width if infill.thickness is None else infill.thickness


def making_slips(path: Path, leg: LegPieces, making: MakingTable) -> Iterator[Slip]:
    """Whether a making fits the rails and the infill of a leg; ``path`` is its own place."""
    yield from _kinds(path, leg, making)
    match making:
        case StackedTable():
            yield from _stacked(path, leg, making)
        case OnTreadsTable():
            yield from _on_treads(path, leg, making)
        case BoredMetalTable():
            yield from _within_rails(path, leg, making.rail_depth, making.base_depth)
            yield from _hole(path, leg, making)
        case GroovedTable():
            yield from _within_rails(path, leg, making.rail_groove, making.base_groove, "groove")
            yield from _fillets(path, leg, making)
        case MortisedTable():
            yield from _within_rails(path, leg, making.rail_depth, making.base_depth)
            yield from _tenon(path, leg, making)
        case DowelledTable():
            yield from _within_rails(path, leg, making.rail_depth, making.base_depth)
            yield from _dowel(path, leg, making)
        case BoredTable():
            yield from _within_rails(path, leg, making.rail_depth, making.base_depth)
        case ClampedTable() | BetweenPostsTable():
            pass


def _kinds(path: Path, leg: LegPieces, making: MakingTable) -> Iterator[Slip]:
    """Which making takes which infill."""
    if isinstance(making, ClampedTable) and _uprights(leg) is not None:
        yield Slip((*path, "kind"), "clamps hold panels, not uprights", making.kind)
    strands = isinstance(leg.infill, StrandsTable)
    if strands and not isinstance(making, BetweenPostsTable):
        yield Slip((*path, "kind"), "strands run from post to post", making.kind, '"between posts"')
    if isinstance(making, BetweenPostsTable) and _uprights(leg) is not None:
        yield Slip((*path, "kind"), "uprights do not run from post to post", making.kind)
    if isinstance(leg.infill, PanelsTable) and not isinstance(
        making, ClampedTable | GroovedTable | StackedTable
    ):
        problem = "panels stand in grooves or in clamps"
        yield Slip((*path, "kind"), problem, making.kind, '"grooved", "stacked" or "clamped"')
    infill = _uprights(leg)
    if infill is None:
        return
    joined = making.head if isinstance(making, OnTreadsTable) else making
    place = (*path, "head") if isinstance(making, OnTreadsTable) else path
    if infill.shape is Shape.ROUND and isinstance(joined, _GROOVED | StackedTable | _MORTISED):
        problem = "round uprights need bored holes or dowels"
        yield Slip((*place, "kind"), problem, joined.kind, '"bored", "bored metal" or "dowelled"')
    if infill.shape is Shape.RECTANGULAR and isinstance(joined, _BORED):
        problem = "rectangular uprights do not fit bored holes"
        allowed = '"grooved", "stacked", "mortised" or "dowelled"; for metal bars "bored metal"'
        yield Slip((*place, "kind"), problem, joined.kind, allowed)


def _within_rails(
    path: Path, leg: LegPieces, in_rail: float, in_base: float | None, what: str = "depth"
) -> Iterator[Slip]:
    say = leg.say
    for key, depth, rail, name in (
        (f"rail_{what}", in_rail, leg.handrail, "handrail"),
        (f"base_{what}", in_base, _rail(leg), "base rail"),
    ):
        if rail is not None and depth is not None and depth >= rail.depth:
            problem = f"{say(depth)} cuts through the {name}, which is {say(rail.depth)} deep"
            yield Slip((*path, key), problem, allowed=f"less than {say(rail.depth)}")


def _fillets(path: Path, leg: LegPieces, making: _GROOVED) -> Iterator[Slip]:
    """Fillets lie in their grooves, and grooves leave something of the rails."""
    say = leg.say
    grooves = [("rail_groove", making.rail_groove)]
    if isinstance(making, GroovedTable):
        grooves.append(("base_groove", making.base_groove))
    for key, depth in grooves:
        if making.fillet_thickness > depth:
            problem = f"fillets {say(making.fillet_thickness)} thick stand out of a groove {say(depth)} deep"
            yield Slip((*path, key), problem, allowed=f"{say(making.fillet_thickness)} or more")
    infill = _uprights(leg)
    if infill is not None:
        width = thickness_of(infill) + making.clearance
        yield from _cuts(leg, width, f"a groove {say(width)} wide for the uprights")
    elif isinstance(leg.infill, PanelsTable):
        width = leg.infill.thickness + making.clearance
        yield from _cuts(leg, width, f"a groove {say(width)} wide for the panels")


def _cuts(leg: LegPieces, width: float, what: str) -> Iterator[Slip]:
    """A cut along or into the rails leaves something of them on both sides."""
    for rail, name in ((leg.handrail, "handrail"), (_rail(leg), "base_rail")):
        if rail is not None and width >= rail.width:
            problem = f"{what} leaves nothing of the rail"
            yield Slip((*leg.at(name), "width"), problem, allowed=f"more than {leg.say(width)}")


def _tenon(path: Path, leg: LegPieces, making: _MORTISED) -> Iterator[Slip]:
    infill, say = _uprights(leg), leg.say
    if infill is None:
        return
    thickness = thickness_of(infill)
    tenon = thickness if making.tenon_thickness is None else making.tenon_thickness
    if tenon > thickness:
        problem = f"a tenon {say(tenon)} thick does not come out of uprights {say(thickness)} thick"
        yield Slip((*path, "tenon_thickness"), problem, allowed=f"up to {say(thickness)}")
    if 2 * making.shoulder >= infill.width:
        problem = (
            f"two shoulders of {say(making.shoulder)} leave no tenon on uprights {say(infill.width)} wide"
        )
        yield Slip((*path, "shoulder"), problem, allowed=f"less than {say(infill.width / 2)}")
    width = tenon + making.clearance
    yield from _cuts(leg, width, f"a mortise {say(width)} across")


def _dowel(path: Path, leg: LegPieces, making: _DOWELLED) -> Iterator[Slip]:
    infill = _uprights(leg)
    if infill is not None:
        yield from _pin((*path, "diameter"), leg, making.diameter, "dowel")


def _pin(path: Path, leg: LegPieces, diameter: float, what: str) -> Iterator[Slip]:
    infill, say = _uprights(leg), leg.say
    if infill is None:
        return
    least = min(infill.width, thickness_of(infill))
    if diameter >= least:
        problem = f"a {what} {say(diameter)} thick leaves nothing of uprights {say(least)} thick"
        yield Slip(path, problem, allowed=f"less than {say(least)}")


def _hole(path: Path, leg: LegPieces, making: BoredMetalTable) -> Iterator[Slip]:
    infill, say = _uprights(leg), leg.say
    if infill is None:
        return
    square = infill.shape is Shape.RECTANGULAR
    across = math.hypot(infill.width, thickness_of(infill)) if square else infill.width
    if making.hole < across:
        problem = f"bars {say(across)} across{' their corners' if square else ''} do not go into this hole"
        yield Slip((*path, "hole"), problem, making.hole, f"{say(across)} or more")
    yield from _cuts(leg, making.hole, f"a hole {say(making.hole)} wide")


def _on_treads(path: Path, leg: LegPieces, making: OnTreadsTable) -> Iterator[Slip]:
    """Feet on treads, heads in the handrail."""
    pinned = making.foot is not TreadFoot.DOVETAIL
    for key in ("diameter", "end_depth"):
        there = getattr(making, key) is not None
        if pinned and not there:
            problem = f"a {making.foot.value} needs its {key}"
            yield Slip((*path, key), problem, remedy=f"add {key} = ..., a length")
        elif there and not pinned:
            problem = f"{key} means nothing with a dovetail"
            yield Slip((*path, key), problem, getattr(making, key), remedy="take it out")
    if pinned and making.cover > 0:
        remedy = 'take it out, or write foot = "dovetail"'
        yield Slip((*path, "cover"), "only a dovetail is covered", making.cover, remedy=remedy)
    if pinned and making.diameter is not None:
        yield from _pin((*path, "diameter"), leg, making.diameter, making.foot.value)
    head, at = making.head, (*path, "head")
    match head:
        case GroovedHeadTable():
            yield from _within_rails(at, leg, head.rail_groove, None, "groove")
            yield from _fillets(at, leg, head)
        case MortisedHeadTable():
            yield from _within_rails(at, leg, head.rail_depth, None)
            yield from _tenon(at, leg, head)
        case DowelledHeadTable():
            yield from _within_rails(at, leg, head.rail_depth, None)
            yield from _dowel(at, leg, head)
        case BoredHeadTable():
            yield from _within_rails(at, leg, head.rail_depth, None)


def _stacked(path: Path, leg: LegPieces, making: StackedTable) -> Iterator[Slip]:
    say = leg.say
    yield from _within_rails(path, leg, making.rail_block, making.base_block, "block")
    wanted = making.layers * making.layer_thickness
    for rail, name in ((leg.handrail, "handrail"), (_rail(leg), "base_rail")):
        if rail is not None and abs(rail.width - wanted) > STACK_FIT:
            problem = (
                f"{making.layers} layers of {say(making.layer_thickness)} make a rail {say(wanted)} wide"
            )
            yield Slip(
                (*leg.at(name), "width"),
                problem,
                allowed=f"{say(wanted)}",
                remedy="make the two agree",
            )
    yield from _member_layers(path, making)
    infill = _uprights(leg)
    if infill is None:
        return
    thickness, room = thickness_of(infill), len(making.member_layers) * making.layer_thickness
    if thickness > room + STACK_FIT:
        problem = f"uprights {say(thickness)} thick do not go into {say(room)}, the layers kept for them"
        key = "width" if infill.thickness is None else "thickness"
        yield Slip((*leg.at("infill"), key), problem, allowed=f"up to {say(room)}")


def _member_layers(path: Path, making: StackedTable) -> Iterator[Slip]:
    here = (*path, "member_layers")
    layers = making.member_layers
    allowed = f"neighbouring layers, from 1 to {making.layers}, in order"
    if not layers:
        yield Slip(here, "no layer is kept for the uprights", allowed=allowed)
    elif max(layers) > making.layers:
        yield Slip(here, f"there is no layer {max(layers)} among {making.layers}", allowed=allowed)
    elif layers != list(range(layers[0], layers[0] + len(layers))):
        yield Slip(here, "the layers for the uprights must lie side by side", allowed=allowed)
