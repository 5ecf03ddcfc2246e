from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.drawing.scales import INCH_SCALES, ISO_SCALES, bar_divisions, fit_scale, name_of_scale


def test_a_stair_of_four_metres_goes_on_a3_at_one_to_twenty() -> None:
    # 4160 / 20 = 208 mm, 3000 / 20 = 150 mm; at 1:10 it would be 416 mm wide
    assert fit_scale(4160.0, 3000.0, (380.0, 230.0)) == 20


def test_what_just_fits_fits() -> None:
    assert fit_scale(380.0 * 20, 100.0, (380.0, 230.0)) == 20
    assert fit_scale(380.0, 230.0, (380.0, 230.0)) == 1


@given(st.floats(1.0, 20_000.0), st.floats(1.0, 20_000.0), st.booleans())
def test_it_fits_and_the_next_larger_scale_would_not(width: float, height: float, inches: bool) -> None:
    room = (380.0, 230.0)
    family = INCH_SCALES if inches else ISO_SCALES
    chosen = fit_scale(width, height, room, inches)
    assert width / chosen <= room[0] * (1 + 1e-9)
    assert height / chosen <= room[1] * (1 + 1e-9)
    larger = [scale for scale in family if scale < chosen]
    if larger:
        assert width / larger[-1] > room[0] or height / larger[-1] > room[1]


def test_too_large_a_thing_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="nothing down to 1:1000"):
        fit_scale(1e9, 1.0, (380.0, 230.0))
    with pytest.raises(ValueError, match="positive size"):
        fit_scale(0.0, 0.0, (380.0, 230.0))


@pytest.mark.parametrize(
    ("denominator", "inches_for_a_foot", "name"),
    [
        (8.0, 1.5, '1 1/2" = 1\'-0"'),
        (12.0, 1.0, '1" = 1\'-0"'),
        (16.0, 0.75, '3/4" = 1\'-0"'),
        (24.0, 0.5, '1/2" = 1\'-0"'),
        (32.0, 0.375, '3/8" = 1\'-0"'),
        (48.0, 0.25, '1/4" = 1\'-0"'),
        (96.0, 0.125, '1/8" = 1\'-0"'),
        (192.0, 0.0625, '1/16" = 1\'-0"'),
    ],
)
def test_architectural_scales_mean_what_they_say(
    denominator: float, inches_for_a_foot: float, name: str
) -> None:
    # a foot has twelve inches, so x inches for one foot is 1 : 12 / x
    assert denominator == 12.0 / inches_for_a_foot
    assert name_of_scale(denominator) == name


def test_plain_scale_names() -> None:
    assert [name_of_scale(n) for n in (1, 2, 50, 0.5, 0.2)] == [
        "1:1 (full size)",
        "1:2",
        "1:50",
        "2:1",
        "5:1",
    ]
    with pytest.raises(ValueError, match="positive"):
        name_of_scale(0.0)


@given(st.sampled_from(ISO_SCALES), st.booleans())
def test_scale_bars_start_at_nought_rise_evenly_and_stay_short(scale: float, inches: bool) -> None:
    places = bar_divisions(scale, inches)
    steps = {round(b - a, 6) for a, b in pairwise(places)}
    assert places[0] == 0.0
    assert len(steps) == 1
    assert 5.0 <= places[-1] / scale <= 50.0 + 1e-9


def test_an_inch_bar_at_three_quarters_to_the_foot_counts_in_six_inches() -> None:
    assert bar_divisions(16.0, inches=True) == pytest.approx([152.4 * k for k in range(5)])
