"""Pieces of board split into the layers that a router cuts: one a piece, several a newel, registered by dowels.

Heights come from the boards as they were measured. What the router cannot make is left to be done, in words.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.kit.geometry.frames import Vec3, dot, scale
from pitchline.kit.tolerances import SHEET_TAKEN_FOR, STACK_FIT
from pitchline.kit.words import Words
from pitchline.making.layers_cut import PLAIN_WORDS, Taking, layers_of_target, named
from pitchline.making.layers_dowels import Board, board_of, dowel_places, dowels_in, is_outer
from pitchline.making.router import Layer, RouterWork, Stack
from pitchline.making.router_target import NotForRouterError, Target, flat, target_of
from pitchline.making.routing import Routing
from pitchline.making.shop import Router
from pitchline.parts.part import Hole, Part, Role, Sawn

BOARDS = ("plywood", "fibreboard")
"""Kinds of material that come as sheets, to be cut by a router as they are."""

_IN_RAIL = (Role.RAIL_STRIP, Role.RAIL_CHEEK, Role.RAIL_BLOCK)
_IN_BASE = (Role.BASE_STRIP, Role.BASE_CHEEK, Role.BASE_BLOCK)
_NEWELS = (Role.NEWEL, Role.HALF_NEWEL)


@dataclass(frozen=True)
class Machine:
    """The router, how it is used, and the drills at hand.

    By material ``boards`` are the thicknesses of board as measured, and ``longest`` the length of the longest.
    ``words`` writes lengths for the user.
    """

    router: Router
    routing: Routing
    boards: Mapping[str, tuple[float, ...]]
    drills: tuple[float, ...] = ()
    longest: Mapping[str, float] = field(default_factory=dict)
    words: Words = PLAIN_WORDS

    def bed(self, material: str) -> Router:
        """The router with as much of its bed as a piece of this material may take, margins left."""
        margin = 2.0 * (self.routing.margin + max(self.router.cutters))
        length = min(self.router.bed_length, self.longest.get(material, self.router.bed_length))
        return replace(self.router, bed_length=length - margin, bed_width=self.router.bed_width - margin)


def router_work(legs: Sequence[Sequence[Part]], machine: Machine) -> RouterWork:
    """The layers of all pieces of board of a design, like ones together, and what is left out."""
    layers: list[Layer] = []
    stacks: list[Stack] = []
    left_out: dict[str, str] = {}
    for parts in legs:
        made, glued, missed = _leg(parts, machine)
        layers += made
        stacks += glued
        left_out.update(missed)
    return RouterWork(*named(layers, stacks), tuple(left_out.items()))


def _leg(parts: Sequence[Part], machine: Machine) -> tuple[list[Layer], list[Stack], dict[str, str]]:
    layers: list[Layer] = []
    stacks: list[Stack] = []
    missed: dict[str, str] = {}
    targets: dict[str, Target] = {}
    for part in parts:
        if not _is_board(part):
            continue
        try:
            lying, split = _lying(part, machine)
            targets[part.place] = target_of(_with_bore(lying, machine.routing), machine.routing, split)
            if split > 1:
                made = _newel(targets.pop(part.place), split, machine)
                layers += made
                what = f"{part.role.value} {part.place}"
                stacks.append(Stack(part.place, what, tuple(made), machine.routing.dowel))
        except NotForRouterError as why:
            missed[part.place] = str(why)
    for what, roles in (("handrail", _IN_RAIL), ("base rail", _IN_BASE)):
        inside = [targets.pop(part.place) for part in parts if part.role in roles and part.place in targets]
        if inside:
            name = _bar_name(inside)
            made = _rail(inside, machine, missed)
            layers += made
            stacks.append(Stack(name, f"{what} {name}", tuple(made), machine.routing.dowel))
    for target in targets.values():
        layers += _layers(target, None, (), machine, missed)
    return layers, stacks, missed


def _is_board(part: Part) -> bool:
    """Whether a piece is cut from a sheet, or sawn to an outline from solid wood."""
    kind = load_timber(part.material).kind if part.material in list_timbers() else ""
    sawn = any(isinstance(feature, Sawn) for feature in part.features)
    return kind in BOARDS or (sawn and kind in ("hardwood", "softwood"))


def _lying(part: Part, machine: Machine) -> tuple[Part, int]:
    """The piece as it lies in its board, and of how many boards it is glued up."""
    known = machine.boards.get(part.material, ())
    if not known or any(isinstance(feature, Sawn) for feature in part.features):
        return part, 1
    if _near(part.thickness, known):
        return part, 1
    if _near(part.width, known):
        return flat(part), 1
    if part.role in _NEWELS:
        return part, _count(part, known, machine)
    mm = machine.words.mm
    sizes = " or ".join(map(mm, known))
    raise NotForRouterError(f"it is {mm(part.thickness)} thick, and the boards are {sizes}")


def _near(size: float, known: Sequence[float]) -> bool:
    return any(abs(size - one) <= SHEET_TAKEN_FOR for one in known)


def _count(part: Part, known: Sequence[float], machine: Machine) -> int:
    """How many boards make a newel. NotForRouterError where no whole number does, with what would."""
    sizes, mm = [], machine.words.mm
    for board in known:
        count = max(2, round(part.thickness / board))
        if abs(count * board - part.thickness) <= STACK_FIT * count:
            return count
        sizes.append(f"{count} of {mm(board)} make {mm(count * board)}")
    raise NotForRouterError(
        f"no whole number of boards makes {mm(part.thickness)}: {', '.join(sizes)}; make the newel that thick"
    )


def _with_bore(part: Part, routing: Routing) -> Part:
    """A newel with the channel up its middle for a rod or bolt."""
    if part.role not in _NEWELS or routing.newel_bore <= 0.0:
        return part
    depth = min(routing.newel_bore_depth, part.length)
    rod = Hole((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), routing.newel_bore, depth)
    return replace(part, features=(*part.features, rod))


def _newel(target: Target, count: int, machine: Machine) -> list[Layer]:
    """A newel's layers from the one that lies lowest (its -Z) up."""
    part = target.part
    step = part.thickness / count
    low = -part.thickness / 2.0
    slabs = [(low + k * step, low + (k + 1) * step) for k in range(count)]
    at = _newel_dowels(part, machine.routing)
    layers: list[Layer] = []
    for number, (a, b) in enumerate(slabs):
        reach = _blind(a, b, number == 0, number == count - 1)
        taking = Taking(f"{part.place}-{number + 1}", target, (a, b), at, reach, number, machine.words)
        layers += layers_of_target(taking, machine.bed(part.material), machine.routing, machine.drills)
    return layers


