"""Derivatives against central differences; every kind of reading against its definition."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from tests.strategies_survey import DATUM, Truth, good_visit, irregular_stair, visits

from pitchline.survey.equations import FloatArray, unknowns_of, write_equations
from pitchline.survey.readings import Fixed, Kind, Prior, Reading
from pitchline.survey.start import computed


def true_values(truth: Truth, unknowns: tuple[tuple[str, str], ...]) -> FloatArray:
    def value(axis: str, name: str) -> float:
        if axis in {"x", "z"}:
            return truth.points[name][0 if axis == "x" else 1]
        return {"level": 1500.0, "plumb": -100.0, "string": truth.string[0], "slope": truth.string[1]}[axis]

    return np.array([value(axis, name) for axis, name in unknowns])


def test_the_truth_leaves_no_misfit() -> None:
    truth = irregular_stair(np.random.default_rng(1))
    equations = write_equations(good_visit(truth), DATUM, ())
    misfit, _ = equations.misfit(true_values(truth, equations.unknowns))
    assert misfit == pytest.approx(np.zeros(len(misfit)), abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(visits())
def test_derivatives_are_those_of_central_differences(visit: tuple[Truth, tuple[Reading, ...]]) -> None:
    truth, readings = visit
    equations = write_equations(readings, DATUM, (Prior(("z", "N2"), 380.0, 5.0),))
    values = true_values(truth, equations.unknowns)
    _, design = equations.misfit(values)
    for place in range(len(values)):
        step = 1e-6 if equations.unknowns[place][0] == "slope" else 1e-3
        up, down = values.copy(), values.copy()
        up[place] += step
        down[place] -= step
        difference = (equations.misfit(up)[0] - equations.misfit(down)[0]) / (2 * step)
        assert design[:, place] == pytest.approx(difference, rel=1e-5, abs=1e-6)


def test_only_what_is_spoken_of_becomes_unknown() -> None:
    readings = [
        Reading("a", Kind.HEIGHT, "floor", "N1", 180.0, 1.0),
        Reading("b", Kind.RUN, "N1", "N2", 225.0, 1.0),
    ]
    equations = write_equations(readings, DATUM, ())
    assert equations.unknowns == (("z", "N1"), ("x", "N2"))


def test_a_pitch_that_points_backwards_is_not_a_turn_off() -> None:
    """179.9 and -179.9 degrees differ by 0.2 degrees."""
    reading = Reading("p", Kind.PITCH, "A", "B", math.radians(179.9), 0.01)
    fixed = [Fixed(("x", "A"), 0.0), Fixed(("z", "A"), 0.0)]
    equations = write_equations([reading], fixed, ())
    end = [1000.0 * math.cos(math.radians(-179.9)), 1000.0 * math.sin(math.radians(-179.9))]
    misfit, _ = equations.misfit(np.array(end))
    assert math.degrees(misfit[0]) == pytest.approx(0.2, abs=1e-9)


def test_points_on_top_of_each_other_do_not_divide_by_nothing() -> None:
    reading = Reading("s", Kind.STRAIGHT, "A", "B", 100.0, 1.0)
    equations = write_equations([reading], [Fixed(("x", "A"), 0.0), Fixed(("z", "A"), 0.0)], ())
    misfit, design = equations.misfit(np.zeros(2))
    assert np.all(np.isfinite(misfit))
    assert np.all(np.isfinite(design))


def test_single_readings_compute_as_the_whole_does() -> None:
    truth = irregular_stair(np.random.default_rng(2))
    readings = good_visit(truth)
    equations = write_equations(readings, DATUM, ())
    values = dict(zip(equations.unknowns, true_values(truth, equations.unknowns), strict=True))
    values.update({entry.coordinate: entry.value for entry in DATUM})
    for reading in readings:
        spoken = [float(values[unknown]) for unknown in unknowns_of(reading)]
        assert computed(reading.kind, spoken) == pytest.approx(reading.value, abs=1e-9)
