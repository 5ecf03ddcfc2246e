"""The frame: nodes with the ground under them, members with their sections and joints.

World axes x, y, z; a member's own axes: x from ``i`` to ``j``, z as near to ``z_axis`` as is square to x, and
y = z cross x. Six numbers at a node or a member's end stand for movements along x, y, z and turns about them.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import cast

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.geometry.frames import Vec3, cross, magnitude, subtract, unit
from pitchline.kit.tolerances import SAME_DIRECTION, SAME_POINT

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
Six = tuple[float, float, float, float, float, float]

RIGID: Six = (math.inf,) * 6
"""An end that gives nowhere; as ground: fixed."""

FREE: Six = (0.0,) * 6
"""Held nowhere."""


@dataclass(frozen=True, slots=True)
class Section:
    """What a cross-section brings: area (mm2), second moments about its own y and z and torsion constant (mm4).

    ``kappa_y`` and ``kappa_z`` are the shares of the area that carry shear along y and z; infinite: no shear
    deformation that way.
    """

    area: float
    iy: float
    iz: float
    torsion: float
    kappa_y: float = math.inf
    kappa_z: float = math.inf


def rectangle(y: float, z: float) -> Section:
    """A solid rectangle ``y`` by ``z`` mm, measured along the member's own y and z.

    Torsion constant after the two-term formula of Roark's Formulas for Stress and Strain, table of torsion (within
    0.5 % of the series); shear share 5/6.
    """
    long, short = max(y, z), min(y, z)
    ratio = short / long
    torsion = long * short**3 * (1.0 / 3.0 - 0.21 * ratio * (1.0 - ratio**4 / 12.0))
    return Section(y * z, y * z**3 / 12.0, z * y**3 / 12.0, torsion, 5.0 / 6.0, 5.0 / 6.0)


def round_bar(diameter: float) -> Section:
    """A solid round bar; shear share 9/10 (strain energy of the parabolic shear flow)."""
    inertia = math.pi * diameter**4 / 64.0
    return Section(math.pi * diameter**2 / 4.0, inertia, inertia, 2.0 * inertia, 0.9, 0.9)


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the frame; ``ground`` are spring stiffnesses to the ground (N/mm, Nmm/rad), inf for fixed."""

    id: str
    at: Vec3
    ground: Six | None = None


@dataclass(frozen=True, slots=True)
class Member:
    """A straight member of ``e`` and ``g`` (MPa) between two nodes.

    ``end_i`` and ``end_j`` are the stiffnesses of its joints along its own axes: inf rigid, 0 released.
    """

    id: str
    i: str
    j: str
    e: float
    g: float
    section: Section
    z_axis: Vec3 = (0.0, 0.0, 1.0)
    end_i: Six = RIGID
    end_j: Six = RIGID


@dataclass(frozen=True, eq=False)
class Frame:
    """Nodes and members, checked: InputError with every fault where they make no frame."""

    nodes: tuple[Node, ...]
    members: tuple[Member, ...]

    def __post_init__(self) -> None:
        if self._plainly_sound():
            return
        faults = [*_node_faults(self.nodes), *_frame_faults(self.nodes, self.members)]
        if faults:
            raise InputError(faults, "the frame")

    def _plainly_sound(self) -> bool:
        """Whether nothing is wrong, by quick tests that may say no to a sound frame."""
        index, members = self.node_index, self.members
        named = len(index) == len(self.nodes) and len(self.member_index) == len(members) > 0
        if not named or any(m.i not in index or m.j not in index for m in members):
            return False
        axis = self.xyz[self.ends[:, 1]] - self.xyz[self.ends[:, 0]]
        if not np.isfinite(axis).all() or not (np.abs(axis).max(axis=1) > SAME_POINT).all():
            return False
        reference = np.array([m.z_axis for m in members])
        across = np.abs(np.cross(axis, reference)).max(axis=1)
        sizes = np.array([(m.e, m.g, s.area, s.iy, s.iz, s.torsion) for m in members for s in (m.section,)])
        shares = np.array([(m.section.kappa_y, m.section.kappa_z) for m in members])
        joints = self.joints
        loose = (joints == 0.0).reshape(-1, 2, 6)
        return bool(
            (self.ground >= 0.0).all()
            and (across > 1e-3 * np.abs(axis).max(axis=1) * np.abs(reference).max(axis=1)).all()
            and (sizes > 0.0).all()
            and np.isfinite(sizes).all()
            and (shares > 0.0).all()
            and (joints >= 0.0).all()
            and not loose[:, :, :4].any(axis=1)[:, :3].any()
            and not (loose[:, 0, 3] & loose[:, 1, 3]).any()
        )

    def with_springs(self, ground: FloatArray, joints: FloatArray) -> "Frame":
        """The same nodes and members on other springs: ``ground`` (nodes, 6), ``joints`` (members, 12), none below 0.

        What does not hang on springs is not worked out or checked again.
        """
        other = object.__new__(_OnOtherSprings)
        same = {name: getattr(self, name) for name in ("node_index", "member_index", "ends", "xyz")}
        other.__dict__.update(same | {"ground": ground, "joints": joints, "_before": self})
        return other

    @cached_property
    def joints(self) -> FloatArray:
        """Stiffnesses of the joints at both ends of each member, own axes, (members, 12)."""
        return np.array([(*m.end_i, *m.end_j) for m in self.members])

    @cached_property
    def node_index(self) -> Mapping[str, int]:
        """Place of each node by id."""
        return {node.id: place for place, node in enumerate(self.nodes)}

    @cached_property
    def member_index(self) -> Mapping[str, int]:
        """Place of each member by id."""
        return {member.id: place for place, member in enumerate(self.members)}

    @cached_property
    def ends(self) -> IntArray:
        """Places of both nodes of each member, (members, 2)."""
        index = self.node_index
        return np.array([(index[m.i], index[m.j]) for m in self.members], dtype=np.intp)

    @cached_property
    def xyz(self) -> FloatArray:
        """Where the nodes are, (nodes, 3)."""
        return np.array([node.at for node in self.nodes])

    @cached_property
    def ground(self) -> FloatArray:
        """Ground springs, (nodes, 6), inf where fixed."""
        return np.array([node.ground or FREE for node in self.nodes])


