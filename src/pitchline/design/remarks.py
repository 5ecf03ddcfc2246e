"""What the design step itself has to say: rails that cannot hold, newels too short, pieces too small.

The checks measure the finished design afresh; these remarks speak of choices and of ways out.
"""

from collections.abc import Iterator, Sequence

from pitchline.design.brief import BaseSeat, Spread
from pitchline.design.choices import choice_remark, choices_of
from pitchline.design.composed import Composed
from pitchline.design.model import Post, PostRole, Upright, bar_name
from pitchline.design.rails import best_break
from pitchline.design.season import Spaced, end_allowed, opening_allowed, season_remarks
from pitchline.design.section_remarks import section_remarks
from pitchline.design.spacing import Layout
from pitchline.design.tread_remarks import tread_remarks
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import HOLD_LENGTH, SAME_POINT, WISH_MET

__all__ = ["Composed", "remarks"]


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
    yield from choice_remark(laid.brief.id, choices_of(laid.bay, laid.brief, laid.words.unit), laid.words)
    yield from tread_remarks(laid)
    yield from section_remarks(laid)
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
            off, name = bar.width - post.across, bar_name(bar, laid.flight, laid.brief.base)
            if off > 0:
                yield Finding(
                    code="design.rail.proud",
                    verdict=Verdict.ADVICE,
                    where=f"{laid.brief.id}: {name} at {post.id}",
                    text=f"The {name} is {laid.words.mm(off)} wider than the newel it meets and shows "
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
    yield from _inner_gap(laid, layout)
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


def _inner_gap(laid: Composed, layout: Layout) -> Iterator[Finding]:
    """The gap inside a group is as asked and must keep the limit like any other."""
    if layout.inner_gap is None:
        return
    opening = layout.inner_gap + laid.brief.uprights.width - laid.brief.uprights.narrowest
    allowed = opening_allowed(laid.brief, laid.gap)
    if opening > allowed:
        yield Finding(
            code="design.spacing.group",
            verdict=Verdict.FAIL,
            where=f"{laid.brief.id}: infill",
            text=f"The openings inside the groups come out at {laid.words.mm(opening)}, more than the "
            f"{laid.words.mm(allowed)} that the limit leaves: make the inner gap smaller.",
            measured=opening,
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
