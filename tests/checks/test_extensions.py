"""What a handrail does beyond its flight: IBC 1014.6 and ADA 505.10 extensions, NZ D1/AS1 its beginning, newels."""

from dataclasses import replace

import pytest
from tests.builders import with_figure, with_word
from tests.checks.place_designs import GOING, RULES, Wish, built

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.existing import Step
from pitchline.checks.extensions import check_extensions, check_newels, rail_reach
from pitchline.checks.flexing import check_flexing
from pitchline.checks.handrail import check_handrail
from pitchline.checks.step_rules import check_step_rules, neighbour_steps, pair_holds
from pitchline.checks.unmeasured import check_side_gap, check_underside
from pitchline.kit.finding import Finding, Verdict

ADA, ZEALAND, IRC = (RULES[name] for name in ("us-ada-2010", "new-zealand-nzbc", "us-irc-2021"))
CANADA, GERMANY, WALES = (RULES[name] for name in ("canada-nbc-2020", "germany-din-18065", "wales-dwelling"))
WISH = Wish(height=910.0, gap=90.0)


def found(wish: Wish, rules: RuleSet) -> dict[str, Finding]:
    case = Case(built(wish), rules)
    return {f.code: f for f in (*check_extensions(case), *check_newels(case))}


def test_the_reach_past_the_risers_by_plain_sums() -> None:
    """Nosings overhang by 20: the rail begins 10 before the first nosing and ends 150 past the last."""
    assert rail_reach(Case(built(replace(WISH, reach=150.0)), ADA)) == pytest.approx((30.0, 130.0))


def test_an_extension_too_short_fails_and_the_piece_of_the_remedy_makes_it_long_enough() -> None:
    short = found(WISH, ADA)["handrail.extension.top"]
    assert short.verdict is Verdict.FAIL
    more = float((short.remedy or "").removeprefix("lengthen the rail by ").split(" mm")[0])
    assert found(replace(WISH, reach=20.0 + more), ADA)["handrail.extension.top"].verdict is Verdict.ADVICE
    assert (
        found(replace(WISH, reach=20.0 + more - 2.0), ADA)["handrail.extension.top"].verdict is Verdict.FAIL
    )


def test_at_the_foot_the_extension_slopes_on_for_a_tread() -> None:
    """ADA 505.10.3: one tread depth at the slope of the stair."""
    bottom = "handrail.extension.bottom.treads"
    assert found(replace(WISH, begins=-GOING), ADA)[bottom].verdict is Verdict.PASS
    assert found(replace(WISH, begins=-GOING + 30.0), ADA)[bottom].verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("begins", "verdict"), [(-10.0, Verdict.PASS), (250.0, Verdict.PASS), (550.0, Verdict.FAIL)]
)
def test_in_new_zealand_the_rail_begins_by_the_second_riser(begins: float, verdict: Verdict) -> None:
    assert found(replace(WISH, begins=begins), ZEALAND)["handrail.begin"].verdict is verdict


def test_a_newel_in_the_middle_of_the_flight_is_in_the_way() -> None:
    """IRC R311.7.8.4: a newel may stand at a turn, at a landing and over the lowest tread."""
    assert found(WISH, IRC)["handrail.newel"].verdict is Verdict.PASS
    case = Case(built(replace(WISH, reach=-300.0)), IRC)
    verdicts = [f.verdict for f in check_newels(case)]
    assert verdicts == [Verdict.PASS, Verdict.FAIL]


def test_uprights_take_up_the_underside_of_the_handrail() -> None:
    """ADA 505.6: at most 20 % of the length."""
    for width, verdict in ((20.0, Verdict.PASS), (32.0, Verdict.FAIL)):
        case = Case(built(replace(WISH, width=width)), ADA)
        below = next(f for f in check_handrail(case) if f.code == "handrail.bottom.obstructed")
        assert below.verdict is verdict


def test_both_sides_always_is_told_whatever_the_width() -> None:
    sides = [f for f in check_handrail(Case(built(WISH), ADA)) if f.code == "handrail.sides"]
    assert [f.verdict for f in sides] == [Verdict.ADVICE]


def test_a_low_or_flat_stair_needs_no_handrail_in_the_netherlands() -> None:
    """Bouwbesluit 2.35: more than 1 m and steeper than 2 in 3; this one rises 180 in 260 = 0.692 over 1080 mm."""
    dutch = RULES["netherlands-bbl"]

    def needed(rules: RuleSet) -> Verdict:
        return next(
            f.verdict for f in check_handrail(Case(built(WISH), rules)) if f.code == "handrail.needed"
        )

    assert needed(dutch) is Verdict.PASS
    assert needed(with_figure(dutch, "handrail.needed.slope", 0.7)) is Verdict.REPORT
    assert needed(with_figure(dutch, "handrail.needed.rise", 1200.0)) is Verdict.REPORT


