"""Laws of the season: drying further never saves an upright, still wood changes nothing, the limit holds when dry."""

import math
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from tests.strategies_stairs import LIMITS, PLAIN_UPRIGHTS, cases, plain_brief, regular_flight

from pitchline.catalogue.moisture import Climate, Season
from pitchline.catalogue.timber import list_timbers
from pitchline.design.brief import Brief, Spread, UprightsBrief
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.design.season import opening_allowed
from pitchline.design.spacing import Run, lay_out
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Verdict
from pitchline.kit.tolerances import TILING
from pitchline.kit.units import Unit
from pitchline.kit.words import plain_mm, show_in
from pitchline.stair.model import Flight

few = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
FLIGHT = regular_flight()
woods = st.sampled_from([name for name in list_timbers() if name not in {"steel", "mdf"}])
made_at = st.integers(40, 220).map(lambda tenths: tenths / 10)
rooms = st.builds(Climate, st.integers(10, 70).map(float), st.integers(5, 30).map(float))
seasons = st.builds(Season, made_at, rooms)
runs = st.builds(
    Run,
    length=st.integers(600, 6000).map(float),
    width=st.just(41.0),
    narrowest=st.just(41.0),
    closed_start=st.booleans(),
    closed_finish=st.booleans(),
)


def with_season(brief: Brief, season: Season | None, material: str) -> Brief:
    return replace(brief, season=season, infill=replace(brief.uprights, material=material))


def count(run: Run, infill: UprightsBrief, season: Season | None) -> int:
    brief = plain_brief(FLIGHT, infill=infill, season=season)
    return len(lay_out(run, opening_allowed(brief, LIMITS.gap), infill.spacing).centres)


def composed(flight: Flight, brief: Brief) -> Design:
    try:
        return compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        assume(False)
        raise


@given(runs, woods, made_at, rooms, rooms, st.sampled_from([Spread.EQUAL, Spread.HALF_ENDS]))
def test_a_drier_season_never_saves_an_upright(
    run: Run, wood: str, made: float, one: Climate, other: Climate, spread: Spread
) -> None:
    dry, damp = sorted((one, other), key=lambda room: room.moisture)
    infill = replace(PLAIN_UPRIGHTS, material=wood, spacing=replace(PLAIN_UPRIGHTS.spacing, spread=spread))
    counts = [count(run, infill, season) for season in (None, Season(made, damp), Season(made, dry))]
    assert counts == sorted(counts)


@given(runs, woods, made_at, made_at, rooms)
def test_wetter_wood_never_saves_an_upright(
    run: Run, wood: str, one: float, other: float, room: Climate
) -> None:
    infill = replace(PLAIN_UPRIGHTS, material=wood)
    low, high = sorted((one, other))
    assert count(run, infill, Season(low, room)) <= count(run, infill, Season(high, room))


@few
@given(cases(), seasons)
def test_what_stands_still_changes_nothing(case: tuple[Flight, Brief], season: Season) -> None:
    flight, brief = case
    with_it, without = (composed(flight, with_season(brief, wanted, "steel")) for wanted in (season, None))
    assert with_it.uprights == without.uprights
    assert with_it.bay == without.bay
    other = {finding for finding in with_it.findings if not finding.code.startswith("design.season")}
    assert other == set(without.findings)


@few
@given(cases(), made_at, woods)
def test_a_season_as_the_shop_changes_nothing(case: tuple[Flight, Brief], humidity: float, wood: str) -> None:
    """Made in the air of the dry season: nothing shrinks, so the gaps are laid out as with no season."""
    flight, brief = case
    room = Climate(humidity + 20.0, 20.0)
    still, without = (
        composed(flight, with_season(brief, wanted, wood)) for wanted in (Season(room.moisture, room), None)
    )
    assert still.uprights == without.uprights
    assert still.bay == without.bay


@few
@given(cases(plumb=True, count=False, module=False), seasons, woods)
def test_the_dry_gaps_keep_the_limit_less_the_tolerance(
    case: tuple[Flight, Brief], season: Season, wood: str
) -> None:
    flight, brief = case
    brief = with_season(brief, season, wood)
    assume(opening_allowed(brief, LIMITS.gap) > brief.uprights.width - brief.uprights.narrowest)
    design = composed(flight, brief)
    for finding in design.findings:
        if finding.code == "design.season" and finding.measured is not None:
            assert finding.measured <= LIMITS.gap - brief.build_tolerance + TILING
            assert finding.verdict is not Verdict.FAIL


@few
@given(cases(), seasons, woods)
def test_millimetres_and_inches_agree(case: tuple[Flight, Brief], season: Season, wood: str) -> None:
    flight, brief = case
    brief = with_season(brief, season, wood)
    metric = composed(flight, brief)
    inch = compose(flight, brief, LIMITS, show_in(Unit.INCH))
    assert compose(flight, brief, LIMITS, plain_mm).findings == metric.findings
    for a, b in zip(metric.findings, inch.findings, strict=True):
        assert replace(b, text=a.text, remedy=a.remedy) == a
        if b.code.startswith("design.season") and b.unit:
            assert " mm" not in b.text
            assert b.measured is not None and math.isfinite(b.measured)
