"""Pieces of board as layers for the router: invented pieces whose areas and places are plain sums."""

import math
from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from pitchline.kit.geometry.arcs_found import as_circle
from pitchline.kit.geometry.frames import Frame, Plane, Vec3
from pitchline.kit.geometry.relief_kinds import Relief
from pitchline.making.layers import Machine, router_work
from pitchline.making.layers_regions import base_area, removals
from pitchline.making.layers_scarf import off_scarf, parted, scarf_places
from pitchline.making.layers_tabs import APART, FROM_CORNER, tabs_of
from pitchline.making.router import Layer, Way
from pitchline.making.router_target import NotForRouterError, flat, target_of
from pitchline.making.routing import Holding, Routing, usual_routing
from pitchline.making.shop import Router
from pitchline.parts.measure import volume
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    Role,
    RoundBar,
    RoundOver,
    Sawn,
    Taper,
    Tenon,
)

ROUTER = Router((6.0, 8.0), 40.0, 2500.0, 1250.0, 2500.0, 1250.0)
ROUTING = Routing()
PLAIN = replace(ROUTING, clearance=0.0, dowel=0.0)


def board(
    *features: Feature,
    role: Role = Role.UPRIGHT,
    size: Vec3 = (400.0, 90.0, 18.0),
    place: str = "X1",
    material: str = "birch-plywood",
    frame: Frame | None = None,
) -> Part:
    """An invented piece with square ends, in its own axes."""
    length, width, thickness = size
    return Part(
        place=place,
        mark=place,
        role=role,
        material=material,
        length=length,
        width=width,
        thickness=thickness,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=features,
        frame=Frame() if frame is None else frame,
    )


def machine(routing: Routing = PLAIN, boards: tuple[float, ...] = (18.0,)) -> Machine:
    return Machine(ROUTER, routing, {"birch-plywood": boards}, (6.0, 8.0, 10.0))


def layers(*parts: Part, routing: Routing = PLAIN, boards: tuple[float, ...] = (18.0,)) -> tuple[Layer, ...]:
    return router_work([parts], machine(routing, boards)).layers


def test_a_plain_piece_is_one_outline_right_through() -> None:
    (layer,) = layers(board())
    (cut,) = layer.cuts
    assert (cut.way, cut.depth) == (Way.OUTSIDE, 18.0)
    assert cut.contour.area == pytest.approx(400.0 * 90.0)
    assert layer.name == "X1"


def test_openings_run_clockwise_inside_and_outlines_anticlockwise() -> None:
    hole = ((100.0, -20.0), (160.0, -20.0), (160.0, 20.0), (100.0, 20.0))
    ring = ((0.0, -45.0), (400.0, -45.0), (400.0, 45.0), (0.0, 45.0))
    (layer,) = layers(board(Sawn(ring, (hole,)), role=Role.PANEL))
    inside, outside = layer.cuts
    assert (inside.way, outside.way) == (Way.INSIDE, Way.OUTSIDE)
    assert inside.contour.area == pytest.approx(-60.0 * 40.0), "an opening of a pattern is not relieved"
    assert outside.contour.area == pytest.approx(400.0 * 90.0)


def test_true_arcs_come_out_of_chords() -> None:
    hole = tuple(
        (200.0 + 25.0 * math.cos(math.tau * k / 60), 25.0 * math.sin(math.tau * k / 60)) for k in range(60)
    )
    ring = ((0.0, -45.0), (400.0, -45.0), (400.0, 45.0), (0.0, 45.0))
    (layer,) = layers(board(Sawn(ring, (hole,)), role=Role.PANEL))
    found = as_circle(layer.cuts[0].contour)
    assert found is not None
    assert found[1] == pytest.approx(25.0, abs=1e-6)


def test_a_groove_in_a_face_is_a_pocket_with_that_face_up() -> None:
    for face, up in ((Face.PLUS_Z, 1), (Face.MINUS_Z, -1)):
        (layer,) = layers(board(Groove(face, 10.0, 20.0, 7.0)))
        pocket = layer.cuts[0]
        assert pocket.way is Way.POCKET
        assert pocket.depth == pytest.approx(7.0)
        assert layer.up == up
        ys = [piece.start[1] for piece in pocket.contour.pieces]
        assert sorted((min(ys), max(ys))) == pytest.approx(sorted((0.0, up * 20.0)))


