"""Laws that the checks keep on any stair and any balustrade."""

import re
from dataclasses import replace

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.builders import ENGLAND, US_2021, US_2024, HandBuilt, even, hand_built, handrail_moved, with_figure
from tests.strategies_stairs import LIMITS, cases, plain_brief, regular_flight

from pitchline.catalogue.rules import list_rule_sets, load_rule_set
from pitchline.checks.heights import heights_of, judged
from pitchline.checks.openings import OpeningKind, find_openings
from pitchline.checks.run import CheckReport, check
from pitchline.checks.silhouettes import solids_of, span_of
from pitchline.design.brief import BaseBrief, BaseSeat, Brief
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.finding import Finding, Verdict, judge
from pitchline.kit.geometry.outlines import to_shapely
from pitchline.kit.tolerances import BALL, SEAM
from pitchline.stair.model import Flight, Side

RULES = {rules.id: rules for rules in (ENGLAND, US_2021, US_2024)}
PLACES = st.sampled_from(sorted(RULES))
SOME = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
GAPS = st.integers(20, 140).map(float)
FLIGHT = regular_flight(13, 200.0, 225.0, None)
FLIGHT_WITH_STRING = regular_flight(13, 200.0, 225.0, 60.0)


def laid_out(case: tuple[Flight, Brief]) -> Design | None:
    """The design of a case, or None where its brief leaves nothing to build."""
    try:
        return compose(*case, LIMITS)
    except ImpossibleDesignError:
        return None


@SOME
@given(st.lists(GAPS, min_size=3, max_size=6), st.integers(0, 5), st.integers(1, 80))
def test_a_wider_gap_never_lowers_a_ball(gaps: list[float], which: int, wider: int) -> None:
    which %= len(gaps)
    widened = [gap + (wider if k == which else 0.0) for k, gap in enumerate(gaps)]
    before, after = (
        [
            o.ball.diameter
            for o in find_openings(hand_built(HandBuilt(g), FLIGHT), ENGLAND)
            if o.kind is OpeningKind.INFILL
        ]
        for g in (gaps, widened)
    )
    assert len(before) == len(after) == len(gaps)
    for old, new in zip(before, after, strict=True):
        assert new >= old - BALL


@SOME
@given(cases(3, 9), st.integers(-200, 200))
def test_raising_the_rail_raises_every_height_by_as_much(case: tuple[Flight, Brief], by: int) -> None:
    design = laid_out(case)
    if design is None:
        return
    before, after = heights_of(design), heights_of(handrail_moved(design, float(by)))
    for old, new in zip(before, after, strict=True):
        assert new.height - old.height == pytest.approx(by, abs=1e-9)
        assert new.expanded == pytest.approx(old.expanded, abs=1e-12)


@SOME
@given(st.integers(300, 1400).map(lambda tenths: tenths / 10))
def test_a_limit_moved_by_a_tenth_across_the_ball_turns_the_verdict(gap: float) -> None:
    design = hand_built(HandBuilt(even(3, gap)), FLIGHT)
    ball = max(o.ball.diameter for o in find_openings(design, ENGLAND) if o.kind is OpeningKind.INFILL)
    verdicts = []
    for limit in (ball - 0.05, ball + 0.05):
        report = check(design, with_figure(ENGLAND, "opening.stair", limit))
        verdicts.append(next(f.verdict for f in report.findings if f.code == "opening.stair"))
    assert verdicts == [Verdict.FAIL, Verdict.PASS]


def everything_judged(report: CheckReport) -> list[tuple[float, float, float, Verdict]]:
    """Measured value, expanded uncertainty, limit and verdict of whatever was judged."""
    found = [
        (f.measured, f.expanded_uncertainty, f.limit, f.verdict)
        for f in report.findings
        if f.measured is not None and f.expanded_uncertainty is not None and f.limit is not None
    ]
    found += [
        (o.ball.diameter, o.expanded, o.limit, o.verdict) for o in report.openings if o.limit is not None
    ]
    return found


@SOME
@given(cases(3, 9), PLACES)
def test_nothing_passes_or_fails_while_the_limit_lies_within_its_uncertainty(
    case: tuple[Flight, Brief], place: str
) -> None:
    design = laid_out(case)
    if design is None:
        return
    for measured, expanded, limit, verdict in everything_judged(check(design, RULES[place])):
        if verdict in (Verdict.PASS, Verdict.FAIL):
            assert not measured - expanded < limit < measured + expanded
        if verdict is Verdict.UNSURE:
            assert measured - expanded <= limit <= measured + expanded


@SOME
@given(cases(3, 9), PLACES)
def test_a_finding_is_as_bad_as_the_worst_place_behind_it(case: tuple[Flight, Brief], place: str) -> None:
    design = laid_out(case)
    if design is None:
        return
    report = check(design, RULES[place])
    for kind, code in ((OpeningKind.INFILL, "opening.stair"), (OpeningKind.UNDER, "opening.triangle")):
        verdicts = {o.verdict for o in report.openings if o.kind is kind}
        said = [f.verdict for f in report.findings if f.code == code]
        if verdicts and Verdict.ADVICE not in said:
            worst = next(v for v in (Verdict.FAIL, Verdict.UNSURE, Verdict.PASS) if v in verdicts)
            assert said == [worst]


