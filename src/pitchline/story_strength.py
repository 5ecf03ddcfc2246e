"""The strength of every edge of a design: the step of the story, and what is worked out only where it is shown."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.balustrade import Balustrade
from pitchline.kit.finding import Finding
from pitchline.kit.words import Show, Words
from pitchline.parts.part import Part
from pitchline.strength.edge import StandingLeg, strength_of_edge
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.settings import StrengthSettings


@dataclass(frozen=True, eq=False)
class EdgeStrength:
    """One edge of a design as it stands, what it is judged by and with, and the answer."""

    whole: Balustrade
    legs: tuple[StandingLeg, ...]
    rules: RuleSet
    settings: StrengthSettings
    words: Words
    answer: StrengthReport | Unstable

    @property
    def name(self) -> str:
        """The design's id, with the edge's where it has one."""
        return f"{self.whole.id} {self.whole.edge}" if self.whole.edge else self.whole.id

    @property
    def report(self) -> StrengthReport | None:
        """The numbers; None of an edge that does not stand."""
        return self.answer if isinstance(self.answer, StrengthReport) else None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is to be said of it."""
        return self.answer.findings


def strength_of_balustrade(
    edges: Sequence[Balustrade],
    parts: Sequence[tuple[Part, ...]],
    rules: RuleSet,
    settings: StrengthSettings,
    show: Show,
) -> tuple[EdgeStrength, ...]:
    """The strength of every edge of one design; ``parts`` are those of its legs, edge by edge.

    InputError where a pull test says what cannot be.
    """
    return tuple(_edges(edges, parts, rules, settings, Words(show)))


def _edges(
    edges: Sequence[Balustrade],
    parts: Sequence[tuple[Part, ...]],
    rules: RuleSet,
    settings: StrengthSettings,
    words: Words,
) -> Iterator[EdgeStrength]:
    of_legs = iter(parts)
    for whole in edges:
        legs = tuple(
            StandingLeg(design, next(of_legs), place)
            for design, place in zip(whole.legs, whole.places, strict=True)
        )
        answer = strength_of_edge(legs, rules, settings, words)
        yield EdgeStrength(whole, legs, rules, settings, words, answer)


def worst_of(strength: Sequence[EdgeStrength]) -> EdgeStrength:
    """Of several edges the one that does not stand, else the one nearest its limits. ValueError of none."""
    if not strength:
        raise ValueError("a design has at least one edge")

    def pressing(one: EdgeStrength) -> tuple[bool, float]:
        report = one.report
        if report is None:
            return True, 0.0
        return False, max(report.movement.value / report.limit.value, report.utilisation)

    return max(strength, key=pressing)
