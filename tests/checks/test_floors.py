"""Heights by the drop and over the upper floor: Germany and Spain by bands, Scotland's dip of 300 mm."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, with_figure
from tests.checks.place_designs import RULES, Wish, built

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.drops import check_bands, guard_figure
from pitchline.checks.extent import check_need, first_to_guard, guarding_needed
from pitchline.checks.floors import check_upper_floor, runs_on
from pitchline.checks.heights import check_heights, heights_of
from pitchline.kit.finding import Finding, Verdict

GERMANY, SPAIN, SCOTLAND, FLATS = (
    RULES[name] for name in ("germany-din-18065", "spain-db-sua", "scotland-dwelling", "england-common-parts")
)
WISH = Wish(height=950.0, gap=90.0)


def found(wish: Wish, rules: RuleSet) -> dict[str, Finding]:
    case = Case(built(wish), rules)
    heights = heights_of(case.design)
    findings = (*check_heights(case, heights), *check_bands(case), *check_upper_floor(case, heights))
    return {f.code: f for f in findings}


@pytest.mark.parametrize(
    ("rules", "drop", "height"),
    [(GERMANY, 12000.0, 900.0), (GERMANY, 12001.0, 1100.0), (SPAIN, 6000.0, 900.0), (SPAIN, 6001.0, 1100.0)],
)
def test_a_greater_drop_asks_for_higher_guarding(rules: RuleSet, drop: float, height: float) -> None:
    """DIN 18065: over 12 m; DB-SUA 1 3.2.1: over 6 m."""
    figure = guard_figure(rules, "flight", drop, 0.0)
    assert figure is not None
    assert figure.value_mm == height
    unsure = guard_figure(rules, "flight", drop, 5.0)
    assert unsure is not None
    assert unsure.value_mm == 1100.0


def test_a_band_that_begins_within_the_flight_binds_from_there() -> None:
    """A band from 500 mm: the first two nosings, 180 and 360 mm up, keep 900 mm."""
    low = found(WISH, with_figure(GERMANY, "guard.drop_band.1.above", 500.0))
    assert low["height.guard"].verdict is Verdict.FAIL
    assert low["height.guard"].limit == 1100.0
    assert low["height.band"].verdict is Verdict.ADVICE
    assert "eye" in low["height.band"].text
    assert "stairwell" in found(WISH, GERMANY)["height.band"].text


def test_a_rail_that_dips_within_the_place_s_length_is_advice_and_beyond_it_fails() -> None:
    """Technical Standards S4.3, note 2: 300 mm. The floor's figure is put at 1000 mm here."""
    rules = with_figure(SCOTLAND, "guard.landing.height", 1000.0)
    near, far = (
        found(replace(WISH, height=900.0, reach=reach), rules)["height.landing"] for reach in (250.0, 400.0)
    )
    assert near.verdict is Verdict.ADVICE
    assert "300.0 mm long here" in near.text
    assert far.verdict is Verdict.FAIL
    assert far.remedy is not None
    assert "within 300.0 mm" in far.remedy


def test_a_rail_that_ends_at_the_edge_has_no_floor_to_guard() -> None:
    assert runs_on(Case(built(WISH), ENGLAND)) == pytest.approx(0.0, abs=1e-6)
    assert "height.landing" not in found(replace(WISH, reach=-20.0), ENGLAND)


def test_a_handrail_over_a_floor_has_its_own_window_in_ireland() -> None:
    """TGD K 1.1.16: 900 to 1100 mm on a landing."""
    over = found(replace(WISH, height=1000.0, reach=200.0), RULES["ireland-dwelling"])
    assert over["height.floor.least"].verdict is Verdict.PASS
    assert over["height.floor.most"].verdict is Verdict.ADVICE


@pytest.mark.parametrize("name", ["us-ibc-2021", "norway-tek17"])
def test_where_one_rail_cannot_be_both_a_second_is_asked_for(name: str) -> None:
    """IBC 1015.3: guarding 42 in, handrail 34 to 38; TEK17 12-14, 12-15: 900 mm, and a handrail up to 900."""
    own = found(replace(WISH, height=1100.0), RULES[name])
    assert own["height.guard"].verdict is Verdict.PASS
    assert own["height.handrail.own"].verdict is Verdict.FAIL
    assert "height.handrail.most" not in own
    assert "second rail" in (own["height.handrail.own"].remedy or "")


def test_flats_need_guarding_from_two_risers() -> None:
    """Approved Document K 1.40."""
    one, two = (built(replace(WISH, risers=risers, rise=150.0)) for risers in (2, 3))
    assert guarding_needed(one, FLATS)
    assert first_to_guard(one, FLATS) == 2
    assert first_to_guard(two, FLATS) == 2
    said = list(check_need(Case(two, FLATS)))
    assert [f.unit for f in said] == [""]
    assert "3 risers" in said[0].text
    assert not guarding_needed(two, with_figure(FLATS, "guard.needed.risers", 4.0))
    assert first_to_guard(two, US_2021) is None
