"""What is written beside a part: its timber and finished section, what is worked into it, how its ends are cut."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import Vec3
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_PART, SAME_PART_DEG
from pitchline.parts.measure import tenon_name, tenon_size
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    Role,
    RoundBar,
    RoundOver,
    Sawn,
    Taper,
    Tenon,
    Turning,
)
from pitchline.sheets.looking import Show
from pitchline.sheets.sawnviews import sawn_words

NOTE_LETTERS = 92
"""Letters in a line of a part's notes: about as wide as the part is drawn."""

NORMALS: dict[Face, Vec3] = {
    Face.PLUS_Y: (0.0, 1.0, 0.0),
    Face.MINUS_Y: (0.0, -1.0, 0.0),
    Face.PLUS_Z: (0.0, 0.0, 1.0),
    Face.MINUS_Z: (0.0, 0.0, -1.0),
}
"""The local axis that points out of each long face."""

_SIGNED = {("y", 1): Face.PLUS_Y, ("y", -1): Face.MINUS_Y, ("z", 1): Face.PLUS_Z, ("z", -1): Face.MINUS_Z}


def part_notes(part: Part, show: Show) -> tuple[str, ...]:
    """The lines below a part's views, folded to the width of the views."""
    said = [_timber(part, show)]
    holes = [feature for feature in part.features if isinstance(feature, Hole)]
    across = [hole for hole in holes if not goes_in_at_an_end(hole)]
    if across:
        said.append(_holes(part, across, show))
    said += [_end_hole(hole, show) for hole in holes if goes_in_at_an_end(hole)]
    mortises = [feature for feature in part.features if isinstance(feature, Mortise)]
    if mortises:
        said.append(_mortises(part, mortises, show))
    for feature in part.features:
        words = _worked(part, feature, show)
        if words:
            said.append(words)
    said += [sawn_words(part, feature, show) for feature in part.features if isinstance(feature, Sawn)]
    said += [_tenon(part, feature, show) for feature in part.features if isinstance(feature, Tenon)]
    said += _faces(part)
    return tuple(wrap("; ".join(said), NOTE_LETTERS))


def goes_in_at_an_end(hole: Hole) -> bool:
    """Whether a hole is bored into an end of a piece, along its grain."""
    return abs(hole.axis[0]) > ALONG_THE_GRAIN


ALONG_THE_GRAIN = 0.9
"""Share of a hole's axis along the piece above which it is bored into an end; on a rail it would lie along it."""


def _end_hole(hole: Hole, show: Show) -> str:
    end = "start" if hole.axis[0] > 0.0 else "far"
    return (
        f"hole {show(hole.diameter)} diameter, {show(hole.depth)} deep, in the {end} end on the centre line"
    )


def _timber(part: Part, show: Show) -> str:
    for feature in part.features:
        if isinstance(feature, RoundBar):
            return f"{part.material}, round bar, {show(feature.diameter)} diameter"
    return f"{part.material}, finished {show(part.width)} x {show(part.thickness)}"


def _faces(part: Part) -> Iterator[str]:
    """Which faces the two views show."""
    names = dict(part.face_names)
    if Face.PLUS_Z in names and Face.PLUS_Y in names:
        yield f"seen: {names[Face.PLUS_Z]}, and as edge {names[Face.PLUS_Y]}; start at the left"


def _named(part: Part, face: Face) -> str:
    name = dict(part.face_names).get(face, f"face {face.value}")
    return f"the face {name}" if name.startswith("towards") else f"the {name}"


def _worked(part: Part, feature: Feature, show: Show) -> str:
    """One feature in words; holes are told of together."""
    match feature:
        case Groove():
            across = "" if abs(feature.centre) <= SAME_PART else f", {show(feature.centre)} off the middle"
            where = _named(part, feature.face)
            return f"groove {show(feature.width)} wide, {show(feature.depth)} deep along {where}{across}"
        case Notch():
            size = [high - low for low, high in zip(feature.low, feature.high, strict=True)]
            place = "from the start end" if feature.low[0] <= SAME_PART else f"{show(feature.low[0])} from it"
            return (
                f"notch {show(size[0])} long {place}, {show(size[1])} x {show(size[2])} through the section"
            )
        case RoundOver():
            return _rounded(part, feature, show)
        case Turning():
            places = "; ".join(f"{show(x)}: {show(diameter)}" for x, diameter in feature.profile)
            return f"turned, so far from the start end: diameter. {places}"
        case Taper():
            thick = [_left_by(part, feature, x) for x in (0.0, part.length)]
            return f"tapered, {show(thick[0])} at the start end to {show(thick[1])} at the far end"
        case _:
            return ""


def _tenon(part: Part, tenon: Tenon, show: Show) -> str:
    """A tenon in words: which end, how long on the middle, its section at the tip."""
    at_start = tenon.shoulder.normal[0] < 0.0
    reach = -tenon.shoulder.distance((0.0, 0.0, 0.0)) / tenon.shoulder.normal[0]
    cuts = part.start_cuts if at_start else part.finish_cuts
    tips = [-cut.distance((0.0, 0.0, 0.0)) / cut.normal[0] for cut in cuts]
    tip = max(tips) if at_start else min(tips)
    end = "start" if at_start else "far"
    size = f"{tenon_size(tenon, show)} in its section, {show(abs(tip - reach))} long on the middle"
    if tenon_name(tenon) == "tenon":
        return f"tenon at the {end} end {size}"
    return f"dovetail at the {end} end {size}, its sides leaning 1 in {1.0 / max(tenon.flare):.0f}"


