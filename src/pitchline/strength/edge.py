"""The strength of a whole edge: its legs stand together in one frame, so one answer is given for all of them.

A leg is handed in with its place in the edge (:class:`~pitchline.stair.edge.LegPlace`), which carries its own
co-ordinates into plan and height.
"""

from collections.abc import Sequence

from pitchline.catalogue.rules import RuleSet
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.legs import StandingLeg
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.run import strength_of_study
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.solved import DEFAULTS, Study

__all__ = ["StandingLeg", "strength_of_edge"]


def strength_of_edge(
    legs: Sequence[StandingLeg],
    rules: RuleSet,
    settings: StrengthSettings = DEFAULTS,
    words: Words = PLAIN,
) -> StrengthReport | Unstable:
    """The strength and stiffness of an edge, its legs from the foot up; :class:`Unstable` where it would not stand.

    ``words`` writes lengths in what is said of it. ValueError without a leg.
    """
    if not legs:
        raise ValueError("an edge has at least one leg")
    return strength_of_study(Study(tuple(legs), rules, settings, words))
