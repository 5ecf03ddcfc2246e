"""Spreading uprights over a run, worked by hand."""

import pytest

from pitchline.design.brief import Centred, SpacingBrief, Spread
from pitchline.design.spacing import Run, lay_out, least_count, widest_gap

RUN = Run(1000.0, 40.0, 40.0)


def test_equal_gaps_by_hand() -> None:
    """1000 = n 40 + (n + 1) g, g at most 99: n = 7 gives 90, n = 6 gives 108.6."""
    layout = lay_out(RUN, 99.0, SpacingBrief())
    assert len(layout.centres) == 7
    assert layout.gap == pytest.approx(90.0)
    assert (layout.start_gap, layout.finish_gap) == pytest.approx((90.0, 90.0))
    assert layout.centres[0] == pytest.approx(110.0)
    assert layout.centres[-1] == pytest.approx(1000.0 - 110.0)
    assert "the fewest that keep the limit" in layout.note


def test_half_gaps_by_hand() -> None:
    """1000 = n 40 + n g: n = 8 gives 85, n = 7 gives 102.9."""
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.HALF_ENDS))
    assert len(layout.centres) == 8
    assert (layout.gap, layout.start_gap) == pytest.approx((85.0, 42.5))


def test_a_limit_met_exactly_is_met() -> None:
    assert least_count(RUN, 90.0, 2.0) == 7
    assert least_count(RUN, 90.0 - 1e-6, 2.0) == 8


@pytest.mark.parametrize(
    ("closed", "gaps"), [((True, True), 8), ((True, False), 7), ((False, True), 7), ((False, False), 6)]
)
def test_a_free_end_has_no_gap(closed: tuple[bool, bool], gaps: int) -> None:
    layout = lay_out(Run(1000.0, 40.0, 40.0, *closed), 130.0, SpacingBrief(count=7))
    assert layout.gap == pytest.approx(720.0 / gaps)
    assert layout.start_gap == pytest.approx(layout.gap if closed[0] else 0.0)
    assert layout.finish_gap == pytest.approx(layout.gap if closed[1] else 0.0)
    assert layout.centres[-1] + 20.0 + layout.finish_gap == pytest.approx(1000.0)


def test_one_upright_between_free_ends_stands_in_the_middle() -> None:
    layout = lay_out(
        Run(100.0, 40.0, 40.0, closed_start=False, closed_finish=False), 99.0, SpacingBrief(count=1)
    )
    assert layout.centres == (50.0,)
    assert (layout.start_gap, layout.finish_gap) == (30.0, 30.0)
    assert layout.fits


@pytest.mark.parametrize("spread", [Spread.EQUAL, Spread.HALF_ENDS])
def test_one_upright_alone_is_enough_where_both_its_gaps_hold(spread: Spread) -> None:
    """238 = 40 + 2 x 99, whatever share an end would have beside other gaps."""
    assert len(lay_out(Run(238.0, 40.0, 40.0), 99.0, SpacingBrief(spread)).centres) == 1
    assert len(lay_out(Run(239.0, 40.0, 40.0), 99.0, SpacingBrief(spread)).centres) == 2


def test_a_run_shorter_than_a_gap_still_gets_one() -> None:
    layout = lay_out(Run(90.0, 40.0, 40.0), 99.0, SpacingBrief())
    assert layout.centres == (45.0,)
    assert layout.start_gap == pytest.approx(25.0)


def test_a_run_narrower_than_the_upright_does_not_fit() -> None:
    layout = lay_out(Run(30.0, 40.0, 40.0), 99.0, SpacingBrief())
    assert not layout.fits


def test_a_count_too_low_is_kept_with_its_wide_gaps() -> None:
    layout = lay_out(RUN, 99.0, SpacingBrief(count=4))
    assert layout.gap == pytest.approx(840.0 / 5)
    assert "as asked" in layout.note


def test_a_count_too_high_does_not_fit() -> None:
    layout = lay_out(RUN, 99.0, SpacingBrief(count=26))
    assert not layout.fits
    assert layout.gap == pytest.approx((1000.0 - 26 * 40.0) / 27)


def test_necks_take_from_the_gap() -> None:
    """A neck 12 thinner opens the gap by 12: 99 leaves 87 at full width."""
    turned = Run(1000.0, 40.0, 28.0)
    assert widest_gap(turned, 99.0, SpacingBrief()) == 87.0
    layout = lay_out(turned, 99.0, SpacingBrief())
    assert len(layout.centres) == 8
    assert layout.gap == pytest.approx(680.0 / 9)


def test_the_user_may_ask_for_less_than_the_limit_never_more() -> None:
    assert widest_gap(RUN, 99.0, SpacingBrief(max_gap=80.0)) == 80.0
    assert widest_gap(RUN, 99.0, SpacingBrief(max_gap=150.0)) == 99.0


def test_a_module_with_an_upright_on_the_middle() -> None:
    """At 130 seven reach 6 x 130 + 40 = 820: odd ends of 90; eight would reach 950."""
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.MODULE, module=130.0))
    assert len(layout.centres) == 7
    assert layout.centres[3] == pytest.approx(500.0)
    assert (layout.start_gap, layout.finish_gap) == pytest.approx((90.0, 90.0))
    assert layout.gap == 90.0


def test_a_module_with_a_gap_on_the_middle() -> None:
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.MODULE, module=130.0, centred=Centred.GAP))
    assert len(layout.centres) == 8
    assert (layout.centres[3] + layout.centres[4]) / 2 == pytest.approx(500.0)
    assert (layout.start_gap, layout.finish_gap) == pytest.approx((25.0, 25.0))


def test_a_module_from_a_free_end_leaves_the_rest_at_the_other() -> None:
    layout = lay_out(
        Run(1000.0, 40.0, 40.0, closed_start=False), 99.0, SpacingBrief(Spread.MODULE, module=130.0)
    )
    assert len(layout.centres) == 8
    assert (layout.start_gap, layout.finish_gap) == pytest.approx((0.0, 50.0))
    mirrored = lay_out(
        Run(1000.0, 40.0, 40.0, closed_finish=False), 99.0, SpacingBrief(Spread.MODULE, module=130.0)
    )
    assert (mirrored.start_gap, mirrored.finish_gap) == pytest.approx((50.0, 0.0))


def test_a_module_too_large_for_the_run() -> None:
    gap_wanted = SpacingBrief(Spread.MODULE, module=130.0, centred=Centred.GAP)
    assert not lay_out(Run(150.0, 40.0, 40.0), 99.0, gap_wanted).fits
    assert lay_out(Run(150.0, 40.0, 40.0), 99.0, SpacingBrief(Spread.MODULE, module=130.0)).centres == (75.0,)


@pytest.mark.parametrize(("length", "width"), [(0.0, 40.0), (-5.0, 40.0), (100.0, 0.0)])
def test_nothing_to_spread_over(length: float, width: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        lay_out(Run(length, width, width), 99.0, SpacingBrief())
