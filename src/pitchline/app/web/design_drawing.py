"""A balustrade in elevation for the screen: every piece can be touched, sizes and balls stand in layers of their own.

The picture is drawn in mm of the unrolled edge, y down, with classes instead of colours: the page's style sheet says
how wood, stair and sizes look, in the light and in the dark.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from pitchline.checks.openings import Opening
from pitchline.design.balustrade import Balustrade
from pitchline.design.model import Design, PostRole, Upright
from pitchline.kit.finding import Verdict
from pitchline.kit.geometry.lines import Point2
from pitchline.kit.tolerances import CHORD_OFF_ARC
from pitchline.sheets.elevation import Reach, underside, upright_outline
from pitchline.sheets.looking import Looker, Show, bar_outline, end_point, post_outline, steps
from pitchline.sheets.openingsview import pressing
from pitchline.story import SolvedBalustrade, SolvedDesign

FLOOR_BESIDE = 260.0
"""mm of floor drawn beyond both ends."""
LETTERS_WIDE, LETTERS_HIGH = 62.0, 30.0
"""Letters are these shares of a picture's width and height high: readable at arm's length on a tablet."""
WALL_HIGH, WALL_DEEP = 1250.0, 60.0
"""mm of a wall drawn above its floor and behind its face."""
ROOM_ABOVE = 4.2
"""Letter heights left free above the balustrade for the sizes along the rail."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The box of a picture, y down."""

    left: float
    top: float
    width: float
    height: float

    @staticmethod
    def around(points: Sequence[Point2], margin: float) -> "Frame":
        """The box round points of a drawing (y up) with a margin."""
        xs, ys = [x for x, _ in points], [-y for _, y in points]
        return Frame(
            min(xs) - margin,
            min(ys) - margin,
            max(xs) - min(xs) + 2 * margin,
            max(ys) - min(ys) + 2 * margin,
        )

    @property
    def box(self) -> str:
        """As SVG writes it."""
        return f"{self.left:.1f} {self.top:.1f} {self.width:.1f} {self.height:.1f}"


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of the edge with how it is looked at."""

    solved: SolvedDesign
    look: Looker

    @property
    def design(self) -> Design:
        """The leg as designed."""
        return self.solved.design


def legs_of(whole: Balustrade, solved: Sequence[SolvedDesign]) -> tuple[Leg, ...]:
    """The legs of an edge, unrolled, as seen from the open side."""
    return tuple(
        Leg(leg, Looker(whole.side, place.du, place.dz))
        for leg, place in zip(solved, whole.places, strict=True)
    )


def elevations(solved: SolvedBalustrade, show: Show) -> Iterator[tuple[str, str]]:
    """For every edge of a design its id and its picture."""
    taken = 0
    for whole in solved.edges:
        legs = legs_of(whole, solved.legs[taken : taken + len(whole.legs)])
        taken += len(whole.legs)
        yield whole.edge, elevation(whole, legs, show)


def elevation(whole: Balustrade, legs: Sequence[Leg], show: Show) -> str:
    """One edge with everything on it."""
    corners = [point for leg in legs for point in _spread(leg)]
    rough = Frame.around(corners, 0.0)
    letter = max(rough.width / LETTERS_WIDE, rough.height / LETTERS_HIGH)
    frame = Frame(
        rough.left - letter,
        rough.top - ROOM_ABOVE * letter,
        rough.width + 2 * letter,
        rough.height + (ROOM_ABOVE + 3.2) * letter,
    )
    name = f"{whole.title}, {len(legs)} legs" if len(legs) > 1 else whole.title
    layers = (
        *_layer("stair", (mark for leg in legs for mark in _stair(leg, letter))),
        *_layer("wood", (mark for leg in legs for mark in _wood(leg))),
        *_layer("sizes", (mark for leg in legs for mark in _sizes(leg, show, letter, alone=len(legs) == 1))),
        *_layer("balls", (mark for leg in legs for mark in _balls(leg, show, letter))),
    )
    head = (
        f'<svg class="elevation" xmlns="http://www.w3.org/2000/svg" viewBox="{frame.box}" role="img" '
        f'aria-label="{escape(name)}" font-size="{letter:.1f}">'
    )
    return head + "".join(layers) + "</svg>"


def thumbnail(whole: Balustrade, legs: Sequence[Leg], part: str = "all") -> str:
    """A small picture without words: the whole edge, its ``foot`` or ``head``, or the ``middle`` of its first leg."""
    corners = [point for leg in legs for point in _pieces_points(leg)]
    frame = Frame.around(corners, 60.0)
    if part != "all":
        frame = _close(legs, part, frame)
    marks = [*(mark for leg in legs for mark in _stair(leg, 0.0)), *(m for leg in legs for m in _wood(leg))]
    return (
        f'<svg class="thumb" xmlns="http://www.w3.org/2000/svg" viewBox="{frame.box}" '
        f'preserveAspectRatio="xMidYMid {"meet" if part == "all" else "slice"}" aria-hidden="true">'
        f"{''.join(marks)}</svg>"
    )


def _close(legs: Sequence[Leg], part: str, whole: Frame) -> Frame:
    """A window as high as the balustrade is over a nosing, at one place of the edge."""
    leg = legs[-1] if part == "head" else legs[0]
    design = leg.design
    nosings = design.flight.nosings
    spot = {"foot": 0.06, "head": 0.94}.get(part, 0.5)
    u = nosings[0][0] + spot * (nosings[-1][0] - nosings[0][0])
    low = min(underside(design, u), design.handrail.top.at(u) - 1100.0)
    x, y = leg.look.at((u, (design.handrail.top.at(u) + low) / 2 + 60.0))
    high = design.handrail.top.at(u) - low + 300.0
    wide = min(1.5 * high, whole.width)
    return Frame(x - wide / 2, -y - high / 2, wide, high)


def _layer(name: str, marks: Iterable[str]) -> Iterator[str]:
    yield f'<g class="layer-{name}">'
    yield from marks
    yield "</g>"


def _pieces_points(leg: Leg) -> Iterator[Point2]:
    design = leg.design
    outlines = [*map(bar_outline, design.bars), *map(post_outline, design.posts), design.flight.nosings]
    outlines += [upright.sight for upright in design.uprights]
    for outline in outlines:
        yield from leg.look.all(outline)


def _spread(leg: Leg) -> Iterator[Point2]:
    """What the picture must have room for: the pieces, the floors beside them, the walls."""
    design = leg.design
    yield from _pieces_points(leg)
    reach = Reach.of(design, 1.0, FLOOR_BESIDE)
    (_, low), (_, high) = design.flight.nosings[0], design.flight.nosings[-1]
    floor = low if design.flight.is_level else 0.0
    yield leg.look.at((reach.floor_low, floor - 60.0))
    yield leg.look.at((reach.floor_high, high))


def _path(
    rings: Iterable[Sequence[Point2]],
    look: Looker,
    kind: str,
    place: str = "",
    words: str = "",
    *,
    shut: bool = True,
) -> str:
    drawn = "".join(
        "M" + "L".join(f"{x:.1f} {-y:.1f}" for x, y in look.all(ring)) + ("Z" if shut else "")
        for ring in rings
    )
    told = f' data-part="{escape(place)}"' if place else ""
    title = f"<title>{escape(words)}</title>" if words else ""
    return (
        f'<path class="{kind}"{told} d="{drawn}">{title}</path>'
        if title
        else f'<path class="{kind}"{told} d="{drawn}"/>'
    )


def _stair(leg: Leg, letter: float) -> Iterator[str]:
    design, look, flight = leg.design, leg.look, leg.design.flight
    first, last = flight.nosings[0], flight.nosings[-1]
    profile = steps(flight, FLOOR_BESIDE, FLOOR_BESIDE)
    if flight.is_level:
        below = [(profile[-1][0], underside(design, last[0])), (profile[0][0], underside(design, first[0]))]
        yield _path([(*profile, *below)], look, "stair")
        yield _path([profile], look, "tread", shut=False)
    elif flight.string is None:
        foot = (last[0], min(underside(design, last[0]), last[1]))
        yield _path([(*profile[1:-1], foot, (first[0] + 150.0, 0.0))], look, "stair")
        yield _path([profile], look, "tread", shut=False)
    else:
        ends = (first[0] - 60.0, last[0] + 40.0)
        top = flight.string.top
        low = [(u, underside(design, u)) for u in _shares(ends[1], ends[0])]
        yield _path([(top.point(ends[0]), top.point(ends[1]), *low)], look, "stair")
        yield _path([profile[1:-1]], look, "hidden", shut=False)
        for floor in ((profile[0], profile[1]), (last, profile[-1])):
            yield _path([floor], look, "tread", shut=False)
    yield from _walls(leg)
    if letter:
        for number, (u, z) in enumerate(flight.nosings, start=1):
            yield _words(look.at((u + 1.4 * letter, z - 1.5 * letter)), f"N{number}", "quiet", 0.75 * letter)


def _shares(first: float, last: float) -> list[float]:
    return [first + (last - first) * k / 24 for k in range(25)]


def _walls(leg: Leg) -> Iterator[str]:
    last_u, last_z = leg.design.flight.nosings[-1]
    for wall in leg.design.flight.walls:
        at_foot = wall.face_u < last_u / 2
        foot = 0.0 if at_foot and not leg.design.flight.is_level else last_z
        face = [(wall.face_u + wall.lean_along * (z - wall.face_z), z) for z in (foot, foot + WALL_HIGH)]
        away = -WALL_DEEP if at_foot else WALL_DEEP
        yield _path(
            [(*face, (face[1][0] + away, face[1][1]), (face[0][0] + away, face[0][1]))], leg.look, "wall"
        )


def _wood(leg: Leg) -> Iterator[str]:
    """Every piece in the order it hides others, with its mark as its place."""
    design, look = leg.design, leg.look
    for panel in design.panels:
        kind = "glass" if "glass" in panel.material else "piece"
        yield _path((panel.sight, *panel.holes), look, kind, panel.mark, panel.mark)
    for strand in design.strands:
        yield _path([strand.sight], look, "metal" if strand.is_round else "piece", strand.mark, strand.mark)
    for upright in design.uprights:
        kind = "metal" if "steel" in upright.material else "piece"
        yield _path([upright_outline(upright)], look, kind, upright.mark, upright.mark)
    for bar in design.bars:
        yield _path([bar_outline(bar)], look, "piece", bar.id, f"{bar.id} {design.name_of(bar)}")
    for piece in design.easements:
        if not piece.shared:
            yield _path([piece.outline.points(CHORD_OFF_ARC)], look, "piece", piece.id, piece.id)
    for post in design.posts:
        if post.role is PostRole.EXISTING:
            yield _path([post_outline(post)], look, "standing", "", post.id)
        else:
            yield _path([post_outline(post)], look, "piece", post.id, f"{post.id} {post.role.value}")


# ---------------------------------------------------------------- sizes


def _words(at: Point2, text: str, kind: str, size: float, turn: float = 0.0, anchor: str = "middle") -> str:
    x, y = at[0], -at[1]
    turned = f' transform="rotate({turn:.1f} {x:.1f} {y:.1f})"' if turn else ""
    side = "" if anchor == "middle" else f' text-anchor="{anchor}"'
    return f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}" font-size="{size:.1f}"{side}{turned}>{escape(text)}</text>'


def _line(a: Point2, b: Point2, kind: str) -> str:
    return f'<path class="{kind}" d="M{a[0]:.1f} {-a[1]:.1f}L{b[0]:.1f} {-b[1]:.1f}"/>'


def _measure(a: Point2, b: Point2, text: str, letter: float, off: float) -> Iterator[str]:
    """A size between two points, its line moved ``off`` to the left of the way from a to b."""
    length = math.dist(a, b)
    if length == 0.0:
        return
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    out = (-along[1] * off, along[0] * off)
    ends = [(p[0] + out[0], p[1] + out[1]) for p in (a, b)]
    tick = (0.35 * letter * (along[0] - along[1]), 0.35 * letter * (along[1] + along[0]))
    for near, far in zip((a, b), ends, strict=True):
        yield _line(near, far, "witness")
        yield _line((far[0] - tick[0], far[1] - tick[1]), (far[0] + tick[0], far[1] + tick[1]), "size")
    yield _line(ends[0], ends[1], "size")
    turn = -math.degrees(math.atan2(along[1], along[0]))
    if turn > 90.0 or turn <= -90.0:
        turn += 180.0 if turn <= -90.0 else -180.0
    up = (0.4 * letter * math.sin(math.radians(turn)), 0.4 * letter * math.cos(math.radians(turn)))
    middle = ((ends[0][0] + ends[1][0]) / 2 + up[0], (ends[0][1] + ends[1][1]) / 2 + up[1])
    yield _words(middle, text, "figure", letter, turn)


def _sizes(leg: Leg, show: Show, letter: float, *, alone: bool) -> Iterator[str]:
    """Heights of the rail at the tightest nosing, of one leg alone at its ends too; its length and pitch; one gap."""
    design, look = leg.design, leg.look
    rail, nosings = design.handrail, design.flight.nosings
    tight = design.rail_line.tightest
    numbers = sorted({1, tight, len(nosings)} if alone else {tight})
    for number in (n for n in numbers if 1 <= n <= len(nosings)):
        u, z = nosings[number - 1]
        top = rail.top.at(u)
        yield from _measure(
            look.at((u, z)), look.at((u, top)), show(top - z), letter, look.sign * letter * 0.01
        )
    a, b = end_point(rail.start, rail.top), end_point(rail.finish, rail.top)
    left, right = sorted((look.at(a), look.at(b)))
    pitch = f"{math.degrees(rail.top.angle):.1f}°"
    yield from _measure(left, right, f"{show(math.dist(a, b))}  ∠ {pitch}", letter, 1.6 * letter)
    pair = _clear_pair(design, [nosings[n - 1][0] for n in numbers if 1 <= n <= len(nosings)])
    if pair is not None:
        yield from _gap(design, pair, look, show, letter)


def _clear_pair(design: Design, taken: Sequence[float]) -> tuple[Upright, Upright] | None:
    """Two neighbours about the middle or the quarters of a leg, away from the places where heights stand."""
    count = len(design.uprights)
    places = {max(1, round(count * share)) for share in (0.5, 0.25, 0.75)} & set(range(1, count))
    if not places:
        return None
    best = max(sorted(places), key=lambda k: min((abs(design.uprights[k].u - u) for u in taken), default=0.0))
    return design.uprights[best - 1], design.uprights[best]


def _gap(
    design: Design, pair: tuple[Upright, Upright], look: Looker, show: Show, letter: float
) -> Iterator[str]:
    """The clear gap between two uprights half way up, square to them."""
    first, second = pair
    half = (math.sin(first.lean), math.cos(first.lean))
    out = (math.cos(first.lean), -math.sin(first.lean))
    face = design.handrail.face.at(first.u)
    foot = (design.base or design.handrail).top.at(first.u) if design.base else first.foot[1]
    up = (face + foot) / 2 - first.foot[1]
    a = tuple(f + h * up + o * first.width / 2 for f, h, o in zip(first.foot, half, out, strict=True))
    b = tuple(p + o * second.gap_before for p, o in zip(a, out, strict=True))
    left, right = sorted((look.at((a[0], a[1])), look.at((b[0], b[1]))))
    yield from _measure(left, right, show(second.gap_before), 0.85 * letter, 0.0)


def _balls(leg: Leg, show: Show, letter: float) -> Iterator[str]:
    """The largest ball of every opening; the two that press most on their limits with their sizes."""
    ranked = sorted(leg.solved.report.openings, key=pressing, reverse=True)
    for number, opening in enumerate(ranked):
        yield _ball(opening, leg.look)
        if number < 2:
            x, y = leg.look.at(opening.ball.centre)
            kind = "figure wrong" if _is_wrong(opening) else "figure"
            yield _words((x, y - 0.35 * letter), f"⌀ {show(opening.ball.diameter)}", kind, letter)


def _ball(opening: Opening, look: Looker) -> str:
    x, y = look.at(opening.ball.centre)
    kind = "ball wrong" if _is_wrong(opening) else "ball"
    title = f"<title>{escape(opening.where)}: {opening.verdict.value}</title>"
    return f'<circle class="{kind}" cx="{x:.1f}" cy="{-y:.1f}" r="{opening.ball.diameter / 2:.1f}">{title}</circle>'


def _is_wrong(opening: Opening) -> bool:
    return opening.verdict in (Verdict.FAIL, Verdict.UNSURE)
