"""Whether a way of making fits the rails and the members that it joins."""

from collections.abc import Iterator

from pitchline.design.brief import Shape
from pitchline.job.faults import Slip
from pitchline.job.model_design import BaseRailTable
from pitchline.job.model_infill import UprightsTable
from pitchline.job.model_making import BoredTable, GroovedTable, MakingTable, StackedTable
from pitchline.job.pieces import LegPieces
from pitchline.job.positions import Path
from pitchline.kit.tolerances import STACK_FIT


def _rail(leg: LegPieces) -> BaseRailTable | None:
    """The base rail, None if there is none or it cannot be read."""
    return leg.base_rail if isinstance(leg.base_rail, BaseRailTable) else None


def _uprights(leg: LegPieces) -> UprightsTable | None:
    """The uprights, None if there are none or they cannot be read."""
    return leg.infill if isinstance(leg.infill, UprightsTable) else None


def making_slips(path: Path, leg: LegPieces, making: MakingTable) -> Iterator[Slip]:
    """Whether a making fits the rails and the infill of a leg; ``path`` is its own place."""
    infill = _uprights(leg)
    round_ones = infill is not None and infill.shape is Shape.ROUND
    if round_ones and not isinstance(making, BoredTable):
        yield Slip((*path, "kind"), "round uprights need bored holes", making.kind, '"bored"')
    if infill is not None and infill.shape is Shape.RECTANGULAR and isinstance(making, BoredTable):
        problem = "rectangular uprights do not fit bored holes"
        yield Slip((*path, "kind"), problem, making.kind, '"grooved" or "stacked"')
    match making:
        case GroovedTable():
            yield from _grooved(path, leg, making)
        case StackedTable():
            yield from _stacked(path, leg, making)
        case BoredTable():
            yield from _within_rails(
                path, leg, "rail_depth", "base_depth", making.rail_depth, making.base_depth
            )


def _within_rails(
    path: Path, leg: LegPieces, rail_key: str, base_key: str, in_rail: float, in_base: float
) -> Iterator[Slip]:
    say = leg.say
    for key, depth, rail, name in (
        (rail_key, in_rail, leg.handrail, "handrail"),
        (base_key, in_base, _rail(leg), "base rail"),
    ):
        if rail is not None and depth >= rail.depth:
            problem = f"{say(depth)} cuts through the {name}, which is {say(rail.depth)} deep"
            yield Slip((*path, key), problem, allowed=f"less than {say(rail.depth)}")


def _grooved(path: Path, leg: LegPieces, making: GroovedTable) -> Iterator[Slip]:
    say = leg.say
    yield from _within_rails(path, leg, "rail_groove", "base_groove", making.rail_groove, making.base_groove)
    for key, groove in (("rail_groove", making.rail_groove), ("base_groove", making.base_groove)):
        if making.fillet_thickness > groove:
            problem = f"fillets {say(making.fillet_thickness)} thick stand out of a groove {say(groove)} deep"
            yield Slip((*path, key), problem, allowed=f"{say(making.fillet_thickness)} or more")
    infill = _uprights(leg)
    if infill is None:
        return
    thickness = infill.width if infill.thickness is None else infill.thickness
    groove = thickness + making.clearance
    for rail, name in ((leg.handrail, "handrail"), (_rail(leg), "base_rail")):
        if rail is not None and groove >= rail.width:
            problem = f"a groove {say(groove)} wide for the uprights leaves nothing of the rail"
            yield Slip((*leg.at(name), "width"), problem, allowed=f"more than {say(groove)}")


def _stacked(path: Path, leg: LegPieces, making: StackedTable) -> Iterator[Slip]:
    say = leg.say
    yield from _within_rails(path, leg, "rail_block", "base_block", making.rail_block, making.base_block)
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
    thickness = infill.width if infill.thickness is None else infill.thickness
    room = len(making.member_layers) * making.layer_thickness
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
