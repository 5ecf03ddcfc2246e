"""The adjustment against published worked examples.

1. G. Strang and K. Borre, Linear Algebra, Geodesy, and GPS (1997), levelling net of two points and three
   bench marks, with a program's printout of it as quoted on a surveyors' forum.
2. The one-dimensional sample net of the GNU Gama documentation (closed levelling, eight lines, two ways each).
3. J. Mahun, Open Access Surveying Library, Least Squares Lite, chapter B, levelling circuit.
4. JCGM 100:2008 (GUM), H.3, straight line through the calibration of a thermometer; the line is read here as
   the top edge of a string: value = a + b x - z with z = 0. The data were read again in a library's
   documentation of the example; the printed results are quoted from memory.
5. Trilateration from three fixed stations: data from memory of C. Ghilani and P. Wolf, Adjustment
   Computations, chapter 14; checked in closed form.
"""

import math

import numpy as np
import pytest

from pitchline.survey.adjust import Adjusted, adjust
from pitchline.survey.readings import Fixed, Kind, Reading


def line(start: str, end: str, rise: float, sigma: float, mark: str = "") -> Reading:
    return Reading(f"{start}-{end}{mark}", Kind.HEIGHT, start, end, rise, sigma)


def heights(**fixed: float) -> list[Fixed]:
    return [Fixed(("z", name), value) for name, value in fixed.items()]


def test_strang_and_borre_levelling_net() -> None:
    """Metres in the book, 6 mm per root kilometre; printed: v'Pv 4.636, factor 1.243, test passed at 5 %."""
    lines = [
        ("A", "E", 0.732, 0.970),
        ("A", "F", 1.978, 1.002),
        ("B", "E", 0.420, 1.070),
        ("C", "F", 0.988, 1.110),
        ("E", "F", 1.258, 0.890),
    ]
    readings = [line(a, b, 1000 * rise, 6 * math.sqrt(km)) for a, b, rise, km in lines]
    adjusted = adjust(readings, heights(A=10021.0, B=10321.0, C=11002.0))
    assert adjusted.redundancy == 3
    assert adjusted.chi2 == pytest.approx(4.636, abs=5e-4)
    assert math.sqrt(adjusted.chi2 / 3) == pytest.approx(1.243, abs=5e-4)
    assert adjusted.passed
    # chi-square quantiles of 3 degrees of freedom, any table: 0.216 (2.5 %) and 9.348 (97.5 %)
    assert adjusted.chi2_low == pytest.approx(0.216, abs=5e-4)
    assert adjusted.chi2_high == pytest.approx(9.348, abs=5e-4)


def sample_net() -> Adjusted:
    lines = [
        ("1a", "4", -1.225),
        ("4", "3", -0.848),
        ("3", "2", 1.342),
        ("2", "1a", 0.720),
        ("1a", "2", -0.724),
        ("2", "3", -1.335),
        ("3", "4", 0.842),
        ("4", "1a", 1.231),
    ]
    readings = [line(a, b, 1000 * rise, 5.0) for a, b, rise in lines]
    return adjust(readings, [Fixed(("z", "1a"), 1_000_000.0)])


def test_one_dimensional_sample_net() -> None:
    """Printed: heights in m to 0.01 mm, a-posteriori factor 5.42 mm, v'v 146.625 mm2, deviations 3.1, 3.5, 3.1."""
    adjusted = sample_net()
    printed = {"4": 998.77513, "3": 997.93325, "2": 999.27487}
    for name, height in printed.items():
        assert adjusted.estimate(("z", name)) / 1000 == pytest.approx(height, abs=6e-6)
    squares = float(np.sum(adjusted.residuals**2))
    assert squares == pytest.approx(146.625, abs=5e-4)
    factor = math.sqrt(squares / adjusted.redundancy)
    assert factor == pytest.approx(5.42, abs=5e-3)
    for name, deviation in {"4": 3.1, "3": 3.5, "2": 3.1}.items():
        sigma = adjusted.sigma_of({("z", name): 1.0})
        # printed with the a-priori 5 mm
        assert sigma == pytest.approx(deviation, abs=0.05)


def test_sample_net_largest_normalised_residual() -> None:
    """Printed 1.68, with the a-priori 5 mm."""
    assert np.max(np.abs(sample_net().standardised)) == pytest.approx(1.68, abs=5e-3)


def test_levelling_circuit() -> None:
    """Feet in the text: printed residuals and squares 0.002900 and 0.001867; two unknowns, seven lines.

    The bench marks are printed in a figure; up to the common datum they follow from the printed residuals, and
    each bench mark that serves both points must come out the same.
    """
    to_q = {"BMA": (8.91, -0.015), "BMB": (-2.92, 0.015), "BMC": (-4.67, -0.035), "BMD": (-8.66, 0.035)}
    to_r = {"BMA": (-3.56, 0.007), "BMC": (-17.12, -0.033), "BMD": (-21.10, 0.027)}
    drop = 12.448
    marks = {name: -rise - residual for name, (rise, residual) in to_q.items()}
    for name, (rise, residual) in to_r.items():
        assert -drop - rise - residual == pytest.approx(marks[name], abs=1e-9)
    readings = [line(name, "Q", rise, 1.0) for name, (rise, _) in to_q.items()]
    readings += [line(name, "R", rise, 1.0) for name, (rise, _) in to_r.items()]
    adjusted = adjust(readings, heights(**marks))
    assert adjusted.redundancy == 5
    printed = [residual for _, residual in (*to_q.values(), *to_r.values())]
    assert np.allclose(adjusted.residuals, printed, atol=5e-4)
    assert float(np.sum(adjusted.residuals[:4] ** 2)) == pytest.approx(0.002900, abs=5e-7)
    # the printed residuals are rounded to 0.001, which moves this sum in the sixth decimal
    assert float(np.sum(adjusted.residuals[4:] ** 2)) == pytest.approx(0.001867, abs=1e-6)


