"""Running marks: where each upright stands on the base rail and the handrail, from one datum.

The datum is where the lower newel's face meets the face of the rail, on the middle of the rail; where the rail
ends free it is the rail's own end. Every place is measured from there, along the rake and level. Marks are
rounded one by one when they are shown, so an error never grows along the rail as it does when lengths are
stepped off. Lengths in mm.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Spread
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.parts.bands import bands
from pitchline.parts.infill import reaches
from pitchline.parts.joints.joint import Band
from pitchline.parts.joints.registry import joint_of
from pitchline.stair.treads import treads_of


@dataclass(frozen=True, slots=True)
class Mark:
    """Place of one upright on a rail, from the datum.

    ``edge`` is its foot-side edge and ``centre`` its centre line, both along the rake; the ``_level`` figures
    are the same places measured level. ``clear_before`` is the clear length along the rake from the upright
    (or end face) before it, ``fillet_before`` the length of the fillet or block between them along its edge
    that is seen, end play taken off.
    """

    upright: str
    edge: float
    centre: float
    edge_level: float
    centre_level: float
    clear_before: float
    fillet_before: float


@dataclass(frozen=True, slots=True)
class BarMarks:
    """The marks of one rail.

    ``length`` is that of its face from end to end; ``clear_after`` and ``fillet_after`` follow the last
    upright; ``upright_width`` is what an upright takes along the rake.
    """

    bar: str
    role: BarRole
    slope_deg: float
    datum: str
    length: float
    upright_width: float
    marks: tuple[Mark, ...]
    clear_after: float
    fillet_after: float

    def stepped_off(self, step: float) -> float:
        """How far off the last upright would come to stand if lengths rounded to ``step`` were stepped off.

        Positive: too far up the rail. Every clear length is rounded to the step and laid one after another
        with the uprights between. ValueError for a step not above zero.
        """
        return sum(rounded(mark.clear_before, step) - mark.clear_before for mark in self.marks)

    def rounding(self, step: float) -> float:
        """The largest error of a mark rounded by itself, at most half a step."""
        return max((abs(rounded(mark.edge, step) - mark.edge) for mark in self.marks), default=0.0)


@dataclass(frozen=True, slots=True)
class MarkTable:
    """Marks of the handrail and, where there is one, of the base rail, and what to say beside them."""

    base: BarMarks | None
    handrail: BarMarks
    closing: str

    @property
    def bars(self) -> tuple[BarMarks, ...]:
        """Base rail and handrail."""
        return (self.handrail,) if self.base is None else (self.base, self.handrail)


def rounded(value: float, step: float) -> float:
    """The nearest whole number of steps; the model itself is never rounded."""
    if not step > 0.0:
        raise ValueError("a rounding step must be above zero")
    return round(value / step) * step


def running_marks(design: Design) -> MarkTable:
    """Places of all uprights on the base rail and the handrail."""
    seen = {band.bar.id: band for band in bands(design)}
    base = None if design.base is None else _bar_marks(design, design.base, seen.get(design.base.id))
    handrail = _bar_marks(design, design.handrail, seen.get(design.handrail.id))
    return MarkTable(base, handrail, closing_note(design))


def _bar_marks(design: Design, bar: Bar, band: Band | None) -> BarMarks:
    start, finish = (_crossing(plane, bar.face, bar.y) for plane in (bar.start, bar.finish))
    near, far = (_crossing(plane, bar.face, bar.y) for plane in (design.bay.start, design.bay.finish))
    run = _Run(bar.face, start, finish)
    stands = list(_stands(design, bar, run))
    marks = []
    after, before = run.rake(near), None
    for upright, edge, beyond in stands:
        middle = (edge + beyond) / 2
        marks.append(
            Mark(
                upright=upright.mark,
                edge=edge,
                centre=middle,
                edge_level=edge * run.level,
                centre_level=middle * run.level,
                clear_before=max(0.0, edge - after),
                fillet_before=0.0 if band is None else _fillet(band, before, upright),
            )
        )
        after, before = beyond, upright
    last_fillet = 0.0 if band is None else _fillet(band, before, None)
    width = design.brief.uprights.width
    return BarMarks(
        bar=bar.id,
        role=bar.role,
        slope_deg=math.degrees(bar.face.angle),
        datum=f"{bar.start_at}, on the middle of the rail's face",
        length=run.rake(run.finish),
        upright_width=stands[0][2] - stands[0][1] if stands else width,
        marks=tuple(marks),
        clear_after=max(0.0, run.rake(far) - after),
        fillet_after=last_fillet,
    )


@dataclass(frozen=True, slots=True)
class _Run:
    """A rail's face line between its ends (places u)."""

    face: Line
    start: float
    finish: float

    @property
    def level(self) -> float:
        """Level length for one along the rake."""
        return math.cos(self.face.angle)

    def rake(self, u: float) -> float:
        """Length along the rake from the datum to a place u."""
        return (u - self.start) / self.level