def _newel_dowels(part: Part, routing: Routing) -> tuple[tuple[float, float], ...]:
    """Dowels up a newel, to either side of its middle in turn, so that its layers cannot be glued up turned round."""
    if routing.dowel <= 0.0:
        return ()
    board = board_of(part, (0.0, 0.0, 1.0), routing.dowel)
    beside = part.width / 4.0
    wished = _row(part.length, routing.dowels_apart)
    found = []
    for k, x in enumerate(wished):
        for y in (beside, -beside) if k % 2 else (-beside, beside):
            at = (x, y)
            if dowels_in(board, (part.frame.to_world((x, y, 0.0)),)):
                found.append(at)
                break
    return tuple(found)


def _row(length: float, apart: float) -> Iterator[float]:
    inset = min(60.0, length / 4.0)
    count = max(2, round((length - 2 * inset) / apart) + 1)
    for k in range(count):
        yield inset + (length - 2 * inset) * k / (count - 1)


BLIND = 0.3
"""Share of an outer layer that a dowel's hole leaves standing, so that it does not show."""


def _blind(low: float, high: float, first: bool, last: bool) -> tuple[float, float]:
    """Between which heights the dowel holes of a layer go: outer layers keep a skin."""
    keep = BLIND * (high - low)
    return (low + keep if first else low, high - keep if last else high)


def _rail(targets: Sequence[Target], machine: Machine, missed: dict[str, str]) -> list[Layer]:
    """The layers of a stacked rail with the dowels that register them."""
    routing = machine.routing
    across = _from_first(targets)
    boards = [board_of(target.part, across, routing.dowel) for target in targets]
    places = dowel_places(boards, routing.dowel, routing.dowels_apart) if routing.dowel > 0.0 else ()
    heights = sorted({round(board.low, 1) for board in boards})
    layers: list[Layer] = []
    for target, board in zip(targets, boards, strict=True):
        number = heights.index(round(board.low, 1))
        at = dowels_in(board, places)
        layers += _layers(target, number, at, machine, missed, glued=(board, boards, across))
    return layers


def _from_first(targets: Sequence[Target]) -> Vec3:
    """The direction from the first layer, a, on the walking side, to the last."""
    through: Vec3 = targets[0].part.frame.z
    by_letter = sorted(targets, key=lambda target: target.part.place[-1])
    first, last = (dot(through, target.part.frame.origin) for target in (by_letter[0], by_letter[-1]))
    return through if first <= last else scale(through, -1.0)


def _layers(
    target: Target,
    number: int | None,
    dowels: Sequence[tuple[float, float]],
    machine: Machine,
    missed: dict[str, str],
    *,
    glued: tuple[Board, Sequence[Board], Vec3] | None = None,
) -> Sequence[Layer]:
    half = target.part.thickness / 2.0
    reach = (-half, half)
    if glued is not None and dowels:
        board, boards, across = glued
        first, last = is_outer(board, boards)
        if dot(board.part.frame.z, across) < 0.0:
            first, last = last, first
        reach = _blind(-half, half, first, last)
    taking = Taking(target.part.place, target, (-half, half), tuple(dowels), reach, number, machine.words)
    try:
        return layers_of_target(taking, machine.bed(target.part.material), machine.routing, machine.drills)
    except NotForRouterError as why:
        missed[target.part.place] = str(why)
        return ()


def _bar_name(targets: Sequence[Target]) -> str:
    """The rail's own name: that of its first strip or cheek without the layer's letter."""
    whole = [t.part.place for t in targets if t.part.role not in (Role.RAIL_BLOCK, Role.BASE_BLOCK)]
    return (whole or [targets[0].part.place])[0].rstrip("abc")
