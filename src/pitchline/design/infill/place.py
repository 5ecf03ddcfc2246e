"""What an infill is laid into, and what comes of it. Lengths in mm, angles in radians."""

from dataclasses import dataclass

from pitchline.design.as_built_layout import Fixed
from pitchline.design.brief import Brief, UprightsBrief
from pitchline.design.model import Bar, Bay, Panel, Strand, Upright
from pitchline.design.posts import BuiltEnd
from pitchline.design.spacing import Layout, Run
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.geometry.outlines import Outline
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

    def run(self, length: float, infill: UprightsBrief) -> Run:
        """What uprights are spread over."""
        return Run(
            length,
            infill.width,
            infill.narrowest,
            self.start.closed,
            self.finish.closed,
            self.start.is_joint,
            self.finish.is_joint,
            self.lead,
        )

    def fixed(self, infill: UprightsBrief, bar: Bar, lean: float) -> Fixed | None:
        """The uprights that are at hand already; ``bar`` is the rail on which their marks are set out."""
        return None if self.brief.built is None else Fixed(self.brief.built, bar, infill, lean)

    def bay(
        self, sight: tuple[Point2, ...], full: Outline, run: float, note: str, opening: float | None = None
    ) -> Bay:
        """The field between the ends of the leg."""
        return Bay(
            sight=sight,
            full=full,
            start=self.start.bay_face,
            finish=self.finish.bay_face,
            run=run,
            run_sigma=self.run_sigma,
            spacing_note=note,
            closed_start=self.start.closed,
            closed_finish=self.finish.closed,
            start_station=self.start.station,
            finish_station=self.finish.station,
            opening=opening,
        )


@dataclass(frozen=True, slots=True)
class Laid:
    """An infill laid out. ``layout`` and ``lean`` are those of uprights."""

    bay: Bay
    layout: Layout | None = None
    lean: float = 0.0
    uprights: tuple[Upright, ...] = ()
    strands: tuple[Strand, ...] = ()
    panels: tuple[Panel, ...] = ()