@SOME
@given(cases(3, 9))
def test_openings_and_wood_never_share_a_place_and_balls_stay_inside(case: tuple[Flight, Brief]) -> None:
    design = laid_out(case)
    if design is None:
        return
    wood = shapely.union_all([to_shapely(solid.points) for solid in solids_of(design, *span_of(design))])
    for opening in find_openings(design, ENGLAND):
        outline = to_shapely(opening.outline)
        assert shapely.intersection(outline, wood).area <= SEAM * outline.length
        centre = shapely.Point(opening.ball.centre)
        assert centre.distance(wood) >= opening.ball.diameter / 2 - BALL


@SOME
@given(cases(3, 9))
def test_the_other_side_of_a_stair_has_the_same_openings_and_heights(case: tuple[Flight, Brief]) -> None:
    """Nothing across the stair is set unevenly here, so the guarded side cannot matter to the elevation."""
    flight, brief = case
    plain = replace(
        flight,
        posts=tuple(replace(post, lean_across=0.0, twist=0.0) for post in flight.posts),
        walls=tuple(replace(wall, skew=0.0) for wall in flight.walls),
    )
    sides = [laid_out((plain, replace(brief, side=side))) for side in Side]
    left, right = sides
    if left is None or right is None:
        assert left is right
        return
    assert heights_of(left) == heights_of(right)
    found = [[(o.where, o.ball.diameter) for o in find_openings(design, ENGLAND)] for design in (left, right)]
    assert [where for where, _ in found[0]] == [where for where, _ in found[1]]
    assert [ball for _, ball in found[0]] == pytest.approx([ball for _, ball in found[1]], abs=2 * BALL)


@SOME
@given(cases(3, 9), PLACES)
def test_every_finding_is_a_sentence_with_a_place(case: tuple[Flight, Brief], place: str) -> None:
    design = laid_out(case)
    if design is None:
        return
    report = check(design, RULES[place])
    assert report == check(design, RULES[place])
    for finding in report.findings:
        assert finding.text[0].isupper()
        assert finding.text.endswith(".")
        assert finding.where.startswith("A: ")
        assert "nan" not in finding.text
        assert "inf " not in finding.text
        assert (finding.verdict in (Verdict.FAIL, Verdict.UNSURE)) <= (finding.remedy is not None)


@SOME
@given(cases(3, 9))
def test_heights_are_judged_one_by_one(case: tuple[Flight, Brief]) -> None:
    design = laid_out(case)
    figure = ENGLAND.require("guard.flight.height")
    if design is not None:
        for height in heights_of(design):
            assert judged(height, figure) is judge(height.height, height.expanded, 900.0, "ge")


KNOWN = sorted(name for name in list_rule_sets() if load_rule_set(name).status != "unknown")


@SOME
@given(cases(3, 7), st.sampled_from(KNOWN))
def test_every_place_judges_any_stair_and_every_fail_has_a_way_out(
    case: tuple[Flight, Brief], place: str
) -> None:
    design = laid_out(case)
    if design is None:
        return
    for finding in check(design, load_rule_set(place)).findings:
        assert finding.text.endswith(".")
        assert (finding.verdict in (Verdict.FAIL, Verdict.UNSURE)) <= (finding.remedy is not None)
        if finding.verdict is not Verdict.REPORT:
            assert not finding.code.startswith("stair.")


def number_in(text: str | None) -> float:
    match = re.search(r"\d+(\.\d+)?", text or "")
    assert match is not None
    return float(match[0])


@SOME
@given(st.integers(780, 880).map(float))
def test_composing_again_with_the_rail_raised_by_the_remedy_passes(height: float) -> None:
    """The wish is laid out whatever the limits say, so that the remedy can be followed in the brief."""
    free = Limits(low=500.0, high=1500.0, gap=100.0)
    brief = plain_brief(FLIGHT_WITH_STRING)

    def guard(wished: float) -> Finding:
        rail = replace(brief.rail, height=wished)
        report = check(compose(FLIGHT_WITH_STRING, replace(brief, rail=rail), free), ENGLAND)
        return next(f for f in report.findings if f.code == "height.guard")

    low = guard(height)
    assert low.verdict is Verdict.FAIL
    assert guard(height + number_in(low.remedy)).verdict is Verdict.PASS


@SOME
@given(st.integers(45, 70).map(float), st.sampled_from(["us-irc-2021", "new-zealand-nzbc", "spain-db-sua"]))
def test_composing_again_with_the_base_rail_lowered_by_the_remedy_passes(
    clearance: float, place: str
) -> None:
    brief = plain_brief(FLIGHT, base=BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=clearance))

    def triangle(clear: float) -> Finding:
        laid = compose(FLIGHT, replace(brief, base=replace(brief.base_rail, clearance=clear)), LIMITS)
        return next(f for f in check(laid, load_rule_set(place)).findings if f.code == "opening.triangle")

    high = triangle(clearance)
    if high.verdict is Verdict.FAIL and (high.remedy or "").startswith("lower the base rail by"):
        assert triangle(clearance - number_in(high.remedy)).verdict is Verdict.PASS


@SOME
@given(st.integers(40, 140).map(float))
def test_composing_again_with_the_base_rail_narrowed_by_the_remedy_passes(width: float) -> None:
    brief = plain_brief(FLIGHT_WITH_STRING)
    free = Limits(low=500.0, high=1500.0, gap=100.0)
    ontario = load_rule_set("ontario-obc")

    def zone(base: float) -> Finding:
        laid = compose(FLIGHT_WITH_STRING, replace(brief, base=replace(brief.base_rail, width=base)), free)
        return next(f for f in check(laid, ontario).findings if f.code == "climb.zone")

    wide = zone(width)
    if wide.verdict is Verdict.FAIL:
        assert zone(width - number_in(wide.remedy)).verdict is Verdict.PASS
