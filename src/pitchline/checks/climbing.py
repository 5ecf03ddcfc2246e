"""Footholds: whether a child could climb the balustrade, against the rule of the place. Lengths in mm.

Ledges are searched for on the finished members, see `ledges`. Upright members themselves give no hold.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import Case
from pitchline.checks.extent import drop_of
from pitchline.checks.ledges import Foothold, footholds_of
from pitchline.checks.silhouettes import middle_y
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.tolerances import FOOTHOLD_DEPTH, FOOTHOLD_SLOPE_DEG

LEANS = 0.5
"""Uprights within this of plumb, in degrees, are said to stand upright: a bubble's width."""


@dataclass(frozen=True, slots=True)
class ClimbZone:
    """A zone without footholds above each standing level: its two heights and the deepest ledge it allows."""

    low: float
    high: float
    ledge: float
    figure: str


def check_climbing(case: Case) -> Iterator[Finding]:
    """What there is to stand on, against the rule of the place."""
    zones = zones_of(case)
    if case.rules.word("climb.mode", "none") == "zone" and zones:
        yield from (_zone(case, zone) for zone in zones)
    else:
        yield _described(case)
    yield from _leaning(case)
    yield from _standing_place(case)


def zones_of(case: Case) -> tuple[ClimbZone, ...]:
    """The zones of the place, the lower one first."""
    found = []
    for name, depth in (("zone", FOOTHOLD_DEPTH), ("upper", FOOTHOLD_DEPTH)):
        low, high, ledge = (case.rules.figure(f"climb.{name}.{end}") for end in ("from", "to", "ledge"))
        if low is not None and high is not None:
            deepest = depth if ledge is None else ledge.value_mm
            found.append(ClimbZone(low.value_mm, high.value_mm, deepest, low.id))
    return tuple(found)


def holds_in(footholds: Sequence[Foothold], zone: ClimbZone) -> tuple[Foothold, ...]:
    """The footholds that lie in a zone and are deeper than it allows."""
    return tuple(
        hold
        for hold in footholds
        if (hold.ledge.depth > zone.ledge or hold.ledge.rung)
        and hold.high >= zone.low
        and hold.low <= zone.high
    )


def _zone(case: Case, zone: ClimbZone) -> Finding:
    """Whether any ledge lies in a zone that must be without footholds."""
    words = case.words
    bounds = f"{words.show(zone.low)} to {words.mm(zone.high)}"
    held = holds_in(footholds_of(case.design), zone)
    drop = case.rules.figure("climb.zone.drop")
    if drop is not None and not _deep_enough(case.design, drop):
        reason = f"The zone without footholds, {bounds}, binds from a drop of {words.mm(drop.value_mm)}"
        text = f"{reason}: look whether a stairwell goes deeper than the lower floor."
        return _zone_finding(case, zone, Verdict.PASS, text, held)
    if not held:
        text = (
            f"No ledge deeper than {words.mm(zone.ledge)} and flatter than {FOOTHOLD_SLOPE_DEG:g} degrees lies "
            f"{bounds} above the floors and steps."
        )
        return _zone_finding(case, zone, Verdict.PASS, text, held)
    required = case.rules.word("climb.duty", "required") == "required"
    text = (
        f"In the zone without footholds, {bounds} above where one stands, "
        f"{'there must' if required else 'there should'} be no ledge; found: {_listed(case, held)}."
    )
    return _zone_finding(case, zone, Verdict.FAIL if required else Verdict.ADVICE, text, held)


def _deep_enough(design: Design, drop: Figure) -> bool:
    """Whether the drop may reach the one from which a zone binds; in doubt it does."""
    return judge(*drop_of(design), drop.value_mm, drop.compare) is not Verdict.FAIL


def _zone_finding(
    case: Case, zone: ClimbZone, verdict: Verdict, text: str, held: Sequence[Foothold]
) -> Finding:
    worst = max(held, key=lambda hold: hold.ledge.depth, default=None)
    failed = verdict in (Verdict.FAIL, Verdict.ADVICE)
    return Finding(
        zone.figure.removesuffix(".from"),
        verdict,
        case.at("infill" if worst is None or not failed else worst.ledge.name),
        text,
        None if worst is None else worst.ledge.depth,
        0.0,
        zone.ledge,
        rule=case.rules.ref(zone.figure),
        remedy=_remedy(case, zone, held) if failed else None,
    )


def _remedy(case: Case, zone: ClimbZone, held: Sequence[Foothold]) -> str:
    """What takes the ledges away: a base rail so narrow that none is left beside the uprights."""
    names = {hold.ledge.name for hold in held}
    first = case.design.uprights[0] if case.design.uprights else None
    base = case.design.base
    if base is not None and names == {f"the {case.design.name_of(base)}"} and first is not None:
        width = first.thickness + 2.0 * (zone.ledge - abs(first.y - base.y))
        if width >= first.thickness:
            less = case.words.enough(base.width - width)
            return f"make {next(iter(names))} {less} narrower, so that its ledge is no deeper than the rule allows"
    if any(hold.ledge.rung for hold in held):
        return (
            "close the balustrade in that zone with a panel, or let its members stand upright: nothing that runs "
            "along it or is open to a foot keeps a child from climbing"
        )
    return f"bevel, narrow or cover {' and '.join(sorted(names))} so that no foot can stand there"


