"""Templates of full size: part ends that fold round an arris, notches, mortises, outlines, and those of the jigs.

A template is a flat view of true size in mm, x along the piece to the right, y up.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import Plane, cross, dot
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_PART
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import (
    Jig,
    JigAngle,
    JigKind,
    JigMark,
    JigView,
    Points2,
    Size,
    rectangle,
    some,
)
from pitchline.making.saws import OUTWARD
from pitchline.making.settings_ways import bearing
from pitchline.parts.explode import Group
from pitchline.parts.part import Face, Mortise, Notch, Part, Role, RoundBar, Sawn, Turning

SHOWN = 50.0
"""mm of a piece that its template lies along, from the short point of its end."""
BEYOND = 60.0
"""mm that a template of a notch or mortise runs on to each side."""

MOST_CORNERS = 8
"""An outline of more corners is told by its width and height alone."""
CORNER_ARM = 75.0
"""mm of an edge that a corner's template shows."""

WITH_ENDS = (
    Role.HANDRAIL,
    Role.BASE,
    Role.PACKER,
    Role.UPRIGHT,
    Role.RAIL_STRIP,
    Role.BASE_STRIP,
    Role.RAIL_CHEEK,
    Role.BASE_CHEEK,
    Role.STRAND,
    Role.SLAT,
    Role.WALL_RAIL,
    Role.RETURN,
)
"""The parts whose slanting ends get a template; small pieces between uprights are cut at the saw's settings."""


@dataclass(frozen=True, slots=True)
class Template:
    """A template: its view, the pieces it is for, and whether it is a strip that is joined along its length.

    ``corners`` stand for it where it is too large to be printed whole and all its edges are straight.
    """

    title: str
    view: JigView
    for_marks: tuple[str, ...]
    words: str = ""
    strip: bool = False
    corners: tuple[JigView, ...] = ()
    id: str = ""


def templates_of(groups: Sequence[Group], jigs: Sequence[Jig], words: Words = PLAIN) -> tuple[Template, ...]:
    """Every template of a design or wall rail, called T1, T2 and so on; those of jigs come last."""
    found = [*_ends(groups), *_housings(groups, words), *_outlines(groups, words), *_of_jigs(jigs)]
    return tuple(replace(one, id=f"T{number}") for number, one in enumerate(found, start=1))


def _ends(groups: Sequence[Group]) -> Iterator[Template]:
    """One template for all ends that fold alike."""
    known: list[tuple[tuple[float, ...], JigView, list[str]]] = []
    for group in groups:
        part = group.part
        if part.role not in WITH_ENDS or _is_round(part):
            continue
        for cuts, at_start in ((part.start_cuts, True), (part.finish_cuts, False)):
            if len(cuts) != 1 or _is_square(cuts[0]):
                continue
            view = end_view(part, cuts[0], at_start=at_start)
            shape = tuple(value for point in view.outlines[0] for value in point)
            named = f"{group.mark} {'start' if at_start else 'far end'}"
            for size, seen, marks in known:
                if view.name == seen.name and _near(size, shape):
                    marks.append(named)
                    break
            else:
                known.append((shape, view, [named]))
    for _, view, named_ends in known:
        yield Template(f"End of {some(tuple(named_ends))}", view, tuple(named_ends))


