"""What a place asks of a rail along a wall, and the trade's practice where it is silent. Lengths in mm."""

from dataclasses import dataclass

from pitchline.catalogue.rules import RuleSet
from pitchline.design.wall_brief import WallRailBrief
from pitchline.design.wall_model import WallLeg
from pitchline.kit.geometry.lines import Point2

OPEN_WINDOW = 100.0
"""Where a place sets no upper limit the rail is sought up to this far above the lower one."""

TRADE_HEIGHT = 900.0
"""Height of a handrail where the place states none (common practice, no source)."""

TRADE_CLEAR = 40.0
"""Space behind a wall rail where the place states none (common practice, no source)."""

CLEAR_SPARE = 3.0
"""What is left over the least space behind the rail: plaster is not flat to less (common practice, no source)."""

TRADE_APART = 1000.0
"""Greatest distance of brackets that the trade keeps to (common practice: 3 to 4 ft; figures of makers' guides)."""

TRADE_FIRST = 300.0
"""Greatest distance of the first bracket from an end (common practice, no source)."""


def window_of(rules: RuleSet, *, is_level: bool, told: bool = False) -> tuple[float, float]:
    """The window for the top of a handrail beside a flight or along a floor.

    Where the place sets no upper limit, the lower one and a hand's breadth; with ``told`` infinity then.
    """
    names = (("handrail.landing.min", "handrail.landing.max"),) if is_level else ()
    for low_id, high_id in (*names, ("handrail.height.min", "handrail.height.max")):
        low, high = rules.figure(low_id), rules.figure(high_id)
        if low is not None:
            if high is None:
                return low.value_mm, float("inf") if told else low.value_mm + OPEN_WINDOW
            return low.value_mm, high.value_mm
    return TRADE_HEIGHT, float("inf") if told else TRADE_HEIGHT + OPEN_WINDOW


def clear_wanted(brief: WallRailBrief, rules: RuleSet) -> float:
    """The space between rail and wall: as asked, else what the rules want beside this wall and a little more."""
    if brief.clear is not None:
        return brief.clear
    least, most = rules.figure("handrail.clear.wall"), rules.figure("handrail.clear.wall.max")
    rough = rules.figure("handrail.clear.rough")
    wanted = TRADE_CLEAR if least is None else max(TRADE_CLEAR, least.value_mm + CLEAR_SPARE)
    if rough is not None and any(face.rough for face in brief.walls):
        wanted = max(wanted, rough.value_mm + CLEAR_SPARE)
    return wanted if most is None else min(wanted, most.value_mm)


def end_wanted(rules: RuleSet, leg: WallLeg, *, at_head: bool) -> Point2:
    """How far past the outermost riser a rail is to run, and how much of that level; to the nosing where not said."""
    if leg.is_level:
        return 0.0, 0.0
    if at_head:
        top = rules.figure("handrail.extension.top")
        return (0.0, 0.0) if top is None else (top.value_mm, top.value_mm)
    level = rules.figure("handrail.extension.bottom")
    if level is not None:
        return level.value_mm, level.value_mm
    treads = rules.figure("handrail.extension.bottom.treads")
    if treads is not None and len(leg.nosings) > 1:
        return treads.value * (leg.nosings[1].u - leg.nosings[0].u), 0.0
    return leg.overhang, 0.0


@dataclass(frozen=True, slots=True)
class BracketLimits:
    """The greatest distances that the brackets of a rail keep, and whether they come from the rules."""

    apart: float
    first: float
    apart_ruled: bool
    first_ruled: bool


def bracket_limits(brief: WallRailBrief, rules: RuleSet) -> BracketLimits:
    """As asked, else the smaller of the rules' figure and the trade's practice."""
    apart, first = rules.figure("handrail.fixing.apart"), rules.figure("handrail.fixing.first")
    most_apart = TRADE_APART if apart is None else min(TRADE_APART, apart.value_mm)
    most_first = TRADE_FIRST if first is None else min(TRADE_FIRST, first.value_mm)
    return BracketLimits(
        most_apart if brief.brackets.apart is None else brief.brackets.apart,
        most_first if brief.brackets.first is None else brief.brackets.first,
        apart is not None,
        first is not None,
    )