def _listed(case: Case, held: Sequence[Foothold]) -> str:
    """Each ledge once, like ones together, with its depth and its heights, and over how many places."""
    said = []
    for name in dict.fromkeys(hold.ledge.name for hold in held):
        holds = [hold for hold in held if hold.ledge.name == name]
        low, high = min(hold.low for hold in holds), max(hold.high for hold in holds)
        deepest = max((hold.ledge for hold in holds), key=lambda ledge: ledge.depth)
        places = list(dict.fromkeys(hold.standing for hold in holds))
        over = places[0] if len(places) == 1 else f"{places[0]} and {len(places) - 1} more places"
        how = "across, open on both sides" if deepest.rung else "deep"
        said.append(
            f"{name}, {case.words.mm(deepest.depth)} {how}, {case.words.show(low)} to {case.words.mm(high)} above "
            f"{over}"
        )
    return "; ".join(said)


def how_it_stands(design: Design) -> str:
    """Upright, or leaning by how much and which way, in words."""
    leans = [math.degrees(upright.lean) for upright in design.uprights]
    if design.strands:
        return "The infill runs along the rails like the rungs of a ladder"
    if design.panels:
        return "The infill is of panels"
    if not leans:
        return "There is no infill"
    most = max(leans, key=abs)
    if abs(most) < LEANS:
        return "The infill stands upright"
    return f"The infill leans {abs(most):.1f} degrees from plumb, its top {'up' if most > 0.0 else 'down'} the stair"


def _described(case: Case) -> Finding:
    """Where no zone is stated: what ledges there are, and who decides."""
    up_to = case.rules.figure("climb.up_to")
    every = footholds_of(case.design)
    held = [hold for hold in every if up_to is None or hold.low <= up_to.value_mm]
    text = how_it_stands(case.design)
    text += f"; the ledges found are {_listed(case, held)}" if held else "; no ledge to stand on was found"
    word = case.rules.word("climb.mode", "none")
    if up_to is not None:
        text += f"; up to {case.words.mm(up_to.value_mm)} guarding must be hard to climb"
        text += f"{_inset_words(case)}. Ask how that is judged here."
    elif word == "not readily":
        text += (
            "; guarding must not be easy to climb, and no dimensions are given, so building control decides."
        )
    else:
        text += "; the rules say nothing of climbing, but local ones may."
    choice = "climb.mode" if case.rules.choice("climb.mode") is not None else None
    return case.advise("climb.footholds", "infill", text, "climb.up_to" if up_to is not None else choice)


def _inset_words(case: Case) -> str:
    """Where a rail set well inside makes up for a guarding that can be climbed."""
    inset = case.rules.figure("climb.inset")
    if inset is None:
        return ""
    design = case.design
    middle = middle_y(design)
    inside = (design.handrail.y - middle) * design.side.towards_stair + design.handrail.width / 2
    return (
        f", or the handrail stand at least {case.words.mm(inset.value_mm)} inside it (it reaches "
        f"{case.words.mm(max(inside, 0.0))} inside)"
    )


def _leaning(case: Case) -> Iterator[Finding]:
    steep = 90.0 - FOOTHOLD_SLOPE_DEG
    leans = [abs(math.degrees(upright.lean)) for upright in case.design.uprights]
    if leans and max(leans) > steep:
        text = f"Uprights that lean {max(leans):.1f} degrees from plumb begin to serve as steps to a child."
        yield Finding("climb.lean", Verdict.ADVICE, case.at("infill"), text, max(leans), 0.0, steep, "deg")


def _standing_place(case: Case) -> Iterator[Finding]:
    """Where a low ledge counts as a place to stand, from which the height is counted anew."""
    height, reach = (case.rules.figure(f"climb.standing.{name}") for name in ("height", "reach"))
    if height is None:
        return
    low = [
        hold
        for hold in footholds_of(case.design)
        if hold.ledge.depth > FOOTHOLD_DEPTH and not hold.ledge.rung
    ]
    low = [hold for hold in low if hold.low <= height.value_mm]
    if low:
        within = "" if reach is None else f" and less than {case.words.mm(reach.value_mm)} from the guarding"
        text = (
            f"A ledge up to {case.words.mm(height.value_mm)} high{within} may count as a place to stand, from which "
            f"the guarding's height is counted anew: {_listed(case, low)}. Ask."
        )
        yield case.advise("climb.standing", "infill", text, height.id)
