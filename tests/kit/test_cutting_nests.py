"""Nests of free shapes, judged by plane geometry."""

import math
from dataclasses import replace

import pytest

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import (
    ALONG_GRAIN,
    NestedShape,
    NestedSheet,
    NestOrder,
    NestPlan,
    Ring,
    Shape,
    check_nest,
    lie,
)
from pitchline.kit.cutting.nests_search import nest_shapes


def circle(radius: float, corners: int = 32) -> Ring:
    return tuple(
        (radius * math.cos(2 * math.pi * k / corners), radius * math.sin(2 * math.pi * k / corners))
        for k in range(corners)
    )


RECTANGLE: Ring = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0))
ELL: Ring = ((0.0, 0.0), (420.0, 0.0), (420.0, 90.0), (90.0, 90.0), (90.0, 300.0), (0.0, 300.0))
GUSSET: Ring = ((0.0, 0.0), (500.0, 0.0), (0.0, 260.0))


def sheet(length: float, width: float, price: float = 10.0, count: int | None = None) -> SheetStock:
    return SheetStock(f"S{length:g}", length, width, 18.0, price, count)


def mixed() -> NestOrder:
    """An invented order for a router."""
    return NestOrder(
        (
            Shape("ring", circle(200.0), (circle(130.0),), 2),
            Shape("cap", circle(60.0), (), 5),
            Shape("ell", ELL, (), 4),
            Shape("gusset", GUSSET, (), 5, ALONG_GRAIN),
        ),
        (sheet(1250.0, 1220.0, 30.0), sheet(900.0, 600.0, 12.0, 1)),
        clearance=8.0,
        margin=12.0,
    )


def test_a_nest_keeps_clearance_margin_and_angles() -> None:
    plan = nest_shapes(mixed(), 1.0)
    assert plan.unplaced == ()
    assert check_nest(mixed(), plan) == ()


def test_a_cap_is_cut_from_the_waste_of_a_ring() -> None:
    """A ring of 200 leaves room on its own sheet for a cap nowhere but inside it."""
    order = NestOrder(
        (Shape("ring", circle(200.0), (circle(130.0),), 1), Shape("cap", circle(60.0), (), 1)),
        (sheet(440.0, 440.0),),
        clearance=8.0,
        margin=12.0,
    )
    plan = nest_shapes(order, 0.2)
    assert len(plan.sheets) == 1
    ring, cap = (
        lie(next(shape for shape in order.shapes if shape.id == nested.shape), nested).centroid
        for nested in sorted(plan.sheets[0].shapes, key=lambda nested: nested.shape, reverse=True)
    )
    assert ring.distance(cap) <= 130.0 - 60.0 - 8.0 + 1e-6


def test_two_rectangles_side_by_side_need_their_clearance() -> None:
    """400 + 10 + 400 and 5 of margin at each end: 820; a little spare for the raster."""
    shapes = (Shape("r", RECTANGLE, (), 2, (0.0,)),)
    fits = nest_shapes(NestOrder(shapes, (sheet(830.0, 320.0),), 10.0, 5.0), 0.2)
    assert len(fits.sheets) == 1
    narrow = nest_shapes(NestOrder(shapes, (sheet(819.0, 320.0),), 10.0, 5.0), 0.2)
    assert len(narrow.sheets) == 2


def test_what_fits_no_sheet_is_told() -> None:
    plan = nest_shapes(NestOrder((Shape("r", RECTANGLE, (), 2),), (sheet(390.0, 390.0),), 8.0), 0.2)
    assert plan.sheets == ()
    assert [(shortage.part, shortage.quantity) for shortage in plan.unplaced] == [("r", 2)]
    assert "goes on no sheet" in plan.unplaced[0].why


def test_sheets_that_do_not_suffice_are_told() -> None:
    plan = nest_shapes(NestOrder((Shape("r", RECTANGLE, (), 3),), (sheet(450.0, 350.0, count=1),), 8.0), 0.2)
    assert [(shortage.part, shortage.quantity) for shortage in plan.unplaced] == [("r", 2)]
    assert "do not suffice" in plan.unplaced[0].why


def test_the_bound_is_that_of_bare_area() -> None:
    """Two of 400 x 300 on sheets of 1000 x 480 at 10: 0.24 of 0.48 m2, half a sheet's price."""
    plan = nest_shapes(NestOrder((Shape("r", RECTANGLE, (), 2),), (sheet(1000.0, 480.0),), 8.0), 0.2)
    assert plan.lower_bound == pytest.approx(10.0 * (2 * 0.4 * 0.3) / (1.0 * 0.48))


def test_the_same_seed_gives_the_same_nest() -> None:
    assert nest_shapes(mixed(), 0.3, 5, clock=lambda: 0.0) == nest_shapes(mixed(), 0.3, 5, clock=lambda: 0.0)


def test_the_check_finds_what_is_wrong() -> None:
    order = NestOrder((Shape("r", RECTANGLE, (), 2, (0.0,)),), (sheet(1000.0, 500.0),), 10.0, 5.0)

    def plan(*places: tuple[float, float], angle: float = 0.0) -> NestPlan:
        laid = tuple(NestedShape("r", angle, x, y) for x, y in places)
        return NestPlan((NestedSheet("S1000", 1000.0, 500.0, laid, 1000.0),), 10.0, 0.0)

    assert check_nest(order, plan((5.0, 5.0), (415.0, 5.0))) == ()
    assert "less than 10 mm" in check_nest(order, plan((5.0, 5.0), (414.9, 5.0)))[0]
    assert "edge" in check_nest(order, plan((4.9, 5.0), (415.0, 5.0)))[0]
    assert "may not lie" in check_nest(order, plan((5.0, 5.0), (415.0, 5.0), angle=180.0))[0]
    assert "wanted 2 times" in check_nest(order, plan((5.0, 5.0)))[0]
    assert "the sheets cost" in check_nest(order, replace(plan((5.0, 5.0), (415.0, 5.0)), cost=9.0))[0]


def test_an_outline_that_crosses_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="crosses itself"):
        Shape("bow", ((0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)))
