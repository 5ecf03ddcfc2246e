"""Pairs and triplets spread over a run, worked by hand."""

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.strategies_stairs import LIMITS, PLAIN_UPRIGHTS, plain_brief, regular_flight

from pitchline.design.brief import SpacingBrief, Spread
from pitchline.design.compose import compose
from pitchline.design.spacing import Run, lay_out

RUN = Run(1000.0, 20.0, 20.0)


def test_pairs_by_hand() -> None:
    """Pairs are 20 + 30 + 20 = 70 wide: 1000 = m 70 + (m + 1) g; m = 5 gives 108.3, m = 6 gives 82.9."""
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.GROUPS, group=2, inner_gap=30.0))
    assert len(layout.centres) == 12
    assert layout.gap == pytest.approx((1000.0 - 6 * 70.0) / 7)
    assert layout.inner_gap == 30.0
    gaps = [b - a - 20.0 for a, b in pairwise(layout.centres)]
    assert gaps == pytest.approx([30.0, layout.gap] * 5 + [30.0])
    assert (layout.start_gap, layout.finish_gap) == pytest.approx((layout.gap, layout.gap))
    assert "6 pairs" in layout.note


def test_the_inner_gap_is_an_uprights_width_where_nothing_is_said() -> None:
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.GROUPS, group=3))
    first, second, third = layout.centres[:3]
    assert (second - first, third - second) == pytest.approx((40.0, 40.0))
    assert "triplets" in layout.note


def test_a_count_of_groups_is_kept() -> None:
    layout = lay_out(RUN, 99.0, SpacingBrief(Spread.GROUPS, count=3, inner_gap=30.0))
    assert len(layout.centres) == 6
    assert layout.gap == pytest.approx((1000.0 - 210.0) / 4)
    assert layout.widest == layout.gap


def test_necks_count_between_groups() -> None:
    """With a neck 6 mm thinner the gap may be 93: m = 6 gives 82.9 still."""
    turned = Run(1000.0, 20.0, 14.0)
    layout = lay_out(turned, 89.0, SpacingBrief(Spread.GROUPS, inner_gap=30.0))
    assert layout.gap <= 83.0


def test_an_inner_gap_over_the_limit_is_told() -> None:
    flight = regular_flight()
    wish = SpacingBrief(Spread.GROUPS, inner_gap=101.0)
    narrow = replace(PLAIN_UPRIGHTS, width=20.0, thickness=20.0, spacing=wish)
    made = compose(flight, plain_brief(flight, infill=narrow), LIMITS)
    assert any(finding.code == "design.spacing.group" for finding in made.findings)


def test_groups_lean_like_other_uprights() -> None:
    flight = regular_flight()
    wish = SpacingBrief(Spread.GROUPS, inner_gap=30.0)
    leaning = replace(PLAIN_UPRIGHTS, width=20.0, thickness=20.0, lean=-0.2, spacing=wish)
    made = compose(flight, plain_brief(flight, infill=leaning), LIMITS)
    inner = [u.gap_after for u in made.uprights[2:-2]]
    assert min(inner) == pytest.approx(30.0)
    assert max(inner) <= 99.0 + 1e-9
