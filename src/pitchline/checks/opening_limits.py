"""Which limit an opening falls under: beside a flight, over a floor, under the base rail, in an upper zone.

Lengths in mm. A figure that a place lacks is None: nothing passes for want of a figure.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict, judge
from pitchline.kit.geometry.balls import Ball
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import Points
from pitchline.stair.pitch import support_line


class OpeningKind(StrEnum):
    """Which rule an opening falls under."""

    INFILL = "infill"
    LANDING = "infill beside a landing"
    UNDER = "under the base rail"
    UNGUARDED = "past an end"


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening: where it is, its outline, the largest ball that passes, and how that compares.

    ``expanded`` is the expanded uncertainty (k = 2) of the ball's diameter; ``limit`` is None where the rules
    leave the opening free or their figure is unknown. ``step`` numbers the tread of an opening under the base
    rail (0: the lower floor). ``rule`` names the figure; ``cube`` is the side of the largest cube where a cube
    and not a ball is asked for. ``islands`` are what stands inside an opening, such as a panel in its clamps.
    ``at_turn``: it goes on from one leg into the next.
    """

    where: str
    kind: OpeningKind
    outline: Points
    ball: Ball
    expanded: float
    limit: float | None
    verdict: Verdict
    step: int | None = None
    rule: str = "opening.general"
    cube: float | None = None
    islands: tuple[Points, ...] = ()
    at_turn: bool = False

    @property
    def measured(self) -> float:
        """What is held against the limit: the ball's diameter, or the cube's side."""
        return self.ball.diameter if self.cube is None else self.cube


def triangle_mode(rules: RuleSet) -> str:
    """How the triangle between riser, tread and bottom rail is judged."""
    return rules.word("opening.triangle.mode", "same")


def limit_figure(rules: RuleSet, kind: OpeningKind, *, over_floor: bool = False) -> Figure | None:
    """The figure that limits openings of a kind, None where the place states none.

    ``over_floor``: an opening under the base rail that stands over a floor has no riser and is no triangle.
    """
    general = rules.figure("opening.general")
    if kind is OpeningKind.LANDING or over_floor:
        return general
    stair = rules.figure("opening.stair") or general
    if kind is OpeningKind.UNDER and triangle_mode(rules) != "not_below_nosing_line":
        return rules.figure("opening.triangle") or stair
    return stair


def judged_against(measured: float, expanded: float, figure: Figure | None) -> Verdict:
    """A measure against a figure; where none is known it can only be advice."""
    if figure is None:
        return Verdict.ADVICE
    return judge(measured, expanded, figure.value_mm, figure.compare)


@dataclass(frozen=True, slots=True)
class Zone:
    """A band of the guarding, plumb heights above the steps, and the figure for balls centred in it.

    ``figure`` is None where the band is free.
    """

    low: float
    high: float
    figure: Figure | None


def zones_of(rules: RuleSet, figure: Figure) -> tuple[Zone, ...]:
    """The bands in which ``figure`` does not hold throughout; none where it does."""
    up_to, low, high = (rules.figure(f"opening.{name}") for name in ("up_to", "upper.from", "upper.to"))
    if up_to is not None:
        edge = up_to.value_mm
        return (Zone(-math.inf, edge, figure), Zone(edge, math.inf, rules.figure("opening.above")))
    upper = rules.figure("opening.upper")
    if upper is None or low is None:
        return ()
    top = math.inf if high is None else high.value_mm
    zones = (Zone(-math.inf, low.value_mm, figure), Zone(low.value_mm, top, upper))
    return zones if math.isinf(top) else (*zones, Zone(top, math.inf, figure))


def standing_line(design: Design, kind: OpeningKind) -> Line:
    """What heights of the guarding are counted from: the floor beside a landing, else the line of the nosings."""
    if kind is OpeningKind.LANDING:
        return Line(design.flight.nosings[-1][1], 0.0)
    return support_line(design.flight.nosings)


def unneeded_figures(rules: RuleSet) -> Iterator[Figure]:
    """The figures for openings of guarding that nobody asks for."""
    for figure_id in ("opening.unneeded", "opening.unneeded.or_over"):
        figure = rules.figure(figure_id)
        if figure is not None:
            yield figure
