"""Finishes, glue and dust against published ranges.

Second hand, from public guides: a litre of paint covers about 12 m2 (30 m2 from a tin of 2.5 l), varnish 10 to 12 m2
a quart of 0.95 l, a flooring trade's lacquers 8 to 10 m2 a litre and coat. From memory: data sheets of white glue in
the durability classes of EN 204 give an open time of 5 to 15 minutes and pressing times of 15 to 60 minutes at 20
degrees C.
"""

import pytest

from pitchline.catalogue.finishes import load_finishes
from pitchline.catalogue.shop import load_shop
from pitchline.making.cautions import dust_limit

KNOWN = load_finishes()


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [
        ("paint", 10.0, 30.0 / 2.5),
        ("oil-varnish", 10.0, 12.0 / 0.95),
        ("varnish", 8.0, 12.0 / 0.95),
    ],
)
def test_coverage_lies_within_what_guides_print(kind: str, low: float, high: float) -> None:
    """Fitting guides and a flooring trade's guide to lacquers, second hand."""
    coverage = KNOWN.finish(kind).coverage
    assert low <= coverage.low <= coverage.high <= high


@pytest.mark.parametrize(
    ("kind", "coats"), [("varnish", 3), ("oil-varnish", 3), ("paint", 3), ("hard-wax-oil", 2)]
)
def test_coats_are_those_of_fitting_guides(kind: str, coats: int) -> None:
    """Fitting guides, second hand: primer and two coats of paint, three of varnish, two of oil."""
    assert KNOWN.finish(kind).coats.value == coats


def test_white_glue_stays_open_and_sets_as_its_data_sheets_say() -> None:
    """Data sheets of glues classed by EN 204, from memory."""
    glue = KNOWN.glues["pva"]
    assert 5.0 <= glue.open.low <= glue.open.high <= 15.0
    assert 15.0 <= glue.clamped.low <= glue.clamped.high <= 60.0
    shop = load_shop().glue
    assert shop["open"].low <= glue.open.high


@pytest.mark.parametrize(
    ("rules", "hard", "soft"),
    [("england-dwelling", 3.0, 5.0), ("germany-dwelling", 2.0, 2.0), ("us-irc-2021", 15.0, 15.0)],
)
def test_dust_limits_follow_the_place(rules: str, hard: float, soft: float) -> None:
    """HSE EH40 and Directive (EU) 2017/2398 (hardwood), second hand; 29 CFR 1910.1000 table Z-1, from memory."""
    limit = dust_limit(rules)
    assert (limit.hardwood.value, limit.softwood.value) == (hard, soft)
