"""What there is to say of uprights and the treads: goings too wide for them, feet across a nosing. Lengths in mm."""

import math
from collections.abc import Iterator

from pitchline.design.brief import Spread
from pitchline.design.composed import Composed
from pitchline.design.season import opening_allowed
from pitchline.design.tread_spacing import shares_of
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.outlines import Outline
from pitchline.kit.tolerances import FOOT_OVERHANG
from pitchline.stair.treads import tread_below, treads_of


def tread_remarks(laid: Composed) -> Iterator[Finding]:
    """Goings too wide for the uprights asked for, and feet that do not stand on one tread."""
    wish = laid.brief.uprights.spacing
    if wish.spread is Spread.PER_TREAD and wish.per_tread is not None and not laid.flight.is_level:
        yield from _wide_goings(laid, wish.per_tread)
    if laid.base is None:
        yield from _feet(laid)


def _wide_goings(laid: Composed, count: int) -> Iterator[Finding]:
    """The tread whose gaps pass what the limit leaves, by how much, and what count would hold everywhere."""
    words, narrow = laid.words, laid.brief.uprights.narrowest
    allowed = opening_allowed(laid.brief, laid.gap)
    opened = [
        (share.module - narrow, number) for number, share in enumerate(shares_of(laid.flight, count), 1)
    ]
    wide = [(opening, number) for opening, number in opened if opening > allowed]
    if not wide:
        return
    worst, number = max(wide)
    holds = math.ceil(max(laid.flight.goings) / (narrow + allowed) - 1e-9)
    others = f", and {len(wide) - 1} more treads leave too much" if len(wide) > 1 else ""
    fails = judge(worst, 0.0, laid.gap, laid.limits.compare) is Verdict.FAIL
    yield Finding(
        code="design.spacing.tread",
        verdict=Verdict.FAIL if fails else Verdict.ADVICE,
        where=f"{laid.brief.id}: infill at tread {number}",
        text=f"With {count} to a tread the going of {words.mm((worst + narrow) * count)} at tread {number} leaves "
        f"openings of {words.mm(worst)}, {words.mm(worst - allowed)} over the {words.mm(allowed)} that the limit, "
        f"the build and the season leave{others}. {holds} to a tread would hold everywhere.",
        measured=worst,
        limit=allowed,
    )


def _feet(laid: Composed) -> Iterator[Finding]:
    """Uprights whose foot would stand across a nosing or against a riser."""
    treads = treads_of(laid.flight)
    astray = []
    for upright in laid.uprights:
        up = (math.sin(upright.lean), math.cos(upright.lean))
        tread = tread_below(treads, laid.handrail.face.meet(upright.foot, up), up, upright.width)
        us = [u for u, _ in _foot(upright.outline)]
        if us and not tread.holds(min(us), max(us), FOOT_OVERHANG):
            over = tread.front - min(us) if min(us) < tread.front else max(us) - tread.back
            nosing = tread.number if min(us) < tread.front else tread.number + 1
            astray.append((over, upright.mark, nosing))
    if not astray:
        return
    worst, mark, nosing = max(astray)
    more = f" and {len(astray) - 1} more" if len(astray) > 1 else ""
    yield Finding(
        code="design.tread.foot",
        verdict=Verdict.FAIL,
        where=f"{laid.brief.id}: {mark}",
        text=f"{mark}{more} would stand across a nosing, {mark} by {laid.words.mm(worst)} at nosing {nosing}: spread "
        'the uprights tread by tread (spread = "per tread"), or give them a base rail.',
        measured=worst,
        limit=0.0,
    )


def _foot(outline: Outline) -> tuple[tuple[float, float], ...]:
    edge = outline.edge("tread")
    return () if edge is None else edge
