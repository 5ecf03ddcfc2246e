"""How pieces are cut by a router, and what it is told: cuts with side and depth, layers, stacks. Lengths in mm.

A layer lies on the router's bed with one face up. Its cuts are drawn in the co-ordinates of the piece as one looks
down on that face: x along the piece (towards the head of the stair or up), y to the left of it.
"""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.kit.geometry.contours import Contour
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Points
from pitchline.parts.part import Part


class Way(StrEnum):
    """On which side of its path a cutter runs, and what it makes."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    ON = "on the line"
    POCKET = "pocket"
    BORE = "bore"


@dataclass(frozen=True, slots=True)
class Cut:
    """A closed path, how the cutter keeps to it, and how deep below the upper face it goes.

    The material is to the left of an outside path and to the right of all others as they are drawn here: outside
    paths and pockets run anticlockwise, inside paths clockwise. ``relieved`` are the discs cut into its corners
    (centre, radius).
    """

    way: Way
    contour: Contour
    depth: float
    relieved: tuple[tuple[Point2, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Tab:
    """A bridge along an outside or inside path: from ``start`` to ``end`` on it."""

    start: Point2
    end: Point2


@dataclass(frozen=True, slots=True)
class Score:
    """A line marked on the upper face: where a piece left long is trimmed."""

    start: Point2
    end: Point2


@dataclass(frozen=True, eq=False)
class Layer:
    """One piece of board: what is cut into its upper face, and into its under face where anything is.

    ``target`` is the whole piece as the router makes it, in its own axes; the layer lies between ``low`` and ``high``
    through it. ``up`` is 1 where the face towards +Z lies up, else -1. ``under`` is drawn looking down on the other
    face after the piece was turned over about its length. ``outline`` is what is left of the board, one ring where
    it holds together, before corners were relieved. ``places`` are the pieces of the balustrade that it is cut for,
    ``remarks`` what the router leaves to be done; ``number`` is its
    place in its stack, from 0; ``scarfed`` where along it scarfs have their middles.
    """

    name: str
    target: Part
    low: float
    high: float
    up: int
    outline: tuple[Points, ...]
    cuts: tuple[Cut, ...]
    under: tuple[Cut, ...]
    tabs: tuple[Tab, ...]
    scores: tuple[Score, ...]
    cutter: float
    dowels: tuple[tuple[Point2, float], ...] = ()
    places: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    scarfed: tuple[float, ...] = ()
    number: int = 0

    @property
    def thickness(self) -> float:
        """Of the board."""
        return self.high - self.low

    @property
    def material(self) -> str:
        """Of the board."""
        return self.target.material

    @property
    def quantity(self) -> int:
        """How many are cut alike."""
        return len(self.places)


@dataclass(frozen=True, eq=False)
class Stack:
    """Layers that are glued face to face, every piece by itself, and what they make; ``dowel`` 0 for none."""

    name: str
    what: str
    layers: tuple[Layer, ...]
    dowel: float


@dataclass(frozen=True, eq=False)
class RouterWork:
    """Everything of a design that a router cuts, and pieces of board that it cannot cut, each with why."""

    layers: tuple[Layer, ...]
    stacks: tuple[Stack, ...]
    left_out: tuple[tuple[str, str], ...]
