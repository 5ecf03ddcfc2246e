"""A finished wall rail measured: its top over any place, its reach, its ends. Lengths in mm.

Everything is read from the pieces as they lie in the world, not from the line that they were laid out by.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.case import Case
from pitchline.checks.hand_sections import rounded_rectangle
from pitchline.design.model import Bar, BarRole, Design
from pitchline.design.wall_model import PieceKind, RailPiece, WallLeg, WallNosing, WallRail
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.frames import Plane, Vec3, dot
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Points
from pitchline.kit.tolerances import COVERAGE_FACTOR, SAME_POINT, SETTING_OUT
from pitchline.kit.words import Words


@dataclass(frozen=True, slots=True)
class WallCase:
    """One finished wall rail, the rules of its place, and the words for what is found."""

    rail: WallRail
    rules: RuleSet
    words: Words

    def at(self, place: str) -> str:
        """Where a finding applies: the rail's id and a place along it."""
        return f"{self.rail.id}: {place}"

    def tell(self, code: str, verdict: Verdict, place: str, text: str, rule: str | None = None) -> Finding:
        """Something without a measured value; ``rule`` names the figure or word it rests on."""
        ref = None if rule is None else self.rules.ref(rule)
        return Finding(code, verdict, self.at(place), text, unit="", rule=ref)

    def compare(
        self, figure: Figure, place: str, text: str, measured: float, remedy: str, expanded: float = 0.0
    ) -> Finding:
        """A length or count against a figure; the remedy is kept where it does not pass."""
        verdict = judge(round(measured, 6), expanded, figure.value, figure.compare)
        return Finding(
            figure.id,
            verdict,
            self.at(place),
            text,
            measured,
            expanded,
            figure.value,
            figure.unit,
            self.rules.ref(figure.id),
            None if verdict is Verdict.PASS else remedy,
        )

    def of_hand(self) -> Case:
        """The case as the checks of a hand's grip take it: of a design they need its id and its handrail."""
        return Case(cast("Design", _Held(self.rail.id, hand_bar(self.rail))), self.rules, self.words)


@dataclass(frozen=True, slots=True)
class _Held:
    """What the checks of grip read of a design."""

    id: str
    handrail: Bar


def hand_bar(rail: WallRail) -> Bar:
    """The rail's section as a bar: its place does not matter to a hand."""
    end = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    line = Line(0.0, 0.0)
    return Bar(
        id=rail.id,
        role=BarRole.HANDRAIL,
        top=line,
        bottom=line.raised(-rail.depth),
        width=rail.width,
        y=0.0,
        start=end,
        finish=end,
        seat=None,
        round_over=rail.brief.rail.round_over,
        material=rail.brief.rail.material,
        start_at="",
        finish_at="",
    )


def section_of_wall_rail(rail: WallRail) -> Points:
    """The rail's section as a polygon: a circle, or a rectangle with its upper edges rounded."""
    radius = rail.width / 2 if rail.brief.is_round else rail.brief.rail.round_over
    return rounded_rectangle(rail.width, rail.depth, radius, rail.width / 2 if rail.brief.is_round else 0.0)


def bodies(rail: WallRail) -> tuple[RailPiece, ...]:
    """The pieces that a hand runs along, returns left out."""
    return tuple(piece for piece in rail.pieces if piece.kind is not PieceKind.RETURN)


def spans(rail: WallRail, leg: WallLeg) -> Iterator[tuple[Point2, Point2]]:
    """The tops of the pieces that lie along a leg, each from one (u, z) to another, clipped to nothing."""
    for piece in bodies(rail):
        if abs(dot(piece.direction, leg.frame.y)) < _ALONG:
            a, b = (leg.frame.to_local(point) for point in (piece.start, piece.finish))
            if _beside(rail, leg, a) and b[0] > a[0] + SAME_POINT:
                yield (a[0], a[2]), (b[0], b[2])


_ALONG = 1e-6
"""Sine of the angle to a wall below which a piece runs along it."""


