"""Behaviour of the adjustment: starting values, edges, what cannot be adjusted."""

import math
from itertools import pairwise

import numpy as np
import pytest
from tests.strategies_survey import DATUM, good_visit, irregular_stair, perfect, read, slipped

from pitchline.kit.errors import InputError, PitchlineError
from pitchline.survey.adjust import UndeterminedError, adjust
from pitchline.survey.readings import Fixed, Kind, Prior, Reading

TRUTH = irregular_stair(np.random.default_rng(5))
NOSINGS = [f"N{k}" for k in range(1, 14)]
STEPS = list(pairwise(NOSINGS))
RISES = [perfect(TRUTH, Kind.HEIGHT, a, b) for a, b in [("floor", "N1"), *STEPS]]
GOINGS = [perfect(TRUTH, Kind.RUN, a, b) for a, b in STEPS]
STRAIGHTS = [perfect(TRUTH, Kind.STRAIGHT, a, b) for a, b in STEPS]
PITCHES = [perfect(TRUTH, Kind.PITCH, a, b) for a, b in STEPS]
LEVELS = [perfect(TRUTH, Kind.LEVEL, "stand", name) for name in ("floor", *NOSINGS)]
PLUMBS = [perfect(TRUTH, Kind.PLUMB, "line", name) for name in NOSINGS]
BACKWARDS = [perfect(TRUTH, Kind.STRAIGHT, b, a) for a, b in STEPS]


@pytest.mark.parametrize(
    "readings",
    [
        [*RISES, *GOINGS],
        [*reversed(GOINGS), *reversed(RISES)],
        [*LEVELS, *PLUMBS],
        [*RISES, *STRAIGHTS],
        [*LEVELS, *BACKWARDS],
        [*GOINGS, *PITCHES, RISES[0]],
        [*GOINGS, *STRAIGHTS, RISES[0]],
        [*STRAIGHTS, *PITCHES, RISES[0]],
        [*LEVELS, *PITCHES],
    ],
    ids=[
        "rises and goings",
        "backwards",
        "level and plumb line",
        "rises and straights",
        "level and straights downwards",
        "goings and pitches",
        "goings and straights",
        "straights and pitches",
        "level and pitches",
    ],
)
def test_every_way_of_measuring_a_stair_finds_it(readings: list[Reading]) -> None:
    adjusted = adjust(readings, DATUM)
    for name in NOSINGS:
        assert adjusted.point(name) == pytest.approx(TRUTH.points[name], abs=1e-6)
    assert adjusted.chi2 == pytest.approx(0.0, abs=1e-9)


def test_a_string_is_found_from_two_margins() -> None:
    margins = [perfect(TRUTH, Kind.MARGIN, "wall string", name) for name in ("N2", "N11")]
    adjusted = adjust([*RISES, *GOINGS, *margins], DATUM)
    assert adjusted.string("wall string") == pytest.approx(TRUTH.string, abs=1e-6)


def test_a_point_off_the_stair_is_found_by_two_straights() -> None:
    arms = [perfect(TRUTH, Kind.STRAIGHT, name, "post") for name in ("N10", "N13", "N5")]
    adjusted = adjust([*RISES, *GOINGS, *arms], DATUM)
    assert adjusted.point("post") == pytest.approx(TRUTH.points["post"], abs=1e-6)


def test_just_enough_readings_are_unchecked() -> None:
    adjusted = adjust([*RISES, *GOINGS], DATUM)
    assert adjusted.redundancy == 0
    assert adjusted.passed
    assert adjusted.chi2_low == adjusted.chi2_high == 0.0
    assert np.all(adjusted.redundancy_numbers == 0.0)
    assert np.all(adjusted.standardised == 0.0)
    assert np.all(np.isinf(adjusted.smallest_blunders))
    assert np.all(np.isinf(adjusted.external_effect))


def test_redundancy_numbers_add_up_to_the_redundancy() -> None:
    adjusted = adjust(read(np.random.default_rng(3), good_visit(TRUTH)), DATUM)
    assert float(np.sum(adjusted.redundancy_numbers)) == pytest.approx(adjusted.redundancy)


def test_external_effect_is_what_the_smallest_blunder_does() -> None:
    """Adjusted again with that slip, the point that moves most moves by that much (rises: linear)."""
    rises = [*RISES, perfect(TRUTH, Kind.HEIGHT, "floor", "N6"), perfect(TRUTH, Kind.HEIGHT, "N6", "N13")]
    good = adjust(rises, DATUM)
    slip = float(good.smallest_blunders[3])
    bad = adjust(slipped(rises, rises[3].id, slip), DATUM)
    assert np.max(np.abs(bad.values - good.values)) == pytest.approx(good.external_effect[3])


def test_heights_of_a_chain_grow_in_squares() -> None:
    """Closed form: k rises of one sigma each leave sigma root k."""
    adjusted = adjust(RISES, DATUM)
    for k, name in enumerate(NOSINGS, start=1):
        assert adjusted.sigma_of({("z", name): 1.0}) == pytest.approx(0.9 * math.sqrt(k))


