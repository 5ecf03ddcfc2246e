"""Parts of the infill: uprights, and the fillets or spacer blocks that lie between them in the rails."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.design.bay import half_plane
from pitchline.design.brief import Bored, Grooved, Shape, Stacked
from pitchline.design.model import Bar, BarRole, Design, Upright
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.outlines import HalfPlane, Outline
from pitchline.kit.tolerances import CORNER_MISS
from pitchline.parts.part import Feature, Part, Role, RoundBar, RoundOver, Turning
from pitchline.parts.rails import layer_letter, layer_y
from pitchline.parts.shaping import Cut, NothingLeftError, Stick, cut_to_length, edge_planes, face_names


def end_planes(design: Design) -> dict[str, Plane]:
    """The true planes (lean and twist included) that the labels ``start`` and ``finish`` of an outline mean."""
    return {"start": design.bay.start.flipped(), "finish": design.bay.finish.flipped()}


def band_ends(bar: Bar) -> dict[str, Plane]:
    """The true planes that end a bar, by the labels of an outline."""
    return {"start": bar.start, "finish": bar.finish}


def upright_parts(design: Design) -> Iterator[Part]:
    """One part an upright."""
    for upright in design.uprights:
        yield _upright(design, upright)


def _upright(design: Design, upright: Upright) -> Part:
    up = _up(upright)
    stick = _stick(upright)
    cut = _cut_upright(design, upright, stick)
    lift = (upright.foot[0] - cut.frame.origin[0]) * up[0] + (upright.foot[1] - cut.frame.origin[2]) * up[1]
    return Part(
        place=upright.mark,
        mark=upright.mark,
        role=Role.UPRIGHT,
        material=upright.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=tuple(_shape(upright, lift, cut.length, bored=isinstance(design.making, Bored))),
        frame=cut.frame,
        trim=design.brief.member_trim,
        length_sigma=0.0,
        face_names=face_names(cut.frame, design.side),
    )


def _stick(upright: Upright) -> Stick:
    centre = (upright.foot[0], upright.y, upright.foot[1])
    return Stick(centre, _up(upright), upright.width, upright.thickness)


def _cut_upright(design: Design, upright: Upright, stick: Stick) -> Cut:
    """Cut by what its outline meets, and by what only its corners meet where an end face is twisted."""
    planes = edge_planes(upright.outline, ("left", "right"), end_planes(design))
    return _cut_corners_too(stick, planes, _near_misses(design, upright))


def _cut_corners_too(stick: Stick, planes: Sequence[Plane], walls: Iterable[Plane]) -> Cut:
    """Cut by the planes, and by those walls past which a corner would still stand."""
    used = list(planes)
    cut = cut_to_length(stick, used)
    for wall in walls:
        body = CutBox(cut.length, stick.width, stick.thickness, (*cut.start, *cut.finish))
        local = cut.frame.plane_to_local(wall)
        if max(local.distance(corner) for corner in body.corners) > CORNER_MISS:
            used.append(wall)
            cut = cut_to_length(stick, used)
    return cut


def _near_misses(design: Design, upright: Upright) -> Iterator[Plane]:
    """Planes around the field that the outline does not meet but passes nearer than half the upright's thickness."""
    bay = design.bay
    ends = end_planes(design)
    planes = [
        (label, ends[label])
        for label, closed in (("start", bay.closed_start), ("finish", bay.closed_finish))
        if closed
    ]
    if not isinstance(design.making, Bored):
        planes += [("rail", _seat_plane(design.handrail, 1.0)), ("base", _seat_plane(design.base_rail, -1.0))]
    for label, plane in planes:
        points = [(u, upright.y, z) for u, z in upright.outline.points]
        if label not in upright.outline.labels and max(map(plane.distance, points)) > -upright.thickness / 2:
            yield plane


def _seat_plane(bar: Bar, outwards: float) -> Plane:
    seat = bar.seat or bar.face
    return Plane((0.0, bar.y, seat.z0), (outwards * seat.normal[0], 0.0, outwards * seat.normal[1]))


