"""Openings of the infill by name: between which members, in which panel, and how surely their size is known.

Uprights part a bay along the edge, strands part it square to the rails, panels stand in it with gaps around them and
holes through them. Lengths in mm.
"""

import math
from bisect import bisect
from dataclasses import dataclass
from typing import Protocol

import shapely
from shapely.geometry import Polygon

from pitchline.checks.setting_out import rail_height_expanded
from pitchline.checks.silhouettes import ends_of
from pitchline.design.brief import Spread
from pitchline.design.model import Design
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.tolerances import COVERAGE_FACTOR


@dataclass(frozen=True, slots=True)
class Named:
    """An opening: its ``order`` among the others, its name, and the standard uncertainty of its size."""

    order: tuple[float, float]
    where: str
    sigma: float


class Names(Protocol):
    """What names the openings of one kind of infill."""

    def named(self, outline: Polygon) -> Named:
        """The name of one opening."""
        ...


def names_of(design: Design) -> Names:
    """What names the openings of a design."""
    if design.strands:
        return _BetweenStrands.of(design)
    if design.panels:
        return _AroundPanels.of(design)
    return _BetweenUprights.of(design)


@dataclass(frozen=True, eq=False)
class _BetweenUprights:
    """The uprights in order, and what stands before the first and after the last."""

    design: Design
    out: tuple[float, float]
    places: tuple[float, ...]
    names: tuple[str, ...]

    @staticmethod
    def of(design: Design) -> "_BetweenUprights":
        lean = design.uprights[0].lean if design.uprights else 0.0
        out = (math.cos(lean), -math.sin(lean))
        places = tuple(u.foot[0] * out[0] + u.foot[1] * out[1] for u in design.uprights)
        start, finish = (end.name for end in ends_of(design))
        return _BetweenUprights(design, out, places, (start, *(u.mark for u in design.uprights), finish))

    def named(self, outline: Polygon) -> Named:
        """The two neighbours of an opening, by its place square to the uprights."""
        point = outline.representative_point()
        place = float(point.x * self.out[0] + point.y * self.out[1])
        index = bisect(self.places, place)
        words = f"between {self.names[index]} and {self.names[index + 1]}"
        return Named((place, 0.0), words, _gap_sigma(self.design, index))


def _gap_sigma(design: Design, index: int) -> float:
    """Standard uncertainty of one gap: its share of the run's, as the spread divides it."""
    sigma, count = design.bay.run_sigma, len(design.uprights)
    at_end = index in (0, count)
    wish = design.brief.uprights.spacing
    spread = wish.spread
    if spread is Spread.MODULE:
        return sigma / 2 if at_end else 0.0
    if spread is Spread.PER_TREAD and not design.flight.is_level:
        return _share_sigma(design, index)
    if spread is Spread.GROUPS:
        return sigma / (count // wish.group + 1) if at_end or index % wish.group == 0 else 0.0
    if spread is Spread.HALF_ENDS and count:
        return sigma / (2 * count if at_end else count)
    return sigma / (count + 1)


def _share_sigma(design: Design, index: int) -> float:
    """Standard uncertainty of a gap that is a share of one tread's going; at an end, of its distance to the riser."""
    flight, uprights = design.flight, design.uprights
    beside = uprights[min(index, len(uprights) - 1)].u
    step = min(max(bisect([u for u, _ in flight.nosings], beside), 1), len(flight.nosings) - 1)
    names = flight.nosing_names
    if index in (0, len(uprights)):
        bay = design.bay
        end, nosing = (
            (bay.start_station, names[step - 1]) if index == 0 else (bay.finish_station, names[step])
        )
        return 0.0 if end == nosing else flight.sigma({nosing: 1.0, end: -1.0})
    shares = sum(flight.nosings[step - 1][0] <= upright.u < flight.nosings[step][0] for upright in uprights)
    return flight.sigma({names[step]: 1.0, names[step - 1]: -1.0}) / max(shares, 1)


@dataclass(frozen=True, eq=False)
class _BetweenStrands:
    """The strands in order from below, and what bounds the lowest and the highest of them.

    Rails and strands are set out on the newels by hand from one another, so the gaps do not hang on the survey;
    only the lowest does where no base rail lies under it.
    """

    up: tuple[float, float]
    places: tuple[float, ...]
    names: tuple[str, ...]
    lowest: float

    @staticmethod
    def of(design: Design) -> "_BetweenStrands":
        up = design.handrail.bottom.normal
        places = tuple(strand.line.z0 * up[1] for strand in design.strands)
        below, lowest = "the base rail", 0.0
        if design.base is None:
            string = design.flight.string
            below = (
                string.kind.value if string is not None else "floor" if design.flight.is_level else "steps"
            )
            below = f"the {below}"
            nosing = design.rail_line.tightest
            lowest = rail_height_expanded(design, design.strands[0].line, nosing) / COVERAGE_FACTOR
        names = (below, *(strand.mark for strand in design.strands), "the handrail")
        return _BetweenStrands(up, places, names, lowest)

    def named(self, outline: Polygon) -> Named:
        """The two neighbours of an opening, by its place square to the strands."""
        point = outline.representative_point()
        place = float(point.x * self.up[0] + point.y * self.up[1])
        index = bisect(self.places, place)
        words = f"between {self.names[index]} and {self.names[index + 1]}"
        return Named((place, float(point.x)), words, self.lowest if index == 0 else 0.0)


@dataclass(frozen=True, eq=False)
class _AroundPanels:
    """The panels in order; gaps beside them take up what the survey does not know of the run."""

    shapes: tuple[Polygon, ...]
    marks: tuple[str, ...]
    ends: tuple[str, str]
    sigma: float

    @staticmethod
    def of(design: Design) -> "_AroundPanels":
        start, finish = (end.name for end in ends_of(design))
        shapes = tuple(to_shapely(panel.outline.points) for panel in design.panels)
        marks = tuple(panel.mark for panel in design.panels)
        return _AroundPanels(shapes, marks, (start, finish), design.bay.run_sigma)

    def named(self, outline: Polygon) -> Named:
        """Through which panel an opening goes, or beside which ones it lies."""
        point = outline.representative_point()
        order = (float(point.x), float(point.y))
        for shape, mark in zip(self.shapes, self.marks, strict=True):
            if shape.contains(point):
                return Named(order, f"through {mark}", 0.0)
        held = [
            mark
            for mark, shape in zip(self.marks, self.shapes, strict=True)
            if outline.distance(shape) <= _BESIDE
        ]
        return Named(order, self._words(outline, held), self.sigma)

    def _words(self, outline: Polygon, held: list[str]) -> str:
        """The names beside a gap: two panels, or a panel and an end, or the panels it runs around."""
        around = [
            mark
            for mark, shape in zip(self.marks, self.shapes, strict=True)
            if shapely.contains(shapely.convex_hull(outline), shape)
        ]
        if around:
            return f"around {around[0]}" if len(around) == 1 else f"around {around[0]} to {around[-1]}"
        if len(held) == 2:
            return f"between {held[0]} and {held[1]}"
        mark = held[0] if held else self.marks[0]
        middle, at = self.shapes[self.marks.index(mark)].centroid, outline.representative_point()
        left, _, right, _ = self.shapes[self.marks.index(mark)].bounds
        wide = outline.bounds[2] - outline.bounds[0] > (right - left) / 2
        if wide:
            return f"{'above' if at.y > middle.y else 'below'} {mark}"
        return (
            f"between {self.ends[0]} and {mark}" if at.x < middle.x else f"between {mark} and {self.ends[1]}"
        )


_BESIDE = 1.0
"""mm within which a gap touches a panel."""
