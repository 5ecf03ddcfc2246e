"""A wall rail measured and judged; expected values by hand from the sizes of the invented stairs."""

from dataclasses import replace

import pytest
from tests.builders import with_figure
from tests.strategies_walls import (
    landing_stair,
    one_wall,
    straight_stair,
    studs,
    wall_over_winders,
    wall_round_landing,
    winder_stair,
)

from pitchline.catalogue.rules import RuleSet, list_rule_sets, load_rule_set
from pitchline.checks.wall_rail import check_wall_rail
from pitchline.design.brief import RailBrief, Station
from pitchline.design.wall_brief import (
    Backing,
    BracketBrief,
    CornerWay,
    EndWay,
    WallEnd,
    WallFace,
    WallRailBrief,
    WallReading,
)
from pitchline.design.wall_legs import Surroundings
from pitchline.design.wallrail import compose_wall_rail
from pitchline.kit.finding import Finding, Verdict
from pitchline.stair.model import Soffit

ENGLAND = load_rule_set("england-dwelling")
CANADA = load_rule_set("canada-nbc-2020")
US_2024 = load_rule_set("us-irc-2024")
IBC = load_rule_set("us-ibc-2021")


def found(brief: WallRailBrief, around: Surroundings, rules: RuleSet = ENGLAND) -> tuple[Finding, ...]:
    return check_wall_rail(compose_wall_rail(brief, around, rules), rules)


def one(findings: tuple[Finding, ...], code: str) -> Finding:
    matching = [finding for finding in findings if finding.code == code]
    assert matching, code
    return matching[0]


def says(finding: Finding, measured: float, verdict: Verdict) -> None:
    assert finding.measured == pytest.approx(measured)
    assert finding.verdict is verdict


def test_heights_are_judged_with_their_uncertainty() -> None:
    """At 900 a rail of the readings' uncertainty is neither above nor below a limit of 900."""
    low = one_wall(rail=RailBrief(45.0, 60.0, 900.0))
    finding = one(found(low, straight_stair()), "handrail.height.min")
    assert finding.verdict is Verdict.UNSURE
    assert finding.measured == pytest.approx(900.0)
    assert finding.remedy is not None
    assert "read the height" in finding.remedy
    good = one(found(one_wall(), straight_stair()), "handrail.height.min")
    assert good.verdict is Verdict.PASS


def test_space_behind_is_measured_at_the_proudest_place() -> None:
    face = WallFace("F1", Backing.MASONRY, readings=(WallReading(Station("N5"), 8.0),), rough=True)
    brief = one_wall(walls=(face,), clear=55.0)
    finding = one(found(brief, straight_stair(), CANADA), "handrail.clear.rough")
    assert (finding.measured, finding.limit) == pytest.approx((55.0, 60.0))
    assert finding.verdict is Verdict.FAIL
    smooth = replace(face, rough=False)
    finding = one(
        found(one_wall(walls=(smooth,), clear=55.0), straight_stair(), CANADA), "handrail.clear.wall"
    )
    assert finding.verdict is Verdict.PASS


def test_reach_into_the_stair_and_the_width_left() -> None:
    """A rail 45 wide 70 off the wall takes 115 of 850 (NBC 9.8.7.6: 100 at most)."""
    findings = found(one_wall(clear=70.0), straight_stair(), CANADA)
    finding = one(findings, "handrail.projection")
    says(finding, 115.0, Verdict.FAIL)
    assert one(findings, "handrail.width").measured == pytest.approx(850.0 - 115.0)
    face = WallFace("F1", Backing.MASONRY, outside=30.0)
    finding = one(found(one_wall(walls=(face,), clear=70.0), straight_stair(), CANADA), "handrail.projection")
    assert finding.measured == pytest.approx(85.0)


def test_under_the_rail_less_is_asked_round_a_longer_section() -> None:
    """IBC 1014.4: 1 1/2 in, less 1/8 in for each 1/2 in of the way round above 4 in.

    A round rail of 50 mm is 157.08 mm round, 55.48 above 101.6: four steps of 12.7, so 38.1 - 4 x 3.175 = 25.4.
    """
    brief = one_wall(rail=RailBrief(50.0, 50.0), is_round=True, brackets=BracketBrief(drop=25.0))
    finding = one(found(brief, straight_stair(), IBC), "handrail.clear.below")
    assert finding.limit == pytest.approx(25.4)
    assert finding.verdict is Verdict.FAIL
    enough = replace(brief, brackets=BracketBrief(drop=26.0))
    assert one(found(enough, straight_stair(), IBC), "handrail.clear.below").verdict is Verdict.PASS


def test_ends_and_returns() -> None:
    plain = one_wall(bottom=WallEnd(EndWay.PLAIN), top=WallEnd(EndWay.RETURN))
    ends = [f for f in found(plain, straight_stair(), US_2024) if f.code == "handrail.end"]
    assert [finding.verdict for finding in ends] == [Verdict.FAIL, Verdict.PASS]
    gap = one(found(one_wall(), straight_stair(), US_2024), "handrail.return.gap")
    says(gap, 0.0, Verdict.PASS)


def test_extensions_are_measured_level_and_at_the_slope() -> None:
    findings = found(one_wall(), straight_stair(), IBC)
    assert one(findings, "handrail.extension.top").measured == pytest.approx(304.8)
    assert one(findings, "handrail.extension.bottom.treads").measured == pytest.approx(225.0)
    short = one_wall(top=WallEnd(EndWay.RETURN, 304.8, 100.0))
    finding = one(found(short, straight_stair(), IBC), "handrail.extension.top")
    says(finding, 100.0, Verdict.FAIL)