def _up(upright: Upright) -> tuple[float, float]:
    return (math.sin(upright.lean), math.cos(upright.lean))


def _shape(upright: Upright, lift: float, length: float, *, bored: bool) -> Iterator[Feature]:
    if upright.shape is Shape.ROUND:
        yield RoundBar(upright.width)
    elif upright.shape is Shape.TURNED:
        profile = [(lift + x, diameter) for x, diameter in upright.profile]
        yield Turning(tuple(_turned_to_the_ends(profile, length, upright.width) if bored else profile))
    if upright.shape is not Shape.ROUND and upright.arris > 0 and not bored:
        yield RoundOver(((-1, -1), (-1, 1), (1, -1), (1, 1)), upright.arris)


def _turned_to_the_ends(
    profile: list[tuple[float, float]], length: float, width: float
) -> Iterator[tuple[float, float]]:
    """For round holes a turned upright is round from end to end, as wide as its blank outside its profile."""
    outside = [(0.0, width), (profile[0][0], width), *profile, (profile[-1][0], width), (length, width)]
    inside = [(x, diameter) for x, diameter in outside if 0.0 <= x <= length]
    near = [] if inside[0][0] == 0.0 else [(0.0, _diameter_at(outside, 0.0))]
    far = [] if inside[-1][0] == length else [(length, _diameter_at(outside, length))]
    last = None
    for place in (*near, *inside, *far):
        if place != last:
            yield place
        last = place


def _diameter_at(profile: list[tuple[float, float]], x: float) -> float:
    """The diameter at a place of a profile, straight between its points."""
    for (ax, a), (bx, b) in pairwise(profile):
        if ax <= x <= bx and bx > ax:
            return a + (b - a) * (x - ax) / (bx - ax)
    return profile[0][1] if x < profile[0][0] else profile[-1][1]


@dataclass(frozen=True, slots=True)
class Band:
    """The strip of a bar in which fillets or blocks lie between the uprights."""

    bar: Bar
    low: Line
    high: Line
    role: Role
    prefix: str
    material: str
    across: float
    layers: tuple[tuple[str, float], ...]
    end_play: float


def bands(design: Design) -> tuple[Band, ...]:
    """The bands of a design: none where the uprights stand in bored holes."""
    making = design.making
    if isinstance(making, Bored):
        return ()
    return tuple(_band(design, making, bar) for bar in (design.handrail, design.base_rail))


def _band(design: Design, making: Grooved | Stacked, bar: Bar) -> Band:
    handrail = bar.role is BarRole.HANDRAIL
    seat = bar.seat or bar.face
    if isinstance(making, Grooved):
        thick = making.fillet_thickness
        low, high = (seat.offset(-thick), seat) if handrail else (seat, seat.offset(thick))
        return Band(
            bar, low, high,
            Role.RAIL_FILLET if handrail else Role.BASE_FILLET,
            "F" if handrail else "G",
            making.fillet_material,
            design.brief.uprights.thickness,
            (("", 0.0),),
            making.end_play,
        )  # fmt: skip
    low, high = (bar.face, seat) if handrail else (seat, bar.face)
    return Band(
        bar, low, high,
        Role.RAIL_BLOCK if handrail else Role.BASE_BLOCK,
        "R" if handrail else "S",
        making.material,
        making.layer_thickness,
        tuple((layer_letter(layer), layer_y(design, making, layer)) for layer in making.member_layers),
        making.end_play,
    )  # fmt: skip


def reaches(design: Design, upright: Upright, bar: Bar) -> bool:
    """Whether an upright goes into a bar, be it only with the tip of an end that dies into a newel."""
    label = "rail" if bar.role is BarRole.HANDRAIL else "base"
    if label in upright.outline.labels:
        return True
    stick = _stick(upright)
    cut = _cut_upright(design, upright, stick)
    body = CutBox(cut.length, stick.width, stick.thickness, (*cut.start, *cut.finish))
    sense = 1.0 if bar.role is BarRole.HANDRAIL else -1.0
    tips = (cut.frame.to_world(corner) for corner in body.corners)
    return max(sense * (z - bar.face.at(u)) for u, _, z in tips) > CORNER_MISS


