"""The season in the gaps and in the fits: what is kept back, what is said, and when nothing is.

Movements are sums by hand with the coefficients of the catalogue, which the validations hold to the handbook.
"""

import math
from dataclasses import replace

import pytest
from tests.strategies_stairs import (
    LIMITS,
    PLAIN_BASE,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    newel,
    plain_brief,
    regular_flight,
)

from pitchline.catalogue.moisture import DAMP_SUMMER, Climate, Season
from pitchline.catalogue.rules import load_rule_set
from pitchline.design.brief import (
    Bored,
    FreeEnd,
    Grooved,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.fits import fits_of, tightest_fit
from pitchline.design.limits import Limits
from pitchline.design.model import Design
from pitchline.design.season import end_allowed, opening_allowed
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.kit.words import plain_mm, show_in
from pitchline.story import Memo, solve

PINE = 0.00293
"""Tangential movement of European redwood, share of the width per %."""
DRY = Climate(30.0, 21.0)
SEASON = Season(10.0, DRY)
SHRUNK = 41.0 * PINE * (10.0 - DRY.moisture)
"""A plain upright, 41 mm, from 10 % to the moisture of the dry season; all above 6 %."""


def laid(limits: Limits = LIMITS, **changes: object) -> Design:
    flight = regular_flight()
    return compose(flight, plain_brief(flight, **changes), limits)


def told(design: Design) -> dict[str, Finding]:
    return {finding.code: finding for finding in design.findings if finding.code.startswith("design.season")}


class TestKeptBack:
    def test_three_parts_of_the_limit(self) -> None:
        brief = plain_brief(regular_flight(), season=SEASON, build_tolerance=1.5)
        assert opening_allowed(brief, 100.0) == pytest.approx(100.0 - 1.5 - SHRUNK)
        assert end_allowed(brief, 100.0) == pytest.approx(100.0 - 1.5 - SHRUNK / 2)
        assert opening_allowed(replace(brief, season=None), 100.0) == 98.5

    def test_the_season_asks_for_one_upright_more(self) -> None:
        """A run of 2610: 18 leave gaps of 98.53, where 99 - 41 x 0.00293 x 5.8 = 98.3 is allowed: 19 at 91.55."""
        assert len(laid().uprights) == 18
        design = laid(season=Season(12.0, DRY))
        assert len(design.uprights) == 19
        assert design.uprights[0].gap_after == pytest.approx((2610.0 - 19 * 41.0) / 20)

    def test_wood_made_drier_than_the_winter_needs_nothing(self) -> None:
        brief = plain_brief(regular_flight(), season=Season(5.0, DRY))
        assert opening_allowed(brief, 100.0) == 99.0
        finding = told(laid(season=Season(5.0, DRY)))["design.season"]
        assert "shrink no further in a season that brings" in finding.text
        assert finding.verdict is Verdict.PASS

    def test_a_turned_upright_shrinks_at_its_neck(self) -> None:
        turned = UprightsBrief(Shape.TURNED, 41.0, 41.0, profile=((0.0, 41.0), (100.0, 25.0), (200.0, 41.0)))
        brief = plain_brief(regular_flight(), infill=turned, season=SEASON)
        assert opening_allowed(brief, 100.0) == pytest.approx(99.0 - 25.0 / 41.0 * SHRUNK)

    def test_a_count_that_is_asked_for_is_kept(self) -> None:
        """18 uprights leave 98.53; made at 16 % they shrink by 1.2 mm: 99.7 with an uncertainty of half a mm."""
        infill = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(count=18))
        wet = laid(infill=infill, season=Season(16.0, DRY))
        assert len(wet.uprights) == 18
        finding = told(wet)["design.season"]
        assert finding.verdict is Verdict.UNSURE
        assert finding.remedy is not None
        assert "leave the count out" in finding.remedy
        green = told(laid(infill=infill, season=Season(25.0, Climate(15.0, 21.0))))["design.season"]
        assert green.verdict is Verdict.FAIL
        assert "it does not keep the limit" in green.text


