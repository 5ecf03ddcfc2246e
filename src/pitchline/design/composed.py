"""A leg as far as it has been laid out, for whoever has something to say about it."""

from dataclasses import dataclass

from pitchline.design.brief import Brief
from pitchline.design.limits import Limits
from pitchline.design.model import Bar, Bay, Post, RailLine, Upright
from pitchline.design.spacing import Layout
from pitchline.kit.words import PLAIN, Words
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Composed:
    """What has been laid out so far, and the words for what is said of it."""

    flight: Flight
    brief: Brief
    limits: Limits
    rail_line: RailLine
    posts: tuple[Post, ...]
    bay: Bay
    layout: Layout | None
    uprights: tuple[Upright, ...]
    handrail: Bar
    base: Bar | None
    lean: float
    words: Words = PLAIN

    @property
    def gap(self) -> float:
        """The limit of the rules for the gaps of this bay."""
        return self.limits.gap_beside(self.flight, self.bay.sight)
