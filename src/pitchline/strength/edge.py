"""The strength of a whole edge: its legs stand together, so one answer is given for all of them.

A leg is handed in with its place in the edge (:class:`~pitchline.stair.edge.LegPlace`), which carries its own
co-ordinates into plan and height.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.parts.part import Part
from pitchline.stair.edge import LegPlace
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.run import strength_of
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.solved import DEFAULTS


@dataclass(frozen=True, eq=False)
class StandingLeg:
    """One leg of an edge as it stands: its design, its parts, and where it lies in plan and height."""

    design: Design
    parts: tuple[Part, ...]
    place: LegPlace


def strength_of_edge(
    legs: Sequence[StandingLeg], rules: RuleSet, settings: StrengthSettings = DEFAULTS
) -> StrengthReport | Unstable:
    """The strength and stiffness of an edge; :class:`Unstable` where it would not stand. ValueError without a leg."""
    if not legs:
        raise ValueError("an edge has at least one leg")
    found = [strength_of(leg.design, leg.parts, rules, settings) for leg in legs]
    fallen = [answer for answer in found if isinstance(answer, Unstable)]
    if fallen:
        return fallen[0]
    standing = [answer for answer in found if isinstance(answer, StrengthReport)]
    return max(standing, key=lambda report: report.movement.value / report.limit.value)
