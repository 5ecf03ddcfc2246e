"""Verdicts from a measured value and its expanded uncertainty (JCGM 106:2012, guard bands; from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.finding import Compare, Verdict, judge

PASS, FAIL, UNSURE = Verdict.PASS, Verdict.FAIL, Verdict.UNSURE


@pytest.mark.parametrize(
    ("measured", "expanded", "compare", "verdict"),
    [
        (99.9, 0.0, "lt", PASS),
        (100.0, 0.0, "lt", FAIL),
        (100.0, 0.0, "le", PASS),
        (100.0, 0.0, "ge", PASS),
        (100.0, 0.0, "gt", FAIL),
        (100.1, 0.0, "gt", PASS),
        (99.0, 0.5, "lt", PASS),
        (99.0, 1.0, "lt", UNSURE),
        (100.5, 1.0, "lt", UNSURE),
        (101.0, 1.0, "lt", FAIL),
        (101.0, 1.0, "ge", PASS),
        (100.9, 1.0, "ge", UNSURE),
        (98.9, 1.0, "ge", FAIL),
    ],
)
def test_verdicts(measured: float, expanded: float, compare: Compare, verdict: Verdict) -> None:
    assert judge(measured, expanded, 100.0, compare) is verdict


@given(
    st.floats(0, 2000), st.floats(0.001, 50), st.floats(0, 2000), st.sampled_from(["lt", "le", "ge", "gt"])
)
def test_a_limit_inside_the_uncertainty_is_never_settled(
    measured: float, expanded: float, limit: float, compare: Compare
) -> None:
    inside = measured - expanded < limit < measured + expanded
    assert (judge(measured, expanded, limit, compare) is UNSURE) or not inside
