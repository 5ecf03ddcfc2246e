"""Footholds: whether a child could climb the balustrade. Upright infill has few. Lengths in mm."""

import math
from collections.abc import Iterator

from pitchline.checks.case import Case
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict

STEEP = 45.0
"""Uprights leaning further than this from plumb (degrees) begin to serve as steps (common practice, no source)."""


def ledge_heights(design: Design) -> tuple[float, float]:
    """Lowest and highest height of the base rail's upper face above the steps it passes, mm.

    A foot stands on a tread: the ledge is measured plumb from the tread, at the nosing (lowest) and just before
    the next riser (highest).
    """
    ledge, nosings = design.base.top, design.flight.nosings
    lowest = min(ledge.at(u) - z for u, z in nosings)
    feet = zip(nosings[1:], nosings, strict=False)
    highest = max((ledge.at(far) - level for (far, _), (_, level) in feet), default=lowest)
    return lowest, highest


def ledge_width(design: Design) -> float:
    """How far the base rail's upper face stands out beyond the uprights on the wider side, mm."""
    if not design.uprights:
        return design.base.width
    first = design.uprights[0]
    return abs(first.y - design.base.y) + (design.base.width - first.thickness) / 2


def check_climbing(case: Case) -> Iterator[Finding]:
    """What there is to stand on, against the rule of the place."""
    word = case.rules.word("climb.mode", "none")
    if word == "zone":
        yield _zone(case)
        return
    low, high = ledge_heights(case.design)
    wide, lowest, highest = (case.words.mm(size) for size in (ledge_width(case.design), low, high))
    text = (
        f"The infill stands upright; the only ledge is the base rail's, {wide} wide beside the uprights and {lowest} "
        f"to {highest} above the steps"
    )
    if word == "not readily":
        text += (
            "; guarding must not be easy to climb, and no dimensions are given, so building control decides."
        )
    else:
        text += "; the rules say nothing of climbing, but local ones may."
    choice = "climb.mode" if case.rules.choice("climb.mode") is not None else None
    yield case.advise("climb.footholds", "infill", text, choice)
    yield from _leaning(case)


def _leaning(case: Case) -> Iterator[Finding]:
    leans = [abs(math.degrees(upright.lean)) for upright in case.design.uprights]
    if leans and max(leans) > STEEP:
        text = f"Uprights that lean {max(leans):.1f} degrees from plumb begin to serve as steps to a child."
        yield Finding("climb.lean", Verdict.ADVICE, case.at("infill"), text, max(leans), 0.0, STEEP, "deg")


def _zone(case: Case) -> Finding:
    """Whether the base rail's ledge lies in the zone that must be without footholds."""
    low, high = (case.rules.require(f"climb.zone.{end}").value_mm for end in ("from", "to"))
    drop = case.rules.figure("climb.zone.drop")
    height = case.design.flight.nosings[-1][1]
    bounds = f"{case.words.show(low)} to {case.words.mm(high)}"
    lowest, highest = ledge_heights(case.design)
    inside = highest >= low and lowest <= high
    if drop is not None and height <= drop.value_mm:
        verdict, text = (
            Verdict.PASS,
            f"The zone without footholds binds from a drop of {case.words.mm(drop.value_mm)}.",
        )
    elif inside:
        verdict = Verdict.FAIL
        text = (
            f"The base rail's ledge stands up to {case.words.mm(highest)} above the steps, within {bounds}."
        )
    else:
        verdict, text = (
            Verdict.PASS,
            f"Nothing of the infill gives a foothold within {bounds} above the steps.",
        )
    return Finding(
        "climb.zone",
        verdict,
        case.at("infill"),
        text,
        highest,
        0.0,
        low,
        rule=case.rules.ref("climb.zone.from"),
        remedy="lower the base rail below the zone" if verdict is Verdict.FAIL else None,
    )