def _beside(rail: WallRail, leg: WallLeg, point: Vec3) -> bool:
    """Whether a point lies in front of this leg's wall and not of another in line with it."""
    y = point[1] * rail.side.towards_stair
    return 0.0 < y < rail.clear + 2.0 * rail.width + _proudest(leg)


def _proudest(leg: WallLeg) -> float:
    return max((abs(proud) for _, proud in leg.face_places), default=0.0)


@dataclass(frozen=True, slots=True)
class TopAt:
    """The rail over one nosing: height of its top above it, expanded uncertainty, slope of the rail there."""

    nosing: WallNosing
    height: float
    expanded: float
    slope: float


def tops(rail: WallRail, leg: WallLeg) -> tuple[TopAt, ...]:
    """The rail's height above every nosing of a leg that it passes over."""
    found = []
    for nosing in leg.nosings:
        over = top_over(rail, leg, nosing.u)
        if over is None:
            continue
        z, slope = over
        sigma = math.hypot(slope * nosing.u_sigma, nosing.z_sigma)
        expanded = math.hypot(COVERAGE_FACTOR * sigma, SETTING_OUT)
        found.append(TopAt(nosing, z - nosing.z, expanded, slope))
    return tuple(found)


def top_over(rail: WallRail, leg: WallLeg, u: float) -> Point2 | None:
    """Height and slope of the rail's top over a place of a leg; None where no piece passes it."""
    for (a, low), (b, high) in spans(rail, leg):
        if a - SAME_POINT <= u <= b + SAME_POINT:
            slope = (high - low) / (b - a)
            return low + slope * (u - a), slope
    return None


def clears(rail: WallRail, leg: WallLeg) -> tuple[float, float]:
    """The least and the greatest space between the rail and a leg's wall."""
    found = []
    half = rail.width / 2
    for piece in bodies(rail):
        if abs(dot(piece.direction, leg.frame.y)) >= _ALONG:
            continue
        a, b = (leg.frame.to_local(point) for point in (piece.start, piece.finish))
        if not _beside(rail, leg, a):
            continue
        places = [a[0], b[0], *(u for u, _ in leg.face_places if a[0] < u < b[0])]
        found += [abs(a[1]) - half - leg.proud(u) for u in places]
    return min(found), max(found)


def reach(rail: WallRail, leg: WallLeg, centre: float) -> float:
    """How far the rail reaches into the walking width beside a leg."""
    return max(0.0, centre + rail.width / 2 - leg.face.outside)


def end_of_run(rail: WallRail, run: tuple[int, ...], *, at_head: bool) -> tuple[WallLeg, float]:
    """The leg on which a run of the rail ends, and the place of its end."""
    leg = rail.legs[run[-1 if at_head else 0]]
    places = [u for span in spans(rail, leg) for u, _ in span]
    return leg, (max(places) if at_head else min(places))


def return_at(rail: WallRail, leg: WallLeg, u: float) -> RailPiece | None:
    """The return that begins where the rail ends at a place of a leg; None where it ends plain."""
    for piece in rail.pieces:
        if piece.kind is PieceKind.RETURN:
            start = leg.frame.to_local(piece.start)
            if abs(start[0] - u) < 1.0 and _beside(rail, leg, start):
                return piece
    return None


def gap_behind(leg: WallLeg, piece: RailPiece) -> float:
    """The gap left between a return's end and the wall."""
    u, y, _ = leg.frame.to_local(piece.finish)
    return max(0.0, abs(y) - leg.proud(u))


def level_length(rail: WallRail, leg: WallLeg, *, at_head: bool) -> float:
    """How much of the rail before its end on a leg lies level."""
    found = 0.0
    for (a, low), (b, high) in sorted(spans(rail, leg), reverse=at_head):
        if abs(high - low) > SAME_POINT * (b - a) + _FLAT:
            break
        found += b - a
    return found


_FLAT = 1e-3
"""mm that a level piece may rise over its length in the sums."""
