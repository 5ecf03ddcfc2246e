"""Whether a piece that is cut already fits a place it was not cut for, as it is or trimmed. Lengths in mm.

A piece lies along x; its ends are read at nine points of its section, where each end plane gives a place x. A wanted
piece lies inside the one at hand if, slid along by some shift, no end of it stands out beyond the other's. What then
stands out of the wanted piece is what must come off. See docs/method/as-built.md.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pitchline.design.as_built import MadePiece, SawnEnd
from pitchline.kit.geometry.bevels import SawReading, saw_reading
from pitchline.kit.geometry.frames import Plane, Vec3, scale
from pitchline.kit.tolerances import PIECE_FITS, SAME_PART, SAME_POINT
from pitchline.parts.part import Feature, Groove, Hole, Mortise, Notch, Part, Sawn, Taper, Tenon, Turning

Ends = tuple[NDArray[np.float64], NDArray[np.float64]]
"""Places x of the start and of the finish of a piece at the nine points of its section."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How a piece at hand fits a place: what comes off at its start and finish, at the longest, and the new angles.

    ``short`` is how much it lacks (0 where it fits); ``resawn`` says of each end whether its angle changes;
    ``misplaced`` that holes, housings or a turning sit elsewhere on it.
    """

    trim_start: float = 0.0
    trim_finish: float = 0.0
    resawn: tuple[bool, bool] = (False, False)
    short: float = 0.0
    misplaced: bool = False

    @property
    def fits(self) -> bool:
        """Whether it fits, as it is or trimmed."""
        return self.short <= 0.0 and not self.misplaced

    @property
    def as_it_is(self) -> bool:
        """Whether nothing need come off."""
        return self.fits and self.trim_start == 0.0 and self.trim_finish == 0.0

    @property
    def waste(self) -> float:
        """What comes off in all."""
        return self.trim_start + self.trim_finish


def same_stuff(piece: Part, wanted: Part) -> bool:
    """Whether two pieces are of one role, material and section."""
    sections = ((piece.width, wanted.width), (piece.thickness, wanted.thickness))
    return (
        piece.role is wanted.role
        and piece.material == wanted.material
        and all(abs(one - other) <= SAME_PART for one, other in sections)
    )


def fit_of(piece: Part, wanted: Part) -> Fit:
    """How a piece at hand fits the place of another of the same stuff."""
    (at_start, at_finish), (low, high) = ends_of(piece), ends_of(wanted)
    start, finish = low - at_start, at_finish - high
    shift = _shift_by_features(piece, wanted)
    if shift is not None and math.isnan(shift):
        return Fit(misplaced=True)
    short = -float(start.min() + finish.min())
    if shift is not None:
        short = max(-float(start.min()) - shift, shift - float(finish.min()))
    if short > PIECE_FITS:
        return Fit(short=short)
    uneven = (float(np.ptp(start)) > PIECE_FITS, float(np.ptp(finish)) > PIECE_FITS)
    if shift is None:
        keeps_start = not uneven[0] or uneven[1]
        shift = -float(start.min()) if keeps_start else float(finish.min())
    off = (float(start.max()) + shift, float(finish.max()) - shift)
    trims = tuple(value if value > PIECE_FITS else 0.0 for value in off)
    return Fit(trims[0], trims[1], (uneven[0], uneven[1]))


def ends_of(part: Part) -> Ends:
    """Where the two ends of a piece lie, point by point of its section."""
    points = [(y, z) for y in _across(part.width) for z in _across(part.thickness)]
    start = [max((_reach(cut, point) for cut in part.start_cuts), default=0.0) for point in points]
    finish = [min((_reach(cut, point) for cut in part.finish_cuts), default=part.length) for point in points]
    return np.array(start), np.array(finish)


def _across(size: float) -> tuple[float, float, float]:
    return -size / 2, 0.0, size / 2


def _reach(plane: Plane, point: tuple[float, float]) -> float:
    return -plane.distance((0.0, *point)) / plane.normal[0]


def _shift_by_features(piece: Part, wanted: Part) -> float | None:
    """How far the wanted piece must be slid so that what is worked on both lies alike.

    None where nothing tells, not a number where it cannot lie alike.
    """
    ours, theirs = (_worked(part.features) for part in (piece, wanted))
    if [kind for kind, _, _ in ours] != [kind for kind, _, _ in theirs]:
        return math.nan
    shifts: list[float] = []
    for (_, places, sizes), (_, others, wanted_sizes) in zip(ours, theirs, strict=True):
        if len(sizes) != len(wanted_sizes) or len(places) != len(others):
            return math.nan
        if any(abs(a - b) > SAME_PART for a, b in zip(sizes, wanted_sizes, strict=True)):
            return math.nan
        shifts += [a - b for a, b in zip(places, others, strict=True)]
    if not shifts:
        return None
    return math.nan if max(shifts) - min(shifts) > SAME_PART else sum(shifts) / len(shifts)


def _worked(features: Sequence[Feature]) -> list[tuple[str, list[float], list[float]]]:
    """What is worked on a piece: its kind, places along it, and sizes that must agree."""
    found: list[tuple[str, list[float], list[float]]] = []
    for feature in features:
        match feature:
            case Groove(_, centre, width, depth):
                found.append(("groove", [], [centre, width, depth]))
            case Hole(at, axis, diameter, depth):
                found.append(("hole", [at[0]], [at[1], at[2], *_hundredfold(axis), diameter, depth]))
            case Notch(low, high):
                found.append(("notch", [high[0]], [low[1], low[2], high[1], high[2]]))
            case Turning(profile):
                found.append(("turning", [x for x, _ in profile], [diameter for _, diameter in profile]))
            case Mortise(at, axis, length, width, depth):
                sizes = [at[1], at[2], *_hundredfold(axis), length, width, depth]
                found.append(("mortise", [at[0]], sizes))
            case Tenon(shoulder, low, high, flare):
                reach = -shoulder.distance((0.0, 0.0, 0.0)) / shoulder.normal[0]
                sizes = [*_hundredfold(shoulder.normal), *low, *high, *(100.0 * f for f in flare)]
                found.append(("tenon", [reach], sizes))
            case Taper(plane):
                reach = -plane.distance((0.0, 0.0, 0.0)) / plane.normal[2] if plane.normal[2] else 0.0
                found.append(("taper", [], [reach, *_hundredfold(plane.normal)]))
            case Sawn(outline, holes, _):
                ring = [value for points in (outline, *holes) for point in points for value in point]
                found.append(("outline", [0.0], ring))
            case _:
                pass
    return found


def _hundredfold(axis: Vec3) -> list[float]:
    """Directions count a hundredfold, so that 0.0005 rad is a difference."""
    return [100.0 * value for value in axis]


def as_made(planned: Part, made: MadePiece) -> Part:
    """A piece as it was cut: as planned but for what was measured of it.

    Ends that were measured are laid so that the longest points stay as far apart as the length says.
    """
    length = planned.length if made.length is None else made.length
    start = _sawn(planned.start_cuts, made.start, -1.0)
    finish = _sawn(planned.finish_cuts, made.finish, 1.0)
    if (start, finish) == (planned.start_cuts, planned.finish_cuts) and length == planned.length:
        return planned
    bare = replace(planned, start_cuts=start, finish_cuts=finish)
    low, high = ends_of(bare)
    return replace(
        bare,
        length=length,
        start_cuts=_along(start, -float(low.min())),
        finish_cuts=_along(finish, length - float(high.max())),
    )


def _sawn(planned: tuple[Plane, ...], end: SawnEnd, sense: float) -> tuple[Plane, ...]:
    """The cuts of an end with its measured angles; an end that was not measured, or is cut twice, as planned."""
    if len(planned) != 1 or (end.mitre_deg is None and end.bevel_deg is None):
        return planned
    known = saw_reading(planned[0].normal)
    mitre = known.mitre_deg if end.mitre_deg is None else end.mitre_deg
    bevel = known.bevel_deg if end.bevel_deg is None else end.bevel_deg
    return (Plane(planned[0].point, scale(SawReading(mitre, bevel).normal, sense)),)


def _along(cuts: tuple[Plane, ...], by: float) -> tuple[Plane, ...]:
    if abs(by) <= SAME_POINT:
        return cuts
    return tuple(Plane((cut.point[0] + by, *cut.point[1:]), cut.normal) for cut in cuts)
