"""A frame with a node wherever a force stands on a member, for programs that know only nodes and lines of load."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import RIGID, Frame, Member, Node
from pitchline.kit.geometry.frames import Vec3, along, scale
from pitchline.kit.tolerances import CUT_APART


def cut_at_forces(frame: Frame, cases: Sequence[Case]) -> tuple[Frame, tuple[Case, ...]]:
    """The same frame and cases without forces inside members: those members are cut there, and the forces at nodes.

    The pieces of member ``m`` are ``m/1``, ``m/2`` and so on from its end ``i``, the nodes between them ``m@1`` and
    so on. Movements and forces are the same.
    """
    cuts = _cuts(frame, cases)
    if not cuts:
        return frame, tuple(cases)
    nodes, members = list(frame.nodes), []
    for place, member in enumerate(frame.members):
        stops = cuts.get(member.id)
        if stops is None:
            members.append(member)
            continue
        i, j = frame.xyz[frame.ends[place]]
        x, y, z = ((j - i) / np.linalg.norm(j - i)).tolist()
        nodes += [
            Node(f"{member.id}@{n}", along(tuple(i.tolist()), (x, y, z), at))
            for n, at in enumerate(stops, start=1)
        ]
        members += _pieces(member, len(stops))
    return Frame(tuple(nodes), tuple(members)), tuple(_on_pieces(frame, case, cuts) for case in cases)


Cuts = Mapping[str, Sequence[float]]


def _cuts(frame: Frame, cases: Sequence[Case]) -> dict[str, list[float]]:
    """Places inside members where forces stand, rising, none nearer to an end or another than ``CUT_APART``."""
    found: dict[str, list[float]] = {}
    for load in (load for case in cases for load in case.point):
        known = found.setdefault(load.member, [])
        at = min(max(load.at, CUT_APART), _length(frame, load.member) - CUT_APART)
        if all(abs(at - other) >= CUT_APART for other in known):
            known.append(at)
    return {name: sorted(places) for name, places in found.items()}


def _length(frame: Frame, member: str) -> float:
    i, j = frame.xyz[frame.ends[frame.member_index[member]]]
    return float(np.linalg.norm(j - i))


def _pieces(member: Member, cuts: int) -> Iterator[Member]:
    names = [member.i, *(f"{member.id}@{n}" for n in range(1, cuts + 1)), member.j]
    for n, (i, j) in enumerate(pairwise(names), start=1):
        yield replace(
            member,
            id=f"{member.id}/{n}",
            i=i,
            j=j,
            end_i=member.end_i if n == 1 else RIGID,
            end_j=member.end_j if n == cuts + 1 else RIGID,
        )


def _on_pieces(frame: Frame, case: Case, cuts: Cuts) -> Case:
    at_nodes = [_at_node(frame, load, cuts[load.member]) for load in case.point]
    lines = [part for line in case.line for part in _parts(frame, line, cuts)]
    return replace(case, nodal=(*case.nodal, *at_nodes), point=(), line=tuple(lines))


def _at_node(frame: Frame, load: PointLoad, stops: Sequence[float]) -> NodalLoad:
    """A force at the nearest cut, with the moment of what lies between."""
    n = min(range(len(stops)), key=lambda place: abs(stops[place] - load.at))
    i, j = frame.xyz[frame.ends[frame.member_index[load.member]]]
    away = (load.at - stops[n]) * (j - i) / np.linalg.norm(j - i)
    x, y, z = np.cross(away, load.force).tolist()
    return NodalLoad(f"{load.member}@{n + 1}", (*load.force, x, y, z))


def _parts(frame: Frame, line: LineLoad, cuts: Cuts) -> Iterator[LineLoad]:
    """A line of load over the pieces of a member that is cut."""
    stops = cuts.get(line.member)
    if stops is None:
        yield line
        return
    ends = [0.0, *stops, _length(frame, line.member)]
    for n, (start, finish) in enumerate(pairwise(ends), start=1):
        first, last = max(start, line.start), min(finish, line.finish)
        if last > first:
            yield LineLoad(
                f"{line.member}/{n}", first - start, last - start, _at(line, first), _at(line, last)
            )


def _at(line: LineLoad, place: float) -> Vec3:
    share = (place - line.start) / (line.finish - line.start)
    return along(scale(line.q0, 1.0 - share), line.q1, share)
