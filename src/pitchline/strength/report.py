"""What the strength of a design comes to: movements, utilisations, bases, assumptions, findings. N, mm, MPa."""

from collections.abc import Mapping
from dataclasses import dataclass

from pitchline.kit.finding import Finding, RuleRef
from pitchline.kit.frame.mechanism import Mechanism
from pitchline.strength.bases.joints import BaseStiffness
from pitchline.strength.framing import Model
from pitchline.strength.loads import LoadCase
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

    ``low`` is that with every uncertain stiffness at its highest and ``high`` at its lowest, inf where it then does
    not stand at all. ``shares`` by name
    (bases, play of holes, newels, handrail, base rail, uprights, joints, fixings to string and wall) make ``value``.
    """

    case: str
    where: str
    u: float
    value: float
    low: float
    high: float
    shares: Mapping[str, float]


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


@dataclass(frozen=True, eq=False)
class Unstable:
    """A leg of a design that does not stand by itself: how it moves, and the finding that says so. No number."""

    design: str
    code: Code
    settings: StrengthSettings
    mechanisms: tuple[Mechanism, ...]
    assumptions: tuple[str, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class StrengthReport:
    """The strength of one leg of a design.

    ``movement`` is the worst over all cases, ``by_case`` one for each kind of load; ``utilisations`` from the most to
    the least used. ``unglued`` is the worst movement of a stacked rail whose layers only lie together, else None.
    """

    design: str
    code: Code
    settings: StrengthSettings
    model: Model
    cases: tuple[LoadCase, ...]
    movement: Movement
    by_case: tuple[Movement, ...]
    limit: DeflectionLimit
    utilisations: tuple[Utilisation, ...]
    posts: tuple[StandingPost, ...]
    sensitivity: tuple[Sensitivity, ...]
    unglued: float | None
    assumptions: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def governing(self) -> Utilisation:
        """What is used most."""
        return self.utilisations[0]

    @property
    def utilisation(self) -> float:
        """Of what is used most."""
        return self.governing.ratio