def _near(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return len(a) == len(b) and all(abs(x - y) <= SAME_PART for x, y in zip(a, b, strict=True))


def _is_round(part: Part) -> bool:
    return any(isinstance(feature, RoundBar | Turning) for feature in part.features)


def _is_square(cut: Plane) -> bool:
    reading = saw_reading(cut.normal)
    return max(abs(reading.mitre_deg), abs(reading.bevel_deg)) <= ENDS_ALIKE_DEG


def end_view(part: Part, cut: Plane, *, at_start: bool) -> JigView:
    """Two neighbouring faces of a piece's end folded flat about their arris, seen from outside the wood.

    The faces are the two flattest neighbours. The fold is the line y = 0; the first face lies above it. The end is
    at the left at the start, at the right at the far end when the first face is looked at with its arris below.
    """
    upper, lower = _flattest(part)
    sizes = {face: part.thickness if OUTWARD[face][1] else part.width for face in (upper, lower)}
    half = {"y": part.width / 2.0, "z": part.thickness / 2.0}
    n_up, n_low = OUTWARD[upper], OUTWARD[lower]
    arris = tuple(n_up[k] * _half(n_up, half) + n_low[k] * _half(n_low, half) for k in range(3))
    far_up = tuple(arris[k] - n_low[k] * sizes[upper] for k in range(3))
    far_low = tuple(arris[k] - n_up[k] * sizes[lower] for k in range(3))
    x_arris, x_up, x_low = (_meets(cut, (p[1], p[2])) for p in (arris, far_up, far_low))
    # seen from outside, x runs to the right if x, the way from the arris up the face, and out of it are right-handed
    away = tuple(-value for value in n_low)
    right = dot(cross((1.0, 0.0, 0.0), (away[0], away[1], away[2])), n_up) > 0.0
    inward = 1.0 if at_start else -1.0
    reach = max(inward * x for x in (x_arris, x_up, x_low)) + SHOWN
    sign = 1.0 if right else -1.0
    base = inward * reach

    def at(x: float, y: float) -> tuple[float, float]:
        return (sign * (x - x_arris), y)

    outline: Points2 = (
        at(x_up, sizes[upper]),
        at(x_arris, 0.0),
        at(x_low, -sizes[lower]),
        at(base, -sizes[lower]),
        at(base, sizes[upper]),
    )
    names = dict(part.face_names)
    words = (names.get(upper, f"face {upper.value}"), names.get(lower, f"face {lower.value}"))
    middle = sign * (base - x_arris) / 2.0
    lines = (
        JigMark(at(x_up, sizes[upper]), at(x_arris, 0.0), saw=True),
        JigMark(at(x_arris, 0.0), at(x_low, -sizes[lower]), saw=True),
        JigMark((middle, sizes[upper] / 2.0), (middle, sizes[upper] / 2.0), words[0]),
        JigMark((middle, -sizes[lower] / 2.0), (middle, -sizes[lower] / 2.0), words[1]),
    )
    return JigView(
        f"{words[0]} above, {words[1]} below the fold",
        (outline,),
        lines,
        hidden=((at(x_arris, 0.0), at(base, 0.0)),),
        template=True,
    )


def _half(normal: tuple[float, float, float], half: dict[str, float]) -> float:
    return half["y"] if normal[1] else half["z"]


def _meets(plane: Plane, at: tuple[float, float]) -> float:
    return -plane.distance((0.0, *at)) / plane.normal[0]


def _flattest(part: Part) -> tuple[Face, Face]:
    """Of the edges and the wide faces the two with most flat left."""
    pairs = [(a, b) for a in Face for b in Face if OUTWARD[a][1] and OUTWARD[b][2]]
    return max(pairs, key=lambda pair: bearing(part, pair[0]) + bearing(part, pair[1]))


def _housings(groups: Iterable[Group], words: Words) -> Iterator[Template]:
    """Notches and mortises of newels, each face that has any."""
    for group in groups:
        part = group.part
        if part.role not in (Role.NEWEL, Role.HALF_NEWEL):
            continue
        for feature in part.features:
            if isinstance(feature, Notch):
                yield _notch(group, feature)
        for face in Face:
            mouths = [
                feature
                for feature in part.features
                if isinstance(feature, Mortise) and _mouth_face(part, feature) is face
            ]
            for number, mortise in enumerate(mouths, start=1):
                yield _mortise(group, face, mortise, number, len(mouths), words)


def _notch(group: Group, notch: Notch) -> Template:
    """A notch on the face it is cut through from."""
    part = group.part
    through_z = notch.high[2] - notch.low[2] >= part.thickness - SAME_PART
    k, wide = (1, part.width) if through_z else (2, part.thickness)
    face = Face.PLUS_Z if through_z else Face.PLUS_Y
    reach = min(part.length, notch.high[0] + BEYOND)
    low, high = max(notch.low[k], -wide / 2.0), min(notch.high[k], wide / 2.0)
    start = max(0.0, notch.low[0] - BEYOND)
    view = JigView(
        f"face {_named(part, face)}, the piece's start at the left",
        (
            rectangle(reach - start, wide, start, -wide / 2.0),
            rectangle(notch.high[0] - max(start, notch.low[0]), high - low, max(start, notch.low[0]), low),
        ),
        sizes=(
            Size((start, wide / 2.0), (notch.high[0], wide / 2.0), 1),
            Size((reach, low), (reach, high), -1, 90.0),
        ),
        template=True,
    )
    return Template(
        f"Notch of {group.mark}", view, (group.mark,), "Prick the corners through; saw on the waste side."
    )


def _mouth_face(part: Part, mortise: Mortise) -> Face:
    """The long face that a mortise opens in."""
    return min(
        Face,
        key=lambda face: abs(
            dot(mortise.at, OUTWARD[face]) - (part.width if OUTWARD[face][1] else part.thickness) / 2.0
        ),
    )


def _mortise(group: Group, face: Face, mortise: Mortise, number: int, count: int, words: Words) -> Template:
    part = group.part
    k, wide = (2, part.thickness) if OUTWARD[face][1] else (1, part.width)
    x, across = mortise.at[0], mortise.at[k]
    start, stop = max(0.0, x - mortise.length / 2 - BEYOND), min(part.length, x + mortise.length / 2 + BEYOND)
    mouth = rectangle(mortise.length, mortise.width, x - mortise.length / 2, across - mortise.width / 2)
    view = JigView(
        f"face {_named(part, face)}, the piece's start at the left",
        (rectangle(stop - start, wide, start, -wide / 2.0), mouth),
        (JigMark((x, -wide / 2.0), (x, wide / 2.0), f"centre, {words.mm(x)} from the start end"),),
        template=True,
    )
    which = f" {number}" if count > 1 else ""
    return Template(
        f"Mortise{which} of {group.mark}, face {_named(part, face)}",
        view,
        (group.mark,),
        "Lay its centre line on the centre marked from the start end.",
    )


def _named(part: Part, face: Face) -> str:
    return dict(part.face_names).get(face, face.value)


def _outlines(groups: Iterable[Group], words: Words) -> Iterator[Template]:
    """Pieces that are sawn to an outline: panels, bent pieces of handrail."""
    for group in groups:
        for feature in group.part.features:
            if isinstance(feature, Sawn):
                yield _outline(group, feature, words)


def _outline(group: Group, sawn: Sawn, words: Words) -> Template:
    xs, ys = zip(*sawn.outline, strict=True)
    view = JigView(
        "the wide face, its start at the left",
        (sawn.outline, *sawn.holes),
        sizes=(
            Size((min(xs), max(ys)), (max(xs), max(ys)), 1),
            Size((max(xs), min(ys)), (max(xs), max(ys)), -1, 90.0),
        ),
        template=True,
    )
    return Template(
        f"Outline of {group.mark}, {group.part.role.value}",
        view,
        (group.mark,),
        f"Check against the tape. {_lengths(sawn.outline, words)}",
        corners=() if sawn.arcs or len(sawn.outline) > MOST_CORNERS else tuple(corner_views(sawn.outline)),
    )


def _lengths(outline: Points2, words: Words) -> str:
    """The edges of an outline in turn, and its diagonals if it has four corners; of many edges none."""
    if len(outline) > MOST_CORNERS:
        return "Its width and height stand at it."
    edges = zip(outline, (*outline[1:], *outline[:1]), strict=True)
    said = f"Edges from the first corner on: {', '.join(words.show(math.dist(a, b)) for a, b in edges)}."
    across = diagonals(outline)
    return said if not across else f"{said} Diagonals: {', '.join(words.show(d) for d in across)}."


def corner_views(outline: Points2) -> Iterator[JigView]:
    """Each corner of a straight-edged outline, true, with as much of its two edges as a page takes."""
    count = len(outline)
    for number, corner in enumerate(outline):
        before, after = outline[number - 1], outline[(number + 1) % count]
        arms = [_towards(corner, other) for other in (before, after)]
        bearings = [math.degrees(math.atan2(y - corner[1], x - corner[0])) for x, y in arms]
        opening = (bearings[0] - bearings[1]) % 360.0
        yield JigView(
            f"corner {number + 1} of {count}",
            ((arms[0], corner, arms[1]),),
            angles=(JigAngle(corner, bearings[1], bearings[1] + opening, opening, 22.0),),
            template=True,
        )


def _towards(corner: Point2, other: Point2) -> Point2:
    reach = min(1.0, CORNER_ARM / math.dist(corner, other))
    return corner[0] + reach * (other[0] - corner[0]), corner[1] + reach * (other[1] - corner[1])


def diagonals(outline: Points2) -> tuple[float, ...]:
    """Lengths between the corners of a four-cornered outline that are not neighbours; none for other outlines."""
    if len(outline) != 4:
        return ()
    return math.dist(outline[0], outline[2]), math.dist(outline[1], outline[3])


def _of_jigs(jigs: Iterable[Jig]) -> Iterator[Template]:
    for jig in jigs:
        for view in jig.views:
            if view.template:
                strip = jig.kind is JigKind.STORY
                words = "" if not strip else "Join the lengths on a straight lath, number by number."
                yield Template(f"{jig.id} {jig.title}", view, jig.for_marks, words, strip)