class TestSaid:
    def test_the_parts_in_numbers(self) -> None:
        finding = told(laid(season=SEASON))["design.season"]
        gap = (2610.0 - 18 * 41.0) / 19
        assert "uprights of European redwood (Scots pine) 41.0 mm wide shrink by" in finding.text
        assert (
            f"The limit of 100.0 mm less 1.00 mm for the build and {SHRUNK:.2f} mm for the season"
            in finding.text
        )
        assert f"leaves {99.0 - SHRUNK:.1f} mm" in finding.text
        assert f"{gap:.1f} mm as made, is {gap + SHRUNK:.1f} mm" in finding.text
        assert "0.00293 per % moisture" in finding.text
        assert "from memory, not seen" in finding.text
        assert finding.measured == pytest.approx(gap + SHRUNK)
        assert (finding.limit, finding.verdict) == (100.0, Verdict.PASS)

    def test_the_uncertainty_of_the_dry_gap(self) -> None:
        """Spread of the wood 15 % of the movement, half a percent of moisture, and a nineteenth of the run's."""
        design = laid(season=SEASON)
        finding = told(design)["design.season"]
        parts = (0.15 * SHRUNK, 41.0 * PINE * 0.5, design.bay.run_sigma / 19)
        assert finding.expanded_uncertainty == pytest.approx(2.0 * math.hypot(*parts))

    def test_the_ends_of_a_fixed_module_grow_by_half(self) -> None:
        """18 at 139 reach 2404: odd ends of 103 grow by half a movement, and take half of the run's uncertainty."""
        spacing = SpacingBrief(Spread.MODULE, module=139.0, count=18)
        design = laid(infill=replace(PLAIN_UPRIGHTS, spacing=spacing), season=SEASON)
        finding = told(design)["design.season"]
        assert finding.measured == pytest.approx(103.0 + SHRUNK / 2)
        parts = (0.15 * SHRUNK / 2, 41.0 * PINE * 0.5 / 2, design.bay.run_sigma / 2)
        assert finding.expanded_uncertainty == pytest.approx(2.0 * math.hypot(*parts))
        assert finding.verdict is Verdict.FAIL
        assert finding.remedy is not None
        assert finding.remedy.startswith("choose a smaller module")

    def test_nothing_said_gives_the_figure_of_a_heated_house(self) -> None:
        finding = told(laid())["design.season"]
        most = 41.0 * PINE * (12.0 - DRY.moisture)
        gap = (2610.0 - 18 * 41.0) / 19
        assert finding.verdict is Verdict.ADVICE
        assert f"or {most:.2f} mm in a house heated down to 35 or 30 % humidity" in finding.text
        assert f"from {gap:.1f} mm to as much as {gap + most:.1f} mm, inside the limit" in finding.text
        assert finding.remedy is not None
        assert "[designs.season]" in finding.remedy
        tight = told(laid(Limits(900.0, 1000.0, 98.9), build_tolerance=0.0))["design.season"]
        assert "no longer inside the limit of 98.9 mm" in tight.text
        assert tight.verdict is Verdict.ADVICE

    @pytest.mark.parametrize("material", ["steel", "mdf", "birch-plywood"])
    def test_nothing_is_advised_where_nothing_moves(self, material: str) -> None:
        assert told(laid(infill=replace(PLAIN_UPRIGHTS, material=material))) == {}

    def test_what_stands_still_is_said_to_when_asked(self) -> None:
        steel = told(laid(infill=replace(PLAIN_UPRIGHTS, material="steel"), season=SEASON))
        assert steel.keys() == {"design.season"}
        assert steel["design.season"].verdict is Verdict.PASS
        assert "does not move" in steel["design.season"].text
        board = told(laid(infill=replace(PLAIN_UPRIGHTS, material="mdf"), season=SEASON))["design.season"]
        assert board.verdict is Verdict.ADVICE
        assert "no movement for" in board.text

    def test_a_lone_upright_between_free_ends_has_no_gap_to_open(self) -> None:
        infill = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(count=1))
        bottom, top = FreeEnd(Station("N1")), FreeEnd(Station("N1", 60.0))
        alone = laid(infill=infill, season=SEASON, bottom=bottom, top=top)
        assert "design.season" not in told(alone)
        assert told(laid(infill=infill, bottom=bottom, top=top)) == {}

    def test_uprights_that_do_not_fit_are_not_spoken_of(self) -> None:
        infill = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(count=70))
        assert told(laid(infill=infill, season=SEASON)) == {}

    def test_the_floor_s_limit_holds_where_the_infill_runs_on_over_it(self) -> None:
        """Beside the stair 111 mm, beside the floor 102 (as some places have it): the tighter of the two is kept."""
        limits = Limits(900.0, 1000.0, 111.0, level_gap=102.0)
        far = laid(limits, top=newel("N13", offset=300.0), season=SEASON)
        assert told(far)["design.season"].limit == 102.0
        assert told(laid(limits, season=SEASON))["design.season"].limit == 111.0

    def test_the_limit_is_compared_as_the_rule_does(self) -> None:
        """Approved Document K (2013), 1.39: a sphere of 100 mm cannot pass, so an opening of 100 is too wide."""
        assert Limits.of(load_rule_set("england-dwelling")).compare == "lt"


