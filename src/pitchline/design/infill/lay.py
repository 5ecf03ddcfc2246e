"""Infill laid into a leg: each kind in a file of its own, none knowing another. Lengths in mm, angles in radians."""

import math
from dataclasses import dataclass

from pitchline.design.bay import field
from pitchline.design.brief import Brief, UprightsBrief
from pitchline.design.infill.uprights import (
    Ends,
    Rails,
    Stand,
    lean_of,
    make_uprights,
    run_of,
    spread_uprights,
)
from pitchline.design.limits import Limits
from pitchline.design.model import Bar, Bay, Panel, Strand, Upright
from pitchline.design.posts import BuiltEnd
from pitchline.design.season import opening_allowed
from pitchline.design.seats import infill_y
from pitchline.design.spacing import Layout, Run
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.tolerances import LEAST_CROSSING_DEG
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Field:
    """What an infill is laid into: rails and ends of one leg.

    ``first`` is the number its members begin with; ``lead`` the place of the first upright of a module that runs
    on from the leg before, measured from the start of the run.
    """

    flight: Flight
    brief: Brief
    handrail: Bar
    base: Bar | None
    start: BuiltEnd
    finish: BuiltEnd
    first: int = 1
    lead: float | None = None

    @property
    def run_sigma(self) -> float:
        """Standard uncertainty of the level distance between the points the two ends hang on."""
        start, finish = self.start.station, self.finish.station
        return 0.0 if start == finish else self.flight.sigma({finish: 1.0, start: -1.0})


@dataclass(frozen=True, slots=True)
class Laid:
    """An infill laid out. ``layout`` and ``lean`` are those of uprights."""

    bay: Bay
    layout: Layout | None = None
    lean: float = 0.0
    uprights: tuple[Upright, ...] = ()
    strands: tuple[Strand, ...] = ()
    panels: tuple[Panel, ...] = ()


def lay_infill(place: Field, limits: Limits) -> Laid:
    """The infill that the brief asks for.

    ImpossibleDesignError (one sentence) where it cannot stand between these rails and ends.
    """
    infill = place.brief.infill
    if isinstance(infill, UprightsBrief) and place.base is not None:
        return _uprights(place, place.base, infill, limits)
    raise ImpossibleDesignError("this infill needs a base rail")


def _uprights(place: Field, base: Bar, infill: UprightsBrief, limits: Limits) -> Laid:
    handrail, start, finish = place.handrail, place.start, place.finish
    y = infill_y(place.brief)
    sight = field(start.bay_face, finish.bay_face, base.face, handrail.face, y)
    full = field(start.bay_face, finish.bay_face, base.seat or base.face, handrail.seat or handrail.face, y)
    lean = _lean(infill, handrail, base)
    first, last = run_of(sight, full, lean, Ends(start.closed, finish.closed))
    run = Run(
        last - first,
        infill.width,
        infill.narrowest,
        start.closed,
        finish.closed,
        start.is_joint,
        finish.is_joint,
        place.lead,
    )
    opening = opening_allowed(place.brief, limits.gap_beside(place.flight, sight.points))
    layout = spread_uprights(first, infill, run, opening)
    bay = Bay(
        sight=sight.points,
        full=full,
        start=start.bay_face,
        finish=finish.bay_face,
        run=run.length,
        run_sigma=place.run_sigma,
        spacing_note=layout.note,
        closed_start=start.closed,
        closed_finish=finish.closed,
        start_station=start.station,
        finish_station=finish.station,
    )
    rails = Rails(base.top, handrail.bottom, handrail.top.angle)
    stand = Stand(place.brief.making, y)
    uprights = make_uprights(layout, bay, rails, lean, infill, stand, place.first)
    return Laid(bay, layout, lean, uprights)


def _lean(infill: UprightsBrief, handrail: Bar, base: Bar) -> float:
    """The lean asked for; ImpossibleDesignError where the uprights would lie along the rails."""
    lean = lean_of(infill.lean, handrail.top.angle)
    crossing = min(math.cos(lean + bar.top.angle) for bar in (handrail, base))
    if crossing < math.sin(math.radians(LEAST_CROSSING_DEG)):
        raise ImpossibleDesignError(
            f"uprights that lean {math.degrees(lean):.0f} degrees from plumb lie along the rails: lean them less"
        )
    return lean
