"""Kinds of base: fixed to a face or notched over it, on a plate, dowelled into a stump, in a socket, as found.

Each is described by its fixings and sizes (mm) and gives, with its support, a :class:`BaseStiffness`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitchline.catalogue.strength import FixingType
from pitchline.strength.bases.springs import (
    RIGID,
    Range,
    about,
    bolt_pull,
    contact,
    in_series,
    screw_pull,
    shear_spring,
    socket,
)
from pitchline.strength.bases.supports import Support
from pitchline.strength.woods import Wood


@dataclass(frozen=True, slots=True)
class PostEnd:
    """The foot of a post: its wood and its sides along and across the balustrade."""

    wood: Wood
    along: float
    across: float


@dataclass(frozen=True, slots=True)
class FaceFixed:
    """The post stands against (or is notched over) the face of a string, joist or trimmer and is fixed through it.

    ``rows`` heights of fixings one above the other, ``pitch`` apart, ``columns`` side by side, ``spread`` apart;
    ``edge`` from the lowest row to the support's lower edge, on which it bears; ``notch`` mm are cut out of the
    post where it laps, ``thread`` is a screw's thread in the support.
    """

    fixing: FixingType
    rows: int = 2
    columns: int = 1
    pitch: float = 120.0
    spread: float = 0.0
    edge: float = 40.0
    notch: float = 0.0
    thread: float = 50.0
    tight_holes: bool = False


@dataclass(frozen=True, slots=True)
class OnPlate:
    """The post is screwed down on a surface plate (or through its foot): ``count`` screws, half of them each side.

    ``lever_along`` and ``lever_across``: from the screws in tension to the edge of the plate that bears.
    """

    fixing: FixingType
    count: int = 4
    lever_along: float = 100.0
    lever_across: float = 100.0
    thread: float = 60.0


@dataclass(frozen=True, slots=True)
class Dowelled:
    """The post is dowelled into the stump of an old newel or into a block: one dowel, glued ``depth`` deep."""

    diameter: float
    depth: float


@dataclass(frozen=True, slots=True)
class InSocket:
    """The post goes ``depth`` deep into a blocked socket that bears on all four faces."""

    depth: float


@dataclass(frozen=True, slots=True)
class AsFound:
    """A post that stands already, its base not known."""


Base = FaceFixed | OnPlate | Dowelled | InSocket | AsFound


@dataclass(frozen=True, slots=True)
class BaseStiffness:
    """A base as the model takes it: turning stiffness about both axes, and play of its holes as a turn (radians)."""

    name: str
    across: Range
    along: Range
    play_across: float
    play_along: float
    assumed: tuple[str, ...]

    def scaled(self, factor: float) -> "BaseStiffness":
        """The same base so many times as stiff."""
        return replace(self, across=self.across.times(factor), along=self.along.times(factor))


def base_stiffness(base: Base, post: PostEnd, support: Support) -> BaseStiffness:
    """The stiffness of a base with its support in series."""
    if isinstance(base, AsFound):
        known = Range(15e6, 40e6, 120e6)
        told = "base as found: 15 to 120 kNm/rad, 40 as mean, without source; pull at it to know"
        return BaseStiffness("as found", known, known, 0.0, 0.0, (told,))
    across, along, play_across, play_along, told = _joint(base, post, support)
    return BaseStiffness(
        _NAMES[type(base)],
        in_series([across, support.across]),
        in_series([along, support.along]),
        play_across,
        play_along,
        (told, support.assumed),
    )


_NAMES: dict[type, str] = {
    FaceFixed: "fixed to a face",
    OnPlate: "on a plate",
    Dowelled: "dowelled",
    InSocket: "in a socket",
}

Joint = tuple[Range, Range, float, float, str]


def _joint(base: Base, post: PostEnd, support: Support) -> Joint:
    if isinstance(base, FaceFixed):
        return _face_fixed(base, post, support)
    if isinstance(base, OnPlate):
        return _on_plate(base)
    if isinstance(base, Dowelled):
        return _dowelled(base, post)
    if isinstance(base, InSocket):
        return _in_socket(base, post)
    return (RIGID, RIGID, 0.0, 0.0, "")


def row_heights(base: FaceFixed) -> list[float]:
    """Heights of the rows above the edge that bears, lowest first."""
    return [base.edge + n * base.pitch for n in range(base.rows)]


def group_places(base: FaceFixed) -> list[tuple[float, float]]:
    """Places of the fixings about the middle of their group, in the plane of the face."""
    xs = [(n - (base.columns - 1) / 2) * base.spread for n in range(base.columns)]
    zs = [(n - (base.rows - 1) / 2) * base.pitch for n in range(base.rows)]
    return [(x, z) for x in xs for z in zs]


def _face_fixed(base: FaceFixed, post: PostEnd, support: Support) -> Joint:
    """Across: rows in tension against the lower edge in bearing. Along: the group turns in the plane of the face."""
    left = post.across - base.notch
    woods: tuple[tuple[Wood, float], ...] = ((post.wood, left),)
    if support.wood is not None:
        woods = (*woods, (support.wood, support.thickness))
    bolt = base.fixing.kind == "bolt"
    pull = bolt_pull(base.fixing, woods) if bolt else screw_pull(base.fixing, base.thread)
    square = base.columns * pull * sum(z**2 for z in row_heights(base))
    softer = support.wood or post.wood
    bearing = contact(softer, post.along * min(base.edge, 40.0), left)
    reach = max(row_heights(base))
    across = in_series([about(square), about(bearing * reach**2)])
    slip = shear_spring(base.fixing, post.wood, support.wood)
    polar = slip * sum(x**2 + z**2 for x, z in group_places(base))
    along = about(polar) if polar > 0.0 else Range(1.0, 1.0, 1.0)
    far = math.hypot((base.columns - 1) * base.spread, (base.rows - 1) * base.pitch)
    play = 0.0 if base.tight_holes or base.fixing.hole == 0.0 or far == 0.0 else base.fixing.hole / far
    told = (
        f"{base.rows * base.columns} x {base.fixing.name}, rows {base.pitch:g} mm apart, {base.edge:g} mm above the "
        f"edge that bears: fixings in tension across, in shear along (slip of EN 1995-1-1 table 7.1), half to twice"
    )
    return across, along, 0.0, play, told


def _on_plate(base: OnPlate) -> Joint:
    """Half the screws in tension, the plate's far edge bearing; mean half of that for plate and boards that bend."""
    pull = base.count / 2 * screw_pull(base.fixing, base.thread)
    across, along = (
        Range(k / 4, k / 2, k) for k in (pull * base.lever_across**2, pull * base.lever_along**2)
    )
    told = (
        f"plate on {base.count} x {base.fixing.name}, {base.thread:g} mm of thread, lever {base.lever_across:g} mm: "
        "half of what the screws alone give as mean, for plate and boards that bend"
    )
    return across, along, 0.0, 0.0, told


def _dowelled(base: Dowelled, post: PostEnd) -> Joint:
    """The dowel pulls like a screw of its size against the shoulder that bears, half a section away."""
    pull = 780.0 * math.pow(base.diameter, 0.2) * math.pow(base.depth, 0.4)
    told = (
        f"dowel {base.diameter:g} mm, {base.depth:g} mm deep, pulling against the shoulder: taken as a screw of its "
        "size, half to twice, without source"
    )
    return about(pull * (post.across / 2) ** 2), about(pull * (post.along / 2) ** 2), 0.0, 0.0, told


def _in_socket(base: InSocket, post: PostEnd) -> Joint:
    across = socket(post.wood.e_90, post.along, base.depth, post.across / 2)
    along = socket(post.wood.e_90, post.across, base.depth, post.along / 2)
    told = f"socket {base.depth:g} mm deep, bearing over its depth on both faces, half to twice"
    return about(across), about(along), 0.0, 0.0, told


def weakest_spring(bases: Sequence[BaseStiffness]) -> BaseStiffness:
    """The base that gives most across."""
    return min(bases, key=lambda base: base.across.mean)
