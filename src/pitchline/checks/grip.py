"""Whether a hand can close round the handrail: its section against the figures of the place. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.design.model import Bar
from pitchline.kit.finding import Finding, Verdict, judge


@dataclass(frozen=True, slots=True)
class Section:
    """A handrail's section: a rectangle with its two upper edges rounded."""

    width: float
    depth: float
    round_over: float

    @staticmethod
    def of(bar: Bar) -> "Section":
        """The section of a bar, its rounding no larger than the wood allows."""
        return Section(bar.width, bar.depth, min(bar.round_over, bar.width / 2, bar.depth))

    @property
    def perimeter(self) -> float:
        """Way round: each rounded corner replaces 2 r by a quarter of a circle."""
        return 2.0 * (self.width + self.depth) - 2.0 * (2.0 - math.pi / 2) * self.round_over

    @property
    def across(self) -> float:
        """Largest measure across: from a lower corner through the centre of the rounding opposite, or the width."""
        r = self.round_over
        return max(self.width, math.hypot(self.width - r, self.depth - r) + r)


def check_grip(case: Case) -> Iterator[Finding]:
    """The handrail's section against the figures of the place, which bind or advise."""
    section = Section.of(case.design.handrail)
    if case.rules.figure("handrail.grip.perimeter.max") is not None:
        yield from _shaped_grip(case, section)
    elif case.rules.figure("handrail.grip.round.max") is not None:
        yield _hold(case, section)


def _hold(case: Case, section: Section) -> Finding:
    """Where only figures for round rails are known: how this section compares, as advice."""
    low = case.rules.require("handrail.grip.round.min").value_mm
    high = case.rules.require("handrail.grip.round.max").value_mm
    size = f"{case.words.show(section.width)} x {case.words.mm(section.depth)}"
    bounds = f"{case.words.show(low)} to {case.words.mm(high)}"
    if low <= section.width <= high:
        text = f"The rail of {size} lies within {bounds} across, the sizes advised for a round rail."
    else:
        text = (
            f"The rail of {size} is {'wider' if section.width > high else 'narrower'} than the {bounds} advised "
            "for a round rail; a house needs a firm hold, so try a short piece in the hand, the smallest user's too."
        )
    return Finding(
        "handrail.grip",
        Verdict.ADVICE,
        case.at("handrail"),
        text,
        section.width,
        0.0,
        high,
        rule=case.rules.ref("handrail.grip.round.max"),
    )


def _shaped_grip(case: Case, section: Section) -> Iterator[Finding]:
    """A section that is not round: the way round it, its largest measure, its edges."""
    required = case.rules.word("handrail.grip.duty", "advice") == "required"
    low, high = (case.rules.require(f"handrail.grip.perimeter.{end}") for end in ("min", "max"))
    if judge(section.perimeter, 0.0, low.value_mm, low.compare) is Verdict.FAIL:
        yield _grip_finding(
            case, low, section.perimeter, "The way round the handrail", required, "a fuller section"
        )
        return
    remedy = (
        "a slimmer section with larger round-overs, or finger recesses on both sides of a wide one, which this "
        "version does not lay out"
    )
    yield _grip_finding(case, high, section.perimeter, "The way round the handrail", required, remedy)
    across = case.rules.figure("handrail.grip.across")
    if across is not None:
        name = "The largest measure across the handrail"
        yield _grip_finding(
            case, across, section.across, name, required, "a smaller section or larger round-overs"
        )
    edge = case.rules.figure("handrail.grip.edge_radius")
    if edge is not None:
        text = f"Ease the lower edges of the handrail too, to a radius of at least {edge.written}."
        yield case.advise("handrail.grip.edges", "handrail", text, "handrail.grip.edge_radius")


def _grip_finding(
    case: Case, figure: Figure, measured: float, name: str, required: bool, remedy: str
) -> Finding:
    verdict = judge(measured, 0.0, figure.value_mm, figure.compare)
    failed = verdict is Verdict.FAIL
    word = LIMIT_WORDS[figure.compare]
    asked = "must" if required else "should"
    return Finding(
        figure.id,
        verdict if required or not failed else Verdict.ADVICE,
        case.at("handrail"),
        f"{name} is {case.words.mm(measured)}; it {asked} be {word} {case.words.mm(figure.value_mm)}.",
        measured,
        0.0,
        figure.value_mm,
        rule=case.rules.ref(figure.id),
        remedy=f"choose {remedy}" if failed else None,
    )
