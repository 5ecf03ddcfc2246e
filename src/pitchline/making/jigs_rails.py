"""Jigs of the rails: stands that hold a rail while its joints are fitted, a height gauge, cauls for raking "
"joints."""

import math
from collections.abc import Iterator, Sequence

from pitchline.design.model import Design
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.tolerances import CAULS_ALIKE_DEG, ONE_JIG_DEG
from pitchline.kit.words import Words
from pitchline.making.jigs import Jig, JigAngle, JigKind, JigMark, JigView, Points2, Size, rectangle, some
from pitchline.parts.explode import Group
from pitchline.parts.part import Role

STAND_WIDE = 45.0
"""Width of a rail stand along the rail, mm."""
STAND_EVERY = 1200.0
"""Greatest distance between stands, mm: a rail of usual section does not sag by what shows (common practice, no
source)."""
FEWEST, MOST = 2, 4
"""Stands for one rail (trade articles: two to four)."""
FROM_THE_END = 250.0
"""How far from its ends a rail is held, mm, so that the joints stay free."""
BEHIND_NOSING = 15.0
"""How far behind the nosing the front of a stand stands, mm."""
ABOVE_WINDOW = 60.0
"""How far a height gauge reaches above the window, mm."""
CAUL_BASE = 110.0
"""Length of a caul on the rail, mm."""
LEAST_RAKE_DEG = 5.0
"""A joint nearer to square than this is clamped without a caul (common practice, no source)."""
GLUED = (Role.HANDRAIL, Role.BASE, Role.WALL_RAIL, Role.RAIL_CHEEK, Role.BASE_CHEEK, Role.RETURN, Role.EASING)
"""The parts whose ends are drawn up with clamps."""


def rail_jigs(designs: Sequence[Design], groups: Sequence[Group], words: Words) -> Iterator[Jig]:
    """The jigs that fitting the rails needs."""
    for design in designs:
        yield from _stands(design, words)
    yield from _gauges(designs, words)
    yield from _cauls(groups)


def stand_places(design: Design) -> tuple[float, ...]:
    """Where along the edge (u) stands hold the handrail."""
    low, high = (plane.point[0] for plane in (design.handrail.start, design.handrail.finish))
    near, far = low + FROM_THE_END, high - FROM_THE_END
    if far <= near:
        return ((low + high) / 2.0,)
    count = min(MOST, max(FEWEST, math.ceil((far - near) / STAND_EVERY) + 1))
    return tuple(near + k * (far - near) / (count - 1) for k in range(count))


def _stands(design: Design, words: Words) -> Iterator[Jig]:
    places = stand_places(design)
    slope = math.degrees(design.handrail.face.angle)
    if design.base is not None:
        foot = math.degrees(design.base.face.angle)
        heights = [design.handrail.face.at(u) - design.base.face.at(u) for u in places]
        stands = "on the base rail"
        listed = [f"{words.about(_along(design, u))} along the base rail" for u in places]
    else:
        foot = 0.0
        found = [_on_a_tread(design, u, words) for u in places]
        heights = [height for height, _ in found]
        stands = "on the treads"
        listed = [name for _, name in found]
    cut = "square" if abs(slope) <= ONE_JIG_DEG else f"at {abs(slope):.2f}° from square"
    told = "; ".join(f"{name} {words.mm(height)}" for name, height in zip(listed, heights, strict=True))
    yield Jig(
        JigKind.STAND,
        f"Rail stands, {design.id}, {stands}",
        len(places),
        (),
        (_stand_view(max(heights), foot, slope),),
        (
            f"Plumb heights in the middle of each stand, to the underside of the handrail: {told}.",
            f"Upright of {words.about(STAND_WIDE)} square; its head is cut {cut}, two cheeks of thin board keep "
            "the rail from sliding off. Tie each to what it stands on.",
            "They carry the rail at its final height while both ends are scribed and fitted; nobody leans on it.",
        ),
    )


def _along(design: Design, u: float) -> float:
    """How far along the base rail's face from its start a place is."""
    base = design.base_rail
    return (u - base.start.point[0]) / math.cos(base.face.angle)


def _on_a_tread(design: Design, u: float, words: Words) -> tuple[float, str]:
    """Height of a stand on the tread nearest below a place, and which tread that is."""
    nosings = design.flight.nosings
    if len(nosings) == 2 and design.flight.is_level:
        return design.handrail.face.at(u) - nosings[0][1], f"{words.about(u)} along the edge"
    name, (front, tread) = min(
        zip(design.flight.nosing_names, nosings, strict=True), key=lambda one: abs(one[1][0] - u)
    )
    middle = front + BEHIND_NOSING + STAND_WIDE / 2.0
    return design.handrail.face.at(middle) - tread, f"tread {name}"


