"""Limits of error and standard uncertainties of the instruments.

Tape classes: Directive 2014/32/EU, annex X (limits +-(a + b L), L rounded up to the metre). A limit of error
becomes a standard uncertainty by 1 / sqrt(3): JCGM 100:2008, 4.3.7.
"""

import math
from pathlib import Path

import pytest

from pitchline.kit.errors import InputError
from pitchline.survey.instruments import (
    Instrument,
    default_instruments,
    instrument_types,
    standard_uncertainty,
)
from pitchline.survey.readings import Kind


@pytest.mark.parametrize(
    ("tape", "length", "limit"),
    [
        # published tables of tape classes: class, length in mm, limit of error in mm
        ("tape-i", 3000.0, 0.4),
        ("tape-i", 5000.0, 0.6),
        ("tape-i", 10000.0, 1.1),
        ("tape-ii", 2000.0, 0.7),
        ("tape-ii", 3000.0, 0.9),
        ("tape-ii", 5000.0, 1.3),
        ("tape-ii", 10000.0, 2.3),
        ("tape-iii", 3000.0, 1.8),
        ("tape-iii", 5000.0, 2.6),
        ("tape-iii", 10000.0, 4.6),
    ],
)
def test_tape_classes(tape: str, length: float, limit: float) -> None:
    clean = Instrument("t", tape, in_use=0.0)
    assert standard_uncertainty(clean, Kind.STRAIGHT, length) == pytest.approx(limit / math.sqrt(3))


def test_length_is_rounded_up_to_the_metre() -> None:
    clean = Instrument("t", "tape-ii", in_use=0.0)
    assert standard_uncertainty(clean, Kind.RUN, -2001.0) == pytest.approx(0.9 / math.sqrt(3))
    assert standard_uncertainty(clean, Kind.HEIGHT, 190.0) == pytest.approx(0.5 / math.sqrt(3))


def test_use_adds_in_squares() -> None:
    tape = Instrument("t", "tape-ii", in_use=2.0)
    assert standard_uncertainty(tape, Kind.RUN, 230.0) == pytest.approx(math.sqrt((0.5**2 + 2.0**2) / 3))


def test_laser_grows_beyond_ten_metres() -> None:
    laser = Instrument("l", "laser", in_use=0.0)
    assert standard_uncertainty(laser, Kind.RUN, 9000.0) == pytest.approx(1.0 / math.sqrt(3))
    assert standard_uncertainty(laser, Kind.RUN, 30000.0) == pytest.approx((1 + 0.025 * 20) / math.sqrt(3))


def test_gauge_reads_radians() -> None:
    gauge = Instrument("g", "gauge", limit=0.2, in_use=0.0)
    assert standard_uncertainty(gauge, Kind.PITCH, 0.7) == pytest.approx(math.radians(0.2) / math.sqrt(3))


def test_level_loses_over_its_reach() -> None:
    near, far = (Instrument("s", "spirit-level", in_use=0.0, reach=reach) for reach in (0.0, 2000.0))
    assert standard_uncertainty(near, Kind.LEVEL, 500.0) == pytest.approx(0.5 / math.sqrt(3))
    assert standard_uncertainty(far, Kind.LEVEL, 500.0) == pytest.approx(math.hypot(0.5, 2.0) / math.sqrt(3))


def test_every_type_reads_what_it_says() -> None:
    for instrument in default_instruments():
        for kind in instrument_types()[instrument.type].reads:
            value = 0.7 if kind is Kind.PITCH else 700.0
            assert 0.0 < standard_uncertainty(instrument, kind, value) < 3.0


def test_every_figure_has_a_source_and_a_status() -> None:
    for known in instrument_types().values():
        assert known.source
        assert known.use_source
        assert known.status in {"verified", "memory", "common practice"}


def test_wrong_instrument_is_named() -> None:
    with pytest.raises(InputError, match="does not read a pitch"):
        standard_uncertainty(Instrument("tape", "tape-ii"), Kind.PITCH, 0.7)
    with pytest.raises(InputError, match=r"no such type.*tape-ii"):
        standard_uncertainty(Instrument("tape", "rubber"), Kind.RUN, 700.0)


def test_nothing_is_trusted_to_a_hair() -> None:
    assert standard_uncertainty(Instrument("x", "slip-stick", limit=0.0), Kind.RUN, 100.0) == 0.05


def test_the_method_page_lists_every_instrument_with_its_uncertainty() -> None:
    page = (Path(__file__).parents[2] / "docs" / "method" / "survey.md").read_text(encoding="utf-8")
    for key, known in instrument_types().items():
        (row,) = [line for line in page.splitlines() if line.startswith(f"| `{key}`")]
        assert known.status in row
        kind = known.reads[0]
        sigma = standard_uncertainty(Instrument(key, key), kind, 0.7 if kind is Kind.PITCH else 1000.0)
        assert (f"{math.degrees(sigma):.2f}°" if kind is Kind.PITCH else f"{sigma:.2f} mm") in row
