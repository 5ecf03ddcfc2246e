"""Which way dimensions lie when the edge is seen from either side."""

import pytest

from pitchline.sheets.looking import Looker
from pitchline.stair.model import Side


@pytest.mark.parametrize("side", list(Side))
def test_a_plumb_dimension_with_a_positive_offset_lies_towards_the_head(side: Side) -> None:
    """A Dimension's offset counts to the left of its upward measuring direction."""
    look = Looker(side)
    mark = look.plumb((1000.0, 0.0), (1000.0, 900.0), 12.0, "900")
    towards_head = look.at((1001.0, 0.0))[0] - look.at((1000.0, 0.0))[0]
    assert mark.a[1] < mark.b[1]
    assert -mark.offset * towards_head > 0


@pytest.mark.parametrize("side", list(Side))
def test_level_and_aligned_dimensions_run_from_left_to_right(side: Side) -> None:
    look = Looker(side)
    for mark in (
        look.level((0.0, 5.0), (700.0, 9.0), 4.0, "x"),
        look.along((0.0, 5.0), (700.0, 9.0), 4.0, "x"),
    ):
        assert mark.a[0] < mark.b[0]
        assert mark.offset == 4.0


def test_the_two_sides_mirror_each_other() -> None:
    left, right = Looker(Side.LEFT), Looker(Side.RIGHT)
    assert left.at((300.0, 40.0)) == (-right.at((300.0, 40.0))[0], 40.0)
    mirrored, plain = (look.angle((0.0, 0.0), 0.0, 40.0, 10.0, "40") for look in (left, right))
    assert (plain.from_deg, plain.to_deg) == (0.0, 40.0)
    assert (mirrored.from_deg, mirrored.to_deg) == (140.0, 180.0)
