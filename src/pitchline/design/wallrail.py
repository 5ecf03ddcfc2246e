"""A handrail on brackets along a wall, laid out: its line, its pieces and mitres, its brackets.

Lengths in mm, heights above the lowest finished floor. The rail's middle line stands at one distance from each
wall, so that the space behind it is kept at the proudest place; corners are where the middle lines meet.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.catalogue.rules import RuleSet
from pitchline.design.wall_brackets import Holds, Placed, Wanted, on_studs, spaced
from pitchline.design.wall_brief import Backing, CornerWay, WallEnd, WallRailBrief
from pitchline.design.wall_legs import Surroundings, WallCorner, rail_corner, wall_legs
from pitchline.design.wall_model import (
    Bracket,
    BracketRun,
    LegHeights,
    PieceKind,
    RailPiece,
    WallLeg,
    WallRail,
)
from pitchline.design.wall_path import Stretch, chain_of
from pitchline.design.wall_pieces import RunLine, wall_pieces
from pitchline.design.wall_remarks import wall_remarks
from pitchline.design.wall_rules import bracket_limits, clear_wanted, end_wanted, window_of
from pitchline.kit.geometry.frames import Vec3, along, dot, magnitude, subtract
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import SAME_POINT, STRAIGHT_ON
from pitchline.kit.words import Show, Words, plain_mm

__all__ = ["Surroundings", "compose_wall_rail"]


@dataclass(frozen=True, slots=True)
class _Laid:
    """The brief with its walls in place: everything that the next steps need."""

    brief: WallRailBrief
    rules: RuleSet
    legs: tuple[WallLeg, ...]
    corners: tuple[WallCorner, ...]
    clear: float
    centres: tuple[float, ...]

    @property
    def ways(self) -> tuple[CornerWay, ...]:
        return tuple(turn.way for turn in self.brief.turns)

    @property
    def runs(self) -> tuple[tuple[int, ...], ...]:
        """Numbers of the legs along which the rail goes on without a break."""
        runs: list[list[int]] = [[0]]
        for number, way in enumerate(self.ways, start=1):
            if way is CornerWay.BROKEN:
                runs.append([number])
            else:
                runs[-1].append(number)
        return tuple(tuple(run) for run in runs)

    def meets(self, number: int) -> Point2:
        """Where the rail's middle lines meet at a corner, on the leg before and on the leg after."""
        pair = (self.centres[number], self.centres[number + 1])
        return rail_corner(self.corners[number], pair, self.brief.side.towards_stair)


def compose_wall_rail(
    brief: WallRailBrief, around: Surroundings, rules: RuleSet, show: Show = plain_mm
) -> WallRail:
    """The finished wall rail. KeyError for a leg or point that is not there; ImpossibleDesignError for no room.

    Heights that miss the window and studs that do not allow the brackets are told as findings with the ways out.
    """
    legs, corners = wall_legs(brief, around)
    clear = clear_wanted(brief, rules)
    half = brief.rail.width / 2
    centres = tuple(_proudest(leg) + clear + half for leg in legs)
    laid = _Laid(brief, rules, legs, corners, clear, centres)
    paths: list[tuple[Point2, ...]] = []
    for run in laid.runs:
        paths += _run_paths(laid, run)
    lines = [RunLine(run, tuple(paths[number] for number in run)) for run in laid.runs]
    pieces, joints = wall_pieces(brief, legs, centres, lines)
    heights = tuple(_heights(laid, number, path) for number, path in enumerate(paths))
    runs = tuple(_brackets(laid, number, path) for number, path in enumerate(paths))
    rail = WallRail(
        id=brief.id,
        title=brief.title,
        side=brief.side,
        brief=brief,
        legs=legs,
        paths=tuple(paths),
        heights=heights,
        pieces=pieces,
        joints=joints,
        brackets=(),
        bracket_runs=tuple(run for run, _ in runs),
        runs=laid.runs,
        corners=laid.ways,
        clear=clear,
        centres=centres,
        findings=(),
    )
    rail = replace(rail, brackets=tuple(_marked(rail, [placed for _, placed in runs])))
    return replace(rail, findings=tuple(wall_remarks(rail, rules, Words(show))))


def _proudest(leg: WallLeg) -> float:
    """How far the proudest place of a face stands out of the straight line along it."""
    return max((proud for _, proud in leg.face_places), default=0.0)


def _run_paths(laid: _Laid, run: Sequence[int]) -> tuple[tuple[Point2, ...], ...]:
    """The rail's top line along one run, at the wished height or with the most margin to its window."""
    stretches = [_stretch(laid, number, run) for number in run]
    wish = laid.brief.rail.height
    if wish is None:
        return chain_of(stretches, enough=MARGIN_ENOUGH).paths
    slack = min(min(wish - stretch.low, stretch.high - wish) for stretch in stretches)
    wished = [
        Stretch(s.points, s.start, s.finish, wish, wish, s.level_before, s.level_after, s.is_level)
        for s in stretches
    ]
    return chain_of(wished, enough=-max(slack, 0.0)).paths


