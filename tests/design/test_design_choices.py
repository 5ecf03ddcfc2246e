"""The layouts offered where the spacing is left open, worked by hand."""

from dataclasses import replace

import pytest
from tests.strategies_stairs import LIMITS, PLAIN_GROOVES, PLAIN_UPRIGHTS, newel, plain_brief, regular_flight

from pitchline.design.brief import (
    Bored,
    FreeEnd,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    Station,
)
from pitchline.design.choices import Choice, choices_of, strips_between
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.kit.words import show_in


def design(**changes: object) -> Design:
    """Over 2610 mm, uprights of 41 mm and openings of at most 99: the run of the trade's reference flight."""
    flight = regular_flight()
    return compose(flight, plain_brief(flight, **changes), LIMITS)


def offered(unit: Unit = Unit.MM, **changes: object) -> tuple[Choice, ...]:
    made = design(**changes)
    return choices_of(made.bay, made.brief, unit)


def test_equal_gaps_with_the_fewest_come_first_and_are_what_is_laid_out() -> None:
    """2610 = 18 x 41 + 19 g: g = 98.526; 18 uprights and 2 x 19 fillets are 56 pieces, none odd."""
    first = offered()[0]
    assert first.preferred
    assert first.gap == pytest.approx((2610.0 - 18 * 41.0) / 19)
    assert (first.spread, first.count, first.pieces, first.odd) == (Spread.EQUAL, 18, 56, 0)
    assert len(design().uprights) == first.count


def test_one_more_leaves_the_gap_the_trade_prints() -> None:
    """19 uprights: 91.55 mm."""
    closer = next(choice for choice in offered() if choice.count == 19 and choice.spread is Spread.EQUAL)
    assert closer.gap == pytest.approx(91.55)
    assert closer.pieces == 59


def test_half_gaps_have_two_odd_fillets_in_each_rail() -> None:
    """2610 = n 41 + n g: n = 19 gives 96.4."""
    halved = next(choice for choice in offered() if choice.spread is Spread.HALF_ENDS)
    assert (halved.count, halved.odd) == (19, 4)
    assert halved.gap == pytest.approx(2610.0 / 19 - 41.0)
    assert (halved.start_gap, halved.finish_gap) == pytest.approx((halved.gap / 2, halved.gap / 2))


@pytest.mark.parametrize(("unit", "step"), [(Unit.MM, 5.0), (Unit.INCH, MM_PER_INCH / 4)])
def test_the_module_is_a_whole_number_of_steps(unit: Unit, step: float) -> None:
    module = next(choice for choice in offered(unit) if choice.spread is Spread.MODULE)
    assert module.module / step == pytest.approx(round(module.module / step))
    assert module.gap / 3 <= module.start_gap <= 99.0
    assert module.start_gap == pytest.approx(module.finish_gap)


def test_first_is_told_what_is_laid_out_and_then_the_others_by_their_cost() -> None:
    choices = offered()
    made = design().uprights
    assert [choice.preferred for choice in choices] == [True] + [False] * (len(choices) - 1)
    assert len(made) == choices[0].count
    assert made[1].gap_before == pytest.approx(choices[0].gap)
    assert sorted(choices[1:], key=lambda choice: choice.cost) == list(choices[1:])


def test_an_end_that_is_free_has_no_fillet() -> None:
    first = offered(bottom=FreeEnd(Station("N1", 60.0)), top=newel("N13"))[0]
    assert first.start_gap == 0.0
    assert first.pieces == first.count + 2 * first.count


def test_bored_rails_have_no_fillets_to_be_odd() -> None:
    rods = replace(PLAIN_UPRIGHTS, shape=Shape.ROUND)
    choices = offered(making=Bored(20.0, 12.0), infill=rods)
    assert {choice.odd for choice in choices} == {0}
    assert all(choice.pieces == choice.count for choice in choices)


def test_rows_of_fillets_and_blocks() -> None:
    assert strips_between(PLAIN_GROOVES) == 2
    assert strips_between(Stacked(3, 18.0, (1, 2), 20.0, 12.0)) == 4


@pytest.mark.parametrize(
    "wish",
    [
        SpacingBrief(count=19),
        SpacingBrief(max_gap=80.0),
        SpacingBrief(Spread.HALF_ENDS),
        SpacingBrief(Spread.MODULE, module=140.0),
        SpacingBrief(Spread.GROUPS),
    ],
)
def test_where_the_maker_has_chosen_nothing_is_offered(wish: SpacingBrief) -> None:
    infill = replace(PLAIN_UPRIGHTS, spacing=wish)
    assert offered(infill=infill) == ()
    assert not [finding for finding in design(infill=infill).findings if finding.code == "design.choices"]


def test_the_choice_is_told_with_its_reason_and_its_cost_in_the_makers_unit() -> None:
    flight = regular_flight()
    inches = compose(flight, plain_brief(flight), LIMITS, show_in(Unit.INCH))
    (told,) = [finding for finding in inches.findings if finding.code == "design.choices"]
    assert told.verdict is Verdict.REPORT
    assert told.text.startswith('Laid out: 18 uprights, gaps of 3 7/8"')
    assert "every gap alike, with as few uprights as that allows (56 pieces)" in told.text
    assert "4 of them odd" in told.text
