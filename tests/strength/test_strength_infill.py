"""Bars, rods and panels under the infill loads, by hand; what is not judged is said."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.builders import ENGLAND
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.catalogue.rules import load_rule_set
from pitchline.catalogue.strength import plies_of
from pitchline.design.brief import InfillBrief, PanelKind, PanelsBrief, StrandKind, StrandsBrief
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Grooved, Making
from pitchline.design.model import Design
from pitchline.strength.infill import infill_loads, infill_uses, not_judged, plate_moment
from pitchline.strength.openings import opening_under_load, push_asked
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
    use = next(infill_uses(design, replace(LOADS, point=0.0), SETTINGS, Code.EC5_2004))
    flat = board_strength(lay_up(plies_of("birch-plywood"), 9), along=False).f_m_flat
    assert use.bears == pytest.approx(flat * 0.9 / 1.2)
    span = math.sqrt(use.acts / (0.75e-3 / 8 / (12.0**2 / 6)))
    u = design.handrail.start.point[0] + 500.0
    clear = design.handrail.bottom.at(u) - design.base_rail.top.at(u)
    assert clear < span < clear + 2 * 12.0 / math.cos(design.handrail.top.angle) + 4.0
    single = next(infill_uses(design, replace(LOADS, pressure=0.0), SETTINGS, Code.EC5_2004))
    assert single.case == "infill point"
    assert single.acts == pytest.approx(plate_moment(375.0, span, 50.0) / (12.0**2 / 6))
    assert not_judged(design, SETTINGS) == ()


def test_a_plate_under_a_single_load_by_series() -> None:
    """Navier's double sine series for a long plate held all round, loaded on a square in its middle.

    With eight times its width it is as good as endless: moments of the series and of the closed form that needs none.
    S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells (from memory).
    """
    span, long, side, force, nu = 800.0, 6400.0, 50.0, 375.0, 0.3
    m, n = (np.arange(1.0, last, 2.0) for last in (260.0, 2000.0))
    a, b = (m * math.pi / span)[:, None], (n * math.pi / long)[None, :]
    load = (
        16
        * force
        / (math.pi**2 * m[:, None] * n[None, :] * side**2)
        * np.sin(a * side / 2)
        * np.sin(b * side / 2)
    )
    moment = float((load * (a**2 + nu * b**2) / (a**2 + b**2) ** 2).sum())
    assert plate_moment(force, span, side) == pytest.approx(moment, rel=0.03)


def test_bars_pushed_apart_by_hand() -> None:
    """P L3 / 48 E I each: a gap between two bars grows by twice that, one beside a rail by once."""
    design = laid(StrandsBrief(StrandKind.BAR, 20.0, 25.0), BetweenPosts())
    first, second = design.strands[:2]
    whole = (first.finish.point[0] - first.start.point[0]) / math.cos(first.line.angle)
    aside = 50.0 * whole**3 / (48 * 8000 * 25 * 20**3 / 12)
    opened = {gap.beside: gap for gap in opening_under_load(design, 50.0, SETTINGS)}
    inner = opened[first.mark, second.mark]
    assert inner.opening - inner.rest == pytest.approx(2 * aside, rel=1e-6)
    assert inner.rest == pytest.approx(first.gap_above)
    assert inner.where == f"between {first.mark} and {second.mark}"
    below = opened["", first.mark]
    assert below.opening - below.rest == pytest.approx(aside, rel=1e-6)
    assert below.where == f"beside {first.mark}"


def test_uprights_pushed_apart_by_hand() -> None:
    """Along the balustrade a baluster bends about its other side; no push, no change."""
    design = compose(FLIGHT, plain_brief(FLIGHT), LIMITS)
    gaps = opening_under_load(design, 50.0, SETTINGS)
    assert len(gaps) == len(design.uprights) + 1
    assert [gap.opening for gap in gaps] == sorted((gap.opening for gap in gaps), reverse=True)
    a, b = design.uprights[3:5]
    gap = next(gap for gap in gaps if gap.beside == (a.mark, b.mark))
    spans = [max(z for _, z in u.sight) - min(z for _, z in u.sight) for u in (a, b)]
    aside = [50.0 * span**3 / (48 * 8000 * a.thickness * a.width**3 / 12) for span in spans]
    assert gap.opening == pytest.approx(a.gap_after + sum(aside), rel=1e-6)
    assert gap.rest == pytest.approx(b.gap_before)
    assert all(still.opening == still.rest for still in opening_under_load(design, 0.0, SETTINGS))
    with pytest.raises(ValueError, match="not negative"):
        opening_under_load(design, -1.0, SETTINGS)


def test_who_names_the_push() -> None:
    """The job before the rules (those of Canada name one); nobody in England."""
    canada = load_rule_set("canada-nbc-2020")
    plainly = laid(StrandsBrief(StrandKind.BAR, 20.0, 25.0), BetweenPosts())
    own = laid(StrandsBrief(StrandKind.BAR, 20.0, 25.0, push=80.0), BetweenPosts())
    assert push_asked(plainly, ENGLAND) is None
    assert push_asked(plainly, canada) == canada.require("opening.flex.force").value
    assert push_asked(own, canada) == 80.0


def test_what_is_not_judged_is_said() -> None:
    cables = laid(StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel"), BetweenPosts())
    assert list(infill_uses(cables, LOADS, SETTINGS, Code.EC5_2004)) == []
    report = strength_of(cables, (), ENGLAND)
    assert any(text.startswith("cables: ") for text in report.assumptions)