def test_what_is_known_beforehand_counts_as_a_reading() -> None:
    """Closed form: 182 with sigma 1 and a drawing's 190 with sigma 3: weights 9 to 1."""
    height = Reading("h", Kind.HEIGHT, "floor", "N1", 182.0, 1.0)
    adjusted = adjust([height], DATUM, [Prior(("z", "N1"), 190.0, 3.0)])
    assert adjusted.estimate(("z", "N1")) == pytest.approx((9 * 182.0 + 190.0) / 10)
    assert adjusted.redundancy == 1


def test_fixed_coordinates_have_no_uncertainty() -> None:
    adjusted = adjust([*RISES, *GOINGS], DATUM)
    assert adjusted.estimate(("x", "N1")) == 0.0
    assert adjusted.covariance_of([("x", "N1"), ("z", "floor")]) == pytest.approx(np.zeros((2, 2)))
    assert ("x", "N1") in adjusted.coordinates
    assert adjusted.has(("z", "floor"))
    assert not adjusted.has(("x", "floor"))
    with pytest.raises(KeyError):
        adjusted.estimate(("x", "floor"))


def test_arrays_cannot_be_changed() -> None:
    adjusted = adjust(RISES, DATUM)
    with pytest.raises(ValueError, match="read-only"):
        adjusted.values[0] = 1.0


def test_two_readings_of_one_name_are_refused() -> None:
    with pytest.raises(InputError, match="two readings have this name"):
        adjust([RISES[0], RISES[0]], DATUM)


def test_no_readings_at_all() -> None:
    adjusted = adjust([], DATUM)
    assert adjusted.coordinates == (("x", "N1"), ("z", "floor"))
    assert adjusted.redundancy == 0


def test_a_hole_in_the_chain_is_named_with_what_would_mend_it() -> None:
    with pytest.raises(UndeterminedError) as caught:
        adjust([*RISES[:3], *RISES[4:]], DATUM)
    assert ("z", "N4") in caught.value.coordinates
    assert ("z", "N3") not in caught.value.coordinates
    assert len(caught.value.groups) == 1
    message = str(caught.value)
    assert "the height of N4" in message
    assert "one more reading would" in message
    assert "a height to a point that is fixed" in message


def test_separate_holes_are_told_apart() -> None:
    loose = perfect(TRUTH, Kind.HEIGHT, "N7", "N8")
    straight = Reading("face", Kind.RUN, "wall", "post", 900.0, 1.0)
    with pytest.raises(UndeterminedError) as caught:
        adjust([*RISES[:5], loose, straight], DATUM)
    assert caught.value.groups == ((("z", "N7"), ("z", "N8")), (("x", "wall"), ("x", "post")))


def test_one_margin_does_not_make_a_string() -> None:
    margin = perfect(TRUTH, Kind.MARGIN, "string", "N2")
    with pytest.raises(UndeterminedError, match="the slope of string 'string'"):
        adjust([*RISES, *GOINGS, margin], DATUM)


def test_straights_along_one_line_do_not_fix_heights() -> None:
    """Distances between points in a line say almost nothing square to it."""
    points = {"A": (0.0, 0.0), "B": (2000.0, 0.0), "P": (1000.0, 0.02)}
    fixed = [Fixed(("x", n), points[n][0]) for n in "AB"] + [Fixed(("z", n), points[n][1]) for n in "AB"]
    arms = [Reading(n, Kind.STRAIGHT, n, "P", math.dist(points[n], points["P"]), 1.0) for n in "AB"]
    with pytest.raises(UndeterminedError, match="the height of P"):
        adjust(arms, fixed)


@pytest.mark.parametrize("slip", [-300.0, 300.0, 1000.0])
def test_a_coarse_slip_still_settles(slip: float) -> None:
    readings = read(np.random.default_rng(8), good_visit(TRUTH))
    name = "straight N5 N8"
    adjusted = adjust(slipped(readings, name, slip), DATUM)
    worst = int(np.argmax(np.abs(adjusted.standardised)))
    assert adjusted.readings[worst].id == name
    assert not adjusted.passed


def test_contradictions_raise_only_our_own_errors() -> None:
    """Readings of three different stairs thrown together: an answer or one sentence, never a crash."""
    rng = np.random.default_rng(4)
    for _ in range(30):
        readings = [
            Reading(
                f"{kind} {a} {b}",
                kind,
                a,
                b,
                float(rng.uniform(0.1, 3.0) * (1 if kind is Kind.PITCH else 500)),
                0.5,
            )
            for a, b in STEPS[:5]
            for kind in (Kind.HEIGHT, Kind.RUN, Kind.STRAIGHT, Kind.PITCH)
        ]
        try:
            adjusted = adjust([RISES[0], *readings], DATUM)
        except PitchlineError as error:
            assert str(error).endswith(".")
        else:
            assert np.all(np.isfinite(adjusted.values))