def test_pockets_in_both_faces_have_a_second_drawing() -> None:
    (layer,) = layers(board(Groove(Face.PLUS_Z, 10.0, 20.0, 7.0), Groove(Face.MINUS_Z, -10.0, 12.0, 4.0)))
    assert [cut.depth for cut in layer.cuts if cut.way is Way.POCKET] == [pytest.approx(7.0)]
    (under,) = layer.under
    assert under.depth == pytest.approx(4.0)
    ys = [piece.start[1] for piece in under.contour.pieces]
    # Turned over about its length: what lay at y = -16 to -4 lies at 4 to 16.
    assert [min(ys), max(ys)] == pytest.approx([4.0, 16.0])


def test_a_notch_is_cut_through_with_room_and_its_corners_relieved() -> None:
    notch = Notch((100.0, 20.0, -9.0), (160.0, 45.0, 9.0))
    (layer,) = layers(board(notch), routing=replace(PLAIN, clearance=0.15))
    (outside,) = layer.cuts
    # A segment of a right angle twice at each of the two corners: r2 (pi/2 - 1) a corner; r is 8/2 + 0.05.
    reliefs = 2 * 4.05**2 * (math.pi / 2.0 - 1.0)
    expected = 400.0 * 90.0 - (60.0 + 0.3) * (25.0 + 0.15) - reliefs
    assert outside.contour.area == pytest.approx(expected, rel=1e-9)
    assert len(outside.relieved) == 2


def test_a_cutter_goes_into_the_narrowest_recess() -> None:
    (narrow,) = layers(board(Notch((100.0, 20.0, -9.0), (106.5, 45.0, 9.0))))
    assert narrow.cutter == 6.0
    (none,) = layers(board(Notch((100.0, 20.0, -9.0), (104.0, 45.0, 9.0))))
    assert any("narrower than the smallest cutter" in remark for remark in none.remarks)


def test_bevels_rounded_edges_and_what_lies_inside_are_left_to_do() -> None:
    part = replace(
        board(RoundOver(((1, 1),), 3.0), Groove(Face.PLUS_Y, 0.0, 6.0, 8.0)),
        finish_cuts=(Plane((400.0 - 9.0 * math.tan(0.1), 0.0, 0.0), (math.cos(0.1), 0.0, math.sin(0.1))),),
    )
    (layer,) = layers(part)
    assert "round the edges over" in layer.remarks
    assert "plough the groove in its edge" in layer.remarks
    (angle,) = [remark for remark in layer.remarks if "bevel" in remark]
    assert f"{math.degrees(0.1):.1f} degrees" in angle
    # The outline takes in the whole bevelled end, up to the longest point.
    xs = [piece.start[0] for piece in layer.cuts[-1].contour.pieces]
    assert max(xs) == pytest.approx(400.0)


@pytest.mark.parametrize(
    ("part", "why"),
    [
        (board(RoundBar(18.0), size=(400.0, 18.0, 18.0)), "turned"),
        (board(size=(400.0, 90.0, 25.0)), "25.0 mm thick"),
        (
            replace(board(), start_cuts=(Plane((20.0, 0.0, 0.0), (-0.8, 0.0, -0.6)),)),
            "bevelled by 36.9 degrees",
        ),
        (board(size=(400.0, 1300.0, 18.0)), "1300.0 mm wide"),
    ],
)
def test_what_is_not_for_the_router_is_left_out_with_the_reason(part: Part, why: str) -> None:
    work = router_work([[part]], machine())
    assert work.layers == ()
    ((place, words),) = work.left_out
    assert place == "X1"
    assert why in words


def test_solid_wood_and_metal_are_not_for_the_router_unless_sawn_to_an_outline() -> None:
    assert router_work([[board(material="oak-european"), board(material="steel")]], machine()).layers == ()
    ring = ((0.0, -45.0), (400.0, -45.0), (400.0, 45.0), (0.0, 45.0))
    assert len(layers(board(Sawn(ring), material="oak-european"))) == 1


