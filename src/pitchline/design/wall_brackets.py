"""Where the brackets of a wall rail go: on studs where there are studs, spaced out where the wall holds anywhere.

Distances are level, along the wall, in mm. On studs the fewest brackets that keep every distance are sought, and of
those the most even ones, exactly (shortest path over the studs). Where the studs do not allow it, the layout that
misses by least is taken and what it misses is told.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.kit.tolerances import SAME_POINT


@dataclass(frozen=True, slots=True)
class Holds:
    """A place where a bracket can be screwed: its name and the range along the wall in which it holds."""

    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Wanted:
    """The rail runs from ``start`` to ``finish``; brackets keep ``clear`` from the places named in ``joints``.

    ``apart`` is the greatest distance between two brackets, ``first`` the greatest from an end to the first.
    """

    start: float
    finish: float
    apart: float
    first: float
    joints: tuple[float, ...] = ()
    clear: float = 45.0


@dataclass(frozen=True, slots=True)
class Placed:
    """Where brackets go and on what; ``shortfalls`` are the distances that are too great: from, to, limit."""

    places: tuple[float, ...]
    on: tuple[str, ...]
    shortfalls: tuple[tuple[float, float, float], ...]


def spaced(wanted: Wanted, on: str) -> Placed:
    """Brackets where the wall holds anywhere: as few as keep the distances, evenly, at least two."""
    length = wanted.finish - wanted.start
    first = min(wanted.first, length / 4.0)
    ends = (_off_joints(wanted.start + first, wanted), _off_joints(wanted.finish - first, wanted))
    count = max(2, math.ceil((ends[1] - ends[0]) / wanted.apart - SAME_POINT) + 1)
    while True:
        step = (ends[1] - ends[0]) / (count - 1)
        inner = (_off_joints(ends[0] + k * step, wanted) for k in range(1, count - 1))
        places = (ends[0], *inner, ends[1])
        wide = any(b - a > wanted.apart + SAME_POINT for a, b in pairwise(places))
        if not wide or step < 2.0 * wanted.clear:
            return Placed(places, (on,) * count, tuple(_too_great(places, wanted)))
        count += 1


def _off_joints(place: float, wanted: Wanted) -> float:
    """The place moved just as far as a joint of the rail asks: towards the rail's nearer end if there is room."""
    for joint in wanted.joints:
        if abs(place - joint) < wanted.clear - SAME_POINT:
            middle = (wanted.start + wanted.finish) / 2.0
            inwards = joint + math.copysign(wanted.clear, middle - joint)
            outwards = joint - math.copysign(wanted.clear, middle - joint)
            room = wanted.start + wanted.clear <= outwards <= wanted.finish - wanted.clear
            return outwards if room else inwards
    return place


def on_studs(wanted: Wanted, studs: Iterable[Holds]) -> Placed:
    """Brackets on studs: the fewest that keep the distances, or those that miss them by least."""
    usable = [(stud.name, place) for stud in studs if (place := _on_stud(stud, wanted)) is not None]
    usable.sort(key=lambda pair: pair[1])
    if not usable:
        return Placed((), (), ((wanted.start, wanted.finish, wanted.apart),))
    chosen = _least_excess([place for _, place in usable], wanted)
    places = tuple(usable[k][1] for k in chosen)
    return Placed(places, tuple(usable[k][0] for k in chosen), tuple(_too_great(places, wanted)))


def _on_stud(stud: Holds, wanted: Wanted) -> float | None:
    """Where on a stud: its middle, or as near to it as the rail's joints and ends allow; None where they do not."""
    low = max(stud.low, wanted.start + wanted.clear)
    high = min(stud.high, wanted.finish - wanted.clear)
    if low > high:
        return None
    place = min(max((stud.low + stud.high) / 2.0, low), high)
    for joint in wanted.joints:
        if abs(place - joint) < wanted.clear - SAME_POINT:
            sides = [joint - wanted.clear, joint + wanted.clear]
            free = [side for side in sides if low <= side <= high]
            if not free:
                return None
            place = min(free, key=lambda side: abs(side - place))
    return place


_Cost = tuple[float, int, float]
"""What is too much in all, number of brackets, sum of the squares of the distances: in this order."""


def _least_excess(places: Sequence[float], wanted: Wanted) -> tuple[int, ...]:
    """The cheapest chain of studs from end to end, a shortest path; at least two where there are two."""
    best: list[tuple[_Cost, tuple[int, ...]]] = []
    for k, place in enumerate(places):
        options = [_step((0.0, 0, 0.0), place - wanted.start, wanted.first, ())]
        options += [_step(cost, place - places[chain[-1]], wanted.apart, chain) for cost, chain in best]
        cost, chain = min(options)
        best.append((cost, (*chain, k)))
    ends = [_step(cost, wanted.finish - places[chain[-1]], wanted.first, chain) for cost, chain in best]
    enough = [end for end in ends if len(end[1]) > 1]
    return min(enough or ends)[1]


def _step(
    cost: _Cost, distance: float, limit: float, chain: tuple[int, ...]
) -> tuple[_Cost, tuple[int, ...]]:
    over = max(0.0, distance - limit - SAME_POINT)
    return (cost[0] + over, cost[1] + 1, cost[2] + distance * distance), chain


def _too_great(places: Sequence[float], wanted: Wanted) -> Iterable[tuple[float, float, float]]:
    """The distances that are greater than they may be."""
    stops = [(wanted.start, wanted.first), *((place, wanted.apart) for place in places)]
    for number, (place, limit) in enumerate(stops):
        last = number == len(places)
        following = wanted.finish if last else places[number]
        allowed = wanted.first if last and places else limit
        if following - place > allowed + SAME_POINT:
            yield place, following, allowed
