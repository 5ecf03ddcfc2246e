"""Which joint goes with which way of making."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    Making,
    Mortised,
    OnTreads,
    Stacked,
)
from pitchline.parts.joints.between_posts import BetweenPostsJoint
from pitchline.parts.joints.bored import BoredJoint
from pitchline.parts.joints.bored_metal import BoredMetalJoint
from pitchline.parts.joints.clamped import ClampedJoint
from pitchline.parts.joints.dowelled import DowelledJoint
from pitchline.parts.joints.grooved import GroovedJoint
from pitchline.parts.joints.joint import Joint
from pitchline.parts.joints.mortised import MortisedJoint
from pitchline.parts.joints.on_treads import OnTreadsJoint
from pitchline.parts.joints.stacked import StackedJoint

_JOINTS: Mapping[type[Making], Callable[[Any], Joint]] = MappingProxyType(
    {
        Grooved: GroovedJoint,
        Stacked: StackedJoint,
        Bored: BoredJoint,
        Mortised: MortisedJoint,
        Dowelled: DowelledJoint,
        BoredMetal: BoredMetalJoint,
        OnTreads: lambda making: OnTreadsJoint(making, joint_of(making.head)),
        Clamped: ClampedJoint,
        BetweenPosts: BetweenPostsJoint,
    }
)


def joint_of(making: Making) -> Joint:
    """The joint of a way of making."""
    return _JOINTS[type(making)](making)
