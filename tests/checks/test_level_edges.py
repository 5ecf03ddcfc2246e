"""Checks along the edges of floors and across turns, against the figures of the rules and closed forms."""

from collections.abc import Sequence

import pytest
from tests.strategies_edges import CORNER, QUARTER, Leg, composed
from tests.strategies_stairs import regular

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.checks.opening_limits import OpeningKind
from pitchline.checks.run import CheckReport, Following, check
from pitchline.design.balustrade import Balustrade
from pitchline.design.brief import Mitred
from pitchline.kit.finding import Finding, Verdict

ENGLAND = load_rule_set("england-dwelling")
LOWER, LANDING = Leg("lower", regular(6, 190.0, 230.0)), Leg("landing", None, 1200.0)
UPPER, GALLERY = Leg("upper", regular(5, 188.0, 228.0)), Leg("gallery", None, 2400.0)


def reports(whole: Balustrade, rules: RuleSet = ENGLAND) -> list[CheckReport]:
    """Every leg checked with the one after it beside it."""
    after = [
        Following(leg, q.du - p.du, q.dz - p.dz)
        for leg, p, q in zip(whole.legs[1:], whole.places[:-1], whole.places[1:], strict=True)
    ]
    return [check(leg, rules, following=other) for leg, other in zip(whole.legs, [*after, None], strict=True)]


def by_code(findings: Sequence[Finding], code: str) -> list[Finding]:
    return [finding for finding in findings if finding.code == code]


def test_the_edge_of_a_floor_is_held_to_the_figure_for_landings() -> None:
    """Approved Document K (2013), table 3.1: 900 mm along a landing inside a single family dwelling."""
    _, landing = reports(composed((LOWER, LANDING), (QUARTER,), (CORNER,)))
    (height,) = by_code(landing.findings, "height.guard")
    assert height.rule is not None and height.limit == 900.0
    assert height.measured == pytest.approx(900.0)


def test_a_landing_a_storey_up_needs_guarding_and_its_drop_is_told() -> None:
    """6 rises of 190 mm: the landing lies 1140 mm over the lower floor; the duty begins above 600 mm."""
    _, landing = reports(composed((LOWER, LANDING), (QUARTER,), (CORNER,)))
    (need,) = by_code(landing.findings, "guard.needed")
    assert need.measured == pytest.approx(1140.0)
    assert "the edge of the floor" in need.text


def test_a_platform_of_two_rises_needs_none() -> None:
    """3 rises of 190 mm make 570 mm, below the 600 mm of Approved Document K 3.1."""
    low = Leg("lower", regular(3, 190.0, 230.0))
    _, landing = reports(composed((low, LANDING), (QUARTER,), (CORNER,)))
    (need,) = by_code(landing.findings, "guard.needed")
    assert need.measured == pytest.approx(570.0)
    assert "not asked for" in need.text
    assert all(f.verdict is not Verdict.FAIL for f in by_code(landing.findings, "height.guard"))


def test_the_upper_flight_counts_its_drop_from_the_lowest_floor() -> None:
    *_, upper = reports(composed((LOWER, LANDING, UPPER), (QUARTER, QUARTER), (CORNER, CORNER)))
    (need,) = by_code(upper.findings, "guard.needed")
    assert need.measured == pytest.approx(6 * 190.0 + 5 * 188.0)
    assert "passes 600.0 mm at step 1" in need.text


def test_nothing_is_said_of_steps_where_there_are_none() -> None:
    _, landing = reports(composed((LOWER, LANDING), (QUARTER,), (CORNER,)))
    codes = {finding.code for finding in landing.findings}
    assert "stair.level" in codes
    assert not {code for code in codes if code.startswith(("stair.rise", "stair.going", "stair.pitch"))}
    assert not codes & {"handrail.needed", "handrail.continuity", "handrail.begin"}


def test_openings_over_a_floor_fall_under_the_rule_for_landings() -> None:
    _, landing = reports(composed((LOWER, LANDING), (QUARTER,), (CORNER,)))
    kinds = {opening.kind for opening in landing.openings}
    assert kinds <= {OpeningKind.LANDING, OpeningKind.UNDER}
    assert all(opening.limit == 100.0 for opening in landing.openings if opening.kind is OpeningKind.LANDING)


def test_the_gap_across_a_mitre_is_measured_with_both_legs() -> None:
    """Two level legs meet in a mitre: the ball between the last upright and the first is two half gaps."""
    whole = composed((LANDING, GALLERY), (QUARTER,), (Mitred(),))
    first, second = reports(whole)
    gap = whole.legs[0].uprights[-1].gap_after + whole.legs[1].uprights[0].gap_before
    (shared,) = [o for o in first.openings if "at the turn" in o.where and o.kind is not OpeningKind.UNDER]
    assert shared.ball.diameter == pytest.approx(gap, abs=0.02)
    assert not [o for o in second.openings if "mitre with leg" in o.where]


def test_a_newel_at_a_turn_ends_the_openings_of_each_leg() -> None:
    first, second = reports(composed((LANDING, GALLERY), (QUARTER,), (CORNER,)))
    assert not [o for o in (*first.openings, *second.openings) if "at the turn" in o.where]
    assert [o for o in first.openings if o.where.endswith("and P2")]
    assert [o for o in second.openings if "between P2" in o.where]


def test_a_handrail_that_goes_on_round_the_turn_is_not_cut_short() -> None:
    """Where the rails are mitred the end of a leg is no end of the handrail."""
    for turn in (CORNER, Mitred()):
        lower, _ = reports(composed((LOWER, LANDING), (0.0,), (turn,)))
        continuity = by_code(lower.findings, "handrail.continuity")
        assert all(f.verdict is Verdict.PASS for f in continuity if "head" in f.where)


def test_a_sagging_edge_is_told() -> None:
    legs = composed((LOWER, LANDING), (QUARTER,), (CORNER,))
    (level,) = by_code(reports(legs)[1].findings, "stair.level")
    assert level.measured == 0.0
    assert level.verdict is Verdict.REPORT
