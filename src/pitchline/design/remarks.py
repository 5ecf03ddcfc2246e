"""What the design step itself has to say: rails that cannot hold, newels too short, pieces too small.

The checks measure the finished design afresh; these remarks speak of choices and of ways out.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.design.brief import Bored, Brief, Grooved, Spread, Stacked
from pitchline.design.limits import Limits
from pitchline.design.model import Post, PostRole, RailLine, Upright
from pitchline.design.rails import OPEN_WINDOW, best_break
from pitchline.design.spacing import Layout
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.lines import Line
from pitchline.kit.tolerances import HOLD_LENGTH, LEAST_CHEEK
from pitchline.stair.model import Flight


@dataclass(frozen=True, slots=True)
class Composed:
    """What has been laid out so far."""

    flight: Flight
    brief: Brief
    limits: Limits
    rail_line: RailLine
    top: Line
    posts: tuple[Post, ...]
    layout: Layout
    uprights: tuple[Upright, ...]


def remarks(laid: Composed) -> tuple[Finding, ...]:
    """Every remark, worst first within each subject."""
    return (*_rail(laid), *_newels(laid), *_spacing(laid), *_sections(laid), *_pieces(laid))


def _rail(laid: Composed) -> Iterator[Finding]:
    line = laid.rail_line
    where = f"{laid.brief.id}: handrail at nosing {line.tightest}"
    if line.margin < 0:
        yield Finding(
            code="design.rail.height",
            verdict=Verdict.FAIL,
            where=where,
            text=f"A straight rail at this height misses its window by {-line.margin:.1f} mm at nosing "
            f"{line.tightest}. Ways out: {'; '.join(ways_out(laid))}.",
            measured=line.heights[line.tightest - 1],
            limit=line.low if line.heights[line.tightest - 1] < line.low else line.high,
        )
    elif line.wished is not None:
        off = max(line.heights, key=lambda height: abs(height - (line.wished or 0.0)))
        yield Finding(
            code="design.rail.wish",
            verdict=Verdict.REPORT,
            where=f"{laid.brief.id}: handrail",
            text="The nosings do not lie on one line, so a straight rail cannot be at the wished height above all "
            f"of them: it is between {min(line.heights):.1f} and {max(line.heights):.1f} mm.",
            measured=off,
            limit=line.wished,
        )


def ways_out(laid: Composed) -> tuple[str, ...]:
    """What would make the rail hold, each with its figure."""
    limits, nosings = laid.limits, laid.flight.nosings
    high = limits.high if limits.high is not None else limits.low + OPEN_WINDOW
    heights = laid.rail_line.heights
    ways = []
    needed = (limits.low - min(heights), high - max(heights))
    if needed[0] <= needed[1]:
        middle = (needed[0] + needed[1]) / 2
        word = "raise" if middle > 0 else "lower"
        ways.append(f"{word} the whole rail by {abs(middle):.0f} mm")
    else:
        spread = max(heights) - min(heights)
        ways.append(
            f"no straight rail holds: the nosings depart from a line by {spread:.0f} mm over a window of "
            f"{high - limits.low:.0f} mm, so correct the finished treads by {needed[0] - needed[1]:.0f} mm"
        )
        split = best_break(nosings, limits)
        if split is not None and split.margin >= 0:
            ways.append(
                f"break the rail at nosing {split.nosing}, where two straight pieces hold with "
                f"{split.margin:.0f} mm to spare"
            )
    if laid.brief.rail.height is not None and needed[0] <= needed[1]:
        ways.append("leave the rail's height out of the job file, so that the middle of the window is taken")
    ways.append('pack the base rail (seat = "packed") so that the infill keeps one length')
    return tuple(ways)


def _newels(laid: Composed) -> Iterator[Finding]:
    for post in laid.posts:
        if post.role is not PostRole.EXISTING:
            continue
        rail = laid.top.at(post.foot[0])
        if post.top_z < rail:
            yield Finding(
                code="design.newel.short",
                verdict=Verdict.FAIL,
                where=f"{laid.brief.id}: {post.id}, {post.stands}",
                text=f"The existing newel ends {rail - post.top_z:.0f} mm below the top of the rail that is to meet "
                "it. Ways out: a longer newel, a lower rail if the window allows, or a piece let onto its top.",
                measured=post.top_z,
                limit=rail,
            )


def _spacing(laid: Composed) -> Iterator[Finding]:
    layout, where = laid.layout, f"{laid.brief.id}: infill"
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
    ends = [gap for gap in (layout.start_gap, layout.finish_gap) if gap > 0]
    if laid.brief.infill.spacing.spread is Spread.MODULE and ends and min(ends) < layout.gap / 3:
        yield Finding(
            code="design.spacing.end",
            verdict=Verdict.ADVICE,
            where=where,
            text=f"The odd end gap is only {min(ends):.1f} mm against {layout.gap:.1f} mm elsewhere and will look "
            "like a mistake: centre a gap instead of an upright, or change the module.",
            measured=min(ends),
            limit=layout.gap / 3,
        )


def _sections(laid: Composed) -> Iterator[Finding]:
    making, brief = laid.brief.making, laid.brief
    depths = (
        ("handrail", brief.rail.depth, brief.rail.width),
        ("base rail", brief.base.depth, brief.base.width),
    )
    if isinstance(making, Stacked):
        seats, width = (making.rail_block, making.base_block), None
    elif isinstance(making, Grooved):
        seats, width = (making.rail_groove, making.base_groove), brief.infill.thickness + making.clearance
    else:
        seats, width = (making.rail_depth, making.base_depth), brief.infill.thickness + making.clearance
    for (name, depth, across), seat in zip(depths, seats, strict=True):
        left = depth - seat
        if left < LEAST_CHEEK:
            yield _thin(brief.id, name, "behind the housing", left)
        if width is not None and (across - width) / 2 < LEAST_CHEEK:
            yield _thin(
                brief.id,
                name,
                "beside the bore" if isinstance(making, Bored) else "beside the groove",
                (across - width) / 2,
            )


def _thin(design: str, name: str, where: str, left: float) -> Finding:
    return Finding(
        code="design.section.thin",
        verdict=Verdict.FAIL if left <= 0 else Verdict.ADVICE,
        where=f"{design}: {name}",
        text=f"Only {left:.1f} mm of wood is left {where}: choose a larger {name} or a smaller housing.",
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
            text=f"Pieces under {HOLD_LENGTH:.0f} mm die into a newel; cut them from a long stick or in a carrier, "
            "never held by hand at the saw.",
            measured=min(_length(piece) for piece in short),
            limit=HOLD_LENGTH,
        )


def _length(piece: Upright) -> float:
    zs = [z for _, z in piece.outline.points]
    return max(zs) - min(zs)
