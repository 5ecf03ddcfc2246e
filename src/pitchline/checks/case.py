"""What every check is given, and how it words what it found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.openings import Opened
from pitchline.survey.next_reading import next_reading
from pitchline.survey.readings import Coordinate

_WORST_FIRST = (Verdict.FAIL, Verdict.UNSURE, Verdict.ADVICE, Verdict.REPORT, Verdict.PASS)


LIMIT_WORDS = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
"""What a comparison asks for, in words."""


def severity(verdict: Verdict) -> int:
    """0 for the worst verdict (fail), growing to pass."""
    return _WORST_FIRST.index(verdict)


def worst_first(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings of one subject, fails first, otherwise in the order they were made."""
    return tuple(sorted(findings, key=lambda finding: severity(finding.verdict)))


@dataclass(frozen=True, eq=False)
class Case:
    """One finished design, the rules of its place, and the words for what is found.

    ``opened`` are its gaps while the push that the rules name spreads them, as the strength step finds them; empty
    where that was not worked out.
    """

    design: Design
    rules: RuleSet
    words: Words = PLAIN
    opened: tuple[Opened, ...] = ()

    @property
    def leg(self) -> str:
        """What is guarded, in words."""
        return "the edge of the floor" if self.design.flight.is_level else "the flight"

    def at(self, place: str) -> str:
        """Where a finding applies: the design's id and a place in it."""
        return f"{self.design.id}: {place}"

    def advise(self, code: str, place: str, text: str, choice: str | None = None) -> Finding:
        """A piece of advice without a measured value; ``choice`` names the figure or word it rests on."""
        rule = None if choice is None else self.rules.ref(choice)
        return Finding(code, Verdict.ADVICE, self.at(place), text, unit="", rule=rule)

    def compare(
        self, figure: Figure, place: str, text: str, measured: float, remedy: str, code: str | None = None
    ) -> Finding:
        """An exactly known length, count or angle against a figure; the remedy is kept only where it fails."""
        verdict = judge(round(measured, 6), 0.0, figure.value, figure.compare)
        return Finding(
            code or figure.id,
            verdict,
            self.at(place),
            text,
            measured,
            0.0,
            figure.value,
            figure.unit,
            self.rules.ref(figure.id),
            remedy if verdict is Verdict.FAIL else None,
        )

    def reading_wanted(self, wanted: Mapping[Coordinate, float], purpose: str) -> str:
        """The reading to take when a measured value is unsure: what would sharpen ``wanted`` most."""
        survey = self.design.flight.survey
        known = {coordinate: weight for coordinate, weight in wanted.items() if survey.has(coordinate)}
        suggestion = next_reading(survey, known, purpose=purpose, show=self.words.show) if known else None
        if suggestion is None:
            return "no further reading of the stair narrows this down: leave more room in the design"
        return suggestion.sentence.removesuffix(".")
