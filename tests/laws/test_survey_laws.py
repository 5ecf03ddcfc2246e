"""Laws that any survey must obey, on invented stairs. Seeds are fixed: the statistics never flicker."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.strategies_survey import (
    DATUM,
    Truth,
    good_visit,
    irregular_stair,
    perfect,
    read,
    slipped,
    visits,
)

from pitchline.survey.adjust import Adjusted, UndeterminedError, adjust
from pitchline.survey.blunders import find_blunders
from pitchline.survey.equations import unknowns_of
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.next_reading import next_reading
from pitchline.survey.readings import Coordinate, Fixed, Kind, Reading
from pitchline.survey.start import computed

LENGTHS = st.floats(-5000.0, 5000.0)


@settings(max_examples=40, deadline=None)
@given(visits(), LENGTHS, LENGTHS)
def test_moving_the_stair_changes_no_residual(
    visit: tuple[Truth, tuple[Reading, ...]], along: float, up: float
) -> None:
    _, readings = visit
    moved = (Fixed(("x", "N1"), along), Fixed(("z", "floor"), up))
    here, there = adjust(readings, DATUM), adjust(readings, moved)
    assert there.standardised == pytest.approx(here.standardised, abs=1e-5)
    assert there.covariance_of([("z", "N2")]) == pytest.approx(here.covariance_of([("z", "N2")]), rel=1e-6)
    x, z = here.point("N3")
    assert there.point("N3") == pytest.approx((x + along, z + up), abs=1e-5)


def turned(reading: Reading) -> Reading:
    """The reading as someone on the other side of the stair would book it: x runs the other way."""
    if reading.kind is Kind.RUN:
        return replace(reading, start=reading.end, end=reading.start)
    if reading.kind is Kind.PITCH:
        return replace(reading, start=reading.end, end=reading.start, value=-reading.value)
    if reading.kind is Kind.PLUMB:
        return replace(reading, value=-reading.value)
    return reading


@settings(max_examples=40, deadline=None)
@given(visits())
def test_turning_the_stair_end_for_end_changes_no_residual(visit: tuple[Truth, tuple[Reading, ...]]) -> None:
    _, readings = visit
    here = adjust(readings, DATUM)
    there = adjust([turned(reading) for reading in readings], DATUM)
    assert np.abs(there.residuals / there.sigmas) == pytest.approx(
        np.abs(here.residuals / here.sigmas), abs=1e-5
    )
    assert there.redundancy_numbers == pytest.approx(here.redundancy_numbers, abs=1e-7)


@settings(max_examples=40, deadline=None)
@given(visits(), st.sampled_from([1 / 25.4, 0.001, 10.0]))
def test_other_units_change_nothing(visit: tuple[Truth, tuple[Reading, ...]], scale: float) -> None:
    _, readings = visit

    def scaled(reading: Reading) -> Reading:
        if reading.kind is Kind.PITCH:
            return reading
        return replace(reading, value=scale * reading.value, sigma=scale * reading.sigma)

    here, there = adjust(readings, DATUM), adjust([scaled(reading) for reading in readings], DATUM)
    assert there.standardised == pytest.approx(here.standardised, abs=1e-5)
    assert there.estimate(("z", "N3")) == pytest.approx(scale * here.estimate(("z", "N3")), rel=1e-8)


@settings(max_examples=40, deadline=None)
@given(visits(), st.randoms(use_true_random=False))
def test_the_order_of_the_readings_does_not_matter(
    visit: tuple[Truth, tuple[Reading, ...]], random: Random
) -> None:
    _, readings = visit
    shuffled = list(readings)
    random.shuffle(shuffled)
    here, there = adjust(readings, DATUM), adjust(shuffled, DATUM)
    assert there.chi2 == pytest.approx(here.chi2, rel=1e-6, abs=1e-9)
    assert there.point("N3") == pytest.approx(here.point("N3"), abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(visits(smallest=5), st.integers(0, 10_000), st.sampled_from([-300.0, 300.0]))
def test_a_slip_of_a_foot_settles_and_is_named(
    visit: tuple[Truth, tuple[Reading, ...]], which: int, slip: float
) -> None:
    """Any length that anything checks: off by 300 mm, it is the first to be named, or named as a rival."""
    _, readings = visit
    lengths = [reading for reading in readings if reading.kind is not Kind.PITCH and reading.value > 310.0]
    lengths += [reading for reading in readings if reading.kind is not Kind.PITCH and slip > 0]
    chosen = lengths[which % len(lengths)]
    good = adjust(readings, DATUM)
    place = readings.index(chosen)
    bad = adjust(slipped(readings, chosen.id, slip), DATUM)
    assume(good.smallest_blunders[place] < 60.0)
    blunders, clean = find_blunders(bad)
    named = {blunders[0].reading.id} | {rival.id for rival in blunders[0].rivals}
    assert chosen.id in named
    assert clean.chi2 < 100.0


KINDS_BETWEEN = [Kind.HEIGHT, Kind.RUN, Kind.STRAIGHT, Kind.PITCH]


@st.composite
def patchy_visits(draw: st.DrawFn) -> tuple[Truth, list[Reading]]:
    """Perfect readings of any kinds between any points, too many or too few."""
    truth = irregular_stair(np.random.default_rng(draw(st.integers(0, 10_000))), 6)
    names = [f"N{k}" for k in range(1, 7)]
    readings = {}
    for _ in range(draw(st.integers(8, 26))):
        kind = draw(st.sampled_from([*KINDS_BETWEEN, Kind.LEVEL, Kind.PLUMB]))
        start, end = sorted(draw(st.lists(st.sampled_from(names), min_size=2, max_size=2, unique=True)))
        if kind is Kind.HEIGHT and draw(st.booleans()):
            start = "floor"
        if kind not in KINDS_BETWEEN:
            start = "set-up"
        reading = perfect(truth, kind, start, end)
        readings[reading.id] = reading
    return truth, list(readings.values())


@settings(max_examples=200, deadline=None)
@given(patchy_visits())
def test_any_mixture_of_perfect_readings_fits_or_is_said_to_be_too_few(
    visit: tuple[Truth, list[Reading]],
) -> None:
    truth, readings = visit
    try:
        adjusted = adjust(readings, DATUM)
    except UndeterminedError as error:
        assert error.coordinates
        return
    assert adjusted.chi2 < 0.1
    if np.max(np.diag(adjusted.covariance)) < 10.0**2:
        # points nearly in one line have a mirrored twin that fits as well; they are known to no better than this
        for axis, name in adjusted.unknowns:
            if axis in {"x", "z"}:
                true = truth.points[name][0 if axis == "x" else 1]
                assert adjusted.estimate((axis, name)) == pytest.approx(true, abs=1e-3)


def test_leaving_a_reading_out_moves_points_as_its_covariance_says() -> None:
    """Without one reading x moves by d with covariance Q(without) - Q(with), as in any least-squares estimate."""
    rng = np.random.default_rng(101)
    ratios = []
    for _ in range(400):
        truth = irregular_stair(rng)
        readings = read(rng, good_visit(truth))
        with_all = adjust(readings, DATUM)
        place = int(rng.integers(len(readings)))
        if with_all.redundancy_numbers[place] < 0.05:
            continue
        without = adjust([*readings[:place], *readings[place + 1 :]], DATUM)
        top = int(rng.integers(2, 14))
        for coordinate in (("x", f"N{top}"), ("z", f"N{top}")):
            growth = without.sigma_of({coordinate: 1.0}) ** 2 - with_all.sigma_of({coordinate: 1.0}) ** 2
            if growth > 1e-3:
                moved = without.estimate(coordinate) - with_all.estimate(coordinate)
                ratios.append(moved / math.sqrt(growth))
    sample = np.array(ratios)
    assert len(sample) > 150
    # mean square 1 with a standard deviation of root(2/n); 0.27 % of moves exceed three standard deviations
    assert np.mean(sample**2) == pytest.approx(1.0, abs=4 * math.sqrt(2 / len(sample)))
    assert np.mean(np.abs(sample) > 3.0) < 0.02


def test_coverage_of_the_k2_interval_over_irregular_stairs() -> None:
    """2000 irregular stairs, one visit each: the interval of two standard uncertainties holds 95.45 % (normal).

    Over every coordinate of every stair, and over a derived length: the straight from the first to the last
    nosing, whose variance is propagated through its direction.
    """
    rng = np.random.default_rng(7)
    held, held_length, total = 0, 0, 0
    stairs = 2000
    for _ in range(stairs):
        truth = irregular_stair(rng)
        adjusted = adjust(read(rng, good_visit(truth)), DATUM)
        for axis, place in (("x", 0), ("z", 1)):
            names = [name for a, name in adjusted.unknowns if a == axis]
            errors = np.array([adjusted.estimate((axis, name)) - truth.points[name][place] for name in names])
            keys = [(axis, name) for name in names]
            sigmas = np.sqrt(np.diag(adjusted.covariance_of(keys)))
            held += int(np.sum(np.abs(errors) <= 2 * sigmas))
            total += len(names)
        held_length += _length_is_held(truth, adjusted.point("N1"), adjusted.point("N13"), adjusted.sigma_of)
    assert 0.93 <= held / total <= 0.97
    assert 0.93 <= held_length / stairs <= 0.97


def _length_is_held(
    truth: Truth,
    low: tuple[float, float],
    high: tuple[float, float],
    sigma_of: Callable[[Mapping[Coordinate, float]], float],
) -> bool:
    dx, dz = high[0] - low[0], high[1] - low[1]
    length = math.hypot(dx, dz)
    weights: dict[Coordinate, float] = {
        ("x", "N13"): dx / length,
        ("z", "N13"): dz / length,
        ("z", "N1"): -dz / length,
    }
    real = math.dist(truth.points["N1"], truth.points["N13"])
    return abs(length - real) <= 2 * sigma_of(weights)


def test_covariance_agrees_with_simulation() -> None:
    """One stair visited 4000 times: standard deviations of all unknowns within 5 % (their own is 1.1 %)."""
    rng = np.random.default_rng(11)
    truth = irregular_stair(rng)
    plan = good_visit(truth)
    perfect_fit = adjust(plan, DATUM)
    found = np.array([adjust(read(rng, plan), DATUM).values for _ in range(4000)])
    stated = np.sqrt(np.diag(perfect_fit.covariance))
    assert np.std(found, axis=0) / stated == pytest.approx(np.ones(len(stated)), abs=0.05)
    assert np.corrcoef(found.T) == pytest.approx(perfect_fit.covariance / np.outer(stated, stated), abs=0.06)


TAPE_II = Instrument("tape", "tape-ii")


def thrice(kind: Kind, start: str, end: str, value: float) -> list[Reading]:
    sigma = standard_uncertainty(TAPE_II, kind, value)
    return [Reading(f"{kind} {k}", kind, start, end, value, sigma) for k in range(3)]


def spanned() -> list[Reading]:
    """Three rises, and the sum of the first two and of all three, from the floor."""
    rises = [("floor", "N1", 190.0), ("N1", "N2", 185.0), ("N2", "N3", 192.0)]
    sums = [("floor", "N2", 375.0), ("floor", "N3", 567.0), ("N1", "N3", 377.0)]
    return [
        Reading(f"{a} {b}", Kind.HEIGHT, a, b, value, standard_uncertainty(TAPE_II, Kind.HEIGHT, value))
        for a, b, value in (*rises, *sums)
    ]


@pytest.mark.parametrize(
    ("plan", "fixed"),
    [
        (thrice(Kind.HEIGHT, "floor", "N1", 190.0), DATUM[1:]),
        (thrice(Kind.RUN, "N1", "N13", 2700.0), DATUM[:1]),
        (spanned(), DATUM[1:]),
    ],
    ids=["height three times", "run three times", "sums"],
)
def test_a_slip_of_12_mm_is_named(plan: Sequence[Reading], fixed: Sequence[Fixed]) -> None:
    rng = np.random.default_rng(23)
    named = 0
    trials = 400
    for _ in range(trials):
        chosen = plan[int(rng.integers(len(plan)))].id
        slip = 12.0 if rng.random() < 0.5 else -12.0
        blunders, _ = find_blunders(adjust(slipped(read(rng, plan), chosen, slip), fixed))
        named += any(blunder.reading.id == chosen for blunder in blunders[:1])
    assert named >= 0.95 * trials


@settings(max_examples=25, deadline=None)
@given(visits(smallest=5, largest=10), st.integers(2, 5))
def test_the_promised_gain_of_the_next_reading_is_kept(
    visit: tuple[Truth, tuple[Reading, ...]], nosing: int
) -> None:
    """The rank-one update promises what adjusting again with that reading delivers; no other gives more."""
    _, readings = visit
    before = adjust(readings, DATUM)
    wanted: dict[Coordinate, float] = {("z", f"N{nosing}"): 1.0, ("x", f"N{nosing}"): -0.8}
    suggestion = next_reading(before, wanted)
    assert suggestion is not None
    assert suggestion.sigma_before == pytest.approx(before.sigma_of(wanted))
    assert suggestion.sigma_after < suggestion.sigma_before
    taken = _reading_at(before, suggestion.kind, suggestion.start, suggestion.end)
    after = adjust([*readings, taken], DATUM)
    assert after.sigma_of(wanted) == pytest.approx(suggestion.sigma_after, rel=1e-6)


def _reading_at(adjusted: Adjusted, kind: Kind, start: str, end: str) -> Reading:
    """The suggested reading, as the class II tape would give it."""
    spoken = unknowns_of(Reading("", kind, start, end, 1.0, 1.0))
    value = computed(kind, [adjusted.estimate(unknown) for unknown in spoken])
    return Reading("the next one", kind, start, end, value, standard_uncertainty(TAPE_II, kind, value))