@dataclass(frozen=True, slots=True)
class _Place:
    """A place in a band, and the planes that bound it whether or not they show in its outline."""

    outline: Outline
    walls: tuple[Plane, ...]


def band_outlines(design: Design, band: Band) -> tuple[Outline, ...]:
    """The places between the uprights in a band, from the foot of the stair, end play taken off."""
    return tuple(place.outline for place in _places(design, band))


def _places(design: Design, band: Band) -> Iterator[_Place]:
    housed = [upright for upright in design.uprights if reaches(design, upright, band.bar)]
    whole = _band_field(design, band)
    ends = tuple(band_ends(band.bar).values())
    for before, after in zip([None, *housed], [*housed, None], strict=True):
        piece, walls = whole, ends
        for upright, side, label in ((before, "right", "left"), (after, "left", "right")):
            if upright is not None:
                half = _beside(upright, side, band.end_play / 2)
                piece = piece.clipped(half, label)
                at, out = half.point, half.normal
                walls += (Plane((at[0], 0.0, at[1]), (out[0], 0.0, out[1])),)
        if len(piece.points) >= 3 and _worth_making(piece):
            yield _Place(piece, walls)


def _worth_making(piece: Outline) -> bool:
    us = [u for u, _ in piece.points]
    return max(us) - min(us) > 1.0


def _band_field(design: Design, band: Band) -> Outline:
    """The band from end to end of its bar: past a free end's last upright it fills the overhang too."""
    ends = band_ends(band.bar)
    reach = (min(p[0] for p in design.bay.full.points), max(p[0] for p in design.bay.full.points))
    u0, u1 = reach[0] - 500.0, reach[1] + 500.0
    corners = (band.low.point(u0), band.low.point(u1), band.high.point(u1), band.high.point(u0))
    outline = Outline(corners, ("low", "far", "high", "near"))
    y = sum(y for _, y in band.layers) / len(band.layers)
    for label, plane in ends.items():
        outline = outline.clipped(half_plane(plane, y), label)
    return outline


def _beside(upright: Upright, side: str, play: float) -> HalfPlane:
    """What lies beyond one side of an upright, ``play`` away from it."""
    sense = 1.0 if side == "right" else -1.0
    outward = (sense * math.cos(upright.lean), -sense * math.sin(upright.lean))
    away = upright.width / 2 + play
    point = (upright.foot[0] + away * outward[0], upright.foot[1] + away * outward[1])
    return HalfPlane(point, (-outward[0], -outward[1]))


def band_parts(design: Design) -> Iterator[Part]:
    """Fillets or spacer blocks, one for each place and layer."""
    for band in bands(design):
        for number, place in enumerate(_places(design, band), start=design.first_band):
            for letter, y in band.layers:
                part = _band_part(design, band, place, f"{band.prefix}{number:02d}{letter}", y)
                if part is not None:
                    yield part


def _band_part(design: Design, band: Band, where: _Place, place: str, y: float) -> Part | None:
    """One fillet or block; None where a leaning end leaves nothing of it in this layer."""
    u = where.outline.points[0][0]
    middle = band.high.offset(-_depth(band) / 2)
    stick = Stick((u, y, middle.at(u)), band.high.direction, _depth(band), band.across)
    try:
        planes = edge_planes(where.outline, ("low", "high"), band_ends(band.bar))
        cut = _cut_corners_too(stick, planes, where.walls)
    except NothingLeftError:
        return None
    return Part(
        place=place,
        mark=place,
        role=band.role,
        material=band.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=(),
        frame=cut.frame,
        face_names=face_names(cut.frame, design.side),
    )


def _depth(band: Band) -> float:
    return (band.high.z0 - band.low.z0) * band.high.direction[0]
