"""One leg while its frame is drawn: its rails and posts as it sees them."""

from dataclasses import dataclass

from pitchline.design.model import BarRole
from pitchline.strength.legs import StandingLeg
from pitchline.strength.rails import PostPlace, RailPlace


@dataclass(frozen=True, eq=False)
class DrawnLeg:
    """A leg with its rails and posts, in its own elevation; ``number`` counts from 0 at the foot of the edge."""

    number: int
    leg: StandingLeg
    rails: tuple[RailPlace, ...]
    posts: tuple[PostPlace, ...]

    @property
    def handrail(self) -> RailPlace:
        """Its handrail."""
        return next(rail for rail in self.rails if rail.bar.role is BarRole.HANDRAIL)

    @property
    def base(self) -> RailPlace | None:
        """Its base rail, where there is one."""
        return next((rail for rail in self.rails if rail.bar.role is BarRole.BASE), None)