def _stand_view(height: float, foot_deg: float, slope_deg: float) -> JigView:
    half = STAND_WIDE / 2.0
    foot, head = math.tan(math.radians(foot_deg)) * half, math.tan(math.radians(slope_deg)) * half
    shape: Points2 = (
        (0.0, -foot),
        (STAND_WIDE, foot),
        (STAND_WIDE, height + head),
        (0.0, height - head),
    )
    angles = []
    if abs(slope_deg) > ONE_JIG_DEG:
        low, high = sorted((0.0, slope_deg))
        angles.append(JigAngle((0.0, height - head), low, high, abs(slope_deg), 20.0))
    return JigView(
        "the highest, from the side",
        (shape,),
        (JigMark((half, 0.0), (half, height), ""),),
        sizes=(
            Size((half, 0.0), (half, height), 2, 90.0),
            Size((0.0, -abs(foot)), (STAND_WIDE, -abs(foot)), -1),
        ),
        angles=tuple(angles),
    )


def _gauges(designs: Sequence[Design], words: Words) -> Iterator[Jig]:
    """A stick for each window of heights of each flight, plumb from its nosings to the top of the rail."""
    found: dict[tuple[str, float, float], list[Design]] = {}
    for design in designs:
        line = design.rail_line
        if not design.flight.is_level and line.heights and line.high is not None:
            found.setdefault((design.leg, line.low, line.high), []).append(design)
    for (leg, low, high), legs in found.items():
        told = tuple(dict.fromkeys(_heights(design, words) for design in legs))
        yield _gauge(leg, low, high, told, words)


def _heights(design: Design, words: Words) -> str:
    heights = design.rail_line.heights
    listed = ", ".join(
        f"{name} {words.show(height)}"
        for name, height in zip(design.flight.nosing_names, heights, strict=False)
    )
    return f"As designed, from {words.show(min(heights))} to {words.mm(max(heights))}: {listed}."


def _gauge(leg: str, low: float, high: float, told: tuple[str, ...], words: Words) -> Jig:
    marks = (
        JigMark((0.0, low), (STAND_WIDE, low), f"lowest allowed {words.about(low)}"),
        JigMark((0.0, high), (STAND_WIDE, high), f"highest allowed {words.about(high)}"),
    )
    view = JigView(
        "the gauge",
        (rectangle(STAND_WIDE, high + ABOVE_WINDOW),),
        marks,
        sizes=(Size((0.0, 0.0), (0.0, low), 1, 90.0), Size((0.0, 0.0), (0.0, high), 2, 90.0)),
    )
    return Jig(
        JigKind.GAUGE,
        f"Height gauge, leg {leg}",
        1,
        (),
        (view,),
        (
            "Stand it plumb on a finished nosing with a small level strapped to it: the top of the handrail lies "
            "between the two lines at every nosing.",
            *told,
        ),
    )


def _cauls(groups: Sequence[Group]) -> Iterator[Jig]:
    """A pair of cauls for every angle that a rail's end is drawn up at."""
    found: list[tuple[float, float, list[str]]] = []
    for group in groups:
        if group.part.role not in GLUED:
            continue
        for cut in (*group.part.start_cuts[:1], *group.part.finish_cuts[:1]):
            reading = saw_reading(cut.normal)
            angle = max(abs(reading.mitre_deg), abs(reading.bevel_deg))
            deep = (
                group.part.width if abs(reading.mitre_deg) >= abs(reading.bevel_deg) else group.part.thickness
            )
            if angle < LEAST_RAKE_DEG:
                continue
            for index, (known, depth, marks) in enumerate(found):
                if abs(known - angle) <= CAULS_ALIKE_DEG:
                    found[index] = (known, max(depth, deep), marks)
                    marks.append(group.mark)
                    break
            else:
                found.append((angle, deep, [group.mark]))
    for angle, depth, named in found:
        yield caul(angle, depth, tuple(dict.fromkeys(named)))


def caul(angle_deg: float, depth: float, marks: tuple[str, ...]) -> Jig:
    """A wedge on the rail with a face parallel to its raking joint, so that a clamp pulls square to the joint."""
    high = max(30.0, depth)
    lean = min(CAUL_BASE - 20.0, high * math.tan(math.radians(angle_deg)))
    high = lean / math.tan(math.radians(angle_deg))
    shape: Points2 = ((0.0, 0.0), (CAUL_BASE, 0.0), (CAUL_BASE - lean, high), (0.0, high))
    return Jig(
        JigKind.CAUL,
        f"Clamping cauls, {angle_deg:.2f}° from square, for {some(marks)}",
        2,
        marks,
        (
            JigView(
                "from the side, as it lies on the rail",
                (shape,),
                sizes=(Size((0.0, 0.0), (CAUL_BASE, 0.0), -1), Size((0.0, 0.0), (0.0, high), 1, 90.0)),
                angles=(JigAngle((CAUL_BASE, 0.0), 90.0, 90.0 + angle_deg, angle_deg, 20.0),),
                template=True,
            ),
        ),
        (
            "One on each side of the rail, their slanted faces, where the jaw presses, parallel to the joint: "
            "clamped to the rail across it with sandpaper between, they give the long clamp a seat square to its "
            "pull.",
            f"The slant is {angle_deg:.2f}° from square to the rail, {90.0 - angle_deg:.2f}° from the rail.",
            "Draw the joint up dry first: a clamp that is not square to the joint makes it slide.",
        ),
    )
