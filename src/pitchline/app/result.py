"""The result document that other programs read: ``pitchline-result/1``; mm, degrees, N.

Names may be added to it, never changed without a new version.
"""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from typing_extensions import TypedDict

from pitchline.app.result_built import AsBuiltDoc, as_built_document
from pitchline.app.strength_document import StrengthDoc, strength_document
from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Bar, Design, Post, Upright
from pitchline.design.turns import BuiltTurn
from pitchline.kit.finding import Finding
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.tolerances import BLUNDER_SUSPECTED
from pitchline.parts.explode import Group, fixings_of_legs, grouped
from pitchline.parts.measure import volume
from pitchline.parts.part import Fixing
from pitchline.stair.edge import LegPlace
from pitchline.stair.pitch import fitted_line, fitted_pitch_sigma, nosing_names, pitch_deg, support_line
from pitchline.stock.chapter import cutting_chapter
from pitchline.story import Solved, SolvedBalustrade, SurveyedFlight
from pitchline.story_cutting import NO_CUTTINGS, Cuttings, PlannedCutting
from pitchline.story_making import Workshop, making_chapter
from pitchline.story_walls import MeasuredWinders, SolvedWallRail

SCHEMA = "pitchline-result/1"


class RuleDoc(TypedDict):
    """Where a limit comes from."""

    id: str
    clause: str
    status: str


class FindingDoc(TypedDict):
    """One finding."""

    code: str
    verdict: str
    where: str
    measured: float | None
    expanded_uncertainty: float | None
    limit: float | None
    unit: str
    rule: RuleDoc | None
    text: str
    remedy: str | None


class SuspectDoc(TypedDict):
    """A reading whose residual stands out."""

    reading: str
    residual: float
    standardised: float


class AdjustmentDoc(TypedDict):
    """How the readings agree with each other."""

    redundancy: int
    chi2: float
    suspects: list[SuspectDoc]


class StairDoc(TypedDict):
    """One flight, finishes laid."""

    flight: str
    nosings: list[tuple[float, float]]
    nosing_sigma: list[tuple[float, float]]
    rises: list[float]
    goings: list[float]
    pitch_deg: float
    pitch_sigma_deg: float
    support_pitch_deg: float
    adjustment: AdjustmentDoc
    findings: list[FindingDoc]


class RailDoc(TypedDict):
    """One raking bar; ``length`` is longest point to longest point."""

    id: str
    role: str
    leg: str
    slope_deg: float
    length: float
    height_at_nosings: list[float]


class PostDoc(TypedDict):
    """One post: the place of its centre at its foot, along its leg, and its length."""

    id: str
    leg: str
    u: float
    role: str
    height: float


class InfillDoc(TypedDict):
    """One member and the clear gaps on either side, square to it.

    Of an upright ``u`` is where it meets the base rail; of a raking bar, rod or cable where it begins, and the gaps
    lie below and above it; of a panel where it begins, and the gaps are those left along its sides.
    """

    mark: str
    kind: str
    leg: str
    u: float
    lean_deg: float
    gap_before: float
    gap_after: float


class OpeningDoc(TypedDict):
    """One opening and the largest ball that passes it."""

    where: str
    largest_ball: float


class EndDoc(TypedDict):
    """One end cut, read from square (0); ``more`` holds further planes of an end cut twice."""

    mitre_deg: float
    bevel_deg: float
    more: list[dict[str, float]]


class PartDoc(TypedDict):
    """Identical parts."""

    mark: str
    role: str
    quantity: int
    material: str
    length: float
    width: float
    thickness: float
    ends: list[EndDoc]
    volume: float
    places: list[str]


class FixingDoc(TypedDict):
    """Hardware to buy."""

    what: str
    sizes: list[float]
    size: str
    quantity: int
    where: str
    note: str


class LegDoc(TypedDict):
    """One leg of the edge: its origin and bearing in plan, and its shift in the unrolled elevation."""

    id: str
    kind: str
    edge: str
    side: str
    origin: list[float]
    bearing_deg: float
    unrolled: list[float]


class TurnDoc(TypedDict):
    """A turn between two legs, from the foot up; ``step`` is the rise of the handrail from leg to leg there."""

    number: int
    legs: list[str]
    angle_deg: float
    post: str | None
    step: float
    mitre: list[EndDoc]
    roll_deg: float | None


class DesignDoc(TypedDict):
    """One design: a balustrade of one or several legs."""

    id: str
    title: str
    legs: list[LegDoc]
    turns: list[TurnDoc]
    rails: list[RailDoc]
    posts: list[PostDoc]
    infill: list[InfillDoc]
    openings: list[OpeningDoc]
    parts: list[PartDoc]
    fixings: list[FixingDoc]
    findings: list[FindingDoc]
    strength: StrengthDoc | None
    cutting: dict[str, Any] | None
    making: dict[str, Any] | None
    as_built: AsBuiltDoc | None


class WinderDoc(TypedDict):
    """Winders in plan: goings at the two sides, and the angle of every tread."""

    id: str
    nosings: list[str]
    heights: list[float]
    narrow_goings: list[float]
    wide_goings: list[float]
    tread_angles_deg: list[float]
    findings: list[FindingDoc]


