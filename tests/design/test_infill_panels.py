"""Panels laid out: widths by plain sums, edges parallel to what is beside them. No source is needed."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from shapely.geometry import Polygon
from tests.strategies_stairs import HEAD_WALL, LIMITS, plain_brief, regular_flight

from pitchline.design.brief import (
    AtWall,
    Brief,
    CutPattern,
    FreeEnd,
    Grooved,
    PanelKind,
    PanelsBrief,
    Stacked,
    Station,
)
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Clamped
from pitchline.design.model import Design, Panel
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.stair.facts import WallFacts

FLIGHT = regular_flight()
SOLID = PanelsBrief(PanelKind.SOLID, 12.0, edge_gap=4.0, widest=900.0, joint=6.0)
CLAMPS = Clamped(400.0, 100.0, 30.0)
GROOVES = Grooved(12.0, 10.0, 6.0, 0.5)


def brief_of(infill: PanelsBrief, **changes: object) -> Brief:
    return replace(plain_brief(FLIGHT, infill=infill, making=GROOVES), **changes)  # type: ignore[arg-type]  # own fields


def design_of(infill: PanelsBrief, **changes: object) -> Design:
    return compose(FLIGHT, brief_of(infill, **changes), LIMITS)


def reach(panel: Panel) -> tuple[float, float]:
    us = [u for u, _ in panel.outline.points]
    return min(us), max(us)


def test_equal_parallelograms_tile_the_bay() -> None:
    design = design_of(SOLID)
    start, finish = design.bay.start.point[0], design.bay.finish.point[0]
    places = [reach(panel) for panel in design.panels]
    widths = [high - low for low, high in places]
    assert max(widths) - min(widths) < 1e-9
    assert max(widths) <= 900.0
    assert places[0][0] == pytest.approx(start + 4.0)
    assert places[-1][1] == pytest.approx(finish - 4.0)
    assert [b[0] - a[1] for a, b in pairwise(places)] == pytest.approx([6.0, 6.0])
    one_fewer = (finish - start - 8.0 - 6.0) / 2
    assert one_fewer > 900.0


def test_without_a_greatest_width_one_panel_fills_the_bay() -> None:
    design = design_of(replace(SOLID, widest=None, joint=0.0))
    assert [panel.mark for panel in design.panels] == ["PN01"]


def test_in_grooves_a_panel_stops_its_clearance_short_of_their_bottoms() -> None:
    """Grooves 12 and 10 mm deep, 4 mm left: it reaches 8 and 6 mm into the rails, square to them."""
    design = design_of(SOLID)
    panel = design.panels[0]
    rail, base = design.handrail.bottom, design.base_rail.top
    cosine = rail.direction[0]
    high = max((z - rail.at(u)) * cosine for u, z in panel.outline.points)
    low = max((base.at(u) - z) * cosine for u, z in panel.outline.points)
    assert (high, low) == pytest.approx((8.0, 6.0))
    assert panel.hem == "in grooves"


def test_in_clamps_a_panel_stands_clear_all_round() -> None:
    design = design_of(replace(SOLID, kind=PanelKind.GLASS, edge_gap=20.0), making=CLAMPS)
    panel = design.panels[0]
    assert panel.hem == "in clamps"
    assert panel.material == "glass"
    bay = Polygon(design.bay.sight)
    assert Polygon(panel.outline.points).distance(bay.exterior) == pytest.approx(20.0)


def test_beside_a_twisted_newel_the_gap_is_kept_through_the_thickness() -> None:
    """A wall 5 degrees askew: half of 12 mm times its tangent more is left on the middle."""
    skew = math.radians(5.0)
    wall = WallFacts("head", HEAD_WALL, face_height=3000.0, lean_along=0.0, skew=skew)
    flight = regular_flight(walls=(wall,))
    brief = brief_of(replace(SOLID, widest=None, joint=0.0), top=AtWall("head"))
    design = compose(flight, brief, LIMITS)
    left = design.bay.finish.point[0] - reach(design.panels[0])[1]
    assert left == pytest.approx(4.0 + 6.0 * math.tan(skew))


def test_slots_are_plumb_equal_and_keep_their_slats() -> None:
    design = design_of(replace(SOLID, kind=PanelKind.SLATTED, slat=40.0, slot=60.0))
    panel = design.panels[1]
    lefts, rights = [], []
    for hole in panel.holes:
        us = sorted({round(u, 6) for u, _ in hole})
        assert len(us) == 2
        assert us[1] - us[0] == pytest.approx(60.0)
        lefts.append(us[0])
        rights.append(us[1])
    slats = [low - high for high, low in zip(rights[:-1], lefts[1:], strict=True)]
    assert min(slats) >= 40.0 - 1e-9
    assert max(slats) - min(slats) < 1e-6
    edge = Polygon(panel.sight).exterior
    assert min(Polygon(hole).distance(edge) for hole in panel.holes) == pytest.approx(40.0)


def square(side: float) -> tuple[tuple[float, float], ...]:
    return ((5.0, 5.0), (5.0 + side, 5.0), (5.0 + side, 5.0 + side), (5.0, 5.0 + side))


def test_a_pattern_is_cut_through_every_panel_alike() -> None:
    pattern = CutPattern((square(40.0),), 60.0, 60.0, margin=30.0)
    design = design_of(replace(SOLID, kind=PanelKind.CUT, pattern=pattern))
    counts = {len(panel.holes) for panel in design.panels}
    assert len(counts) == 1
    assert counts.pop() > 20


@pytest.mark.parametrize(
    ("infill", "changes", "words"),
    [
        (SOLID, {"making": BetweenPosts()}, "grooves or in clamps"),
        (SOLID, {"base": None}, "there is none: add it"),
        (replace(SOLID, edge_gap=11.0), {}, "out of their grooves"),
        (
            replace(SOLID, kind=PanelKind.GLASS),
            {"making": Stacked(3, 18.0, (2,), 20.0, 20.0)},
            "glass is not glued",
        ),
        (SOLID, {"making": CLAMPS, "top": FreeEnd(Station("N13"))}, "one is free"),
        (replace(SOLID, kind=PanelKind.CUT), {}, "needs a drawing"),
        (replace(SOLID, edge_gap=600.0), {"making": CLAMPS}, "make edge_gap smaller"),
        (
            replace(SOLID, kind=PanelKind.CUT, pattern=CutPattern((square(40.0),), 30.0, 60.0)),
            {},
            "run into one another",
        ),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(
    infill: PanelsBrief, changes: dict[str, object], words: str
) -> None:
    with pytest.raises(ImpossibleDesignError, match=words):
        design_of(infill, **changes)
