"""Every limit that the checks read matters: moved just past what is measured it turns a verdict.

Done in memory, without a library: each figure of each set is moved, and all findings are compared with those
before. Figures that no check reads stand in a table with the reason, and the table is held to be true.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType

import pytest
from tests.builders import with_figure, with_word
from tests.checks.place_designs import KNOWN, ONE_RAIL_IS_NOT_ENOUGH, Wish, built, good_wish, window

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.climbing import check_climbing
from pitchline.checks.existing import check_existing
from pitchline.checks.floors import check_upper_floor
from pitchline.checks.handrail import check_handrail
from pitchline.checks.heights import check_heights, heights_of
from pitchline.checks.notices import used_here
from pitchline.checks.run import check
from pitchline.checks.step_rules import check_step_rules
from pitchline.checks.widths import check_widths
from pitchline.design.brief import FreeEnd, Station
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.model import Wall

_OTHER_FLIGHT = "asked of other kinds of stairs, places or floors than one straight flight"
_NOT_MEASURED = "its size is not part of the model of the stair"
_NO_SUCH_PART = "this version lays out no such part"
_TOLD = "told in a sentence of advice, judged by nobody here"

NOT_READ: Mapping[str, str] = MappingProxyType(
    {
        "guard.needed.within": "the floor beside the stair is taken to lie right below its edge",
        "guard.needed.slope": _NOT_MEASURED,
        "guard.balcony.height": _OTHER_FLIGHT,
        "guard.landing.between.height": _OTHER_FLIGHT,
        "guard.landing.short.run": _OTHER_FLIGHT,
        "guard.landing.short.height": _OTHER_FLIGHT,
        "guard.drop_band.1.balcony": _OTHER_FLIGHT,
        "guard.drop_band.2.above": _OTHER_FLIGHT,
        "guard.drop_band.2.balcony": _OTHER_FLIGHT,
        "guard.drop_band.eye": _TOLD,
        "guard.seating.height": _OTHER_FLIGHT,
        "guard.seating.within": _OTHER_FLIGHT,
        "guard.window.height": _OTHER_FLIGHT,
        "handrail.ladder.min": _OTHER_FLIGHT,
        "handrail.ladder.max": _OTHER_FLIGHT,
        "handrail.needed.risers.outside": _OTHER_FLIGHT,
        "handrail.projection.nosing": _OTHER_FLIGHT,
        "handrail.clear.wall.max": _TOLD,
        "handrail.clear.rough": _TOLD,
        "handrail.clear.below": _NO_SUCH_PART,
        "handrail.clear.below.less": _NO_SUCH_PART,
        "handrail.clear.below.per": _NO_SUCH_PART,
        "handrail.second.max": _NO_SUCH_PART,
        "handrail.second.apart": _NO_SUCH_PART,
        "handrail.fixing.first": _NO_SUCH_PART,
        "handrail.fixing.apart": _NO_SUCH_PART,
        "handrail.fixing.screws": _NO_SUCH_PART,
        "handrail.fixing.into_wood": _NO_SUCH_PART,
        "handrail.return.gap": _NO_SUCH_PART,
        "handrail.grip.round.min": "advice for the rails of this version, none of them round; see the tests of grip",
        "handrail.grip.round.max": "advice for the rails of this version, none of them round; see the tests of grip",
        "handrail.grip.recess.top": "read for sections with recesses, see the tests of grip",
        "handrail.grip.recess.depth": "read for sections with recesses, see the tests of grip",
        "handrail.grip.recess.within": "read for sections with recesses, see the tests of grip",
        "handrail.grip.recess.run": "read for sections with recesses, see the tests of grip",
        "handrail.grip.recess.level": "read for sections with recesses, see the tests of grip",
        "handrail.grip.above_recess.min": "read for sections with recesses, see the tests of grip",
        "handrail.grip.above_recess.max": "read for sections with recesses, see the tests of grip",
        "opening.riser": _NOT_MEASURED,
        "opening.riser.above": _NOT_MEASURED,
        "opening.level_rails": _NO_SUCH_PART,
        "opening.level_rails.filled": _NO_SUCH_PART,
        "opening.side": _NOT_MEASURED,
        "opening.finger": _NOT_MEASURED,
        "opening.front.avoid.from": _OTHER_FLIGHT,
        "opening.front.avoid.to": _OTHER_FLIGHT,
        "opening.flex.force": "how far the infill bends is handed in by the strength step, see the tests of flexing",
        "climb.up_to": _TOLD,
        "climb.inset": _TOLD,
        "climb.standing.height": _TOLD,
        "climb.standing.reach": _TOLD,
        "stair.going.outside": _OTHER_FLIGHT,
        "stair.alternating.rise": _OTHER_FLIGHT,
        "stair.alternating.going": _OTHER_FLIGHT,
        "stair.tread.over": _NOT_MEASURED,
        "stair.nosing.radius": _NOT_MEASURED,
        "stair.nosing.bevel": _NOT_MEASURED,
        "stair.nosing.variation": _NOT_MEASURED,
        "stair.overlap.min": _NOT_MEASURED,
        "stair.riser.lean": _NOT_MEASURED,
        "stair.winder.going": _OTHER_FLIGHT,
        "stair.winder.narrow": _OTHER_FLIGHT,
        "stair.winder.wide": _OTHER_FLIGHT,
        "stair.winder.line": _OTHER_FLIGHT,
        "stair.winder.line.narrow": _OTHER_FLIGHT,
        "stair.headroom.edge": _NOT_MEASURED,
        "stair.headroom.loft.centre": _OTHER_FLIGHT,
        "stair.headroom.loft.side": _OTHER_FLIGHT,
        "stair.width.divide": _OTHER_FLIGHT,
        "stair.landing.door": _OTHER_FLIGHT,
    }
)
"""Figures about guarding, handrails and stairs that turn no verdict here, and why (reviewed by hand)."""

ONLY_HERE: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        (
            "england-common-parts",
            "opening.triangle.rail_within",
        ): "told by a warranty guide: the rule stays *same*",
        (
            "ireland-dwelling",
            "handrail.exempt.bottom_steps",
        ): "nothing is asked here of how far the rail runs",
        ("wales-dwelling", "handrail.exempt.bottom_steps"): "nothing is asked here of how far the rail runs",
        ("canada-nbc-2020", "guard.drop_band.1.above"): "its band is for balconies",
        ("ontario-obc", "guard.drop_band.1.above"): "its band is for balconies",
    }
)
"""Figures that are read in other places and not in this one, and why."""

_SAID = (
    "within the figure",
    "outside the figure",
    "too near the figure",
    "leaves openings free",
    "leaves this",
)


def signature(findings: tuple[Finding, ...]) -> tuple[tuple[str, str, str], ...]:
    """Codes and verdicts; of what is only reported, how it stands to the figure."""
    return tuple(
        (f.code, f.verdict.value, next((words for words in _SAID if words in f.text), ""))
        for f in findings
        if not f.code.startswith("notice.")
    )


def _free_head(design: Design) -> Design:
    """The same design with its head left free, 40 mm before a wall."""
    last = design.flight.nosings[-1]
    wall = Wall("W", "N1", last[0] + 40.0, 0.0, 0.0, 0.0)
    end = FreeEnd(Station(f"N{len(design.flight.nosings)}"))
    return replace(design, flight=replace(design.flight, walls=(wall,)), brief=replace(design.brief, top=end))


@cache
def designs(rules_id: str) -> tuple[Design, ...]:
    """The good design and copies on which the rest of the figures bear."""
    good = good_wish(KNOWN[rules_id])
    open_steps = replace(good, margin=None, lift=15.0, gap=80.0)
    return (
        built(good),
        built(open_steps),
        built(replace(good, reach=120.0)),
        built(replace(open_steps, lift=70.0, reach=120.0, base=90.0)),
        built(replace(open_steps, base=200.0, lift=120.0)),
        built(replace(good, rail=(90.0, 60.0, 5.0))),
        _free_head(built(good)),
        built(Wish(good.height, good.gap, risers=2)),
        built(replace(good, gap=150.0, rise=195.0, overall=2100.0)),
        built(replace(good, rise=210.0, going=250.0, first_rise=190.0)),
        built(replace(good, begins=300.0)),
        built(replace(good, height=1100.0, reach=120.0)),
        built(replace(good, height=850.0, reach=120.0)),
        built(replace(open_steps, base=340.0, lift=560.0)),
        built(Wish(good.height, 300.0, risers=2, reach=300.0)),
        built(replace(good, height=1130.0, gap=90.0, width=40.0, profile=NECK)),
        built(replace(good, height=window(KNOWN[rules_id])[0] + 1.0)),
    )


NECK = ((830.0, 40.0), (860.0, 12.0), (1500.0, 12.0))
"""Uprights that are 28 mm thinner high up, where some places let a larger ball through."""


@cache
def reported(rules_id: str, number: int) -> tuple[Finding, ...]:
    return check(designs(rules_id)[number], KNOWN[rules_id]).findings


def values_past(rules: RuleSet, figure_id: str, findings: tuple[Finding, ...]) -> Iterator[float]:
    """A tenth (a hundredth of a count or share) to either side of whatever is held against the figure."""
    figure = rules.require(figure_id)
    step = 0.1 if figure.unit in ("mm", "deg") else 0.01
    for finding in findings:
        if finding.measured is not None and finding.rule is not None and finding.rule.clause == figure.clause:
            reach = (finding.expanded_uncertainty or 0.0) + step
            yield from (finding.measured - reach, finding.measured + reach)
    yield from (0.0, 0.8 * figure.value, 1.25 * figure.value, 1e6)


def part_of(design: Design, rules: RuleSet, figure_id: str) -> tuple[Finding, ...]:
    """Those findings on which a figure can bear, by the first word of its name: for speed."""
    case, subject = Case(design, rules), figure_id.split(".", maxsplit=1)[0]
    if subject == "stair":
        return (*check_existing(case), *check_step_rules(case), *check_widths(case))
    if subject == "climb":
        return tuple(check_climbing(case))
    if subject == "handrail":
        heights = heights_of(design)
        return (*check_handrail(case), *check_heights(case, heights), *check_upper_floor(case, heights))
    return check(design, rules).findings


def binding(rules: RuleSet) -> RuleSet:
    """The same rules so that all of them bind: as in a deep stairwell, with a top that may be the handrail."""
    for figure_id in ("climb.zone.drop", "guard.drop_band.1.above"):
        if rules.figure(figure_id) is not None:
            rules = with_figure(rules, figure_id, 500.0)
    if "height.handrail.own" in ONE_RAIL_IS_NOT_ENOUGH.get(rules.id, set()):
        rules = with_figure(rules, "guard.flight.height", rules.require("handrail.height.min").value - 10.0)
        if rules.choice("guard.top.as_handrail") is not None:
            rules = with_word(rules, "guard.top.as_handrail", "yes")
    if rules.choice("opening.applies") is not None:
        rules = with_word(rules, "opening.applies", "all")
    return rules


def matters(rules: RuleSet, figure_id: str) -> bool:
    for rules_here in (rules, binding(rules)):
        for design in designs(rules.id):
            findings = part_of(design, rules_here, figure_id)
            before = signature(findings)
            for value in dict.fromkeys(values_past(rules_here, figure_id, findings)):
                moved = part_of(design, with_figure(rules_here, figure_id, value), figure_id)
                if signature(moved) != before:
                    return True
    return False


@pytest.mark.parametrize("rules", KNOWN.values(), ids=KNOWN.keys())
def test_every_limit_that_is_read_turns_a_verdict(rules: RuleSet) -> None:
    read = [
        figure
        for figure in rules.figures
        if used_here(figure) and figure not in NOT_READ and (rules.id, figure) not in ONLY_HERE
    ]
    assert [figure for figure in read if not matters(rules, figure)] == []


@pytest.mark.parametrize("rules", KNOWN.values(), ids=KNOWN.keys())
def test_the_table_of_what_is_not_read_is_true(rules: RuleSet) -> None:
    """On the good design: a figure that turns nothing whatever its value is not read."""
    design = designs(rules.id)[0]
    for figure in (name for name in rules.figures if name in NOT_READ or (rules.id, name) in ONLY_HERE):
        before = signature(part_of(design, rules, figure))
        for value in (0.0, 1e6):
            assert signature(part_of(design, with_figure(rules, figure, value), figure)) == before


def test_loads_are_left_to_the_strength_step() -> None:
    """No check of measures reads a load, a deflection or a figure for glass."""
    for rules in KNOWN.values():
        for figure in rules.figures:
            assert used_here(figure) is not figure.startswith(("load.", "deflection.", "glass."))


def test_all_verdicts_occur_somewhere() -> None:
    seen = {f.verdict for name in KNOWN for number in (0, 1, 16) for f in reported(name, number)}
    assert seen == set(Verdict)