class TestFits:
    def test_between_the_fillets(self) -> None:
        """41 mm of pine from 10 % to a damp season's 11 swell by 0.12 mm; with 0.05 of play that binds."""
        swelling = 41.0 * PINE * (DAMP_SUMMER.moisture - 10.0)
        tight = Grooved(10.0, 10.0, 6.0, clearance=0.5, end_play=0.05)
        finding = told(laid(making=tight, season=SEASON))["design.season.fit"]
        assert finding.verdict is Verdict.ADVICE
        assert finding.measured == pytest.approx(0.05 - swelling)
        assert f"{swelling:.2f} mm between the fillets" in finding.text
        assert "they will bind" in finding.text
        assert finding.remedy is not None
        assert finding.remedy.startswith(f"make end_play {swelling:.2f} mm or more")
        loose = replace(tight, end_play=0.4)
        finding = told(laid(making=loose, season=SEASON))["design.season.fit"]
        assert finding.verdict is Verdict.PASS
        assert f"{0.4 - swelling:.2f} mm of their 0.40 mm of play is left" in finding.text

    def test_a_groove_grows_with_its_rail(self) -> None:
        """The groove, 41.2 mm, by the rail's radial 0.0018; the upright by its tangential 0.00293."""
        making = Grooved(10.0, 10.0, 6.0, clearance=0.2, end_play=5.0)
        brief = plain_brief(regular_flight(), making=making, season=SEASON)
        fit = tightest_fit(brief, SEASON)
        assert fit is not None
        rise = DAMP_SUMMER.moisture - 10.0
        assert fit.where == "in the groove of the handrail"
        assert fit.left == pytest.approx(0.2 + (41.2 * 0.0018 - 41.0 * PINE) * rise)

    def test_a_rail_of_steel_does_not_make_room(self) -> None:
        making = Grooved(10.0, 10.0, 6.0, clearance=0.2, end_play=5.0)
        rail = replace(PLAIN_RAIL, material="steel")
        brief = plain_brief(regular_flight(), making=making, rail=rail, season=SEASON)
        fit = tightest_fit(brief, SEASON)
        assert fit is not None
        assert fit.left == pytest.approx(0.2 - 41.0 * PINE * (DAMP_SUMMER.moisture - 10.0))

    def test_a_bored_hole(self) -> None:
        round_ones = UprightsBrief(Shape.ROUND, 41.0, 41.0)
        (fit,) = fits_of(
            plain_brief(regular_flight(), infill=round_ones, making=Bored(20.0, 12.0, 0.3)), SEASON
        )
        assert fit.left == pytest.approx(0.3 - 41.0 * PINE * (DAMP_SUMMER.moisture - 10.0))

    def test_plywood_in_its_own_layers_keeps_its_fit(self) -> None:
        making = Stacked(3, 18.0, (2,), 30.0, 15.0)
        infill = UprightsBrief(Shape.RECTANGULAR, 41.0, 18.0, material="birch-plywood")
        rail, base = replace(PLAIN_RAIL, width=54.0), replace(PLAIN_BASE, width=54.0)
        design = laid(making=making, infill=infill, rail=rail, base=base, season=SEASON)
        assert "design.season.fit" not in told(design)
        blocks, layers = fits_of(design.brief, SEASON)
        assert layers.left == pytest.approx(0.0, abs=1e-12)
        assert blocks.left == pytest.approx(-41.0 * 0.0002 * (DAMP_SUMMER.moisture - 10.0))

    def test_solid_wood_in_layers_of_plywood_is_to_be_thinner(self) -> None:
        making = Stacked(3, 41.0, (2,), 30.0, 15.0, end_play=5.0, material="spruce-european")
        brief = plain_brief(
            regular_flight(), making=making, infill=replace(PLAIN_UPRIGHTS, material="beech-european")
        )
        fit = tightest_fit(brief, SEASON)
        assert fit is not None
        assert (fit.where, fit.key) == ("in their layers", "")
        assert fit.left == pytest.approx((41.0 * 0.00133 - 41.0 * 0.00419) * (DAMP_SUMMER.moisture - 10.0))
        rail, base = replace(PLAIN_RAIL, width=123.0), replace(PLAIN_BASE, width=123.0)
        finding = told(laid(making=making, infill=brief.uprights, rail=rail, base=base, season=SEASON))[
            "design.season.fit"
        ]
        assert finding.remedy == f"make the uprights {-fit.left:.2f} mm thinner"

    def test_wood_made_in_the_damp_does_not_swell(self) -> None:
        assert "design.season.fit" not in told(laid(season=Season(13.0, DRY)))