MARGIN_ENOUGH = 5.0
"""mm of margin with which a rail is bent no more: about twice the uncertainty of a height (common practice, no
source)."""


def _stretch(laid: _Laid, number: int, run: Sequence[int]) -> Stretch:
    """What one leg asks of the rail: its ends, its level pieces, its nosings and their window."""
    leg = laid.legs[number]
    start, before = _begin(laid, number, run)
    finish, after = _end(laid, number, run)
    low, high = window_of(laid.rules, is_level=leg.is_level)
    first, last = number == run[0], number == run[-1]
    if leg.is_level:
        rising = 0.0 if last else min(_rising(laid, number), finish - start - LEAST_LEVEL)
        ends = ((start, leg.nosings[0].z), (finish - rising, leg.nosings[-1].z))
        inner = tuple((n.u, n.z) for n in leg.nosings if start < n.u < finish - rising)
        points = tuple(sorted((*ends, *inner)))
        return Stretch(points, start, finish, low, high, 0.0, 0.0, True, max(rising, 0.0))
    points = tuple(
        (nosing.u, nosing.z)
        for nosing in leg.nosings
        if (not first or nosing.u >= start - leg.overhang - 1.0)
        and (not last or nosing.u <= finish + leg.overhang + 1.0)
    )
    floors = _floors(laid, number, (start, finish), (not first, not last))
    goes_on = not first and laid.legs[number - 1].is_level and _is_straight_on(laid, number - 1)
    return Stretch(
        tuple(sorted((*points, *floors))),
        start,
        finish,
        low,
        high,
        before,
        after,
        goes_on=goes_on and _rising(laid, number - 1) > 0.0,
    )


LEAST_LEVEL = 50.0
"""mm of level rail kept along a landing before the rail climbs to the flight that follows."""


def _first_going(leg: WallLeg) -> float:
    return leg.nosings[1].u - leg.nosings[0].u if len(leg.nosings) > 1 else USUAL_GOING


USUAL_GOING = 250.0
"""mm taken for the going of a flight of one riser (common practice, no source)."""


def _rising(laid: _Laid, number: int) -> float:
    """How far before the end of a level leg the rail must begin to climb to the flight that follows.

    The line of its nosings meets the floor one going before the first of them.
    """
    after = laid.legs[number + 1]
    if after.is_level:
        return 0.0
    return max(0.0, _first_going(after) - (after.nosings[0].u - laid.meets(number)[1]))


def _floors(laid: _Laid, number: int, ends: Point2, joined: tuple[bool, bool]) -> Iterator[Point2]:
    """Points of the floors that a flight's wall runs on along, before its steps and behind them, to the corners."""
    leg, (start, finish) = laid.legs[number], ends
    first, last = leg.nosings[0], leg.nosings[-1]
    foot = first.u - _first_going(leg)
    if joined[0] and start < foot and not laid.brief.turns[number - 1].winders:
        yield from ((start, leg.floor), (foot, leg.floor))
    if joined[1] and finish > last.u and not laid.brief.turns[number].winders:
        yield (finish, last.z)


def _begin(laid: _Laid, number: int, run: Sequence[int]) -> Point2:
    """Where the rail of a leg begins, and how much of it is level there."""
    leg = laid.legs[number]
    if number > run[0]:
        return laid.meets(number - 1)[1], _corner_level(laid, number - 1)
    if number > 0:
        return max(laid.meets(number - 1)[1], leg.start) + _stand_off(laid), 0.0
    past, level = _outer(laid, laid.brief.bottom, leg, at_head=False)
    return leg.nosings[0].u + (0.0 if leg.is_level else leg.overhang) - past, level


def _end(laid: _Laid, number: int, run: Sequence[int]) -> Point2:
    """Where the rail of a leg ends, and how much of it is level there."""
    leg = laid.legs[number]
    if number < run[-1]:
        return laid.meets(number)[0], _corner_level(laid, number)
    if number < len(laid.legs) - 1:
        return min(laid.meets(number)[0], leg.finish) - _stand_off(laid), 0.0
    past, level = _outer(laid, laid.brief.top, leg, at_head=True)
    return leg.nosings[-1].u + (0.0 if leg.is_level else leg.overhang) + past, level


def _outer(laid: _Laid, end: WallEnd, leg: WallLeg, *, at_head: bool) -> Point2:
    past, level = end_wanted(laid.rules, leg, at_head=at_head)
    past = past if end.past is None else end.past
    level = level if end.level is None else end.level
    return past, min(level, max(past, 0.0)) if end.level is None else level


