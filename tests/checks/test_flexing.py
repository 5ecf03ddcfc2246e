"""Openings while a push spreads them: NBC 2020 9.8.8.2(2), 0.1 kN, with the simple beam P L3 / 48 E I."""

import math

import pytest

from pitchline.catalogue.rules import load_rule_set
from pitchline.checks.case import Case
from pitchline.checks.flexing import check_flexing
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import Unit
from pitchline.story import Solved, solve
from pitchline.strength.openings import Opened

CANADA = load_rule_set("canada-nbc-2020")


def told(solved: Solved) -> list[Finding]:
    """What is said of openings under a push."""
    return [finding for finding in solved.findings() if finding.code == "opening.flex"]


@pytest.fixture(scope="module")
def oak() -> Solved:
    """The oak example, judged in Canada."""
    return solve(load_text(starting_text("mm", Unit.MM)), judged_by=CANADA)


def test_uprights_bend_as_simple_beams_between_the_rails(oak: Solved) -> None:
    """32 x 32 mm of D30 (E 11 000 MPa, EN 338): the gap grows by twice P L3 / 48 E I."""
    design = oak.designs[0].design
    finding = next(f for f in told(oak) if f.where.startswith("A"))
    heights = [[z for _, z in upright.sight] for upright in design.uprights]
    length = max(max(zs) - min(zs) for zs in heights)
    aside = 100.0 * length**3 / (48.0 * 11_000.0 * 32.0**4 / 12.0)
    rest = max(max(u.gap_before, u.gap_after) for u in design.uprights)
    assert finding.measured == pytest.approx(rest + 2.0 * aside, abs=0.05)
    assert finding.verdict is (Verdict.PASS if rest + 2.0 * aside < 100.0 else Verdict.FAIL)
    assert finding.rule is not None
    assert "9.8.8.2" in finding.rule.clause


def test_where_nobody_names_a_push_nothing_is_said() -> None:
    home = solve(load_text(starting_text("mm", Unit.MM)))
    assert told(home) == []


@pytest.mark.parametrize("opening", [99.0, 101.0])
def test_the_widest_gap_is_judged_by_the_ball_of_the_place(oak: Solved, opening: float) -> None:
    """NBC 2020 9.8.8.5: a sphere of 100 mm must not pass."""
    gaps = (
        Opened(("U01", "U02"), 90.0, opening, 100.0, 700.0),
        Opened(("", "U01"), 80.0, 85.0, 100.0, 700.0),
    )
    (finding,) = check_flexing(Case(oak.designs[0].design, CANADA, opened=gaps))
    assert finding.where.endswith("between U01 and U02")
    assert finding.verdict is (Verdict.PASS if opening < 100.0 else Verdict.FAIL)
    assert (finding.remedy is None) is (opening < 100.0)
    assert math.isclose(finding.measured or 0.0, opening)