def _mortises(part: Part, mortises: Sequence[Mortise], show: Show) -> str:
    """All the mortises of a piece in one sentence."""
    first = mortises[0]
    face = max(NORMALS, key=lambda face: -_dot(NORMALS[face], first.axis))
    lean = math.degrees(math.acos(min(1.0, abs(_dot(NORMALS[face], first.axis)))))
    how = (
        "square to it" if lean < ENDS_ALIKE_DEG else f"their end walls leaning {lean:.2f}° from square to it"
    )
    places = [mortise.at[0] for mortise in mortises]
    return (
        f"{len(mortises)} mortises {show(first.length)} along x {show(first.width)} across in {_named(part, face)}, "
        f"{how}, {show(first.depth)} deep; centres from the start end: {_at(part, places, show)}"
    )


def _at(part: Part, places: Sequence[float], show: Show) -> str:
    """Where holes or mortises lie: on a newel every one, on a rail the first and the last, for the marks tell all."""
    if part.role in (Role.NEWEL, Role.HALF_NEWEL):
        return ", ".join(show(place) for place in sorted(places))
    return f"first {show(min(places))}, last {show(max(places))}, all in the running marks"


def _left_by(part: Part, taper: Taper, x: float) -> float:
    """How thick a taper leaves the piece at a place along its middle, mm."""
    point, normal = taper.plane.point, taper.plane.normal
    axis, size = (1, part.width) if abs(normal[1]) > abs(normal[2]) else (2, part.thickness)
    cut = point[axis] - normal[0] * (x - point[0]) / normal[axis]
    return size / 2 + math.copysign(cut, cut * normal[axis])


def _rounded(part: Part, feature: RoundOver, show: Show) -> str:
    radius = show(feature.radius)
    if len(feature.edges) == 4:
        what = "arrises off" if part.role in (Role.UPRIGHT, Role.STRAND) else "rounded"
        return f"all four long edges {what}, R{radius}"
    ys, zs = {y for y, _ in feature.edges}, {z for _, z in feature.edges}
    if len(feature.edges) == 1:
        faces = f"{_named(part, _SIGNED['y', min(ys)])} and {_named(part, _SIGNED['z', min(zs)])}"
        return f"R{radius} on the edge between {faces}"
    face = _SIGNED["y", min(ys)] if len(ys) == 1 else _SIGNED["z", min(zs)]
    return f"R{radius} on both edges of {_named(part, face)}"


def _holes(part: Part, holes: Sequence[Hole], show: Show) -> str:
    """All the holes of a piece in one sentence."""
    first = holes[0]
    face = max(NORMALS, key=lambda face: -_dot(NORMALS[face], first.axis))
    lean = math.degrees(math.acos(min(1.0, abs(_dot(NORMALS[face], first.axis)))))
    depths = sorted(hole.depth for hole in holes)
    ends = [show(depths[0]), show(depths[-1])]
    depth = ends[0] if ends[0] == ends[1] else " to ".join(ends)
    how = "square to it" if lean < ENDS_ALIKE_DEG else f"leaning {lean:.2f}° from square to it"
    places = [hole.at[0] for hole in holes]
    return (
        f"{len(holes)} holes {show(first.diameter)} diameter in {_named(part, face)}, {how}, {depth} deep on "
        f"their centre lines; centres from the start end: {_at(part, places, show)}"
    )


def _dot(a: Vec3, b: Vec3) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@dataclass(frozen=True, slots=True)
class EndWords:
    """What is written under a view: at the start, at the finish, or once in the middle for both."""

    start: str
    finish: str
    both: str

    @property
    def room(self) -> float:
        """Paper mm that the words take below a view."""
        lines = max(text.count("\n") + 1 for text in (self.start, self.finish, self.both))
        return 3.0 + 3.2 * lines


def end_words(part: Part, name: str, *, narrow: bool) -> EndWords:
    """What the saw and the protractor read at the ends: mitres in the wide face, bevels at the edge."""
    ends = []
    for cuts in (part.start_cuts, part.finish_cuts):
        readings = [saw_reading(cut.normal) for cut in cuts]
        ends.append([reading.mitre_deg if name == "mitre" else reading.bevel_deg for reading in readings])
    start, finish = ends
    if len(start) == len(finish) == 1 and abs(abs(start[0]) - abs(finish[0])) <= SAME_PART_DEG:
        plain = abs(start[0]) < ENDS_ALIKE_DEG
        how = "" if plain else (", parallel" if start[0] * finish[0] > 0 else ", mirrored")
        return EndWords("", "", f"both ends{how}: {angle_words(name, start[0], ' = ')}")
    if narrow:
        named = zip(("start", "far end"), ends, strict=True)
        lines = [f"{at}: {angle_words(name, angle)}" for at, end in named for angle in end]
        return EndWords("", "", "\n".join(lines))
    words = ["\n".join(angle_words(name, angle, "\n") for angle in end) for end in ends]
    return EndWords(words[0], words[1], "")


def angle_words(name: str, angle_deg: float, between: str = ", ") -> str:
    """An angle from square (the saw's scale) and from the edge (the protractor), with its slope."""
    size = abs(angle_deg)
    if size < ENDS_ALIKE_DEG:
        return f"{name} 0, square"
    slope = math.tan(math.radians(size))
    words = (f"{name} {size:.2f}° from square", f"{90 - size:.2f}° from edge", f"{100 * slope:.1f} in 100")
    return between.join(words)
