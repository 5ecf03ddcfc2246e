"""What is built otherwise so that an edge holds: a plan, and the designs and settings that it makes."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pitchline.catalogue.strength import fixing_type
from pitchline.design.makings import Stacked
from pitchline.design.model import Design, Post
from pitchline.strength.rebuilt import thicker, widened, with_layers
from pitchline.strength.settings import SeatFixing, StrengthSettings

SEATS = (("screw-5", 200.0), ("screw-5", 150.0), ("screw-6", 150.0), ("screw-6", 100.0), ("screw-8", 100.0))
"""Screws of a base rail and their distance, mm, one step above the other."""


@dataclass(frozen=True)
class Plan:
    """What is built otherwise: 0 and empty for what stays. ``bases`` are steps up the ladder of each newel's base."""

    newels: Mapping[int, int] = field(default_factory=dict)
    width: float = 0.0
    base_width: float = 0.0
    thick: float = 0.0
    upright: float = 0.0
    layers: int = 0
    bases: Mapping[str, int] = field(default_factory=dict)
    seat: int = 0
    ends: int = 0
    bolts: int = 0


def thickened(post: Post, plan: Plan) -> Post:
    """A newel at least as thick as planned."""
    return replace(post, along=max(plan.thick, post.along), across=max(plan.thick, post.across))


def planned_design(design: Design, plan: Plan) -> Design:
    """A design with the sizes of the plan."""
    made = replace(thicker(design, plan.thick), handrail=widened(design.handrail, plan.width))
    if made.base is not None:
        made = replace(made, base=widened(made.base, plan.base_width))
    if plan.upright:
        stouter = tuple(replace(u, thickness=max(plan.upright, u.thickness)) for u in made.uprights)
        made = replace(made, uprights=stouter)
    making = made.making
    if isinstance(making, Stacked) and plan.layers > making.layers:
        made = with_layers(made, plan.layers)
    return made


def planned_settings(settings: StrengthSettings, plan: Plan) -> StrengthSettings:
    """Settings with the fixings of the plan; bases are not among them."""
    ends, joint = settings.rail_fixing, settings.rail_joint
    return replace(
        settings,
        seat_fixing=planned_seat(settings, plan),
        rail_fixing=replace(ends, count=plan.ends or ends.count),
        rail_joint=replace(joint, count=plan.bolts or joint.count),
    )


def planned_seat(settings: StrengthSettings, plan: Plan) -> SeatFixing:
    """The screws of base rails so many steps beyond those that hold more than the ones stated."""
    seat = settings.seat_fixing
    if not plan.seat:
        return seat
    name, apart = SEATS[plan.seat - 1]
    fixing = fixing_type(name)
    thicker_one = fixing if fixing.d > seat.fixing.d else seat.fixing
    return replace(
        seat, fixing=thicker_one, apart=min(apart, seat.apart), thread=max(seat.thread, 8.0 * fixing.d)
    )
