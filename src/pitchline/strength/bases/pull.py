"""The test on site: pull at a post and read how far it moves. Its reading takes the place of every estimate.

The head moves by P h^3 / 3EI + P h / (kappa G A) + P h^2 / k: what the post itself does not explain is the base.
"""

import math
from dataclasses import dataclass

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.tolerances import COVERAGE_FACTOR, PULL_READ
from pitchline.strength.bases.joints import BaseStiffness, PostEnd
from pitchline.strength.bases.springs import Range


@dataclass(frozen=True, slots=True)
class PullTest:
    """A pull of ``force`` N at ``height`` mm above the foot of a free-standing post moves it there ``moved`` mm.

    ``across``: the pull was square to the balustrade, else along it; ``moved_sigma`` standard uncertainty of the
    reading.
    """

    force: float
    height: float
    moved: float
    across: bool = True
    moved_sigma: float = PULL_READ


def post_movement(force: float, height: float, stiffness: float, post: PostEnd, across: bool) -> float:
    """Movement of a post's head on a base of ``stiffness`` (Nmm/rad): base, bending and shear together, mm."""
    deep, wide = (post.across, post.along) if across else (post.along, post.across)
    inertia, area = wide * deep**3 / 12.0, wide * deep
    bending = force * height**3 / (3.0 * post.wood.e * inertia)
    shear = 1.2 * force * height / (post.wood.g * area)
    return bending + shear + force * height**2 / stiffness


def stiffness_from_pull(test: PullTest, post: PostEnd, where: str = "pull test") -> Range:
    """The base's stiffness from a pull test, with the reading's expanded uncertainty as low and high, Nmm/rad.

    InputError, placed ``where`` the test is told, where the post alone would have moved further than was read.
    """
    own = post_movement(test.force, test.height, math.inf, post, test.across)
    base = test.moved - own
    if base <= 0.0:
        problem = f"the post alone bends {own:.1f} mm under that pull, more than was read"
        remedy = "pull harder, read higher up, or state the post's wood"
        raise InputError([Fault(where, problem, f"{test.moved:g} mm", remedy=remedy)], "the pull test")
    unsure = COVERAGE_FACTOR * test.moved_sigma
    lever = test.force * test.height**2
    return Range(lever / (base + unsure), lever / base, lever / max(base - unsure, base / 10.0))


def measured(base: BaseStiffness, test: PullTest, post: PostEnd, where: str = "pull test") -> BaseStiffness:
    """The base with the tested direction replaced; the play of its holes is in the reading and so left out."""
    found = stiffness_from_pull(test, post, where)
    told = f"pull test: {test.force:g} N at {test.height:g} mm moved it {test.moved:g} mm"
    if test.across:
        return BaseStiffness(
            f"{base.name}, pulled at", found, base.along, 0.0, base.play_along, (told, *base.assumed)
        )
    return BaseStiffness(
        f"{base.name}, pulled at", base.across, found, base.play_across, 0.0, (told, *base.assumed)
    )
