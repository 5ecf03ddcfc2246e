"""Every set of rules with a design that keeps it, and with wrong copies that fail for the right reason.

The limits are those of the published texts named in each rule file; whether the file holds the printed number is
tested with the catalogue.
"""

from dataclasses import replace

import pytest
from tests.checks.place_designs import (
    GUARDED,
    KNOWN,
    ONE_RAIL_IS_NOT_ENOUGH,
    RULES,
    Wish,
    built,
    good_wish,
    stair_limit,
    window,
)

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.opening_limits import OpeningKind, judged_against
from pitchline.checks.openings import find_openings
from pitchline.checks.run import check
from pitchline.kit.finding import Finding, Verdict

PLACES = pytest.mark.parametrize("rules", KNOWN.values(), ids=KNOWN.keys())
GUARDS = pytest.mark.parametrize("rules", GUARDED.values(), ids=GUARDED.keys())
BAD = (Verdict.FAIL, Verdict.UNSURE)


def found(wish: Wish, rules: RuleSet) -> dict[str, Finding]:
    """The worst finding of each code."""
    worst: dict[str, Finding] = {}
    for finding in check(built(wish), rules).findings:
        if finding.code not in worst or finding.verdict is Verdict.FAIL:
            worst[finding.code] = finding
    return worst


def reason(finding: Finding, rules: RuleSet, figure_id: str) -> bool:
    """Whether a finding fails by this figure's clause."""
    figure = rules.require(figure_id)
    return (
        finding.verdict is Verdict.FAIL
        and finding.rule is not None
        and finding.rule.clause == figure.clause
        and finding.remedy is not None
    )


@PLACES
def test_a_design_within_the_limits_holds(rules: RuleSet) -> None:
    bad = {code for code, finding in found(good_wish(rules), rules).items() if finding.verdict in BAD}
    assert bad == ONE_RAIL_IS_NOT_ENOUGH.get(rules.id, set())


@GUARDS
def test_a_rail_too_low_fails_by_the_guarding_s_clause(rules: RuleSet) -> None:
    low = rules.require("guard.flight.height").value_mm - 20.0
    assert reason(
        found(replace(good_wish(rules), height=low), rules)["height.guard"], rules, "guard.flight.height"
    )


@GUARDS
def test_a_rail_too_high_fails_by_the_handrail_s_clause(rules: RuleSet) -> None:
    figure = rules.figure("handrail.height.max")
    if figure is not None and "height.handrail.own" not in ONE_RAIL_IS_NOT_ENOUGH.get(rules.id, set()):
        high = found(replace(good_wish(rules), height=figure.value_mm + 20.0), rules)
        assert reason(high["height.handrail.most"], rules, figure.id)


@GUARDS
def test_a_gap_too_wide_fails_by_its_clause(rules: RuleSet) -> None:
    """Twice the limit, so that the widest even gap that fits the run is over it."""
    limit = stair_limit(rules)
    wide = found(replace(good_wish(rules), gap=2.0 * limit.value_mm), rules)
    assert reason(wide["opening.stair"], rules, limit.id)


@GUARDS
def test_a_base_rail_too_far_above_the_steps_fails(rules: RuleSet) -> None:
    """A strip of 250 mm plumb above the nosings lets any ball of the codes through, and any cube."""
    clear = found(replace(good_wish(rules), margin=None, lift=250.0), rules)["opening.triangle"]
    assert clear.verdict is Verdict.FAIL


@GUARDS
def test_a_side_left_open_at_the_head_fails(rules: RuleSet) -> None:
    short = found(replace(good_wish(rules), reach=-500.0), rules)["guard.extent"]
    assert short.verdict is Verdict.FAIL
    assert short.remedy is not None
    assert short.remedy.startswith("move the end out by")


@PLACES
def test_a_rail_too_fat_to_hold_fails_where_grip_binds(rules: RuleSet) -> None:
    grips = {
        finding.verdict
        for code, finding in found(replace(good_wish(rules), rail=(90.0, 60.0, 5.0)), rules).items()
        if code.startswith("handrail.grip")
    }
    if (
        rules.word("handrail.grip.duty", "advice") == "required"
        and rules.word("guard.top.as_handrail", "yes") == "yes"
    ):
        assert Verdict.FAIL in grips
    else:
        assert Verdict.FAIL not in grips


@GUARDS
def test_a_ball_a_tenth_smaller_and_larger_than_the_limit(rules: RuleSet) -> None:
    limit = stair_limit(rules)
    for off, verdict in ((-0.1, Verdict.PASS), (0.1, Verdict.FAIL)):
        design = built(good_wish(rules))
        openings = [o for o in find_openings(design, rules) if o.kind is OpeningKind.INFILL]
        assert judged_against(limit.value_mm + off, 0.0, limit) is verdict
        assert {o.limit for o in openings} == {limit.value_mm}


@GUARDS
def test_a_ball_of_exactly_the_limit_is_taken_as_the_code_words_it(rules: RuleSet) -> None:
    """'Must not pass' refuses it (lt), 'no larger than' lets it pass (le)."""
    limit = stair_limit(rules)
    expected = Verdict.FAIL if limit.compare == "lt" else Verdict.PASS
    assert judged_against(limit.value_mm, 0.0, limit) is expected


@pytest.mark.parametrize(
    "rules", [r for r in RULES.values() if r.status == "unknown"], ids=lambda r: str(r.id)
)
def test_where_an_edition_s_figures_are_unknown_nothing_passes(rules: RuleSet) -> None:
    """The 2024 revision of NF P01-012 has not been read."""
    for wish in (good_wish(rules), replace(good_wish(rules), height=400.0, gap=300.0)):
        findings = check(built(wish), rules).findings
        assert not [f for f in findings if f.verdict is Verdict.PASS]
        assert "notice.unknown" in {f.code for f in findings}
        assert "ask the building authority" in next(f.text for f in findings if f.code == "opening.stair")


@PLACES
def test_what_rests_on_a_figure_from_memory_says_so(rules: RuleSet) -> None:
    for finding in check(built(good_wish(rules)), rules).findings:
        if finding.rule is not None and finding.verdict in (Verdict.PASS, *BAD):
            assert ("Figure from memory" in finding.text) is (finding.rule.status == "M")


@PLACES
def test_the_stair_that_stands_never_fails(rules: RuleSet) -> None:
    odd = replace(good_wish(rules), rise=260.0, overall=500.0)
    for finding in check(built(odd), rules).findings:
        if finding.code.startswith("stair.") or finding.code == "handrail.width":
            assert finding.verdict is Verdict.REPORT


@GUARDS
def test_raising_the_rail_by_the_remedy_passes(rules: RuleSet) -> None:
    """The smallest whole millimetre: two less are not enough."""
    low, _ = window(rules)
    guard = rules.require("guard.flight.height").value_mm
    wish = replace(good_wish(rules), height=guard - 20.0)
    remedy = found(wish, rules)["height.guard"].remedy or ""
    by = float(remedy.removeprefix("raise the whole rail by ").split(" mm")[0])
    assert found(replace(wish, height=wish.height + by), rules)["height.guard"].verdict is Verdict.PASS
    assert (
        found(replace(wish, height=wish.height + by - 2.0), rules)["height.guard"].verdict is not Verdict.PASS
    )
    assert low >= guard
