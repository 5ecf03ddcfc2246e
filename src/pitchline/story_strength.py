"""The strength of every edge of a design: the step of the story, and what is worked out only where it is shown."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from pitchline.catalogue.rules import RuleSet
from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Design
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.finding import Finding
from pitchline.kit.words import Show, Words
from pitchline.parts.part import Part
from pitchline.strength.changes import Consequence, removable, without
from pitchline.strength.cures import Change, what_would_it_take
from pitchline.strength.edge import StandingLeg, strength_of_edge
from pitchline.strength.openings import Opened, opening_under_load, push_asked
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

    def load_named(self, case: str) -> str:
        """A load case in a maker's words, by its id; the id itself of a load that is not on the frame."""
        known = () if self.report is None else self.report.cases
        return next((load.title for load in known if load.id == case), case)

    @cached_property
    def cures(self) -> tuple[Change, ...]:
        """What it would take to make it hold, each change by itself; worked out when it is first asked for."""
        report = self.report
        if report is None:
            return ()
        return what_would_it_take(self.legs, self.rules, report, self.settings, self.words)

    @property
    def removable(self) -> tuple[str, ...]:
        """Ids and marks of everything that can be left out to see what becomes of it."""
        return removable(self.legs)

    def without(self, piece: str) -> Consequence:
        """What happens without one newel, upright or base rail. InputError where it has none of that name."""
        return without(self.legs, piece, self.rules, self.settings, self.words)

    @cached_property
    def without_posts(self) -> tuple[Consequence, ...]:
        """What happens without each of its newels; worked out when it is first asked for."""
        posts = {post.id for leg in self.legs for post in leg.design.posts}
        return tuple(self.without(piece) for piece in self.removable if piece in posts)


def strength_of_balustrade(
    index: int,
    edges: Sequence[Balustrade],
    parts: Sequence[tuple[Part, ...]],
    rules: RuleSet,
    settings: StrengthSettings,
    show: Show,
) -> tuple[EdgeStrength, ...]:
    """The strength of every edge of a job's design number ``index``; ``parts`` are those of its legs, edge by edge.

    InputError where a pull test says what cannot be.
    """
    try:
        return tuple(_edges(edges, parts, rules, settings, Words(show)))
    except InputError as wrong:
        raise InputError([_placed(fault, index, settings) for fault in wrong.faults], "the job") from wrong


def _placed(fault: Fault, index: int, settings: StrengthSettings) -> Fault:
    """A fault of a pull test (``bases.POST.pulls[N]``) at its place in the job file."""
    _, _, rest = fault.where.partition("bases.")
    post, _, at = rest.partition(".")
    if post not in settings.bases:
        return fault
    number = list(settings.bases).index(post)
    return replace(fault, where=f"designs[{index}].strength.posts[{number}].{at}")


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


def opened_under_push(design: Design, rules: RuleSet, settings: StrengthSettings) -> tuple[Opened, ...]:
    """The gaps of a leg while the push that the job or the rules name spreads them; none where nobody names one."""
    push = push_asked(design, rules)
    return () if push is None else opening_under_load(design, push, settings)


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
