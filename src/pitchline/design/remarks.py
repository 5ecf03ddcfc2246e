"""What the design step itself has to say: rails that cannot hold, newels too short, pieces too small.

The checks measure the finished design afresh; these remarks speak of choices and of ways out.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.design.brief import BaseSeat, Bored, Brief, Grooved, Spread, Stacked
from pitchline.design.limits import Limits
from pitchline.design.model import Bar, Bay, Post, PostRole, RailLine, Upright
from pitchline.design.rails import best_break
from pitchline.design.season import Spaced, end_allowed, opening_allowed, season_remarks
from pitchline.design.spacing import Layout
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import HOLD_LENGTH, LEAST_CHEEK, SAME_POINT, STACK_FIT, WISH_MET
from pitchline.kit.words import PLAIN, Words
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Composed:
    """What has been laid out so far, and the words for what is said of it."""

    flight: Flight
    brief: Brief
    limits: Limits
    rail_line: RailLine
    posts: tuple[Post, ...]
    bay: Bay
    layout: Layout | None
    uprights: tuple[Upright, ...]
    handrail: Bar
    base: Bar | None
    lean: float
    words: Words = PLAIN

    @property
    def gap(self) -> float:
        """The limit of the rules for the gaps of this bay."""
        return self.limits.gap_beside(self.flight, self.bay.sight)


def remarks(laid: Composed) -> tuple[Finding, ...]:
    """Every remark, by subject: rail, newels, base rail, spacing, sections, pieces, season."""
    return (
        *_rail(laid),
        *_newels(laid),
        *_proud(laid),
        *_base(laid),
        *(() if laid.layout is None else _upright_remarks(laid, laid.layout)),
    )


def _upright_remarks(laid: Composed, layout: Layout) -> Iterator[Finding]:
    """What there is to say of uprights: spacing, sections, pieces, season."""
    yield from _spacing(laid, layout)
    yield from _odd_ends(laid, layout)
    yield from _sections(laid)
    yield from _stack(laid)
    yield from _pieces(laid)
    yield from season_remarks(Spaced(laid.brief, laid.bay, layout, laid.gap, laid.limits.compare, laid.words))


def _rail(laid: Composed) -> Iterator[Finding]:
    line, words = laid.rail_line, laid.words
    where = f"{laid.brief.id}: handrail at nosing {line.tightest}"
    if line.margin < 0:
        yield Finding(
            code="design.rail.height",
            verdict=Verdict.FAIL,
            where=where,
            text=f"A straight rail at this height misses its window by {words.mm(-line.margin)} at nosing "
            f"{line.tightest}. Ways out: {'; '.join(ways_out(laid))}.",
            measured=line.heights[line.tightest - 1],
            limit=line.low if line.heights[line.tightest - 1] < line.low else line.high,
        )
        return
    wished = line.wished
    if wished is None:
        return
    off = _furthest(line.heights, wished)
    if abs(off - wished) > WISH_MET:
        yield Finding(
            code="design.rail.wish",
            verdict=Verdict.REPORT,
            where=f"{laid.brief.id}: handrail",
            text="The nosings do not lie on one line, so a straight rail cannot be at the wished height above all "
            f"of them: it is between {words.show(min(line.heights))} and {words.mm(max(line.heights))}.",
            measured=off,
            limit=wished,
        )


def _furthest(heights: Sequence[float], wished: float) -> float:
    """The height furthest from the wished one; the lowest of those that a best line leaves equally far off."""
    worst = max(abs(height - wished) for height in heights)
    return min(height for height in heights if abs(height - wished) >= worst - SAME_POINT)


def ways_out(laid: Composed) -> tuple[str, ...]:
    """What would make the rail hold, each with its figure."""
    limits, nosings = laid.limits, laid.flight.nosings
    heights, words = laid.rail_line.heights, laid.words
    ways = []
    up = limits.low - min(heights)
    down = None if limits.high is None else limits.high - max(heights)
    if down is None:
        ways.append(f"raise the whole rail by {words.rounded_up(up)}")
    elif up <= down:
        middle = (up + down) / 2
        word = "raise" if middle > 0 else "lower"
        ways.append(f"{word} the whole rail by {words.about(abs(middle))}")
    else:
        spread = max(heights) - min(heights)
        ways.append(
            f"no straight rail holds: the nosings depart from a line by {words.about(spread)} over a window of "
            f"{words.about(down - up + spread)}, so correct the finished treads by {words.rounded_up(up - down)}"
        )
        split = best_break(nosings, limits)
        if split is not None and split.margin >= 0:
            ways.append(
                f"break the rail on a newel at nosing {split.nosing}, where two straight pieces hold with "
                f"{words.about(split.margin)} to spare"
            )
    if laid.brief.rail.height is not None and (down is None or up <= down):
        ways.append("leave the rail's height out of the job file, so that the middle of the window is taken")
    if laid.brief.base is not None and laid.brief.base.seat is BaseSeat.STRING:
        ways.append('then pack the base rail (seat = "packed"), so that the infill keeps one length')
    return tuple(ways)


def _newels(laid: Composed) -> Iterator[Finding]:
    for post in laid.posts:
        if post.role is not PostRole.EXISTING:
            continue
        rail = laid.handrail.top.at(_middle_at(post, laid.handrail.top))
        if post.top_z < rail:
            yield Finding(
                code="design.newel.short",
                verdict=Verdict.FAIL,
                where=f"{laid.brief.id}: {post.id}, {post.stands}",
                text=f"The existing newel ends {laid.words.about(rail - post.top_z)} below the top of the rail that "
                "is to meet it. Ways out: a longer newel, a lower rail if the window allows, or a piece let onto "
                "its top.",
                measured=post.top_z,
                limit=rail,
            )


def _middle_at(post: Post, line: Line) -> float:
    """Where the axis of a post meets a line of the elevation."""
    return line.meet((post.foot[0], post.foot[2]), (post.axis[0], post.axis[2]))[0]


def _proud(laid: Composed) -> Iterator[Finding]:
    """Rails wider than the newel they run into."""
    for post in laid.posts:
        for bar in (laid.handrail, laid.base):
            if bar is None:
                continue
            off = bar.width - post.across
            if off > 0:
                yield Finding(
                    code="design.rail.proud",
                    verdict=Verdict.ADVICE,
                    where=f"{laid.brief.id}: {bar.role.value} at {post.id}",
                    text=f"The {bar.role.value} is {laid.words.mm(off)} wider than the newel it meets and shows "
                    f"{laid.words.mm(off / 2)} of end grain on each side: choose a stouter newel or a narrower rail.",
                    measured=bar.width,
                    limit=post.across,
                )


def _base(laid: Composed) -> Iterator[Finding]:
    """A base rail or packer wider than the string that lies on it below a nosing runs into the treads."""
    string = laid.flight.string
    if laid.base is None or string is None or laid.base.width <= string.thickness:
        return
    if laid.brief.base_rail.seat is BaseSeat.CLEAR:
        return
    ends = (laid.base.start.point[0], laid.base.finish.point[0])
    over = [
        (z - string.top.at(u), number)
        for number, (u, z) in enumerate(laid.flight.nosings, start=1)
        if ends[0] <= u <= ends[1]
    ]
    below, nosing = max(over, default=(0.0, 0))
    if below > 0:
        yield Finding(
            code="design.base_rail.nosing",
            verdict=Verdict.ADVICE,
            where=f"{laid.brief.id}: base rail at nosing {nosing}",
            text=f"The string lies {laid.words.mm(below)} below nosing {nosing}, and what is laid on it is wider "
            "than the string, so it runs into the treads: choose it no wider than the string, notch it round the "
            'nosings, or let the base rail stand clear of them (seat = "clear").',
            measured=below,
            limit=0.0,
        )


def _spacing(laid: Composed, layout: Layout) -> Iterator[Finding]:
    where = f"{laid.brief.id}: infill"
    if not layout.fits:
        yield Finding(
            code="design.spacing.room",
            verdict=Verdict.FAIL,
            where=where,
            text="The uprights asked for are together wider than the run between the ends: ask for fewer, narrower "
            "ones or a smaller module.",
            measured=layout.gap,
            limit=0.0,
        )
    neck = laid.brief.uprights.width - laid.brief.uprights.narrowest
    allowed = opening_allowed(laid.brief, laid.gap)
    if neck >= allowed:
        yield Finding(
            code="design.spacing.neck",
            verdict=Verdict.FAIL,
            where=where,
            text=f"The uprights are {laid.words.about(neck)} thinner at the neck than at the foot, more than the "
            f"whole opening of {laid.words.about(allowed)}: even side by side they do not keep the limit. Choose a "
            "stouter turning.",
            measured=neck,
            limit=allowed,
        )


def _odd_ends(laid: Composed, layout: Layout) -> Iterator[Finding]:
    """The ends of a fixed module take what is left: too little looks wrong, too much lets a ball through."""
    where = f"{laid.brief.id}: infill"
    infill, words = laid.brief.uprights, laid.words
    if infill.spacing.spread is not Spread.MODULE or infill.spacing.module is None:
        return
    ends = [gap for gap in (layout.start_gap, layout.finish_gap) if gap > 0]
    allowed = end_allowed(laid.brief, laid.gap) - (infill.width - infill.narrowest) / 2
    if ends and max(ends) > allowed:
        yield Finding(
            code="design.spacing.end",
            verdict=Verdict.ADVICE,
            where=where,
            text=f"The odd end gap comes out at {words.mm(max(ends))}, more than the {words.mm(allowed)} that the "
            "limit leaves: centre a gap instead of an upright (or the other way round), or change the module.",
            measured=max(ends),
            limit=allowed,
        )
    if ends and min(ends) < layout.gap / 3:
        yield Finding(
            code="design.spacing.end",
            verdict=Verdict.ADVICE,
            where=where,
            text=f"The odd end gap is only {words.mm(min(ends))} against {words.mm(layout.gap)} elsewhere and will "
            "look like a mistake: centre a gap instead of an upright, or change the module.",
            measured=min(ends),
            limit=layout.gap / 3,
        )


def _sections(laid: Composed) -> Iterator[Finding]:
    making, brief = laid.brief.making, laid.brief
    if laid.base is None:
        return
    depths = (
        ("handrail", brief.rail.depth, brief.rail.width),
        ("base rail", brief.base_rail.depth, brief.base_rail.width),
    )
    if isinstance(making, Stacked):
        seats, width = (making.rail_block, making.base_block), None
    elif isinstance(making, Grooved):
        seats, width = (making.rail_groove, making.base_groove), brief.uprights.thickness + making.clearance
    else:
        turns = (laid.lean + laid.handrail.top.angle, laid.lean + laid.base.top.angle)
        deep = (making.rail_depth, making.base_depth)
        width = brief.uprights.width + making.clearance
        seats = (
            bore_reach(deep[0], brief.uprights.width, width, turns[0]),
            bore_reach(deep[1], brief.uprights.width, width, turns[1]),
        )
    for (name, depth, across), seat in zip(depths, seats, strict=True):
        left = depth - seat
        if left < LEAST_CHEEK:
            yield _thin(laid, name, "behind the housing", left)
        if width is not None and (across - width) / 2 < LEAST_CHEEK:
            yield _thin(
                laid,
                name,
                "beside the bore" if isinstance(making, Bored) else "beside the groove",
                (across - width) / 2,
            )


def bore_reach(depth: float, width: float, diameter: float, turn: float) -> float:
    """How deep a flat-bottomed bore gets, square to the rail, mm.

    The bore stands ``turn`` radians off square, and is ``depth`` deep along itself where the shallow side of an
    upright ``width`` wide enters; its deep side enters further down and its bottom is ``diameter`` across.
    """
    on_centre_line = depth + width / 2 * abs(math.tan(turn))
    return on_centre_line * math.cos(turn) + diameter / 2 * abs(math.sin(turn))


def _stack(laid: Composed) -> Iterator[Finding]:
    """Uprights of another thickness than the layers they stand in."""
    making, thickness = laid.brief.making, laid.brief.uprights.thickness
    if not isinstance(making, Stacked) or abs(thickness - making.room) <= STACK_FIT:
        return
    words = laid.words
    side = abs(thickness - making.room) / 2
    thicker = thickness > making.room
    yield Finding(
        code="design.stack.fit",
        verdict=Verdict.FAIL if thicker else Verdict.ADVICE,
        where=f"{laid.brief.id}: infill",
        text=f"The uprights are {words.mm(thickness)} thick, the layers that hold them {words.mm(making.room)} "
        "together: "
        + (
            "they do not go in. Make them thinner or give them another layer."
            if thicker
            else f"they lie {words.mm(side)} back on each side and the glue has that to bridge. Make them as thick "
            "as the layers, or pack them on both sides."
        ),
        measured=thickness,
        limit=making.room,
    )


def _thin(laid: Composed, name: str, where: str, left: float) -> Finding:
    return Finding(
        code="design.section.thin",
        verdict=Verdict.FAIL if left <= 0 else Verdict.ADVICE,
        where=f"{laid.brief.id}: {name}",
        text=f"Only {laid.words.mm(max(left, 0.0))} of wood is left {where}: choose a larger {name} or a smaller "
        "housing.",
        measured=left,
        limit=LEAST_CHEEK,
    )


def _pieces(laid: Composed) -> Iterator[Finding]:
    short = [piece for piece in laid.uprights if _length(piece) < HOLD_LENGTH]
    if short:
        yield Finding(
            code="design.piece.short",
            verdict=Verdict.ADVICE,
            where=f"{laid.brief.id}: {', '.join(piece.mark for piece in short)}",
            text=f"Pieces under {laid.words.about(HOLD_LENGTH)} die into a newel; cut them from a long stick or in a "
            "carrier, never held by hand at the saw.",
            measured=min(_length(piece) for piece in short),
            limit=HOLD_LENGTH,
        )


def _length(piece: Upright) -> float:
    zs = [z for _, z in piece.outline.points]
    return max(zs) - min(zs)