class BracketDoc(TypedDict):
    """One bracket: the leg it stands beside, how far along it, the height of the rail's underside there."""

    id: str
    leg: str
    u: float
    rail_z: float


class WallRailDoc(TypedDict):
    """A handrail on brackets along a wall."""

    id: str
    title: str
    clear: float
    brackets: list[BracketDoc]
    parts: list[PartDoc]
    fixings: list[FixingDoc]
    findings: list[FindingDoc]


class JobDoc(TypedDict):
    """What the result is of."""

    title: str
    rules: str


class ResultDoc(TypedDict):
    """The whole result."""

    schema: str
    job: JobDoc
    stairs: list[StairDoc]
    designs: list[DesignDoc]
    winders: list[WinderDoc]
    wall_rails: list[WallRailDoc]


def result_document(
    solved: Solved, cuttings: Cuttings = NO_CUTTINGS, workshop: Workshop | None = None
) -> ResultDoc:
    """The result of a solved job, with its cutting plans where it names a rack and its making where it is worked out.

    What it would take for a design to stand is looked for with the making: both take a while. Nothing in it is
    rounded.
    """
    return {
        "schema": SCHEMA,
        "job": {"title": solved.job.title, "rules": solved.rules.id},
        "stairs": [_stair(flight) for flight in solved.flights],
        "designs": [_design(whole, cuttings.get(whole.id), workshop) for whole in solved.balustrades],
        "winders": [_winders(known) for known in solved.winders],
        "wall_rails": [_wall_rail(rail) for rail in solved.wall_rails],
    }


def _winders(known: MeasuredWinders) -> WinderDoc:
    winders = known.winders
    return {
        "id": winders.id,
        "nosings": list(winders.names),
        "heights": list(winders.heights),
        "narrow_goings": list(winders.narrow_goings),
        "wide_goings": list(winders.wide_goings),
        "tread_angles_deg": [math.degrees(winders.tread_angle(k)) for k in range(len(winders.wide_goings))],
        "findings": [finding_document(finding) for finding in known.findings],
    }


def _wall_rail(solved: SolvedWallRail) -> WallRailDoc:
    rail = solved.rail
    return {
        "id": rail.id,
        "title": rail.title,
        "clear": rail.clear,
        "brackets": [
            {"id": b.id, "leg": rail.legs[b.leg].id, "u": b.u, "rail_z": b.rail_z} for b in rail.brackets
        ],
        "parts": [_part(group) for group in grouped(solved.parts)],
        "fixings": [_fixing(fixing) for fixing in solved.fixings],
        "findings": [finding_document(finding) for finding in solved.findings],
    }


def _fixing(fixing: Fixing) -> FixingDoc:
    return {
        "what": fixing.what,
        "sizes": list(fixing.sizes),
        "size": fixing.size,
        "quantity": fixing.quantity,
        "where": fixing.where,
        "note": fixing.note,
    }


def result_schema() -> dict[str, Any]:
    """JSON Schema of the result document."""
    from pydantic import TypeAdapter  # only this command needs it

    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": SCHEMA,
        **TypeAdapter(ResultDoc).json_schema(),
    }


def finding_document(finding: Finding) -> FindingDoc:
    """One finding as data."""
    rule = finding.rule
    return {
        "code": finding.code,
        "verdict": finding.verdict.value,
        "where": finding.where,
        "measured": _finite(finding.measured),
        "expanded_uncertainty": _finite(finding.expanded_uncertainty),
        "limit": _finite(finding.limit),
        "unit": finding.unit,
        "rule": None if rule is None else {"id": rule.id, "clause": rule.clause, "status": rule.status},
        "text": finding.text,
        "remedy": finding.remedy,
    }


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _stair(surveyed: SurveyedFlight) -> StairDoc:
    flight, adjusted = surveyed.flight, surveyed.adjusted
    names = nosing_names(len(flight.nosings))
    suspects: list[SuspectDoc] = [
        {"reading": reading.id, "residual": float(residual), "standardised": float(standardised)}
        for reading, residual, standardised in zip(
            adjusted.readings, adjusted.residuals, adjusted.standardised, strict=True
        )
        if abs(standardised) > BLUNDER_SUSPECTED
    ]
    return {
        "flight": flight.id,
        "nosings": list(flight.nosings),
        "nosing_sigma": [(flight.sigma({name: 1.0}), flight.sigma({}, {name: 1.0})) for name in names],
        "rises": list(flight.rises),
        "goings": list(flight.goings),
        "pitch_deg": pitch_deg(fitted_line(flight.nosings)),
        "pitch_sigma_deg": math.degrees(fitted_pitch_sigma(flight)),
        "support_pitch_deg": pitch_deg(support_line(flight.nosings)),
        "adjustment": {"redundancy": adjusted.redundancy, "chi2": adjusted.chi2, "suspects": suspects},
        "findings": [finding_document(finding) for finding in surveyed.findings],
    }