def _corner_level(laid: _Laid, corner: int) -> float:
    turn = laid.brief.turns[corner]
    return turn.level if turn.way is CornerWay.LEVELLED and not _is_straight_on(laid, corner) else 0.0


def _is_straight_on(laid: _Laid, corner: int) -> bool:
    return abs(math.degrees(laid.corners[corner].angle)) <= STRAIGHT_ON


def _stand_off(laid: _Laid) -> float:
    """How far a rail that is broken at a corner stays from the other rail's middle line."""
    return laid.clear + laid.brief.rail.width / 2


def _heights(laid: _Laid, number: int, path: tuple[Point2, ...]) -> LegHeights:
    """The window of a leg and how the rail keeps it at the nosings that it passes."""
    leg = laid.legs[number]
    low, high = window_of(laid.rules, is_level=leg.is_level, told=True)
    run = next(run for run in laid.runs if number in run)
    passed = {u for u, _ in _stretch(laid, number, run).points}
    heights = tuple(_height_on(path, nosing.u) - nosing.z for nosing in leg.nosings)
    margins = [
        (min(height - low, high - height), nosing.name)
        for height, nosing in zip(heights, leg.nosings, strict=True)
        if nosing.u in passed
    ]
    margin, tightest = min(margins, default=(math.inf, ""))
    return LegHeights(low, None if math.isinf(high) else high, heights, margin, tightest)


def _height_on(path: tuple[Point2, ...], u: float) -> float:
    """Height of the line at a place; at its ends beyond them."""
    place = min(max(u, path[0][0]), path[-1][0])
    for (a, low), (b, high) in pairwise(path):
        if place <= b + SAME_POINT:
            return low + (high - low) * (place - a) / (b - a)
    return path[-1][1]


def _brackets(laid: _Laid, number: int, path: tuple[Point2, ...]) -> tuple[BracketRun, Placed]:
    """The brackets of one leg: from end to end of its rail, clear of its bends."""
    leg, brief = laid.legs[number], laid.brief.brackets
    limits = bracket_limits(laid.brief, laid.rules)
    inner = tuple(u for u, _ in path[1:-1])
    wanted = Wanted(path[0][0], path[-1][0], limits.apart, limits.first, inner, brief.rose / 2 + JOINT_CLEAR)
    if leg.face.backing is Backing.STUDS:
        studs = [
            Holds(stud.name, stud.u - room, stud.u + room)
            for stud in leg.studs
            if (room := stud.half_width - brief.edge) >= 0.0
        ]
        placed = on_studs(wanted, studs)
    else:
        placed = spaced(wanted, leg.face.backing.value)
    ends = (path[0][0], path[-1][0])
    return BracketRun(limits.apart, limits.first, ends, placed.places, placed.shortfalls), placed


def _marked(rail: WallRail, placed: Sequence[Placed]) -> Iterator[Bracket]:
    """Every bracket with its heights, packing and mark, numbered from the foot."""
    number = 0
    for leg_number, found in enumerate(placed):
        for u, on in zip(found.places, found.on, strict=True):
            number += 1
            yield _bracket(rail, leg_number, u, on, f"B{number}")


def _bracket(rail: WallRail, number: int, u: float, on: str, name: str) -> Bracket:
    leg, brief = rail.legs[number], rail.brief.brackets
    slope = rail.slope_at(number, u)
    under = rail.top_at(number, u) - rail.depth * math.hypot(1.0, slope)
    piece = _piece_at(rail, number, u)
    point = leg.frame.to_world((u, rail.side.towards_stair * rail.centres[number], rail.top_at(number, u)))
    return Bracket(
        id=name,
        leg=number,
        u=u,
        rail_z=under,
        plate_z=under - brief.drop,
        on=on,
        packing=_proudest(leg) - leg.proud(u),
        wedge=leg.face.lean * brief.rose_height,
        piece=piece.id,
        along=math.dist(point, piece.start),
    )


def _piece_at(rail: WallRail, number: int, u: float) -> RailPiece:
    """The piece that passes a place of a leg."""
    y = rail.side.towards_stair * rail.centres[number]
    point = rail.legs[number].frame.to_world((u, y, rail.top_at(number, u)))
    own = [piece for piece in rail.pieces if piece.kind is not PieceKind.RETURN]
    return min(own, key=lambda piece: _off(piece, point))


def _off(piece: RailPiece, point: Vec3) -> float:
    """How far a point lies from a piece's top line."""
    run = subtract(piece.finish, piece.start)
    share = dot(subtract(point, piece.start), run) / dot(run, run)
    return magnitude(subtract(point, along(piece.start, run, min(max(share, 0.0), 1.0))))


JOINT_CLEAR = 20.0
"""mm between the plate of a bracket and a mitre above it: its screws must not split the joint (common practice, no
source)."""