def _crossing(plane: Plane, line: Line, y: float) -> float:
    """Where a standing plane, cut at ``y``, crosses a line of the elevation: place u."""
    (pu, py, pz), (nu, ny, nz) = plane.point, plane.normal
    return (nu * pu + ny * (py - y) + nz * (pz - line.z0)) / (nu + nz * line.slope)


def _stands(design: Design, bar: Bar, run: _Run) -> Iterator[tuple[Upright, float, float]]:
    """The uprights that stand on a rail, with both sides' places along its face."""
    for upright in design.uprights:
        if reaches(design, upright, bar):
            left, right = (_side_crossing(upright, side, bar.face) for side in ("left", "right"))
            yield upright, run.rake(left), run.rake(right)


def _side_crossing(upright: Upright, side: str, line: Line) -> float:
    """Where an upright's side, carried on where it must be, crosses a line: place u."""
    away = upright.width / 2 * (1.0 if side == "right" else -1.0)
    up = (math.sin(upright.lean), math.cos(upright.lean))
    start = (upright.foot[0] + away * up[1], upright.foot[1] - away * up[0])
    return line.meet(start, up)[0]


def _fillet(band: Band, before: Upright | None, after: Upright | None) -> float:
    """Length of the fillet between two uprights (None: the rail's end) along its seen edge."""
    line = band.low if band.bar.role is BarRole.HANDRAIL else band.high
    middle = sum(y for _, y in band.layers) / len(band.layers)
    start, finish = (_crossing(plane, line, middle) for plane in (band.bar.start, band.bar.finish))
    play = 0.0
    if before is not None:
        start = _side_crossing(before, "right", line)
        play += band.end_play / 2 / math.cos(before.lean + line.angle)
    if after is not None:
        finish = _side_crossing(after, "left", line)
        play += band.end_play / 2 / math.cos(after.lean + line.angle)
    return max(0.0, (finish - start) / math.cos(line.angle) - play)


@dataclass(frozen=True, slots=True)
class TreadPlace:
    """Where one upright stands: on the tread of nosing ``number`` (0: a floor below it or a level edge).

    ``from_riser`` is how far its lower face lies behind the face of the riser below, None on a floor without one;
    ``along`` its centre from the first nosing, level; ``seen`` what is seen of it, along itself to its longest point.
    """

    upright: str
    number: int
    from_riser: float | None
    along: float
    seen: float


def seen_length(upright: Upright) -> float:
    """How much of an upright is seen along its centre line, mm, to its longest point."""
    up = (math.sin(upright.lean), math.cos(upright.lean))
    places = [u * up[0] + z * up[1] for u, z in upright.sight]
    return max(places) - min(places)


def tread_places(design: Design) -> Iterator[TreadPlace]:
    """Where the uprights of a design without a base rail stand, from the foot of the stair."""
    treads = treads_of(design.flight)
    for upright in design.uprights:
        tread = next(tread for tread in treads if tread.front <= upright.u < tread.back)
        face = upright.u - upright.width / 2 / math.cos(upright.lean)
        from_riser = face - tread.riser if math.isfinite(tread.riser) else None
        yield TreadPlace(upright.mark, tread.number, from_riser, upright.u, seen_length(upright))


def closing_note(design: Design) -> str:
    """Where the closing error goes, and how the marks are to be used."""
    return f"{_closing(design)} Mark every upright from the datum; never step lengths off one after another."


def _closing(design: Design) -> str:
    start, finish = design.bay.closed_start, design.bay.closed_finish
    takes = _taker(design)
    if start and finish:
        return (
            f"Measure the fitted rail first: if it is not as long as listed, move the datum by half the difference, "
            f"so that the {takes}s at the two ends take it up half each; they are made last, to fit."
        )
    if finish:
        return f"What does not close falls in the {takes} at the head of the stair; it is made last, to fit."
    if start:
        return (
            f"Measure the fitted rail first: if it is not as long as listed, move the datum by the difference, "
            f"so that the {takes} at the foot of the stair takes it up; it is made last, to fit."
        )
    return "Both ends are free: what does not close is trimmed off the ends of the rails."


def _taker(design: Design) -> str:
    """What lies at the ends: an odd one where the uprights keep a fixed module."""
    piece = joint_of(design.making).between
    return f"odd {piece}" if design.brief.uprights.spacing.spread is Spread.MODULE else piece
