"""What curved pieces are sawn from."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.geometry.contours import Arc, Contour, Straight, band, path_length
from pitchline.kit.geometry.easings import easing_between, gooseneck
from pitchline.kit.geometry.easings_stock import (
    blank_along,
    even_places,
    fewest_pieces,
    in_pieces,
    least_blank,
    stacked,
)
from pitchline.kit.geometry.lines import Line

RAKE = Line(900.0, 200.0 / 225.0)
EASING = easing_between(RAKE, Line(900.0, 0.0), 300.0)
SIZES = st.floats(0.0, 300.0)


def test_a_blank_for_an_arc_along_its_chord() -> None:
    """A ring sector needs the outer sagitta and what the inner chord lies deeper: R - r cos(half the sweep)."""
    outline = EASING.outline(0.0, 60.0)
    half = abs(EASING.turn) / 2.0
    (piece,) = in_pieces((EASING.arc,), 0.0, 60.0, (0.0, EASING.arc.length))
    assert piece.blank.width == pytest.approx(300.0 - 240.0 * math.cos(half))
    assert piece.blank.length == pytest.approx(2.0 * 300.0 * math.sin(half))
    assert piece.run_out_deg == pytest.approx(math.degrees(half))
    assert least_blank(outline).width == pytest.approx(piece.blank.width)


@given(st.floats(80.0, 600.0), st.floats(0.2, 1.4), SIZES, SIZES)
def test_no_direction_gives_a_narrower_blank(
    radius: float, turn: float, before: float, behind: float
) -> None:
    """Against four thousand directions tried one after another."""
    outline = easing_between(Line(0.0, 0.0), Line(0.0, math.tan(turn)), radius).outline(
        30.0, 30.0, before, behind
    )
    least = least_blank(outline)
    tried = [blank_along(outline, math.pi * k / 4000.0).width for k in range(4000)]
    assert least.width <= min(tried) + 1e-6
    assert least.width >= min(tried) - math.pi / 4000.0 * outline.length
    assert blank_along(outline, least.angle).width == pytest.approx(least.width)


def test_two_arcs_may_bear_on_one_side_of_a_blank() -> None:
    """A band round a hairpin of two bends: its outside touches the board on both arcs."""
    left = Arc((0.0, 0.0), 50.0, math.pi, -math.pi / 2.0)
    right = Arc((200.0, 0.0), 50.0, math.pi / 2.0, -math.pi / 2.0)
    path = (left, Straight(left.end, right.start), right)
    assert least_blank(band(path, 10.0, 10.0)).width == pytest.approx(60.0)


def test_a_disc_is_as_wide_as_it_is_long() -> None:
    disc = Contour((Arc((0.0, 0.0), 30.0, 0.0, math.pi), Arc((0.0, 0.0), 30.0, math.pi, math.pi)))
    assert (least_blank(disc).width, least_blank(disc).length) == pytest.approx((60.0, 60.0))


@given(st.integers(1, 9))
def test_equal_pieces_of_an_arc_share_the_turn(count: int) -> None:
    pieces = in_pieces((EASING.arc,), 20.0, 40.0, even_places(EASING.arc.length, count))
    assert len(pieces) == count
    assert [piece.run_out_deg for piece in pieces] == pytest.approx(
        [math.degrees(abs(EASING.turn)) / (2 * count)] * count
    )
    whole = band((EASING.arc,), 20.0, 40.0).area
    assert sum(piece.outline.area for piece in pieces) == pytest.approx(whole)


@given(st.floats(3.0, 40.0))
def test_fewest_pieces_keep_the_grain_within(limit: float) -> None:
    arc = (EASING.arc,)
    count = fewest_pieces(arc, limit)
    assert count == math.ceil(math.degrees(abs(EASING.turn)) / (2.0 * limit) - 1e-9)


def test_grain_that_may_not_run_out_at_all_cannot_be_had() -> None:
    with pytest.raises(ValueError, match="more than 64"):
        fewest_pieces((EASING.arc,), 0.01)


def test_strips_make_up_the_width_and_their_joints_are_staggered() -> None:
    path = EASING.path(60.0, 60.0)
    stack = stacked(path, 0.0, 60.0, 70.0, 20.0, 2)
    assert stack.count == 4
    assert stack.thickness == pytest.approx(17.5)
    assert [len(layer) for layer in stack.layers] == [2, 3, 2, 3]
    assert stack.overlap == pytest.approx(path_length(path) / 4.0 / 17.5)
    area = band(path, 0.0, 60.0).area
    for layer in stack.layers:
        assert sum(piece.outline.area for piece in layer) == pytest.approx(area)
    assert stack.board_area > 4.0 * area
    assert stacked(path, 0.0, 60.0, 70.0, 35.0, 1).overlap is None


def test_a_gooseneck_comes_from_pieces_too() -> None:
    path = gooseneck(RAKE, 0.0, 1200.0, 80.0, 60.0).path(80.0, 80.0)
    count = fewest_pieces(path, 30.0)
    pieces = in_pieces(path, 25.0, 25.0, even_places(path_length(path), count))
    assert max(piece.run_out_deg for piece in pieces) <= 30.0
    assert count > 1


def test_places_must_grow() -> None:
    with pytest.raises(ValueError, match="place to place"):
        in_pieces((EASING.arc,), 20.0, 20.0, (0.0, 0.0))
    with pytest.raises(ValueError, match="at least one piece"):
        even_places(100.0, 0)
    with pytest.raises(ValueError, match="some thickness"):
        stacked((EASING.arc,), 20.0, 20.0, 0.0, 20.0, 1)
