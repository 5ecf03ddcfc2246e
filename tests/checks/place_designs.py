"""A design for each built-in set of rules that keeps them, put together by hand, and wrong copies of it."""

import math
from dataclasses import dataclass, replace

from tests.builders import HandBuilt, hand_built
from tests.strategies_stairs import flight_of, regular

from pitchline.catalogue.rules import Figure, RuleSet, list_rule_sets, load_rule_set
from pitchline.design.model import Design
from pitchline.stair.model import Flight

RULES = {rules_id: load_rule_set(rules_id) for rules_id in list_rule_sets()}
KNOWN = {name: rules for name, rules in RULES.items() if rules.status != "unknown"}
GUARDED = {name: rules for name, rules in KNOWN.items() if rules.figure("guard.flight.height") is not None}

RISERS, RISE, GOING = 6, 180.0, 260.0
"""1080 mm of rise: more than the metre from which guarding is needed in several places."""

ONE_RAIL_IS_NOT_ENOUGH = {
    "england-other": {"handrail.extension.top", "handrail.extension.bottom"},
    "us-ada-2010": {"handrail.extension.top", "handrail.extension.bottom.treads"},
    "us-ibc-2021": {"height.handrail.own"},
    "us-ibc-2024": {"height.handrail.own"},
    "norway-tek17": {"height.handrail.own"},
}
"""What one rail between two newels cannot give: rails that run on level past the flight (Approved Document K outside
houses, ADA 505.10), and a handrail lower than the guarding (IBC 1014 and 1015.3, TEK17 12-14)."""


@dataclass(frozen=True)
class Wish:
    """Sizes of a design for a place; every length in mm, gaps no wider than ``gap``."""

    height: float
    gap: float
    lift: float = 60.0
    margin: float | None = 60.0
    width: float = 20.0
    rail: tuple[float, float, float] = (40.0, 38.0, 15.0)
    base: float = 40.0
    reach: float = 0.0
    overall: float = 850.0
    rise: float = RISE
    risers: int = RISERS
    going: float = GOING
    first_rise: float | None = None
    begins: float = -10.0
    profile: tuple[tuple[float, float], ...] = ()


def flight_for(wish: Wish) -> Flight:
    sizes = regular(wish.risers, wish.rise, wish.going, wish.margin)
    if wish.first_rise is not None:
        sizes = replace(sizes, rises=(wish.first_rise, *sizes.rises[1:]))
    flight = flight_of(sizes)
    return replace(flight, width=wish.overall, headroom=2100.0, nosing_overhang=20.0 if wish.margin else 0.0)


def built(wish: Wish) -> Design:
    """Even gaps from ``begins`` (10 mm before the first nosing) to the last one, or ``reach`` beyond it."""
    flight = flight_for(wish)
    run = flight.nosings[-1][0] + wish.reach - wish.begins
    count = max(1, math.ceil((run - wish.gap) / (wish.width + wish.gap)))
    gap = (run - count * wish.width) / (count + 1)
    width, depth, round_over = wish.rail
    sizes = HandBuilt(
        (gap,) * (count + 1),
        width=wish.width,
        height=wish.height,
        lift=wish.lift,
        start=wish.begins,
        profile=wish.profile,
        rail_depth=depth * math.hypot(wish.rise, wish.going) / wish.going,
        rail_width=width,
        round_over=round_over,
    )
    design = hand_built(sizes, flight)
    return replace(design, base=replace(design.base_rail, width=wish.base))


def window(rules: RuleSet) -> tuple[float, float]:
    """Lowest and highest top of a rail that is guarding, and handrail too where it can be."""
    lows = [rules.figure("guard.flight.height"), rules.figure("handrail.height.min")]
    low = max((figure.value_mm for figure in lows if figure is not None), default=900.0)
    high = rules.figure("handrail.height.max")
    if high is None or high.value_mm <= low:
        return low, low + 100.0
    return low, high.value_mm


def stair_limit(rules: RuleSet) -> Figure:
    return rules.figure("opening.stair") or rules.require("opening.general")


def good_wish(rules: RuleSet) -> Wish:
    """In the middle of the height's window, gaps 5 mm under the limit, the base rail on a closed string."""
    low, high = window(rules)
    general = rules.figure("opening.general")
    gap = 95.0 if general is None else general.value_mm - 5.0
    return Wish(height=(low + high) / 2, gap=gap)