class TestUnits:
    def test_inches_say_the_same_in_thousandths(self) -> None:
        flight = regular_flight()
        brief = plain_brief(flight, season=SEASON)
        metric, inch = (compose(flight, brief, LIMITS, show) for show in (plain_mm, show_in(Unit.INCH)))
        for a, b in zip(metric.findings, inch.findings, strict=True):
            assert replace(b, text=a.text, remedy=a.remedy) == a
        text = told(inch)["design.season"].text
        assert f'shrink by {SHRUNK / MM_PER_INCH:.3f}"' in text
        assert "30 % humidity at 70 °F" in text
        assert " mm" not in text
        assert "30 % humidity at 21 °C" in told(metric)["design.season"].text

    def test_an_inch_job_reads_the_same_season(self) -> None:
        table = "[designs.season]\nmade_rh_percent = 50\nmade_temperature_c = 21\ndry_rh_percent = 25\n"
        for name in ("mm", "in"):
            text = starting_text(name, Unit(name))
            job = load_text(text.rstrip() + "\n\n" + table)
            season = job.designs[-1].season
            assert season is not None
            assert season.made == pytest.approx(Climate(50.0, 21.0).moisture)
            assert (season.dry, season.damp) == (Climate(25.0, 21.0), DAMP_SUMMER)
            assert job.designs[0].season is None or len(job.designs) == 1


def test_another_season_touches_its_own_design_alone() -> None:
    job = load_text(starting_text("mm", Unit.MM))
    memo = Memo()
    before = solve(job, memo)
    first, second = job.designs
    after = solve(replace(job, designs=(replace(first, season=SEASON), second)), memo)
    assert after.designs[1] is before.designs[1]
    assert after.flights[0] is before.flights[0]
    assert after.designs[0] is not before.designs[0]
    codes = {finding.code for finding in after.designs[0].design.findings}
    assert "design.season" in codes