def test_a_rail_that_stops_short_is_told_by_how_much() -> None:
    brief = one_wall(top=WallEnd(EndWay.RETURN, -300.0, 0.0))
    finding = [f for f in found(brief, straight_stair(), US_2024) if f.code == "handrail.continuity"]
    assert {f.verdict for f in finding} == {Verdict.PASS, Verdict.FAIL}
    failed = next(f for f in finding if f.verdict is Verdict.FAIL)
    assert failed.measured == pytest.approx(300.0)


def test_fixings_of_the_canadian_code() -> None:
    """NBC 9.8.7.7: 1200 apart, 300 from an end, two screws, 32 mm into wood."""
    face = WallFace("F1", Backing.STUDS, studs(100.0, 1300.0, 3), lining=12.5)
    brief = one_wall(walls=(face,), brackets=BracketBrief(screws=1, screw_length=40.0))
    findings = found(brief, straight_stair(), CANADA)
    apart = one(findings, "handrail.fixing.apart")
    says(apart, 1300.0, Verdict.FAIL)
    assert apart.limit == 1200.0
    assert one(findings, "handrail.fixing.screws").verdict is Verdict.FAIL
    wood = one(findings, "handrail.fixing.into_wood")
    says(wood, 27.5, Verdict.FAIL)
    trade = one(found(brief, straight_stair()), "handrail.fixing.apart")
    assert trade.verdict is Verdict.ADVICE
    assert "common practice" in trade.text


def test_a_bracket_beside_its_stud_fails() -> None:
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    moved = replace(rail.brackets[1], u=rail.brackets[1].u + 25.0)
    off = replace(rail, brackets=(rail.brackets[0], moved, *rail.brackets[2:]))
    findings = [f for f in check_wall_rail(off, ENGLAND) if f.code == "handrail.fixing.stud"]
    assert findings[0].verdict is Verdict.FAIL
    assert "B2" in findings[0].text


def test_a_break_on_winders_fails_and_one_at_a_landing_is_advice() -> None:
    broken = wall_over_winders(CornerWay.BROKEN)
    finding = one(found(broken, winder_stair()), "handrail.continuity")
    assert finding.verdict is Verdict.FAIL
    landing = wall_round_landing(CornerWay.BROKEN)
    finding = one(found(landing, landing_stair()), "handrail.continuity")
    assert finding.verdict is Verdict.ADVICE


def test_over_winders_and_round_a_landing_every_height_passes() -> None:
    for brief, around in ((wall_over_winders(), winder_stair()), (wall_round_landing(), landing_stair())):
        heights = [f for f in found(brief, around) if f.code.startswith("handrail.height")]
        assert {finding.verdict for finding in heights} == {Verdict.PASS}


def test_a_rail_moved_by_hand_is_measured_where_it_is() -> None:
    """The checks read the pieces: lowered by 100 they stand 100 lower, whatever was planned."""
    rail = compose_wall_rail(one_wall(), straight_stair(), ENGLAND)
    lower = tuple(
        replace(
            piece,
            start=(piece.start[0], piece.start[1], piece.start[2] - 100.0),
            finish=(piece.finish[0], piece.finish[1], piece.finish[2] - 100.0),
        )
        for piece in rail.pieces
    )
    finding = one(check_wall_rail(replace(rail, pieces=lower), ENGLAND), "handrail.height.min")
    says(finding, 850.0, Verdict.FAIL)


def test_a_soffit_over_the_rail_is_told() -> None:
    """A level soffit 2700 up from N8 on: over the head of the rail at 3550 nothing is free."""
    around = straight_stair()
    soffit = Soffit("upper flight", (1600.0, 2700.0), (2700.0, 2700.0))
    flight = replace(around.flights["F1"], soffits=(soffit,))
    findings = found(one_wall(), Surroundings({"F1": flight}, {}))
    over = one(findings, "handrail.clear.over")
    assert over.verdict is Verdict.ADVICE
    assert over.measured == pytest.approx(2700.0 - 3550.0)
    assert one(findings, "stair.headroom.under").measured == pytest.approx(2700.0 - 2600.0)


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_every_place_judges_every_wall_rail(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    for brief, around in ((one_wall(), straight_stair()), (wall_over_winders(), winder_stair())):
        assert found(brief, around, rules)


@pytest.mark.parametrize(
    ("figure_id", "value"),
    [
        ("handrail.fixing.first", 50.0),
        ("handrail.fixing.apart", 300.0),
        ("handrail.fixing.screws", 9.0),
        ("handrail.fixing.into_wood", 90.0),
        ("handrail.clear.wall", 300.0),
        ("handrail.clear.rough", 300.0),
        ("handrail.projection", 10.0),
    ],
)
def test_each_figure_matters(figure_id: str, value: float) -> None:
    face = WallFace("F1", Backing.STUDS, studs(-500.0, 400.0, 10), rough=True)
    rail = compose_wall_rail(one_wall(walls=(face,)), straight_stair(), CANADA)
    ruled = with_figure(CANADA, figure_id, value)
    smooth = replace(rail, legs=(replace(rail.legs[0], face=replace(face, rough=False)),))
    judged = smooth if figure_id == "handrail.clear.wall" else rail
    assert one(check_wall_rail(judged, ruled), figure_id).verdict is Verdict.FAIL
