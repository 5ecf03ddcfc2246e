"""Laws of cutting plans for bars, over orders drawn at random; shapely measures the room between pieces."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pitchline.kit.cutting.bars import plan_bars
from pitchline.kit.cutting.checker import check_bars
from pitchline.kit.cutting.need import BarOrder, BarStock, End, Piece, Saw
from pitchline.kit.cutting.plan import BarPiece

WIDTH, THICKNESS = 40.0, 22.0


@st.composite
def ends(draw: st.DrawFn) -> End:
    return End(
        draw(st.sampled_from([0.0, 0.0, 22.5, -22.5, 41.2, -41.2, 45.0])),
        draw(st.sampled_from([0.0, 0.0, 15.0])),
    )


@st.composite
def orders(draw: st.DrawFn) -> BarOrder:
    kinds = draw(st.integers(1, 5))
    parts = tuple(
        Piece(
            f"p{i}",
            draw(st.integers(160, 1500)) + draw(st.sampled_from([0.0, 0.5, 0.37])),
            WIDTH,
            THICKNESS,
            draw(st.integers(1, 5)),
            ends=(draw(ends()), draw(ends())),
            turn_over=draw(st.booleans()),
            turn_round=draw(st.booleans()),
        )
        for i in range(kinds)
    )
    lengths = draw(
        st.lists(st.sampled_from([1900.0, 2400.0, 3000.0, 4200.0]), min_size=1, max_size=3, unique=True)
    )
    stocks = tuple(
        BarStock(f"s{length:g}", length, WIDTH, THICKNESS, round(length / 250.0 + draw(st.integers(0, 5)), 1))
        for length in lengths
    )
    saw = Saw(draw(st.sampled_from([0.0, 2.8, 3.175])), draw(st.sampled_from([0.0, 12.0])))
    return BarOrder(parts, stocks, saw)


@settings(deadline=None, max_examples=25)
@given(orders())
def test_every_plan_can_be_cut_and_its_bound_is_no_more_than_its_cost(order: BarOrder) -> None:
    plan = plan_bars(order, 0.25)
    assert check_bars(order, plan) == ()
    assert plan.unplaced == ()


def face(piece: BarPiece, z: float) -> Polygon:
    """The piece's outline at height z of the bar, drawn from the normals of its cuts."""
    corners: list[tuple[float, float]] = []
    for end, at, way in ((piece.ends[0], piece.start, 1.0), (piece.ends[1], piece.end, -1.0)):
        m, b = math.radians(end.mitre_deg), math.radians(end.bevel_deg)
        normal = (math.cos(b) * math.cos(m), math.cos(b) * math.sin(m), math.sin(b))
        reach = (abs(normal[1]) * WIDTH / 2 + abs(normal[2]) * THICKNESS / 2) / normal[0]
        corners += [
            (at + way * reach - (normal[1] * y + normal[2] * z) / normal[0], y)
            for y in (-WIDTH / 2, WIDTH / 2)
        ]
    return Polygon([corners[0], corners[2], corners[3], corners[1]])


@settings(deadline=None, max_examples=15)
@given(orders())
def test_pieces_are_a_kerf_apart_in_every_layer_of_the_bar(order: BarOrder) -> None:
    """At the upper and lower face and in the middle, measured by shapely, whatever mitres and bevels they have."""
    for bar in plan_bars(order, 0.15).bars:
        for z in (-THICKNESS / 2, 0.0, THICKNESS / 2):
            outlines = [face(piece, z) for piece in bar.pieces]
            for a, b in itertools.pairwise(outlines):
                assert a.distance(b) >= order.saw.kerf * 0.999 - 1e-6


@settings(deadline=None, max_examples=10)
@given(orders())
def test_a_mirrored_order_has_the_same_bound(order: BarOrder) -> None:
    """Every part and so every pattern mirrored: nothing can become cheaper or dearer."""
    mirrored = BarOrder(
        tuple(
            Piece(
                part.id,
                part.length,
                part.width,
                part.thickness,
                part.quantity,
                ends=(
                    End(-part.ends[0].mitre_deg, -part.ends[0].bevel_deg),
                    End(-part.ends[1].mitre_deg, -part.ends[1].bevel_deg),
                ),
                turn_over=part.turn_over,
                turn_round=part.turn_round,
            )
            for part in order.parts
        ),
        order.stocks,
        order.saw,
    )
    one, other = plan_bars(order, 2.0), plan_bars(mirrored, 2.0)
    assert one.lower_bound <= other.cost + 1e-6
    assert other.lower_bound <= one.cost + 1e-6


@settings(deadline=None, max_examples=10)
@given(orders(), st.integers(2, 4))
def test_longer_bars_at_the_same_price_never_raise_the_bound(order: BarOrder, times: int) -> None:
    longer = BarOrder(
        order.parts,
        tuple(BarStock(s.id, s.length * times, s.width, s.thickness, s.price) for s in order.stocks),
        order.saw,
    )
    assert plan_bars(longer, 1.0).lower_bound <= plan_bars(order, 1.0).cost + 1e-6


def test_a_kerf_is_what_the_saw_takes_square_to_its_blade() -> None:
    """Two rhomboids that share a cut are a kerf apart, square to the cut."""
    part = Piece("a", 700.0, WIDTH, THICKNESS, 2, ends=(End(41.2), End(41.2)))
    order = BarOrder((part,), (BarStock("s", 2400.0, WIDTH, THICKNESS, 1.0),), Saw(3.0))
    first, second = plan_bars(order, 0.2).bars[0].pieces
    assert face(first, 0.0).distance(face(second, 0.0)) == pytest.approx(3.0)
