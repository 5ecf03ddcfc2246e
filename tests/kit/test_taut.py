"""Cables pushed aside, against the closed forms of the taut string.

Sources: Courant and Hilbert, Methods of Mathematical Physics I, chapter V (Green's function of the string), from
memory; statics of two straight legs.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.taut import push_to_move, pushed_aside, spans_of

forces = st.floats(1.0, 500.0)
lengths = st.floats(100.0, 4000.0)
pulls = st.floats(600.0, 8000.0)


@given(st.floats(0.01, 5.0), lengths, pulls)
def test_small_pushes_follow_the_ideal_string(push: float, span: float, pull: float) -> None:
    """w = F L / (4 T); the next term of the series is smaller by (F / 2T)^2 / 2."""
    ideal = push * span / (4.0 * pull)
    assert pushed_aside(push, span, pull) == pytest.approx(ideal, rel=(push / (2.0 * pull)) ** 2 + 1e-12)


@given(forces, lengths, pulls)
def test_two_straight_legs_hold_the_push(push: float, span: float, pull: float) -> None:
    """Statics at the bend: 2 T sin a = F."""
    aside = pushed_aside(push, span, pull)
    assert 2.0 * pull * aside / math.hypot(aside, span / 2.0) == pytest.approx(push, rel=1e-9)


@given(st.floats(1e-3, 1.0), lengths, st.floats(1e5, 1e7))
def test_without_a_pull_it_gives_by_the_cube_root(push: float, span: float, stretch: float) -> None:
    """Unstretched and unpulled, w = L/2 (F / EA)^(1/3) for small angles: 2 EA (a^2/2) a = F."""
    angle = (push / stretch) ** (1.0 / 3.0)
    expected = span / 2.0 * angle
    assert pushed_aside(push, span, 0.0, stretch) == pytest.approx(expected, rel=2.0 * angle**2)


@given(forces, lengths, pulls, st.floats(1e4, 1e7))
def test_stretch_only_helps(push: float, span: float, pull: float, stretch: float) -> None:
    assert pushed_aside(push, span, pull, stretch) <= pushed_aside(push, span, pull) * (1.0 + 1e-12)


@given(forces, lengths, pulls, st.one_of(st.none(), st.floats(1e4, 1e7)))
def test_the_push_that_moves_it_so_far_is_the_push(
    push: float, span: float, pull: float, stretch: float | None
) -> None:
    aside = pushed_aside(push, span, pull, stretch)
    assert push_to_move(aside, span, pull, stretch) == pytest.approx(push, rel=1e-6)


def test_a_push_of_twice_the_pull_is_not_held() -> None:
    assert math.isinf(pushed_aside(2000.0, 1000.0, 1000.0))
    assert math.isinf(pushed_aside(1.0, 1000.0, 0.0))
    assert pushed_aside(0.0, 1000.0, 0.0) == 0.0


@pytest.mark.parametrize("bad", [(-1.0, 1.0, 1.0), (1.0, 0.0, 1.0), (1.0, 1.0, -1.0)])
def test_forces_and_spans_must_make_sense(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="not negative"):
        pushed_aside(*bad)
    with pytest.raises(ValueError, match="over a span"):
        push_to_move(-1.0, 1.0, 1.0)


@pytest.mark.parametrize(
    ("length", "apart", "spans"), [(3000, None, 1), (3000, 1000, 3), (3001, 1000, 4), (9, 10, 1)]
)
def test_spans_are_equal_and_no_longer_than_asked(length: float, apart: float | None, spans: int) -> None:
    assert spans_of(length, apart) == spans