def _design(solved: SolvedBalustrade, planned: PlannedCutting | None, workshop: Workshop | None) -> DesignDoc:
    lengths = {part.place: part.length for part in solved.parts}
    legs = solved.designs
    return {
        "id": solved.id,
        "title": solved.title,
        "legs": [
            _leg(design, place, whole)
            for whole in solved.edges
            for design, place in zip(whole.legs, whole.places, strict=True)
        ],
        "turns": [
            _turn(turn, before.leg, after.leg)
            for whole in solved.edges
            for turn, (before, after) in zip(whole.turns, pairwise(whole.legs), strict=True)
        ],
        "rails": [_rail(design, bar, lengths) for design in legs for bar in design.bars],
        "posts": [_post(design, post) for design in legs for post in design.posts if not post.shared],
        "infill": [entry for design in legs for entry in _infill(design)],
        "openings": [
            {"where": opening.where, "largest_ball": opening.ball.diameter}
            for leg in solved.legs
            for opening in leg.report.openings
        ],
        "parts": [_part(group) for group in grouped(solved.parts)],
        "fixings": [_fixing(fixing) for fixing in fixings_of_legs(legs)],
        "findings": [
            finding_document(finding)
            for finding in (*solved.findings, *(() if planned is None else planned.findings))
        ],
        "strength": strength_document(solved.strength, searched=workshop is not None),
        "cutting": None if planned is None else cutting_chapter(planned.cutting, planned.others),
        "making": None if workshop is None else making_chapter(workshop, solved.id),
        "as_built": as_built_document(solved.as_built),
    }


def _leg(design: Design, place: LegPlace, whole: Balustrade) -> LegDoc:
    x = place.frame.x
    return {
        "id": place.leg,
        "kind": design.flight.kind.value,
        "edge": whole.edge,
        "side": whole.side.value,
        "origin": list(place.frame.origin),
        "bearing_deg": math.degrees(math.atan2(x[1], x[0])),
        "unrolled": [place.du, place.dz],
    }


def _turn(turn: BuiltTurn, before: str, after: str) -> TurnDoc:
    joint = turn.joint
    cuts = () if joint is None else (joint.first, joint.second)
    return {
        "number": turn.number,
        "legs": [before, after],
        "angle_deg": math.degrees(turn.angle),
        "post": None if turn.post is None else turn.post.id,
        "step": turn.step,
        "mitre": [{"mitre_deg": cut.mitre_deg, "bevel_deg": cut.bevel_deg, "more": []} for cut in cuts],
        "roll_deg": None if joint is None else joint.roll_deg,
    }


def _rail(design: Design, bar: Bar, lengths: dict[str, float]) -> RailDoc:
    layers = [length for place, length in lengths.items() if place.rstrip("abc") == bar.id]
    return {
        "id": bar.id,
        "role": bar.role.value,
        "leg": design.flight.id,
        "slope_deg": pitch_deg(bar.top),
        "length": max(layers),
        "height_at_nosings": [bar.top.at(u) - z for u, z in design.flight.nosings],
    }


def _post(design: Design, post: Post) -> PostDoc:
    return {
        "id": post.id,
        "leg": design.leg,
        "u": post.foot[0],
        "role": post.role.value,
        "height": post.length,
    }


def _infill(design: Design) -> Iterator[InfillDoc]:
    for upright in design.uprights:
        yield _upright(design, upright)
    for strand in design.strands:
        yield {
            "mark": strand.mark,
            "kind": strand.kind.value,
            "leg": design.leg,
            "u": min(u for u, _ in strand.sight),
            "lean_deg": 90.0 - math.degrees(strand.line.angle),
            "gap_before": strand.gap_below,
            "gap_after": strand.gap_above,
        }
    for panel in design.panels:
        yield {
            "mark": panel.mark,
            "kind": panel.kind.value,
            "leg": design.leg,
            "u": min(u for u, _ in panel.sight),
            "lean_deg": 0.0,
            "gap_before": panel.edge_gap,
            "gap_after": panel.edge_gap,
        }


def _upright(design: Design, upright: Upright) -> InfillDoc:
    return {
        "mark": upright.mark,
        "kind": "upright",
        "leg": design.leg,
        "u": upright.u,
        "lean_deg": math.degrees(upright.lean),
        "gap_before": upright.gap_before,
        "gap_after": upright.gap_after,
    }


def _part(group: Group) -> PartDoc:
    part = group.part
    return {
        "mark": group.mark,
        "role": part.role.value,
        "quantity": group.quantity,
        "material": part.material,
        "length": part.length,
        "width": part.width,
        "thickness": part.thickness,
        "ends": [_end(part.start_cuts), _end(part.finish_cuts)],
        "volume": volume(part),
        "places": list(group.places),
    }


def _end(cuts: tuple[Plane, ...]) -> EndDoc:
    first, *rest = (saw_reading(cut.normal) for cut in cuts)
    return {
        "mitre_deg": first.mitre_deg,
        "bevel_deg": first.bevel_deg,
        "more": [{"mitre_deg": cut.mitre_deg, "bevel_deg": cut.bevel_deg} for cut in rest],
    }
