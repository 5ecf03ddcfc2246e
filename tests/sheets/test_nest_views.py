"""Pictures of nests: every shape drawn once where it lies, marks from one datum; lists that tell the same."""

import pytest
from shapely import Polygon

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import NestedSheet, NestOrder, NestPlan, Shape
from pitchline.kit.cutting.nests_search import nest_shapes
from pitchline.kit.drawing.marks import Area, Label, RunningMarks
from pitchline.kit.units import Unit
from pitchline.sheets.drawings import Style
from pitchline.sheets.nest_views import Nest, nest_drawing, nest_sheets, nest_stock_list, nests_list
from pitchline.sheets.tables import Quantity

STYLE = Style(Unit.MM, "A3", first_angle=True)
ELL = Shape(
    "ell", ((0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (80.0, 80.0), (80.0, 400.0), (0.0, 400.0)), quantity=5
)
RING = Shape(
    "ring",
    ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)),
    (((50.0, 50.0), (150.0, 50.0), (150.0, 150.0), (50.0, 150.0)),),
    quantity=3,
)
ORDER = NestOrder((ELL, RING), (SheetStock("ply", 1200.0, 600.0, 18.0, 40.0),), 8.0, 20.0)


@pytest.fixture(scope="module")
def plan() -> NestPlan:
    return nest_shapes(ORDER, 0.5, 0)


def drawn(sheet: NestedSheet) -> list[Area]:
    drawing = nest_drawing("A", ORDER, 1, sheet, str, 10.0)
    return [mark for mark in drawing.marks if isinstance(mark, Area) and mark.fill.value == "wood"]


def test_every_shape_is_drawn_with_its_openings(plan: NestPlan) -> None:
    wood = [area for sheet in plan.sheets for area in drawn(sheet)]
    assert len(wood) == 8
    areas = sum(Polygon(area.outline, area.holes).area for area in wood)
    ell, ring = 300.0 * 80.0 + 80.0 * 320.0, 200.0**2 - 100.0**2
    assert areas == pytest.approx(5 * ell + 3 * ring)


def test_marks_of_shapes_stand_on_their_wood(plan: NestPlan) -> None:
    """Also where the middle of a shape is open, as in a ring."""
    for sheet in plan.sheets:
        drawing = nest_drawing("A", ORDER, 1, sheet, str, 10.0)
        wood = [Polygon(area.outline, area.holes) for area in drawn(sheet)]
        labels = [mark for mark in drawing.marks if isinstance(mark, Label)]
        assert len(labels) == len(sheet.shapes)
        for label in labels:
            assert sum(shape.buffer(1e-6).covers(Polygon([label.at] * 3).centroid) for shape in wood) == 1


def test_marks_run_from_the_corner_of_the_sheet(plan: NestPlan) -> None:
    sheet = plan.sheets[0]
    drawing = nest_drawing("A", ORDER, 1, sheet, lambda mm: f"{mm:.1f}", 10.0)
    across, up = (mark for mark in drawing.marks if isinstance(mark, RunningMarks))
    outlines = [area.outline for area in drawn(sheet)]
    lefts = sorted({round(min(x for x, _ in ring), 3) for ring in outlines})
    lows = sorted({round(min(y for _, y in ring), 3) for ring in outlines})
    assert [x for x, _ in across.points] == pytest.approx(lefts)
    assert [y for _, y in up.points] == pytest.approx(lows)


def test_the_lists_tell_place_and_cost(plan: NestPlan) -> None:
    nests = [Nest(ORDER, plan)]
    placed = nests_list("A", nests)
    assert len(placed.rows) == 8
    for row in placed.rows:
        left, low, right, high = (cell.value for cell in row[4:] if isinstance(cell, Quantity))
        assert 20.0 - 1e-6 <= left < right <= 1180.0 + 1e-6
        assert 20.0 - 1e-6 <= low < high <= 580.0 + 1e-6
        sides = {round(right - left), round(high - low)}
        assert sides == ({300, 400} if row[2] == "ell" else {200})
    bought = nest_stock_list("A", nests)
    assert bought.rows[0][-1] == Quantity(40.0 * len(plan.sheets), "number")


def test_a_page_for_each_sheet(plan: NestPlan) -> None:
    assert len(list(nest_sheets("A", [Nest(ORDER, plan)], STYLE))) == len(plan.sheets)
