"""Which end of a handrail to fit first, and what to leave long: from the ends' angles and what is known of them.

Lengths in mm, angles in degrees where a name says so.
"""

from collections.abc import Iterator

from pitchline.design.model import JOINED, Bar, Post, PostRole
from pitchline.design.posts import BuiltEnd
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.geometry.sticks import FitPlan, FittedEnd, WhyFirst, fit_plan
from pitchline.kit.tolerances import LEAN_READ_DEG, NEWEL_MOVES, TWIST_READ_DEG
from pitchline.kit.words import Words
from pitchline.stair.model import Flight

_FREE = 1000.0
"""mm that an end forgives where nothing stands: as good as everything."""


def handrail_plan(flight: Flight, rail: Bar, ends: tuple[BuiltEnd, BuiltEnd]) -> FitPlan:
    """Where to begin with the handrail of a leg and what its blank must be longer by."""
    frame = Frame.from_xz((0.0, 0.0, 0.0), (1.0, 0.0, rail.top.slope), (0.0, 0.0, 1.0))
    start, finish = (
        _fitted(flight, end, plane, frame) for end, plane in zip(ends, (rail.start, rail.finish), strict=True)
    )
    return fit_plan(start, finish, rail.width, rail.depth)


def _fitted(flight: Flight, end: BuiltEnd, plane: Plane, frame: Frame) -> FittedEnd:
    """One end and what is known of it: a joint and a free end are cut as drawn, a new newel can still be moved."""
    normal, up = frame.direction_to_local(plane.normal), frame.direction_to_local((0.0, 0.0, 1.0))
    found = _as_found(end.post) and not end.is_joint and end.closed
    return FittedEnd(
        normal=normal,
        up=up,
        place_sigma=flight.sigma({end.station: 1.0}) if found else 0.0,
        lean_sigma_deg=LEAN_READ_DEG if found else 0.0,
        twist_sigma_deg=TWIST_READ_DEG if found else 0.0,
        moves=_moves(end),
    )


def _as_found(post: Post | None) -> bool:
    """Whether a face is that of something which stands already, or follows a wall."""
    return post is None or post.measured or post.role in (PostRole.EXISTING, PostRole.HALF)


def _moves(end: BuiltEnd) -> float:
    if not end.closed:
        return _FREE
    post = end.post
    movable = post is not None and not post.measured and post.role in (PostRole.NEW, *JOINED)
    return NEWEL_MOVES if movable else 0.0


def fit_remark(
    design: str, flight: Flight, rail: Bar, ends: tuple[BuiltEnd, BuiltEnd], words: Words
) -> Iterator[Finding]:
    """Where to begin, why, and what to leave on each end; nothing where both ends are alike and known."""
    plan = handrail_plan(flight, rail, ends)
    if plan.why is WhyFirst.EITHER and plan.leave == 0.0:
        return
    first, other = (0, 1) if plan.start_first else (1, 0)
    names = [
        f"{place} end, {'' if end.is_joint else 'at '}{end.name}"
        for place, end in zip(("lower", "upper"), ends, strict=True)
    ]
    left = (plan.leave_at_start, plan.leave_at_finish)
    why = {
        WhyFirst.FORGIVES_LESS: "it forgives less",
        WhyFirst.GAPES_MORE: f"its joint may stand open by {words.mm((plan.start, plan.finish)[first].gape)} as read",
        WhyFirst.EITHER: "both are alike",
    }[plan.why]
    text = (
        f"Fit {rail.id} at its {names[first]}, first ({why}), then cut the {names[other]}, to what is there."
    )
    if plan.leave > 0.0:
        text += (
            f" The readings ask for {words.mm(left[first])} left on the first and {words.mm(left[other])} on the "
            "other for trying."
        )
    yield Finding("design.fit.first", Verdict.REPORT, f"{design}: {rail.id}", text, plan.leave)
