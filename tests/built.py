"""Rounds of measuring made up from a plan: all built exactly as planned, or off it by so much."""

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from pitchline.design.as_built import BuiltRound, MadePiece, MeasuredPost, MeasuredRail, State
from pitchline.design.model import Bar, Design, Post, PostRole
from pitchline.design.posts import twist_of
from pitchline.stair.model import built_name
from pitchline.story import Solved, SolvedBalustrade
from pitchline.survey.readings import Kind, Reading

TAPE = 0.4
"""Standard uncertainty of the made-up readings, mm."""

FACE_AT = 900.0
"""mm above the lower floor of a leg at which faces are read."""

Moved = Callable[[Post], float]
"""By how much a newel was set away from its place along the leg, + up the stair."""


def in_place(_: Post) -> float:
    """Nothing was set away from its place."""
    return 0.0


def height_of_reading(leg: Design, post: Post) -> float:
    """The height above the leg's floor at which the face of a newel is read, as surveyed."""
    foot = 0.0 if not at_head(leg, post) else leg.flight.nosings[-1][1]
    return FACE_AT + foot


def at_head(leg: Design, post: Post) -> bool:
    """Whether a newel stands at the head of its leg."""
    return post.foot[0] > (leg.bay.start.point[0] + leg.bay.finish.point[0]) / 2


def face_of(leg: Design, post: Post, height: float) -> float:
    """Where the face that looks at the leg lies at a height, from the finished first nosing."""
    plane = post.face(towards_head=not at_head(leg, post))
    return plane.meet_line((0.0, 0.0, height), (1.0, 0.0, 0.0))[0]


def measured_post(whole: SolvedBalustrade, leg: Design, post: Post, by: float, sigma: float) -> MeasuredPost:
    """A newel read from two nosings, ``by`` mm from where it was planned."""
    flight = leg.flight
    layers = flight.finishes
    forward = layers.treads if layers.wraps_nosings else 0.0
    height = height_of_reading(leg, post)
    face = face_of(leg, post, height) - forward + by
    station = built_name(whole.id, post.id)
    names = flight.nosing_names
    readings = tuple(
        Reading(
            f"{post.id} from {name}",
            Kind.RUN,
            name,
            station,
            face - flight.survey.estimate(("x", name)),
            sigma,
        )
        for name in (names[0], names[-1])
    )
    return MeasuredPost(
        post=post.id,
        station=station,
        where="as_built[0].posts[0]",
        leg=leg.leg,
        readings=readings,
        face_height=height + layers.lower_floor,
        along=post.along,
        across=post.across,
        lean_along=post.axis[0] / post.axis[2],
        lean_across=post.axis[1] / post.axis[2] * leg.side.towards_stair,
        twist=twist_of(post),
    )


def measured_rail(whole: SolvedBalustrade, leg: Design, bar: Bar, sigma: float) -> MeasuredRail:
    """A rail fitted exactly as planned, read plumb above the first and the last nosing."""
    line = built_name(whole.id, bar.id)
    flight = leg.flight
    layers = flight.finishes
    forward = layers.treads if layers.wraps_nosings else 0.0
    readings = []
    for name in (flight.nosing_names[0], flight.nosing_names[-1]):
        x, z = flight.survey.point(name)
        height = bar.top.at(x + forward) + layers.lower_floor - z
        readings.append(Reading(f"{bar.id} at {name}", Kind.MARGIN, line, name, height, sigma))
    return MeasuredRail(bar.id, line, "as_built[0].rails[0]", tuple(readings))


def round_of(
    solved: Solved,
    moved: Moved = in_place,
    *,
    rails: Iterable[str] = (),
    fitted: Iterable[str] = (),
    cut: Iterable[str] = (),
    edges: Mapping[str, float] | None = None,
    sigma: float = TAPE,
    posts: bool = True,
    existing: bool = False,
) -> tuple[BuiltRound, ...]:
    """One round that measures every new newel of the job's first design, and what is named."""
    whole = solved.balustrades[0]
    held = set(rails)
    made = [
        *(
            MadePiece(mark, State.FITTED, "as_built[0].pieces[0]", edge=(edges or {}).get(mark))
            for mark in fitted
        ),
        *(MadePiece(mark, State.CUT, "as_built[0].pieces[1]") for mark in cut),
    ]
    return (
        BuiltRound(
            whole.id,
            "newels set",
            "2025-04-01",
            "as_built[0]",
            tuple(
                measured_post(whole, leg, post, moved(post), sigma)
                for leg in whole.designs
                for post in leg.posts
                if posts and (existing or post.role is not PostRole.EXISTING) and not post.shared
            ),
            tuple(
                measured_rail(whole, leg, bar, sigma)
                for leg in whole.designs
                for bar in leg.bars
                if bar.id in held
            ),
            tuple(made),
        ),
    )


def tables_of(rounds: Iterable[BuiltRound]) -> list[dict[str, Any]]:
    """The rounds as the tables of a job file in mm."""
    return [
        {
            "design": told.design,
            "gate": told.gate,
            "date": told.date,
            "posts": [_post_table(post) for post in told.posts],
            "rails": [_rail_table(rail) for rail in told.rails],
            "pieces": [_piece_table(piece) for piece in told.pieces],
        }
        for told in rounds
    ]


def _post_table(post: MeasuredPost) -> dict[str, Any]:
    return {
        "post": post.post,
        "leg": post.leg,
        "face_height": post.face_height,
        "readings": [
            {
                "kind": reading.kind.value,
                "from": reading.start,
                "to": "face",
                "value": reading.value,
                "sigma": reading.sigma,
            }
            for reading in post.readings
        ],
        "along": post.along,
        "across": post.across,
        "lean_along": {"offset": 900.0 * (post.lean_along or 0.0), "over": 900.0},
        "lean_across": {"offset": 900.0 * (post.lean_across or 0.0), "over": 900.0},
        "twist_deg": math.degrees(post.twist or 0.0),
    }


def _rail_table(rail: MeasuredRail) -> dict[str, Any]:
    heights = [{"at": r.end, "value": r.value, "sigma": r.sigma} for r in rail.readings]
    return {"rail": rail.rail, "heights": heights}


def _piece_table(piece: MadePiece) -> dict[str, Any]:
    edge = {} if piece.edge is None else {"edge": piece.edge}
    return {"marks": [piece.mark], "state": piece.state.value, **edge}
