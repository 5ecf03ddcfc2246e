"""Jigs: what is made to make the parts with, each with its shape, its sizes and how it is used.

A jig is told as flat views of true size, in mm, x to the right and y up. Which of them are drawn where, and which are
printed full size, is the sheets' business. Angles in degrees, said from what they are measured.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from pitchline.kit.geometry.lines import Point2
from pitchline.kit.units import Unit, show_length
from pitchline.kit.words import Words

Points2 = tuple[Point2, ...]

BOARD = 18.0
"""Thickness of the board that jigs are made of, mm (common practice, no source)."""


class JigKind(StrEnum):
    """What a jig is for."""

    MITRE_BOX = "mitre box"
    STOP = "stop block"
    TAPER = "taper block"
    CARRIER = "carrier for short pieces"
    SPACER = "spacer stick"
    STORY = "story stick"
    DRILL = "drilling guide"
    STAND = "rail stand"
    GAUGE = "height gauge"
    CAUL = "clamping caul"


@dataclass(frozen=True, slots=True)
class Size:
    """A size to be written: between two points, along ``direction_deg`` (0 level, 90 plumb, None: from a to b).

    ``row`` counts how far out its line stands: 1 next to the shape on the left of the measuring direction (above a
    level size), -1 on the right of it.
    """

    a: Point2
    b: Point2
    row: int = 1
    direction_deg: float | None = 0.0


@dataclass(frozen=True, slots=True)
class JigAngle:
    """An angle to be written, anticlockwise from one direction to another; ``value_deg`` is what is said."""

    at: Point2
    from_deg: float
    to_deg: float
    value_deg: float
    radius: float = 14.0


@dataclass(frozen=True, slots=True)
class JigMark:
    """A line marked on a jig with what is written at it: a saw line, a centre, a datum."""

    a: Point2
    b: Point2
    words: str = ""
    saw: bool = False


@dataclass(frozen=True, slots=True)
class JigView:
    """One view of a jig: ``outlines`` closed, ``marks`` on it, ``hidden`` edges, sizes and angles.

    ``template`` tells that it is printed full size and glued on or pricked through.
    """

    name: str
    outlines: tuple[Points2, ...]
    marks: tuple[JigMark, ...] = ()
    hidden: tuple[tuple[Point2, Point2], ...] = ()
    sizes: tuple[Size, ...] = ()
    angles: tuple[JigAngle, ...] = ()
    template: bool = False

    @property
    def extent(self) -> tuple[float, float]:
        """Its width and height."""
        xs = [x for outline in self.outlines for x, _ in outline]
        ys = [y for outline in self.outlines for _, y in outline]
        return max(xs) - min(xs), max(ys) - min(ys)


@dataclass(frozen=True, slots=True)
class Jig:
    """A jig to make: ``words`` say how it is made and used, ``for_marks`` what it is for."""

    kind: JigKind
    title: str
    quantity: int
    for_marks: tuple[str, ...]
    views: tuple[JigView, ...]
    words: tuple[str, ...]
    id: str = ""


def numbered(jigs: Iterable[Jig]) -> tuple[Jig, ...]:
    """The jigs in the order of their kinds, called J1, J2 and so on."""
    order = {kind: number for number, kind in enumerate(JigKind)}
    ranked = sorted(jigs, key=lambda jig: order[jig.kind])
    return tuple(replace(jig, id=f"J{number}") for number, jig in enumerate(ranked, start=1))


def some(marks: tuple[str, ...]) -> str:
    """Marks in words: all of a few, the first and the last of many."""
    return ", ".join(marks) if len(marks) <= 3 else f"{marks[0]} to {marks[-1]}"


def fine(length: float, words: Words) -> str:
    """A small length with its unit: tenths of a mm, or 1/64 in."""
    if words.unit is Unit.INCH:
        return show_length(length, Unit.INCH, denominator=64)
    return words.mm(length)


def rectangle(width: float, height: float, x: float = 0.0, y: float = 0.0) -> Points2:
    """An upright rectangle with its lower left corner at (x, y)."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
