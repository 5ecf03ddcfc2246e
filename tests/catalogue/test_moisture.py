"""Moisture and movement: where each formula holds, what is refused, and laws of drying."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.catalogue.load import Fact
from pitchline.catalogue.moisture import (
    COLDEST,
    DAMP_SUMMER,
    FIBRE_SATURATION,
    HEATED_WINTER,
    HOTTEST,
    Climate,
    Movement,
    across_face,
    by_coefficient,
    by_shrinkage,
    change_of_width,
    equilibrium_moisture,
    movement_between,
    shrinkage_of,
)
from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.kit.tolerances import MOISTURE_SIGMA, MOVEMENT_SPREAD

humidities = st.floats(0.0, 99.0)
temperatures = st.floats(0.0, 45.0)
moistures = st.floats(0.0, 40.0)
coefficients = st.floats(0.0001, 0.005)


def _tangential(name: str) -> Fact:
    fact = load_timber(name).movement_tangential
    assert fact is not None
    return fact


@pytest.mark.parametrize(
    ("humidity", "temperature"), [(-0.1, 20.0), (100.0, 20.0), (math.nan, 20.0), (50.0, -2.0), (50.0, 133.0)]
)
def test_air_outside_the_table_is_refused(humidity: float, temperature: float) -> None:
    with pytest.raises(ValueError, match="allowed"):
        equilibrium_moisture(humidity, temperature)


def test_the_ends_of_the_table_are_30_and_270_fahrenheit() -> None:
    assert [1.8 * celsius + 32.0 for celsius in (COLDEST, HOTTEST)] == pytest.approx([30.0, 270.0])


def test_dry_air_dries_wood_out() -> None:
    assert equilibrium_moisture(0.0, 20.0) == 0.0


@given(humidities, humidities, temperatures)
def test_damper_air_makes_damper_wood(one: float, other: float, temperature: float) -> None:
    low, high = sorted((one, other))
    assert equilibrium_moisture(low, temperature) <= equilibrium_moisture(high, temperature)


@given(humidities)
def test_a_climate_knows_its_moisture(humidity: float) -> None:
    assert Climate(humidity, 20.0).moisture == equilibrium_moisture(humidity, 20.0)


def test_a_heated_winter_is_drier_than_a_damp_summer() -> None:
    """Common practice, no source: a heated house of 30 to 60 % brings wood to 6 to 11 %."""
    assert HEATED_WINTER.moisture == pytest.approx(6.0, abs=0.5)
    assert DAMP_SUMMER.moisture == pytest.approx(11.0, abs=0.5)


@given(st.floats(6.0, 14.0), st.floats(6.0, 14.0), coefficients)
def test_between_6_and_14_percent_the_coefficient_rules(start: float, end: float, rate: float) -> None:
    assert change_of_width(90.0, rate, start, end) == pytest.approx(
        by_coefficient(90.0, rate, start, end), abs=1e-12
    )


@given(st.floats(0.0, 6.0), coefficients)
def test_below_6_percent_the_shrinkage_rules(end: float, rate: float) -> None:
    """The part above 6 by the coefficient, the part below as if begun at 6: D (MF - 6) / (1/C + 6 - 10)."""
    expected = 90.0 * (rate * (6.0 - 10.0) + (end - 6.0) / (1.0 / rate + 6.0 - 10.0))
    assert change_of_width(90.0, rate, 10.0, end) == pytest.approx(expected, abs=1e-12)


@given(coefficients)
def test_shrinkage_and_coefficient_are_one_fact(rate: float) -> None:
    assert by_shrinkage(1.0, shrinkage_of(rate), 10.0, 11.0) == pytest.approx(rate, rel=1e-12)


@given(moistures, moistures, moistures, coefficients)
def test_drier_is_never_wider(start: float, one: float, other: float, rate: float) -> None:
    low, high = sorted((one, other))
    assert change_of_width(90.0, rate, start, low) <= change_of_width(90.0, rate, start, high) + 1e-12


@given(moistures, moistures, moistures, coefficients)
def test_there_and_back_by_any_way_is_nothing(one: float, two: float, three: float, rate: float) -> None:
    ways = ((one, two), (two, three), (three, one))
    assert sum(change_of_width(90.0, rate, *way) for way in ways) == pytest.approx(0.0, abs=1e-9)


@given(st.floats(FIBRE_SATURATION, 90.0), coefficients)
def test_green_wood_does_not_swell(wet: float, rate: float) -> None:
    assert change_of_width(90.0, rate, FIBRE_SATURATION, wet) == 0.0


@given(moistures, moistures, coefficients, st.floats(0.01, 100.0))
def test_movement_grows_with_the_width(start: float, end: float, rate: float, times: float) -> None:
    once = change_of_width(10.0, rate, start, end)
    assert change_of_width(10.0 * times, rate, start, end) == pytest.approx(times * once, rel=1e-9, abs=1e-12)


@given(moistures, moistures)
def test_what_does_not_move_stands_still(start: float, end: float) -> None:
    assert movement_between(90.0, None, start, end) == Movement(0.0, 0.0)
    assert change_of_width(90.0, 0.0, start, end) == 0.0


def test_the_uncertainty_of_a_movement() -> None:
    fact = _tangential("oak-red")
    moved = movement_between(90.0, fact, 12.0, 7.0)
    of_wood, of_meter = MOVEMENT_SPREAD * 90 * 0.00369 * 5, 90 * 0.00369 * MOISTURE_SIGMA
    assert moved.sigma == pytest.approx(math.sqrt(of_wood**2 + of_meter**2))
    still = movement_between(90.0, fact, 8.0, 8.0)
    assert still.change == 0.0
    assert still.sigma == pytest.approx(of_meter)


@pytest.mark.parametrize("name", list_timbers())
def test_the_width_of_a_piece_moves_by_the_larger_coefficient_but_for_plywood(name: str) -> None:
    timber = load_timber(name)
    radial, tangential = timber.movement_radial, timber.movement_tangential
    assert across_face(timber, in_plane=False) is tangential
    assert across_face(timber) is (radial if timber.kind == "plywood" else tangential)
    if timber.kind in {"metal", "fibreboard"}:
        assert across_face(timber) is None


def test_a_strip_of_plywood_stands_still_between_the_seasons() -> None:
    """EN 1995-1-1 (2025), through an open implementation: 0.02 % per % in the plane of the sheet."""
    fact = across_face(load_timber("birch-plywood"))
    change = movement_between(40.0, fact, 10.0, HEATED_WINTER.moisture).change
    assert change == pytest.approx(40.0 * 0.0002 * (HEATED_WINTER.moisture - 10.0))
    assert abs(change) < 0.05
