"""Whether guarding is needed and reaches far enough. Drops: AD K 1.41 (600 mm), IRC R312.1.1 (30 in)."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, full_length, hand_built, without
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.checks.case import Case
from pitchline.checks.extent import (
    check_extent,
    check_need,
    first_to_guard,
    guarding_needed,
    unguarded_stretches,
)
from pitchline.design.brief import AtWall, FreeEnd, Station
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.facts import WallFacts

FLIGHT = regular_flight(7, 200.0, 250.0, 60.0)
WALLS = (WallFacts("foot", "wall-foot", 700.0), WallFacts("head", "wall-head", 1500.0))


def begun(start: float) -> Design:
    """A balustrade that begins at a place along the flight and ends past its head."""
    finish = FLIGHT.nosings[-1][0]
    gaps = (90.0,) * (int((finish - start) // 122.0) + 1)
    return hand_built(HandBuilt(gaps, start=start), FLIGHT)


def extents(design: Design) -> list[Finding]:
    case = Case(design, ENGLAND)
    return list(check_extent(case, unguarded_stretches(design, ENGLAND)))


def test_guarding_is_needed_from_the_drop_on() -> None:
    low = regular_flight(2, 200.0, 250.0, 60.0)
    built = [compose(f, plain_brief(f), LIMITS) for f in (low, FLIGHT)]
    assert [guarding_needed(d, ENGLAND) for d in built] == [False, True]
    assert [guarding_needed(d, without(ENGLAND, "guard.needed.drop")) for d in built] == [True, True]
    said = [next(check_need(Case(d, ENGLAND))).text for d in built]
    assert said[0].startswith("Guarding is not asked for")
    assert said[1].startswith("Guarding is needed")


def test_the_first_tread_to_guard() -> None:
    """600 mm is not more than 600: three rises of 200 are free in England, 30 in (762 mm) leave the same three."""
    design = begun(-10.0)
    assert first_to_guard(design, ENGLAND) == 4
    assert first_to_guard(design, US_2021) == 4
    low = regular_flight(2, 200.0, 250.0, 60.0)
    assert first_to_guard(compose(low, plain_brief(low), LIMITS), ENGLAND) is None


def test_a_balustrade_along_the_whole_flight_covers_it() -> None:
    found = extents(begun(-10.0))
    assert [(f.code, f.verdict) for f in found] == [("guard.extent", Verdict.PASS)]


def test_steps_below_the_drop_may_be_open_and_are_mentioned() -> None:
    found = extents(begun(700.0))
    assert [(f.code, f.verdict) for f in found] == [
        ("guard.extent", Verdict.PASS),
        ("guard.extent.foot", Verdict.ADVICE),
    ]
    assert "lowest 3 steps" in found[1].text


def test_a_balustrade_begun_too_late_leaves_a_stretch_open() -> None:
    """Tread 4 begins at 750 mm; the newel's far face stands 90 mm before the infill."""
    late = extents(begun(1000.0))[0]
    assert late.verdict is Verdict.FAIL
    assert late.measured == pytest.approx(1000.0 - 90.0 - 750.0)
    assert late.where == "A: past P1 at the foot"
    assert late.remedy is not None


def test_a_slit_smaller_than_the_ball_passes() -> None:
    slit = extents(begun(900.0))[0]
    assert slit.measured == pytest.approx(60.0)
    assert (slit.verdict, slit.remedy) == (Verdict.PASS, None)


def test_a_free_end_short_of_the_head_is_open_beyond_its_last_upright() -> None:
    brief = plain_brief(FLIGHT, top=FreeEnd(Station("N7", -300.0), overhang=20.0))
    found = extents(compose(FLIGHT, brief, LIMITS))[0]
    assert found.verdict is Verdict.FAIL
    assert found.where == "A: past the free end at the head"
    assert found.measured == pytest.approx(320.0)


def test_walls_leave_nothing_open() -> None:
    flight = regular_flight(7, 200.0, 250.0, 60.0, walls=WALLS)
    brief = plain_brief(flight, bottom=AtWall("foot"), top=AtWall("head"))
    assert unguarded_stretches(compose(flight, brief, LIMITS), ENGLAND) == ()


def test_the_uncertainty_of_an_open_stretch_is_that_of_its_ends() -> None:
    built = begun(1000.0)
    stretch = unguarded_stretches(built, ENGLAND)[0]
    assert stretch.expanded == pytest.approx(FLIGHT.expanded({"N1": 1.0, "N4": -1.0}))
    hung = replace(built, posts=(replace(built.posts[0], station="N4"), built.posts[1]))
    assert unguarded_stretches(hung, ENGLAND)[0].expanded == 0.0


def test_full_length_reaches_the_last_nosing() -> None:
    gaps = full_length(90.0, 32.0, FLIGHT)
    assert sum(gaps) + 32.0 * (len(gaps) - 1) == pytest.approx(1510.0, abs=122.0)