def test_a_rail_outside_the_steps_stays_within_reach() -> None:
    """IBC 2024 1014.3: 6 in."""
    rules = with_word(RULES["us-ibc-2024"], "guard.top.as_handrail", "yes")
    rules = with_figure(rules, "guard.flight.height", 900.0)
    design = built(WISH)
    sense = design.side.towards_stair
    for out, verdict in ((150.0, Verdict.PASS), (160.0, Verdict.FAIL)):
        moved = replace(design, handrail=replace(design.handrail, y=-sense * (out - 16.0 + 20.0)))
        outside = next(f for f in check_handrail(Case(moved, rules)) if f.code == "handrail.outside_edge")
        assert outside.measured == pytest.approx(out)
        assert outside.verdict is verdict


def test_what_is_not_measured_is_said_and_never_passed() -> None:
    """DIN 18065: 60 mm beside the steps; NBC 2020 9.8.8.2(2): 0.1 kN pulls the uprights apart."""
    side = next(check_side_gap(Case(built(WISH), GERMANY)))
    assert side.verdict is Verdict.REPORT
    assert "not measured" in side.text
    flex = next(check_flexing(Case(built(WISH), CANADA)))
    assert flex.verdict is Verdict.ADVICE
    assert "100 N" in flex.text
    assert "not yet tested" in flex.text


def test_the_clear_height_under_the_base_rail() -> None:
    """NF P01-012: 180 mm over a closed string; DIN 18065: 60 mm over a landing."""
    french = RULES["france-nf-p01-012-1988"]
    for lift, verdict in ((230.0, Verdict.PASS), (250.0, Verdict.FAIL)):
        clear = next(check_underside(Case(built(replace(WISH, lift=lift)), french)))
        assert clear.measured == pytest.approx(lift - 60.0)
        assert clear.verdict is verdict
    over = Case(built(replace(WISH, lift=30.0, reach=100.0)), GERMANY)
    assert {f.code: f.verdict for f in check_underside(over)} == {"opening.under.landing": Verdict.FAIL}


def steps(wish: Wish, rules: RuleSet) -> dict[str, Finding]:
    return {f.code: f for f in check_step_rules(Case(built(wish), rules))}


def test_neighbours_differ_by_plain_sums() -> None:
    sizes = [Step(f"rise {k}", size, 1.0) for k, size in enumerate((180.0, 184.0, 178.0), start=1)]
    assert [step.size for step in neighbour_steps(sizes)] == [4.0, 6.0]
    assert neighbour_steps(sizes)[0].name == "rise 1 and 2"


def test_a_low_first_rise_is_set_beside_its_figures() -> None:
    """DIN 18065: 5 mm to the neighbour and the mean, 15 mm for the first rise."""
    odd = steps(replace(WISH, first_rise=168.0), GERMANY)
    assert odd["stair.rise.adjacent"].measured == pytest.approx(12.0)
    assert odd["stair.first_rise.off"].measured == pytest.approx(12.0)
    assert "within" in odd["stair.first_rise.off"].text
    assert "outside" in odd["stair.rise.adjacent"].text
    assert {f.verdict for f in odd.values()} == {Verdict.REPORT}


@pytest.mark.parametrize(
    ("rise", "going", "pair", "words"),
    [
        (210.0, 252.0, (Verdict.PASS, Verdict.FAIL), "within"),
        (180.0, 280.0, (Verdict.FAIL, Verdict.PASS), "within"),
        (210.0, 290.0, (Verdict.FAIL, Verdict.FAIL), "outside"),
    ],
)
def test_rise_and_going_go_together_in_pairs_in_wales(
    rise: float, going: float, pair: tuple[Verdict, Verdict], words: str
) -> None:
    """Approved Document K 1998: 155-220 with 245-260 mm, or 165-200 with 223-300."""
    wish = replace(WISH, rise=rise, going=going)
    case = Case(built(wish), WALES)
    assert (pair_holds(case, 1), pair_holds(case, 2)) == pair
    assert words in steps(wish, WALES)["stair.pair"].text


def test_a_flight_has_at_most_18_risers_in_australia() -> None:
    """ABCB Housing Provisions 11.2.2."""
    for risers, words in ((6, "within"), (19, "outside")):
        assert (
            words in steps(replace(WISH, risers=risers), RULES["australia-ncc-2022"])["stair.risers.max"].text
        )