def test_a_block_deeper_than_wide_is_rolled_over() -> None:
    part = board(Hole((50.0, 9.0, 3.0), (0.0, -1.0, 0.0), 8.0, 30.0), size=(100.0, 18.0, 16.0))
    rolled = flat(part)
    assert (rolled.width, rolled.thickness) == (16.0, 18.0)
    assert volume(rolled) == pytest.approx(volume(part), rel=1e-9)
    (hole,) = rolled.features
    assert isinstance(hole, Hole)
    # Both frames name the same place in space.
    assert rolled.frame.to_world(hole.at) == pytest.approx(part.frame.to_world((50.0, 9.0, 3.0)))
    (layer,) = layers(part)
    assert [cut.way for cut in layer.cuts] == [Way.BORE, Way.OUTSIDE]
    with pytest.raises(NotForRouterError):
        flat(board(Tenon(Plane((20.0, 0.0, 0.0), (-1.0, 0.0, 0.0)), (-10.0, -4.0), (10.0, 4.0))))


def test_rolling_over_four_times_changes_nothing() -> None:
    part = board(
        Groove(Face.PLUS_Y, 2.0, 5.0, 6.0),
        Notch((10.0, 20.0, -9.0), (40.0, 45.0, 2.0)),
        RoundOver(((1, -1),), 3.0),
        Taper(Plane((0.0, 40.0, 0.0), (0.1, 0.9, 0.2))),
        Mortise((200.0, 45.0, 1.0), (0.0, -1.0, 0.0), 30.0, 8.0, 20.0),
    )
    assert volume(flat(part)) == pytest.approx(volume(part), rel=1e-9)
    back = flat(flat(flat(flat(part))))
    assert back.features[0] == part.features[0]
    assert back.features[2] == part.features[2]
    assert back.frame.z == pytest.approx(part.frame.z)


def test_a_newel_is_so_many_boards_and_its_layers_add_up() -> None:
    mortise = Mortise((700.0, 45.0, 0.0), (0.0, -1.0, 0.0), 60.0, 20.0, 30.0)
    notch = Notch((0.0, -45.0, -45.0), (200.0, 45.0, -10.0))
    newel = board(mortise, notch, role=Role.NEWEL, size=(1100.0, 90.0, 90.0), place="P1")
    found = layers(newel)
    assert {layer.name for layer in found} == {f"P1-{k}" for k in range(1, 6)}
    assert sum(layer.thickness for layer in found) == pytest.approx(90.0)
    lost = 60.0 * 20.0 * 30.0 + 200.0 * 90.0 * 35.0
    total = 0.0
    for layer in found:
        total += _left(layer)
    assert total == pytest.approx(1100.0 * 90.0 * 90.0 - lost, rel=1e-9)


def _left(layer: Layer) -> float:
    """mm3 of a layer by areas of its target between heights: outline less what is taken."""
    base = base_area(layer.target)
    left = float(base.area) * layer.thickness
    for removal in removals(layer.target):
        low, high = max(removal.low, layer.low), min(removal.high, layer.high)
        if high > low:
            left -= float(base.intersection(removal.area).area) * (high - low)
    return left


def test_a_newel_of_no_whole_number_of_boards_says_what_would_do() -> None:
    work = router_work([[board(role=Role.NEWEL, size=(1100.0, 85.0, 85.0))]], machine())
    ((_, why),) = work.left_out
    assert "5 of 18.0 mm make 90.0 mm" in why


@pytest.mark.parametrize("count", [5, 4])
def test_a_bore_up_a_newel_is_a_channel_in_its_middle(count: int) -> None:
    """Of five boards it lies in the third, opened upwards; of four across the joint of the second and third."""
    thick = 18.0 * count
    newel = board(role=Role.NEWEL, size=(1100.0, 90.0, thick), place="P1")
    routing = replace(PLAIN, newel_bore=12.0, newel_bore_depth=250.0)
    worked = [layer for layer in layers(newel, routing=routing) if len(layer.cuts) > 1 or layer.under]
    names = {layer.name for layer in worked}
    assert names == ({"P1-3"} if count == 5 else {"P1-2", "P1-3"})
    for layer in worked:
        (pocket,) = [cut for cut in layer.cuts if cut.way is Way.POCKET]
        xs = [piece.start[0] for piece in pocket.contour.pieces]
        assert max(xs) == pytest.approx(250.0, abs=10.0)
        # In one board: from the far side of the bore to the face; across a joint: half the bore in each.
        assert pocket.depth == pytest.approx(9.0 + 6.0 if count == 5 else 6.0)


