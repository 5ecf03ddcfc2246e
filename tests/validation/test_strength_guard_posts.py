"""Measured guard posts, calculated back to the stiffness of their bases.

J. Loferski and F. Woeste, strong rail-post connections for wooden decks, trade journal (seen): posts 4 x 4 in pulled
outward 36 in up, five of each kind. Two 1/2 in bolts to a rim joist 2 x 8: 4.4 in under 200 lb; the rim twisted.
"""

import math

import pytest

from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import PostEnd
from pitchline.strength.bases.pull import PullTest, post_movement, stiffness_from_pull
from pitchline.strength.woods import Graded, wood_of

WOOD = wood_of("pine-southern", Graded({"pine-southern": "C24"}, {}))
POST = PostEnd(WOOD, 89.0, 89.0)
POUNDS, INCHES = 4.4482216152605, 25.4


def test_bolted_post_calculated_back() -> None:
    """200 lb at 36 in moved it 4.4 in: P h2 / (d - own bending) = 6.9 kNm/rad, 6.7 if all of it is the base."""
    pull = PullTest(200 * POUNDS, 36 * INCHES, 4.4 * INCHES)
    found = stiffness_from_pull(pull, POST).mean
    own = post_movement(pull.force, pull.height, math.inf, POST, across=True)
    assert found == pytest.approx(pull.force * pull.height**2 / (pull.moved - own))
    assert found == pytest.approx(6.9e6, rel=0.015)
    whole = pull.force * pull.height**2 / pull.moved
    assert whole == pytest.approx(6.7e6, rel=0.01)


def test_the_twist_of_the_rim_alone_explains_it() -> None:
    """4 G J / L of an unblocked rim 38 x 184 over 1.2 m: 6.7 kNm/rad, of the size that was measured."""
    rim = supports.beam(WOOD, 38.0, 184.0, 1200.0, name="rim joist")
    assert rim.across.mean == pytest.approx(6.7e6, rel=0.05)


def test_head_of_a_post_on_springs_of_two_sizes() -> None:
    """P h3/3EI + 1.2 P h/GA + P h2/k: 648 N at 900 mm on 90 x 90 C24: 13.24 mm at 50, 23.74 mm at 25 kNm/rad."""
    post = PostEnd(WOOD, 90.0, 90.0)
    assert post_movement(648, 900, 50e6, post, across=True) == pytest.approx(13.24, abs=0.01)
    assert post_movement(648, 900, 25e6, post, across=True) == pytest.approx(23.74, abs=0.01)
