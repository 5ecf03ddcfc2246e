"""Infill that is not part of the frame: bars and rods as simple beams, plywood panels as strips from rail to rail.

Under the infill loads of the rules. Cables, glass and panels of other boards are not judged; ``not_judged`` says so.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.brief import StrandKind
from pitchline.design.model import Design, Panel, Strand
from pitchline.strength.limits import PANEL_SAFETY, allowed, modification
from pitchline.strength.model import Piece
from pitchline.strength.plies import board_strength
from pitchline.strength.report import Utilisation
from pitchline.strength.sections import round_cut, solid
from pitchline.strength.settings import Code, StrengthSettings
from pitchline.strength.woods import wood_of


@dataclass(frozen=True, slots=True)
class InfillLoads:
    """Factored loads on the infill: pressure (MPa) and a single force (N); 0 where the rules name none."""

    pressure: float
    point: float


def infill_loads(rules: RuleSet, factor: float) -> InfillLoads:
    """The loads on the infill times a factor."""
    pressure, point = rules.figure("load.infill.pressure"), rules.figure("load.infill.point")
    return InfillLoads(
        0.0 if pressure is None else pressure.value * factor, 0.0 if point is None else point.value * factor
    )


def infill_uses(
    design: Design, loads: InfillLoads, settings: StrengthSettings, code: Code
) -> Iterator[Utilisation]:
    """Bending of every bar and rod, and of every plywood panel."""
    for strand in design.strands:
        if strand.kind is not StrandKind.CABLE:
            yield _strand(strand, loads, settings, code)
    for panel in design.panels:
        if wood_of(panel.material, settings.graded, panel.thickness).board is not None:
            yield _panel(panel, loads, settings, code)


def not_judged(design: Design, rules: RuleSet, settings: StrengthSettings) -> tuple[str, ...]:
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
    if design.panels and rules.figure("load.infill.point") is not None:
        told.append("the single load on a panel is not judged")
    return tuple(told)


def _strand(strand: Strand, loads: InfillLoads, settings: StrengthSettings, code: Code) -> Utilisation:
    """A simple beam between what holds it: P L / 4, or q L2 / 8 on its share of the face."""
    whole = (strand.finish.point[0] - strand.start.point[0]) / math.cos(strand.line.angle)
    span = whole if strand.apart is None else whole / math.ceil(whole / strand.apart)
    cut = round_cut(strand.depth) if strand.is_round else solid(strand.thickness, strand.depth)
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


def _panel(panel: Panel, loads: InfillLoads, settings: StrengthSettings, code: Code) -> Utilisation:
    """A strip from rail to rail under pressure, p h2 / 8 on t2 / 6; the face grain taken to lie across it."""
    wood = wood_of(panel.material, settings.graded, panel.thickness)
    heights = [z for _, z in panel.outline.points]
    us = [u for u, _ in panel.outline.points]
    rake = (max(us) - min(us)) * abs(_slope(panel))
    span = max(heights) - min(heights) - rake
    flat = 0.0 if wood.board is None else board_strength(wood.board, along=False).f_m_flat
    safe = 1.0 / PANEL_SAFETY if code is Code.NDS_2018 else modification(wood, settings)
    solid_share = 1.0 - _holed(panel)
    stress = loads.pressure * span**2 / 8.0 / (panel.thickness**2 / 6.0) / max(solid_share, 0.05)
    worked = (
        f"strip of {span:.0f} mm, {100 * solid_share:.0f} % of it wood: {stress:.2f} MPa of {flat * safe:.2f}, face "
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
        "infill pressure",
        worked,
    )


def _slope(panel: Panel) -> float:
    """Slope of its lower edge."""
    points = sorted(panel.sight)
    first, last = points[0], points[-1]
    low_first = min(z for u, z in panel.sight if abs(u - first[0]) < 1.0)
    low_last = min(z for u, z in panel.sight if abs(u - last[0]) < 1.0)
    return (low_last - low_first) / (last[0] - first[0]) if last[0] > first[0] else 0.0


def _holed(panel: Panel) -> float:
    """Share of what is seen that is cut away."""
    seen = _area(panel.sight)
    return min(0.95, sum(_area(hole) for hole in panel.holes) / seen) if seen > 0.0 else 0.0


def _area(points: tuple[tuple[float, float], ...]) -> float:
    shifted = (*points[1:], points[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, shifted, strict=True))) / 2.0
