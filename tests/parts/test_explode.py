"""A design taken apart: what is made, how it is grouped, housings, bores, blocks and packers; figures by hand."""

import math
from collections import Counter
from dataclasses import replace

import pytest
from tests.strategies_stairs import (
    FOOT_POST,
    HEAD_WALL,
    LIMITS,
    PLAIN_BASE,
    PLAIN_GROOVES,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    Sizes,
    flight_of,
    newel,
    plain_brief,
    regular_flight,
)

from pitchline.design.brief import (
    BaseSeat,
    Bored,
    ExistingNewel,
    Foot,
    FreeEnd,
    HalfNewel,
    Leaning,
    RailBrief,
    Shape,
    SpacingBrief,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.parts.explode import explode, grouped, identical
from pitchline.parts.part import Groove, Hole, Notch, Part, Role, RoundBar, RoundOver, Taper, Turning
from pitchline.stair.facts import PostFacts, WallFacts
from pitchline.stair.model import Flight, Side

THETA = math.atan2(200.0, 225.0)
STACK = Stacked(3, 18.0, (2,), 30.0, 15.0)
STACK_RAIL = replace(PLAIN_RAIL, width=54.0)
STACK_BASE = replace(PLAIN_BASE, width=54.0)
STACK_INFILL = UprightsBrief(Shape.RECTANGULAR, 41.0, 18.0)


def exploded(flight: Flight | None = None, **changes: object) -> tuple[Design, dict[str, Part]]:
    flight = flight or regular_flight()
    design = compose(flight, plain_brief(flight, **changes), LIMITS)
    return design, {part.place: part for part in explode(design)}


def of_role(parts: dict[str, Part], role: Role) -> list[Part]:
    return [part for part in parts.values() if part.role is role]


def feature(part: Part, kind: type) -> object:
    (found,) = [one for one in part.features if isinstance(one, kind)]
    return found


def test_a_grooved_design_piece_by_piece() -> None:
    _, parts = exploded()
    assert Counter(part.role for part in parts.values()) == {
        Role.HANDRAIL: 1,
        Role.BASE: 1,
        Role.NEWEL: 2,
        Role.UPRIGHT: 18,
        Role.RAIL_FILLET: 19,
        Role.BASE_FILLET: 19,
    }


def test_identical_pieces_share_a_mark() -> None:
    design, parts = exploded()
    groups = grouped(parts.values())
    quantities = {group.part.role: group.quantity for group in groups}
    assert quantities[Role.UPRIGHT] == 18
    assert quantities[Role.RAIL_FILLET] == 19
    assert sum(group.quantity for group in groups) == len(parts)
    assert parts["H1"].mark == "H1"
    assert parts["U01"].mark == parts["U18"].mark == "U-1"
    assert design.brief.rail_trim + parts["H1"].length == parts["H1"].blank_length


def test_pieces_of_other_lengths_are_other_pieces() -> None:
    """A string 2 degrees steeper than the stair: no two plumb uprights are alike."""
    steep = Sizes((200.0,) * 8, (225.0,) * 7, (250.0, math.tan(THETA + math.radians(1.0))))
    _, parts = exploded(flight_of(steep))
    uprights = of_role(parts, Role.UPRIGHT)
    assert len({part.mark for part in uprights}) == len(uprights)
    assert not identical(uprights[0], uprights[1])
    assert identical(uprights[0], uprights[0])


def test_more_than_ninety_nine_stay_in_order() -> None:
    thin = UprightsBrief(Shape.RECTANGULAR, 10.0, 10.0, Leaning.PLUMB, SpacingBrief(count=104))
    _, parts = exploded(infill=thin)
    places = [part.place for part in of_role(parts, Role.UPRIGHT)]
    assert places[98:101] == ["U99", "U100", "U101"]


def test_grooves_take_the_upright_and_its_play() -> None:
    _, parts = exploded(making=replace(PLAIN_GROOVES, clearance=0.4, base_groove=8.0))
    rail, base = feature(parts["H1"], Groove), feature(parts["B1"], Groove)
    assert isinstance(rail, Groove)
    assert isinstance(base, Groove)
    assert (rail.width, rail.depth, rail.centre) == pytest.approx((41.4, 10.0, 0.0))
    assert base.depth == pytest.approx(8.0)
    assert dict(parts["H1"].face_names)[rail.face] == "underside"
    assert dict(parts["B1"].face_names)[base.face] == "top"


def test_fillets_are_shorter_by_their_play() -> None:
    """Square distance between plumb sides is g; g less the play, over cos of the rake, is the edge."""
    design, parts = exploded(making=replace(PLAIN_GROOVES, end_play=1.0))
    middle = parts["F05"].body.long_edge_lengths
    gap = design.uprights[3].gap_after
    assert middle == pytest.approx(((gap - 1.0) / math.cos(THETA),) * 4, abs=1e-6)
    end = parts["F01"].body.long_edge_lengths
    assert end == pytest.approx(((gap - 0.5) / math.cos(THETA),) * 4, abs=1e-6)


def test_both_ends_of_an_upright_are_cut_at_the_pitch_the_same_way() -> None:
    _, parts = exploded()
    readings = [saw_reading(cuts[0].normal) for cuts in (parts["U05"].start_cuts, parts["U05"].finish_cuts)]
    for reading in readings:
        assert abs(reading.mitre_deg) == pytest.approx(math.degrees(THETA), abs=1e-6)
        assert reading.bevel_deg == pytest.approx(0.0, abs=1e-9)
    assert readings[0].mitre_deg == pytest.approx(readings[1].mitre_deg)


def test_bores_lie_on_the_centre_lines_and_stop_where_the_uprights_do() -> None:
    """Plumb, 30 wide: on the centre line the bore is deeper than at the shallow side by 15 tan of the rake."""
    design, parts = exploded(making=Bored(20.0, 12.0, 0.3), infill=UprightsBrief(Shape.ROUND, 30.0, 30.0))
    for bar, depth in ((parts["H1"], 20.0), (parts["B1"], 12.0)):
        holes = [one for one in bar.features if isinstance(one, Hole)]
        assert len(holes) == len(design.uprights)
        for hole, upright in zip(holes, design.uprights, strict=True):
            assert hole.depth == pytest.approx(depth + 15.0 * math.tan(THETA), abs=1e-6)
            assert hole.diameter == pytest.approx(30.3)
            assert bar.frame.to_world(hole.at)[0] == pytest.approx(upright.foot[0], abs=1e-6)
            axis = bar.frame.direction_to_world(hole.axis)
            assert abs(axis[2]) == pytest.approx(1.0)
    assert isinstance(parts["U01"].features[0], RoundBar)


def test_the_bore_of_a_corner_piece_stays_on_its_centre_line() -> None:
    infill = UprightsBrief(Shape.ROUND, 30.0, 30.0, Leaning.SQUARE)
    design, parts = exploded(making=Bored(20.0, 12.0), infill=infill)
    holes = [one for one in parts["B1"].features if isinstance(one, Hole)]
    seated = [piece for piece in design.uprights if piece.outline.edge("base")]
    assert len(holes) == len(seated) < len(design.uprights)
    for hole, piece in zip(holes, seated, strict=True):
        u, _, z = parts["B1"].frame.to_world(hole.at)
        off = (u - piece.foot[0]) * math.cos(piece.lean) - (z - piece.foot[1]) * math.sin(piece.lean)
        assert off == pytest.approx(0.0, abs=1e-6)


def test_a_stacked_design_piece_by_piece() -> None:
    design, parts = exploded(making=STACK, rail=STACK_RAIL, base=STACK_BASE, infill=STACK_INFILL)
    count = len(design.uprights)
    assert Counter(part.role for part in parts.values()) == {
        Role.RAIL_STRIP: 1,
        Role.RAIL_CHEEK: 2,
        Role.BASE_STRIP: 1,
        Role.BASE_CHEEK: 2,
        Role.NEWEL: 2,
        Role.UPRIGHT: count,
        Role.RAIL_BLOCK: count + 1,
        Role.BASE_BLOCK: count + 1,
    }
    assert parts["H1b"].role is Role.RAIL_STRIP
    assert sorted((parts["H1b"].width, parts["H1b"].thickness)) == pytest.approx([18.0, 59.0 - 30.0])
    assert sorted((parts["H1a"].width, parts["H1a"].thickness)) == pytest.approx([18.0, 59.0])
    assert parts["R02b"].width == pytest.approx(30.0)


@pytest.mark.parametrize("side", list(Side))
@pytest.mark.parametrize("housed", [(1,), (2,), (1, 2)])
def test_blocks_and_uprights_stand_side_by_side_in_their_layers(housed: tuple[int, ...], side: Side) -> None:
    """Two layers of 18: layer 1 lies 9 towards the walking side, layer 2 as far the other way."""
    making = Stacked(2, 18.0, housed, 30.0, 15.0)
    infill = UprightsBrief(Shape.RECTANGULAR, 41.0, 18.0 * len(housed))
    rails = (replace(PLAIN_RAIL, width=36.0), replace(PLAIN_BASE, width=36.0))
    _, parts = exploded(making=making, side=side, infill=infill, rail=rails[0], base=rails[1])
    sense = 1.0 if side is Side.RIGHT else -1.0
    layers = {1: sense * 9.0, 2: -sense * 9.0}
    blocks = {part.frame.origin[1] for part in of_role(parts, Role.RAIL_BLOCK)}
    assert blocks == {layers[layer] for layer in housed}
    expected = sum(layers[layer] for layer in housed) / len(housed)
    for part in of_role(parts, Role.UPRIGHT):
        assert part.frame.origin[1] == pytest.approx(expected, abs=1e-9)
    reach = [
        part.frame.to_world(corner)[1]
        for part in of_role(parts, Role.UPRIGHT)
        for corner in part.body.corners
    ]
    bounds = [y + half for y in blocks for half in (-9.0, 9.0)]
    assert (min(reach), max(reach)) == pytest.approx((min(bounds), max(bounds)))


def test_a_solid_stack_of_one_layer() -> None:
    making = Stacked(1, 18.0, (1,), 30.0, 15.0)
    rail, base = replace(PLAIN_RAIL, width=18.0), replace(PLAIN_BASE, width=18.0)
    _, parts = exploded(making=making, infill=STACK_INFILL, rail=rail, base=base)
    assert not of_role(parts, Role.RAIL_CHEEK)
    assert len(of_role(parts, Role.RAIL_STRIP)) == 1


def test_the_overhang_past_a_free_end_is_filled() -> None:
    """The groove runs through: a fillet lies beyond the last upright too, as long as the overhang on the rake."""
    end = FreeEnd(Station("N1"), 60.0)
    _, parts = exploded(bottom=end)
    first = parts["F01"].body.long_edge_lengths
    assert first == pytest.approx((60.0 / math.cos(THETA),) * 4, abs=1e-6)
    _, flush = exploded(bottom=replace(end, overhang=0.0))
    assert len(of_role(flush, Role.RAIL_FILLET)) == len(of_role(flush, Role.UPRIGHT))


def test_a_packer_tapers_on_its_underside() -> None:
    """The string is less steep by 0.0089: over the length of the rail the packer grows by that much times it."""
    sizes = Sizes((200.0,) * 13, (225.0,) * 12, (260.0, 0.88))
    packed = replace(PLAIN_BASE, seat=BaseSeat.PACKED, least_packing=4.0)
    design, parts = exploded(flight_of(sizes), base=packed)
    packer = parts["K1"]
    taper = feature(packer, Taper)
    assert isinstance(taper, Taper)
    angle = math.degrees(
        math.acos(abs(taper.plane.normal[1] if packer.width < 60 else taper.plane.normal[2]))
    )
    assert angle == pytest.approx(math.degrees(THETA - math.atan(0.88)), abs=1e-6)
    corners = [packer.frame.to_world(corner) for corner in packer.body.corners]
    string = design.flight.string
    assert string is not None
    for u, _, z in corners:
        assert string.top.at(u) - 1e-6 <= z <= design.base_rail.bottom.at(u) + 1e-6
    assert sum(abs(z - string.top.at(u)) <= 1e-6 for u, _, z in corners) == 4


@pytest.mark.parametrize(("asked", "given"), [(12.0, 12.0), (35.0, 35.0), (50.0, 35.0)])
def test_a_rail_is_rounded_as_far_as_its_width_allows(asked: float, given: float) -> None:
    _, parts = exploded(rail=RailBrief(70.0, 45.0, 900.0, round_over=asked))
    rounded = feature(parts["H1"], RoundOver)
    assert isinstance(rounded, RoundOver)
    assert rounded.radius == given
    assert len(rounded.edges) == 2
    names = dict(parts["H1"].face_names)
    tops = {face.value for face, name in names.items() if name == "top"}
    axis = "Y" if tops & {"+Y", "-Y"} else "Z"
    signs = {edge[0 if axis == "Y" else 1] for edge in rounded.edges}
    assert signs == ({1} if f"+{axis}" in tops else {-1})


def test_turnings_are_counted_from_the_blank() -> None:
    """The foot of the upright is its long point, so the turning starts where it was told to."""
    profile = ((0.0, 41.0), (80.0, 25.0), (300.0, 38.0))
    infill = UprightsBrief(Shape.TURNED, 41.0, 41.0, profile=profile, turned_from=150.0, arris=2.0)
    _, parts = exploded(infill=infill)
    turning, arris = feature(parts["U03"], Turning), feature(parts["U03"], RoundOver)
    assert isinstance(turning, Turning)
    assert isinstance(arris, RoundOver)
    assert [x for x, _ in turning.profile] == pytest.approx([150.0, 230.0, 450.0], abs=1e-6)
    assert len(arris.edges) == 4


def test_corner_pieces_are_cut_to_the_newel_in_space() -> None:
    """A newel that leans across and is twisted: the piece that dies into it takes the true face, not its trace."""
    facts = PostFacts("foot", FOOT_POST, 800.0, 90.0, 90.0, lean_across=0.02, twist=math.radians(3.0))
    flight = regular_flight(posts=(facts,))
    infill = replace(PLAIN_UPRIGHTS, lean=Leaning.SQUARE)
    design, parts = exploded(flight, infill=infill, bottom=ExistingNewel("foot"))
    first = parts["U01"]
    face = design.bay.start
    corners = [first.frame.to_world(corner) for corner in first.body.corners]
    distances = [-face.distance(corner) for corner in corners]
    assert sum(abs(d) <= 1e-6 for d in distances) >= 3
    assert max(distances) <= 1e-6


def test_newels_are_notched_over_the_string() -> None:
    """90 square, centred on a string 32 thick, lapping 150 below its top at the middle."""
    lapped = replace(newel("N1", 90.0, 0.0, Foot.STRING), lap=150.0)
    design, parts = exploded(bottom=lapped)
    notch = feature(parts["P1"], Notch)
    assert isinstance(notch, Notch)
    assert notch.high[0] == pytest.approx(150.0 + 45.0 * 200.0 / 225.0)
    assert sorted((notch.high[1], notch.high[2])) == pytest.approx([16.0, 45.0])
    assert parts["P1"].length == pytest.approx(design.posts[0].length)


def test_existing_newels_are_not_made_and_half_newels_are() -> None:
    facts = PostFacts("foot", FOOT_POST, 800.0, 90.0, 90.0)
    flight = regular_flight(posts=(facts,), walls=(WallFacts("head", HEAD_WALL, 3200.0),))
    _, parts = exploded(
        flight, bottom=ExistingNewel("foot"), top=HalfNewel("head", 45.0, 90.0, 80.0, Foot.FLOOR)
    )
    assert "P1" not in parts
    assert parts["P2"].role is Role.HALF_NEWEL
    assert (parts["P2"].width, parts["P2"].thickness) == (90.0, 45.0)
    assert not parts["P2"].features


def test_a_layout_that_does_not_fit_is_still_taken_apart() -> None:
    """The remark says that it fails; the sheets must still show what was asked."""
    infill = replace(PLAIN_UPRIGHTS, spacing=SpacingBrief(count=70))
    design, parts = exploded(infill=infill)
    assert any(finding.code == "design.spacing.room" for finding in design.findings)
    assert of_role(parts, Role.UPRIGHT)
