"""Bars, rods and panels under the infill loads, by hand; what is not judged is said."""

import math

import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.catalogue.strength import plies_of
from pitchline.design.brief import InfillBrief, PanelKind, PanelsBrief, StrandKind, StrandsBrief
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Grooved, Making
from pitchline.design.model import Design
from pitchline.strength.infill import infill_loads, infill_uses, not_judged
from pitchline.strength.plies import board_strength, lay_up
from pitchline.strength.run import strength_of
from pitchline.strength.settings import Code, StrengthSettings

FLIGHT = regular_flight()
SETTINGS = StrengthSettings()
LOADS = infill_loads(ENGLAND, 1.5)


def laid(infill: InfillBrief, making: Making) -> Design:
    return compose(FLIGHT, plain_brief(FLIGHT, infill=infill, making=making), LIMITS)


def test_a_raking_bar_by_hand() -> None:
    """P L / 4 with 1.5 x 250 N on 20 x 25, C16: f_m,k 16, k_h 1.3, k_mod 0.9, gamma 1.3."""
    design = laid(StrandsBrief(StrandKind.BAR, 20.0, 25.0), BetweenPosts())
    use = next(infill_uses(design, LOADS, SETTINGS, Code.EC5_2004))
    strand = design.strands[0]
    span = math.dist(
        (strand.start.point[0], strand.line.at(strand.start.point[0])),
        (strand.finish.point[0], strand.line.at(strand.finish.point[0])),
    )
    stress = 375.0 * span / 4 / (20 * 25**2 / 6)
    assert use.ratio == pytest.approx(stress / (16 * 1.3 * 0.9 / 1.3), rel=1e-6)
    assert use.case == "infill point"


def test_rods_of_steel() -> None:
    """pi d3 / 32 and the yield strength of S235 (EN 1993-1-1 6.2.5)."""
    design = laid(StrandsBrief(StrandKind.ROD, 12.0, 12.0, material="steel", apart=900.0), BetweenPosts())
    use = next(infill_uses(design, LOADS, SETTINGS, Code.EC5_2004))
    assert use.bears == pytest.approx(235.0)
    assert "EN 1993" in use.clause


def test_a_plywood_panel_by_hand() -> None:
    """p h2 / 8 over t2 / 6 with 1.5 x 0.5 kN/m2, face grain across: the plies that run the other way bear."""
    infill = PanelsBrief(PanelKind.SOLID, 12.0, edge_gap=4.0, widest=900.0, joint=6.0)
    design = laid(infill, Grooved(12.0, 10.0, 6.0, 0.5))
    use = next(infill_uses(design, LOADS, SETTINGS, Code.EC5_2004))
    flat = board_strength(lay_up(plies_of("birch-plywood"), 9), along=False).f_m_flat
    assert use.bears == pytest.approx(flat * 0.9 / 1.2)
    span = math.sqrt(use.acts / (0.75e-3 / 8 / (12.0**2 / 6)))
    u = design.handrail.start.point[0] + 500.0
    clear = design.handrail.bottom.at(u) - design.base_rail.top.at(u)
    assert clear < span < clear + 2 * 12.0 / math.cos(design.handrail.top.angle) + 4.0
    assert any("single load on a panel" in text for text in not_judged(design, ENGLAND, SETTINGS))


def test_what_is_not_judged_is_said() -> None:
    cables = laid(StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel"), BetweenPosts())
    assert list(infill_uses(cables, LOADS, SETTINGS, Code.EC5_2004)) == []
    report = strength_of(cables, (), ENGLAND)
    assert any(text.startswith("cables: ") for text in report.assumptions)
