"""What the strength of a design comes to: movements, utilisations, bases, assumptions, findings. N, mm, MPa."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from pitchline.kit.finding import Finding, RuleRef
from pitchline.kit.frame.mechanism import Mechanism
from pitchline.kit.frame.model import Frame, Six
from pitchline.strength.bases.joints import BaseStiffness
from pitchline.strength.loads import LoadCase
from pitchline.strength.model import Model
from pitchline.strength.settings import Code, StrengthSettings


@dataclass(frozen=True, slots=True)
class Utilisation:
    """How far one thing is used: ``ratio`` of what acts to what it may bear (1 and less holds; inf: nothing bears).

    ``what``: bending, shear, torsion, base, rail end; ``acts`` and ``bears`` in ``unit``; ``worked`` the numbers
    behind them in words; ``case`` the load case ("infill point" and "infill pressure" of what is not in the frame).
    """

    piece: str
    what: str
    clause: str
    ratio: float
    acts: float
    bears: float
    unit: str
    case: str
    worked: str

    @property
    def where(self) -> str:
        """Piece and kind of strain in words."""
        return f"{self.piece}, {self.what}"


@dataclass(frozen=True, slots=True)
class Movement:
    """The largest level movement of the guarding in one load case, mm, where it is, and what it is made of.

    ``node`` is the frame's node that moves, ``rail`` the handrail it is on, ``u`` its place in the unrolled edge.
    ``low`` is the movement with every uncertain stiffness at its highest and ``high`` at its lowest, inf where it
    then does not stand at all. ``shares`` by name (bases, play of holes, newels, handrail, base rail, uprights,
    joints, fixings to string and wall) make ``value``.
    """

    case: str
    where: str
    u: float
    value: float
    low: float
    high: float
    shares: Mapping[str, float]
    node: str = ""
    rail: str = ""


@dataclass(frozen=True, slots=True)
class DeflectionLimit:
    """A limit on movement: mm, where it stands, whether it binds, in words what it is of."""

    value: float
    what: str
    rule: RuleRef | None
    binds: bool


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Movement and utilisation with bases so many times as stiff as likely."""

    factor: float
    movement: float
    utilisation: float


@dataclass(frozen=True, slots=True)
class StandingPost:
    """A post's base as used, and how far its head moves in the worst case, mm."""

    post: str
    base: BaseStiffness
    moves: float


@dataclass(frozen=True, slots=True)
class WallDemand:
    """What a wall must bear where a rail or half newel hangs on it: pull out of it, shear along it, N, factored.

    Of a half newel it is that at the worst of its ``places``, one above the other.
    """

    piece: str
    kind: str
    pull: float
    shear: float
    case: str
    places: int = 1


class Later(Protocol):
    """What a report works out only when it is asked for."""

    def by_case(self) -> tuple[Movement, ...]:
        """The worst movement of each kind of load."""

    def sensitivity(self) -> tuple[Sensitivity, ...]:
        """With bases half and twice as stiff."""

    def unglued(self) -> float | None:
        """The worst movement without glue."""

    def shape(self) -> tuple[tuple[str, Six], ...]:
        """The movement of every node in the worst case."""


@dataclass(frozen=True, eq=False)
class Unstable:
    """An edge that does not stand: how it moves, and the finding that says so. No number.

    Each of ``mechanisms`` has the movement of every node for a picture, ``frame`` where the nodes are.
    """

    design: str
    code: Code
    settings: StrengthSettings
    mechanisms: tuple[Mechanism, ...]
    assumptions: tuple[str, ...]
    findings: tuple[Finding, ...]
    frame: Frame
    legs: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class StrengthReport:
    """The strength of an edge, its ``legs`` from the foot up.

    ``movement`` is the worst over all cases; ``utilisations`` from the most to the least used; ``walls`` what walls
    must bear. Further numbers are worked out when they are first asked for.
    """

    design: str
    code: Code
    settings: StrengthSettings
    model: Model
    cases: tuple[LoadCase, ...]
    movement: Movement
    limit: DeflectionLimit
    utilisations: tuple[Utilisation, ...]
    posts: tuple[StandingPost, ...]
    walls: tuple[WallDemand, ...]
    assumptions: tuple[str, ...]
    findings: tuple[Finding, ...]
    legs: tuple[str, ...]
    later: Later

    @property
    def governing(self) -> Utilisation:
        """What is used most."""
        return self.utilisations[0]

    @property
    def utilisation(self) -> float:
        """Of what is used most."""
        return self.governing.ratio

    @property
    def holds(self) -> bool:
        """Whether movement and strength hold with likely values."""
        return self.movement.value <= self.limit.value and self.utilisation <= 1.0

    @cached_property
    def by_case(self) -> tuple[Movement, ...]:
        """The worst movement of each kind of load."""
        return self.later.by_case()

    @cached_property
    def sensitivity(self) -> tuple[Sensitivity, ...]:
        """Movement and utilisation with bases half and twice as stiff as likely."""
        return self.later.sensitivity()

    @cached_property
    def unglued(self) -> float | None:
        """The worst movement of stacked rails whose layers only lie together; None where there are none."""
        return self.later.unglued()

    @cached_property
    def shape(self) -> tuple[tuple[str, Six], ...]:
        """The movement of every node in the worst case, mm and radians, for a picture."""
        return self.later.shape()