class _OnOtherSprings(Frame):
    """A frame with the springs of two tables; its nodes and members are only written when somebody reads them."""

    def __getattr__(self, name: str) -> object:
        if name == "nodes":
            held = zip(self.before.nodes, self.ground.tolist(), strict=True)
            found: object = tuple(
                Node(node.id, node.at, None if node.ground is None else _six(row)) for node, row in held
            )
        elif name == "members":
            joined = zip(self.before.members, self.joints.tolist(), strict=True)
            found = tuple(
                member
                if member.end_i is RIGID and member.end_j is RIGID
                else replace(member, end_i=_six(row[:6]), end_j=_six(row[6:]))
                for member, row in joined
            )
        else:
            raise AttributeError(name)
        self.__dict__[name] = found
        return found

    @property
    def before(self) -> Frame:
        """The frame on its first springs."""
        return cast("Frame", self.__dict__["_before"])


def _six(row: Sequence[float]) -> Six:
    a, b, c, d, e, f = row
    return (a, b, c, d, e, f)


def _node_faults(nodes: Iterable[Node]) -> Iterator[Fault]:
    seen: set[str] = set()
    for node in nodes:
        where = f"node {node.id}"
        if node.id in seen:
            yield Fault(where, "two nodes have this name", remedy="give each a name of its own")
        seen.add(node.id)
        if not all(math.isfinite(v) for v in node.at):
            yield Fault(where, "its place is no number", str(node.at), "finite mm")
        if node.ground is not None and not all(k >= 0.0 for k in node.ground):
            yield Fault(where, "a ground spring is below zero", str(node.ground), "0 (free) to inf (fixed)")


def _frame_faults(nodes: tuple[Node, ...], members: tuple[Member, ...]) -> Iterator[Fault]:
    if not members:
        yield Fault("members", "there is no member", remedy="a frame needs at least one")
    places = {node.id: node.at for node in nodes}
    seen: set[str] = set()
    for member in members:
        where = f"member {member.id}"
        if member.id in seen:
            yield Fault(where, "two members have this name", remedy="give each a name of its own")
        seen.add(member.id)
        missing = [name for name in (member.i, member.j) if name not in places]
        if missing:
            yield Fault(where, "it hangs on a node that is not there", ", ".join(missing))
            continue
        yield from _axis_faults(where, places[member.i], places[member.j], member.z_axis)
        yield from _size_faults(where, member)
        yield from _end_faults(where, member)


def _axis_faults(where: str, start: Vec3, finish: Vec3, z_axis: Vec3) -> Iterator[Fault]:
    axis = subtract(finish, start)
    if not magnitude(axis) > SAME_POINT:
        yield Fault(where, "it has no length", remedy="let it run between two different places")
    elif not magnitude(z_axis) > 0.0 or magnitude(cross(unit(axis), unit(z_axis))) <= SAME_DIRECTION:
        yield Fault(where, "its z axis runs along it", str(z_axis), remedy="name a direction across it")


def _size_faults(where: str, member: Member) -> Iterator[Fault]:
    s = member.section
    sizes = {
        "E": member.e,
        "G": member.g,
        "area": s.area,
        "Iy": s.iy,
        "Iz": s.iz,
        "torsion constant": s.torsion,
    }
    for name, value in sizes.items():
        if not 0.0 < value < math.inf:
            yield Fault(where, f"its {name} is no size", str(value), "a finite number above zero")
    for name, value in {"kappa_y": s.kappa_y, "kappa_z": s.kappa_z}.items():
        if not value > 0.0:
            yield Fault(
                where, f"its {name} is no share", str(value), "above zero, inf for no shear deformation"
            )


def _end_faults(where: str, member: Member) -> Iterator[Fault]:
    if not all(k >= 0.0 for k in (*member.end_i, *member.end_j)):
        yield Fault(where, "a joint has a stiffness below zero", allowed="0 (released) to inf (rigid)")
        return
    loose = [k == 0.0 for k in (*member.end_i, *member.end_j)]
    if (loose[0] and loose[6]) or (loose[3] and loose[9]):
        what = "slide along" if loose[0] and loose[6] else "spin about"
        yield Fault(where, f"it is free to {what} its axis between its ends", remedy="hold it at one end")
    for across, turn in ((1, 5), (2, 4)):
        released = [loose[across], loose[turn], loose[across + 6], loose[turn + 6]]
        if sum(released) > 2 or (released[0] and released[2]):
            axis = "y" if across == 1 else "z"
            yield Fault(
                where, f"its ends leave it free to move along its {axis}", remedy="hold it at one end"
            )
