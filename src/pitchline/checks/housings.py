"""Bars, rods and cables housed in newels: what wood is left behind them, and whether they can be put in at all.

Lengths in mm.
"""

from collections.abc import Iterator

from pitchline.checks.case import Case
from pitchline.checks.infill_remedies import member_name
from pitchline.checks.silhouettes import ends_of
from pitchline.design.brief import StrandKind
from pitchline.design.makings import BetweenPosts
from pitchline.design.model import JOINED, PostRole
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import LEAST_CHEEK


def check_housings(case: Case) -> Iterator[Finding]:
    """The wood behind blind housings, and how strands go into them."""
    making = case.design.making
    if case.design.strands and isinstance(making, BetweenPosts) and making.depth > 0.0:
        yield from _behind(case, making)
        yield from _going_in(case, making)


def _behind(case: Case, making: BetweenPosts) -> Iterator[Finding]:
    """A bar's mortise stays inside the newel; rods and cables may run right through."""
    name = member_name(case.design)
    for post in case.design.posts:
        if post.role in JOINED:
            continue
        left = post.along - making.depth
        through = case.design.strands[0].kind is not StrandKind.BAR and left <= 0.0
        if left < LEAST_CHEEK and not through:
            text = (
                f"Housings {case.words.mm(making.depth)} deep leave {case.words.mm(max(left, 0.0))} of wood behind "
                f"the {name}s in {post.id}: make them less deep, or let rods and cables run right through."
            )
            verdict = Verdict.FAIL if left <= 0.0 else Verdict.ADVICE
            yield Finding("strand.housing", verdict, case.at(post.id), text, left, 0.0, LEAST_CHEEK)


def _going_in(case: Case, making: BetweenPosts) -> Iterator[Finding]:
    """What is housed at both ends goes in only while one of them can still be moved."""
    ends = ends_of(case.design)
    housed = [end for end in ends if end.post is not None and end.post.role not in JOINED]
    stiff = case.design.strands[0].kind is not StrandKind.CABLE
    blind = all(end.post is not None and making.depth < end.post.along for end in housed)
    if len(housed) < len(ends) or not stiff or not blind:
        return
    name = member_name(case.design)
    standing = all(end.post is not None and end.post.role is PostRole.EXISTING for end in housed)
    text = f"The {name}s are housed at both ends and go in only "
    text += (
        "if one end can give way, and both newels stand already: bore one of them twice as deep, so that each is "
        "pushed in and drawn back, or end them on the faces."
        if standing
        else "while one of the newels is still loose: fit them together with it, before it is fixed."
    )
    yield case.advise("strand.fitting", "infill", text)