def test_gum_straight_line() -> None:
    """GUM H.3: y1 -0.1712 (0.0029), y2 0.00218 (0.00067), r -0.930, s 0.0035; at 30 degrees -0.1494 (0.0041)."""
    t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    fixed = [Fixed(("x", f"P{k}"), value - 20.0) for k, value in enumerate(t)]
    fixed += [Fixed(("z", f"P{k}"), 0.0) for k in range(len(t))]
    readings = [Reading(f"b{k}", Kind.MARGIN, "line", f"P{k}", v, 1.0) for k, v in enumerate(b)]
    adjusted = adjust(readings, fixed)
    s2 = adjusted.chi2 / adjusted.redundancy
    y1, y2 = adjusted.string("line")
    covariance = s2 * adjusted.covariance_of([("string", "line"), ("slope", "line")])
    u1, u2 = np.sqrt(np.diag(covariance))
    assert adjusted.redundancy == 9
    assert y1 == pytest.approx(-0.1712, abs=5e-5)
    assert u1 == pytest.approx(0.0029, abs=5e-5)
    assert y2 == pytest.approx(0.00218, abs=5e-6)
    assert u2 == pytest.approx(0.00067, abs=5e-6)
    assert covariance[0, 1] / (u1 * u2) == pytest.approx(-0.930, abs=5e-4)
    assert math.sqrt(s2) == pytest.approx(0.0035, abs=5e-5)
    at_30 = np.array([1.0, 10.0])
    assert y1 + 10.0 * y2 == pytest.approx(-0.1494, abs=5e-5)
    assert math.sqrt(at_30 @ covariance @ at_30) == pytest.approx(0.0041, abs=5e-5)


STATIONS = {"A": (865.40, 4527.15), "B": (2432.55, 2047.25), "C": (2865.22, 27.15)}
DISTANCES = {"A": 6049.00, "B": 4736.83, "C": 5446.49}


def test_trilateration_obeys_the_normal_equations() -> None:
    """Feet; data from memory. Equal weights: the unit vectors to the stations, weighted by v, must balance.

    Covariance in closed form: the inverse of the sum of u u' over the unit vectors u.
    """
    fixed = [Fixed(("x", name), x) for name, (x, _) in STATIONS.items()]
    fixed += [Fixed(("z", name), z) for name, (_, z) in STATIONS.items()]
    readings = [Reading(f"{k}U", Kind.STRAIGHT, k, "U", v, 1.0) for k, v in DISTANCES.items()]
    adjusted = adjust(readings, fixed)
    point = np.array(adjusted.point("U"))
    arms = point - np.array(list(STATIONS.values()))
    lengths = np.hypot(*arms.T)
    units = arms / lengths[:, np.newaxis]
    residuals = lengths - np.array(list(DISTANCES.values()))
    assert adjusted.residuals == pytest.approx(residuals, abs=1e-9)
    # three distances read to 0.01 over some 5000 ft meet within a tenth of a foot, on the far side of the base
    assert np.max(np.abs(residuals)) < 0.1
    assert point[0] > 6000.0
    assert residuals @ units == pytest.approx([0.0, 0.0], abs=1e-8)
    inverse = np.linalg.inv(units.T @ units)
    assert adjusted.covariance_of([("x", "U"), ("z", "U")]) == pytest.approx(inverse, rel=1e-9)


def test_the_same_reading_taken_n_times_is_averaged() -> None:
    """Closed form: the mean, sigma / root n, redundancy numbers 1 - 1/n, and weights when sigmas differ."""
    values, sigma = [182.0, 183.5, 181.0, 182.5], 0.9
    readings = [line("floor", "N1", value, sigma, f" {k}") for k, value in enumerate(values)]
    adjusted = adjust(readings, heights(floor=0.0))
    assert adjusted.estimate(("z", "N1")) == pytest.approx(sum(values) / 4)
    assert adjusted.sigma_of({("z", "N1"): 1.0}) == pytest.approx(sigma / 2)
    assert adjusted.redundancy_numbers == pytest.approx([0.75] * 4)
    assert adjusted.smallest_blunders == pytest.approx([4.13 * sigma / math.sqrt(0.75)] * 4)
    uneven = [line("floor", "N1", 182.0, 1.0, " a"), line("floor", "N1", 186.0, 2.0, " b")]
    # weights 1 and 1/4
    assert adjust(uneven, heights(floor=0.0)).estimate(("z", "N1")) == pytest.approx(
        (182.0 + 186.0 / 4) / 1.25
    )


def test_blunder_constant_is_the_sum_of_two_normal_quantiles() -> None:
    """Baarda: 0.1 % two-sided and 80 % power; normal quantiles 3.2905 and 0.8416 (any table)."""
    adjusted = sample_net()
    bounds = adjusted.smallest_blunders * np.sqrt(adjusted.redundancy_numbers) / adjusted.sigmas
    assert bounds == pytest.approx(np.full(8, 3.2905 + 0.8416), abs=5e-3)
