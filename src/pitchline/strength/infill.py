"""Infill that is not part of the frame: bars and rods as simple beams, plywood panels as strips from rail to rail.

Under the infill loads of the rules. Cables, glass and panels of other boards are not judged; ``not_judged`` says so.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.brief import StrandKind
from pitchline.design.makings import Clamped
from pitchline.design.model import Design, Panel, Strand
from pitchline.kit.geometry.lines import Point2
from pitchline.strength.limits import PANEL_SAFETY, allowed, modification
from pitchline.strength.model import Piece
from pitchline.strength.plies import board_strength
from pitchline.strength.report import Utilisation
from pitchline.strength.sections import Cut, round_cut, solid
from pitchline.strength.settings import Code, StrengthSettings
from pitchline.strength.woods import wood_of

HAND = 50.0
"""mm: side of the square that a single load stands on where the rules name none (common practice, no source)."""

POISSON = 0.3
"""Of a panel as a plate that is alike both ways: more than plywood has, which errs on the safe side."""


@dataclass(frozen=True, slots=True)
class InfillLoads:
    """Factored loads on the infill: pressure (MPa) and a single force (N); 0 where the rules name none.

    ``side`` of the square that the force stands on, mm.
    """

    pressure: float
    point: float
    side: float = HAND


def infill_loads(rules: RuleSet, factor: float) -> InfillLoads:
    """The loads on the infill times a factor."""
    pressure, point = rules.figure("load.infill.pressure"), rules.figure("load.infill.point")
    area = rules.figure("load.infill.area")
    return InfillLoads(
        0.0 if pressure is None else pressure.value * factor,
        0.0 if point is None else point.value * factor,
        HAND if area is None else math.sqrt(area.value),
    )


def plate_moment(force: float, span: float, side: float, poisson: float = POISSON) -> float:
    """Moment per mm of width under a force on a square in the middle of a long plate held along both sides, N.

    P / 4 pi [(1 + nu) ln(2 L / (pi c)) + 1] with the circle of radius c that has the square's area: S. Timoshenko and
    S. Woinowsky-Krieger, Theory of Plates and Shells, art. 37 (from memory).
    """
    radius = min(side / math.sqrt(math.pi), span / math.pi)
    return force / (4.0 * math.pi) * ((1.0 + poisson) * math.log(2.0 * span / (math.pi * radius)) + 1.0)


def infill_uses(
    design: Design, loads: InfillLoads, settings: StrengthSettings, code: Code
) -> Iterator[Utilisation]:
    """Bending of every bar and rod, and of every plywood panel."""
    for strand in design.strands:
        if strand.kind is not StrandKind.CABLE:
            yield _strand(strand, loads, settings, code)
    for panel in design.panels:
        if wood_of(panel.material, settings.graded, panel.thickness).board is not None:
            yield _panel(panel, design, loads, settings, code)


def not_judged(design: Design, settings: StrengthSettings) -> tuple[str, ...]:
    """What of the infill is not judged, in words."""
    told = []
    if any(strand.kind is StrandKind.CABLE for strand in design.strands):
        told.append(
            "cables: their own strength and that of their ends is not judged; their pull on the newels is"
        )
    told += [
        f"panels of {material} are not judged"
        for material in sorted({panel.material for panel in design.panels})
        if material == "glass" or wood_of(material, settings.graded).board is None
    ]
    return tuple(told)


def strand_span(strand: Strand) -> float:
    """Free length of a bar, rod or cable between what holds it, mm."""
    whole = (strand.finish.point[0] - strand.start.point[0]) / math.cos(strand.line.angle)
    return whole if strand.apart is None else whole / math.ceil(whole / strand.apart)


def strand_cut(strand: Strand) -> Cut:
    """Its section, y across the balustrade, z square to it in the balustrade's plane."""
    return round_cut(strand.depth) if strand.is_round else solid(strand.thickness, strand.depth)


def _strand(strand: Strand, loads: InfillLoads, settings: StrengthSettings, code: Code) -> Utilisation:
    """A simple beam between what holds it: P L / 4, or q L2 / 8 on its share of the face."""
    span, cut = strand_span(strand), strand_cut(strand)
    piece = Piece(strand.mark, strand.kind.value, cut, wood_of(strand.material, settings.graded), ())
    may = allowed(piece, settings, code)
    share = strand.depth + (strand.gap_below + strand.gap_above) / 2.0
    spread, single = loads.pressure * share * span**2 / 8.0, loads.point * span / 4.0
    moment, case = max((spread, "infill pressure"), (single, "infill point"))
    stress = moment / cut.w_z
    acting = f"span {span:.0f} mm, M {moment / 1e3:.0f} Nm gives {stress:.2f} MPa of {may.bending_z:.2f}"
    worked = f"{acting}; {may.worked}"
    return Utilisation(
        strand.mark,
        "bending",
        may.clause_bending,
        stress / may.bending_z,
        stress,
        may.bending_z,
        "MPa",
        case,
        worked,
    )


def _panel(
    panel: Panel, design: Design, loads: InfillLoads, settings: StrengthSettings, code: Code
) -> Utilisation:
    """A strip from rail to rail under pressure, p h2 / 8, or a plate under the single load; face grain across."""
    wood = wood_of(panel.material, settings.graded, panel.thickness)
    span = _panel_span(panel, design)
    flat = 0.0 if wood.board is None else board_strength(wood.board, along=False).f_m_flat
    safe = 1.0 / PANEL_SAFETY if code is Code.NDS_2018 else modification(wood, settings)
    solid_share = 1.0 - _holed(panel)
    section = panel.thickness**2 / 6.0 * max(solid_share, 0.05)
    spread = loads.pressure * span**2 / 8.0 / section
    single = plate_moment(loads.point, span, loads.side) / section
    stress, case = max((spread, "infill pressure"), (single, "infill point"))
    how = "strip" if case == "infill pressure" else "plate"
    worked = (
        f"{how} of {span:.0f} mm, {100 * solid_share:.0f} % of it wood: {stress:.2f} MPa of {flat * safe:.2f}, face "
        "grain across"
    )
    clause = f"{code} 6.1.6" if code is not Code.NDS_2018 else "characteristic values over 2.5"
    return Utilisation(
        panel.mark,
        "bending",
        clause,
        stress / (flat * safe),
        stress,
        flat * safe,
        "MPa",
        case,
        worked,
    )


def _panel_span(panel: Panel, design: Design) -> float:
    """From rail to rail, plumb, at its highest; from side to side where clamps on the posts hold it."""
    points = panel.outline.points
    if isinstance(design.making, Clamped) and design.making.on_posts:
        return max(u for u, _ in points) - min(u for u, _ in points)
    return max(_plumb_height(points, u) for u, _ in points)


def _plumb_height(points: Sequence[Point2], u: float) -> float:
    """Height of a polygon at a place along it."""
    crossings = []
    for (u0, z0), (u1, z1) in zip(points, (*points[1:], points[0]), strict=True):
        if min(u0, u1) <= u <= max(u0, u1):
            crossings += [z0, z1] if u0 == u1 else [z0 + (z1 - z0) * (u - u0) / (u1 - u0)]
    return max(crossings) - min(crossings)


def _holed(panel: Panel) -> float:
    """Share of what is seen that is cut away."""
    seen = _area(panel.sight)
    return min(0.95, sum(_area(hole) for hole in panel.holes) / seen) if seen > 0.0 else 0.0


def _area(points: tuple[tuple[float, float], ...]) -> float:
    shifted = (*points[1:], points[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, shifted, strict=True))) / 2.0