def rail(across: float = 54.0, length: float = 1500.0) -> list[Part]:
    """A stacked rail of three boards, x along it, layer a at low y; a strip and three blocks in the middle."""

    def placed(place: str, role: Role, size: Vec3, at: Vec3) -> Part:
        frame = Frame.from_xy(at, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
        return board(role=role, size=size, place=place, frame=frame)

    step = across / 3.0
    pieces = [
        placed("H1a", Role.RAIL_CHEEK, (length, 60.0, step), (0.0, -step, 0.0)),
        placed("H1b", Role.RAIL_STRIP, (length, 40.0, step), (0.0, 0.0, 10.0)),
        placed("H1c", Role.RAIL_CHEEK, (length, 60.0, step), (0.0, step, 0.0)),
    ]
    blocks = (
        placed(f"R{k}b", Role.RAIL_BLOCK, (100.0, 20.0, step), (100.0 + 150.0 * k, 0.0, -20.0))
        for k in range(3)
    )
    return [*pieces, *blocks]


def test_dowels_of_a_rail_stand_in_line_through_its_layers() -> None:
    work = router_work([rail()], machine(replace(PLAIN, dowel=6.0)))
    (stack,) = work.stacks
    assert stack.name == "H1"
    in_space: dict[str, set[tuple[float, float]]] = {}
    for layer in stack.layers:
        for (x, y), size in layer.dowels:
            assert size == 6.0
            u, _, z = layer.target.frame.to_world((x, y, 0.0))
            in_space.setdefault(layer.target.place, set()).add((round(u, 6), round(z, 6)))
    blocks = set().union(*(in_space[f"R{k}b"] for k in range(3)))
    assert len(blocks) == 6, "two in each block"
    assert in_space["H1a"] == in_space["H1c"] == blocks | in_space["H1b"]


def test_dowel_holes_are_blind_in_the_outer_layers_and_open_inwards() -> None:
    work = router_work([rail()], machine(replace(PLAIN, dowel=6.0)))
    for layer in work.stacks[0].layers:
        depths = {round(cut.depth, 6) for cut in layer.cuts if cut.way is Way.BORE}
        if layer.target.place in ("H1a", "H1c"):
            assert depths == {round(0.7 * 18.0, 6)}
            # The face that lies up looks towards the middle of the rail.
            up = layer.up * layer.target.frame.z[1]
            assert up * layer.target.frame.origin[1] < 0.0
        else:
            assert depths == {18.0}


def test_like_blocks_are_one_layer_under_their_mark() -> None:
    pieces = [replace(p, mark="R-1") if p.role is Role.RAIL_BLOCK else p for p in rail()]
    found = {layer.name: layer for layer in router_work([pieces], machine(replace(PLAIN, dowel=6.0))).layers}
    assert found["R-1"].quantity == 3
    assert found["R-1"].places == ("R0b", "R1b", "R2b")


def test_a_long_layer_is_scarfed_and_neighbours_lie_apart() -> None:
    routing = replace(PLAIN, dowel=6.0)
    work = router_work([rail(length=3600.0)], machine(routing))
    usable = machine(routing).bed("birch-plywood").bed_length
    places = {layer.target.place: layer.scarfed for layer in work.stacks[0].layers if layer.scarfed}
    assert set(places) == {"H1a", "H1b", "H1c"}
    for layer in work.layers:
        xs = [x for ring in layer.outline for x, _ in ring]
        assert max(xs) - min(xs) <= usable + 1e-6
    apart = abs(places["H1a"][0] - places["H1b"][0])
    assert apart >= 8.0 * 50.0 + 10.0 * 18.0 - 1e-6, "half the length of each scarf, and ten boards between"
    for layer in work.layers:
        for at, size in layer.dowels:
            base = base_area(layer.target)
            width = base.bounds[3] - base.bounds[1]
            assert off_scarf(at, layer.scarfed, routing.scarf * width, base) >= 1.5 * size


def test_the_pieces_of_a_scarf_are_the_whole_layer_and_meet_at_one_to_eight() -> None:
    wood = Polygon(((0.0, 0.0), (3600.0, 0.0), (3600.0, 60.0), (0.0, 60.0)))
    places = scarf_places(3600.0, 2440.0, 480.0, 18.0, 1)
    pieces = parted(wood, places, 480.0)
    assert len(pieces) == len(places) + 1 == 2
    assert sum(piece.area for piece in pieces) == pytest.approx(wood.area, rel=1e-9)
    (x,) = places
    cut = [p for p in pieces[0].exterior.coords if abs(p[0] - x) < 241.0]
    (low,) = {p[0] for p in cut if abs(p[1]) < 1e-6}
    (high,) = {p[0] for p in cut if abs(p[1] - 60.0) < 1e-6}
    assert high - low == pytest.approx(480.0, rel=1e-6)


def test_a_bed_too_short_for_a_scarf_leaves_the_piece_out() -> None:
    tiny = Router((6.0,), 40.0, 600.0, 400.0, 600.0, 400.0)
    work = router_work([rail(length=3600.0)[:1]], Machine(tiny, PLAIN, {"birch-plywood": (18.0,)}))
    assert work.left_out
    assert "too short" in work.left_out[0][1]


def test_tabs_lie_on_straight_edges_away_from_corners() -> None:
    (layer,) = layers(board(size=(1500.0, 90.0, 18.0)))
    (outside,) = layer.cuts
    tabs = tabs_of(outside, 16.0)
    assert len(tabs) >= outside.contour.length / APART
    corners = [piece.start for piece in outside.contour.pieces]
    for tab in tabs:
        assert math.dist(tab.start, tab.end) == pytest.approx(16.0)
        assert min(math.dist(p, c) for p in (tab.start, tab.end) for c in corners) >= FROM_CORNER - 1e-6


def test_a_piece_left_long_is_scored_where_it_is_trimmed() -> None:
    (layer,) = layers(replace(board(), trim=12.0))
    (score,) = layer.scores
    assert {round(p[0], 6) for p in (score.start, score.end)} == {400.0}
    assert abs(score.start[1] - score.end[1]) == pytest.approx(90.0)
    assert layer.cuts[0].contour.area == pytest.approx(412.0 * 90.0)


def test_holding_by_skin_or_nothing_has_no_tabs() -> None:
    for holding in (Holding.SKIN, Holding.NONE):
        assert layers(board(), routing=replace(PLAIN, holding=holding))[0].tabs == ()


def test_a_dowel_hole_through_the_board_stays_round_and_a_slanting_one_is_left() -> None:
    target = target_of(board(Hole((50.0, 0.0, 9.0), (0.0, 0.0, -1.0), 8.0, 30.0)), PLAIN)
    assert isinstance(target.part.features[0], Hole)
    slanting = target_of(board(Hole((50.0, 0.0, 9.0), (0.6, 0.0, -0.8), 8.0, 30.0)), PLAIN)
    assert slanting.part.features == ()
    assert any("slanting hole" in words for words in slanting.left)


def test_a_tenon_is_cut_beside_above_and_below() -> None:
    shoulder = Plane((360.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    (layer,) = layers(
        board(Tenon(shoulder, (-20.0, -4.0), (20.0, 4.0))), routing=replace(PLAIN, corners=Relief.ROUND)
    )
    assert _left(layer) == pytest.approx(360.0 * 90.0 * 18.0 + 40.0 * 40.0 * 8.0, rel=1e-9)
    assert [cut.depth for cut in layer.cuts if cut.way is Way.POCKET] == [pytest.approx(5.0)]
    assert [cut.depth for cut in layer.under] == [pytest.approx(5.0)]


def test_the_usual_clearance_is_the_middle_of_the_catalogue() -> None:
    assert usual_routing().clearance == pytest.approx((0.1 + 0.2) / 2.0)


def test_an_open_pocket_runs_past_the_edge_by_less_than_neighbours_are_apart() -> None:
    (layer,) = layers(board(Groove(Face.PLUS_Z, 10.0, 20.0, 7.0)))
    pocket = layer.cuts[0]
    xs = [piece.start[0] for piece in pocket.contour.pieces]
    over = max(max(xs) - 400.0, -min(xs))
    assert layer.cutter / 2.0 <= over < PLAIN.room + layer.cutter / 2.0
