"""What is seen of pieces in space. Expected areas follow from parallel projection and plane geometry."""

import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from shapely import union_all
from shapely.geometry import MultiPoint, Polygon
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.drawing.marks import Area, Stroke
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, unit
from pitchline.parts.explode import explode
from pitchline.parts.part import Part, Role, RoundBar, RoundOver, Sawn, Turning
from pitchline.solids.colours import linear, rgb, wood_colour
from pitchline.solids.context import Kind, surroundings
from pitchline.solids.drawn import picture_marks, picture_svg
from pitchline.solids.facets import part_blocks
from pitchline.solids.mesh import Mesh
from pitchline.solids.picture import Picture, axonometric, eye_direction
from pitchline.stair.model import Side

ABOVE: Vec3 = (0.0, 0.0, 1.0)
SKEW: Vec3 = unit((-0.4, -0.7, 0.5))


def block(place: str, at: Vec3, length: float, width: float, thickness: float) -> Part:
    """A plain block with a corner at ``at`` and its sides along the axes."""
    return Part(
        place=place,
        mark=place,
        role=Role.BASE_BLOCK,
        material="oak-european",
        length=length,
        width=width,
        thickness=thickness,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(),
        frame=Frame(origin=(at[0], at[1] + width / 2, at[2] + thickness / 2)),
    )


def seen_area(picture: Picture, name: str) -> float:
    return sum(float(Polygon(face.outline, face.holes).area) for face in picture.faces if face.name == name)


def shadow(length: float, width: float, thickness: float, direction: Vec3) -> float:
    """Area of a box's shadow along a direction: each side times the cosine it is seen at."""
    x, y, z = (abs(part) for part in direction)
    return length * width * z + width * thickness * x + length * thickness * y


def test_a_box_shows_its_three_faces() -> None:
    picture = axonometric([block("A", (0.0, 0.0, 0.0), 300.0, 200.0, 100.0)], direction=SKEW)
    assert len(picture.faces) == 3
    assert seen_area(picture, "A") == pytest.approx(shadow(300.0, 200.0, 100.0, SKEW))
    assert len(picture.lines) == 3 * 4
    shades = [face.shade for face in picture.faces]
    assert len(set(shades)) == 3
    assert all(0.0 < shade <= 1.0 for shade in shades)


def test_a_block_over_another_hides_its_own_size() -> None:
    low, high = (
        block("A", (0.0, 0.0, 0.0), 300.0, 200.0, 50.0),
        block("B", (100.0, 50.0, 400.0), 80.0, 60.0, 20.0),
    )
    picture = axonometric([low, high], direction=ABOVE)
    assert seen_area(picture, "A") == pytest.approx(300.0 * 200.0 - 80.0 * 60.0)
    assert seen_area(picture, "B") == pytest.approx(80.0 * 60.0)
    assert sum(len(face.holes) for face in picture.faces) == 1


def test_three_beams_that_overlap_in_a_ring_are_each_seen_right() -> None:
    # Each lies over the next at one crossing and under the last at another: no order of painting is right.
    def beam(name: str, turn_deg: float) -> Part:
        turn = math.radians(turn_deg)
        along, across = (math.cos(turn), math.sin(turn), 0.12), (-math.sin(turn), math.cos(turn), 0.0)
        plain = block(name, (0.0, 0.0, 0.0), 600.0, 40.0, 10.0)
        x = unit(along)
        origin = (-300.0 * x[0] + 80.0 * across[0], -300.0 * x[1] + 80.0 * across[1], -300.0 * x[2])
        return replace(plain, frame=Frame.from_xy(origin, x, across))

    beams = [beam(name, turn) for name, turn in (("A", 0.0), ("B", 120.0), ("C", 240.0))]
    picture = axonometric(beams, direction=ABOVE)
    areas = [seen_area(picture, name) for name in "ABC"]
    assert areas == pytest.approx([areas[0]] * 3, rel=1e-6)
    alone = seen_area(axonometric(beams[:1], direction=ABOVE), "A")
    assert areas[0] == pytest.approx(alone - 40.0 * 40.0 / math.sin(math.radians(60.0)), rel=2e-3)


def test_pieces_that_pierce_each_other_are_parted_where_they_meet() -> None:
    flat, post = (
        block("A", (0.0, 0.0, 0.0), 300.0, 300.0, 40.0),
        block("B", (100.0, 100.0, -200.0), 60.0, 60.0, 500.0),
    )
    picture = axonometric([flat, post], direction=SKEW)
    above = shadow(60.0, 60.0, 260.0, SKEW)
    below_the_edge = shadow(60.0, 60.0, 500.0, SKEW) - above
    assert above < seen_area(picture, "B") < above + below_the_edge
    whole = union_all([Polygon(face.outline, face.holes).buffer(1e-6) for face in picture.faces])
    total = seen_area(picture, "A") + seen_area(picture, "B")
    assert total == pytest.approx(whole.area, rel=1e-4)


def test_touching_faces_do_not_hide_each_other() -> None:
    halves = [
        block("A", (0.0, 0.0, 0.0), 100.0, 200.0, 50.0),
        block("B", (100.0, 0.0, 0.0), 100.0, 200.0, 50.0),
    ]
    picture = axonometric(halves, direction=SKEW)
    total = seen_area(picture, "A") + seen_area(picture, "B")
    assert total == pytest.approx(shadow(200.0, 200.0, 50.0, SKEW), rel=1e-4)


def test_hidden_edges_are_not_drawn() -> None:
    low, high = (
        block("A", (0.0, 0.0, 0.0), 300.0, 200.0, 50.0),
        block("B", (-50.0, -50.0, 400.0), 500.0, 400.0, 20.0),
    )
    picture = axonometric([low, high], direction=ABOVE)
    assert seen_area(picture, "A") == 0.0
    assert len(picture.lines) == 4


def test_rounds_are_faceted_without_lines_on_them() -> None:
    bar = replace(block("A", (0.0, 0.0, 0.0), 300.0, 40.0, 40.0), features=(RoundBar(40.0),))
    picture = axonometric([bar], direction=ABOVE)
    # Facets touch the circle from outside: a 16-sided bar turned half a facet is 40/cos(pi/16) wide at most.
    assert (
        300.0 * 40.0
        <= seen_area(picture, "A") * (1 + 1e-9)
        <= 300.0 * 40.0 / math.cos(math.pi / 16) * (1 + 1e-9)
    )
    long_lines = [line for line in picture.lines if math.dist(line.points[0], line.points[-1]) > 290.0]
    assert len(long_lines) == 2
    rail = replace(block("A", (0.0, 0.0, 0.0), 300.0, 70.0, 40.0), features=(RoundOver(((1, 1),), 10.0),))
    assert len(axonometric([rail], direction=SKEW).faces) > 3


def test_blocks_of_a_turned_upright_fill_its_length() -> None:
    upright = replace(
        block("A", (0.0, 0.0, 0.0), 900.0, 40.0, 40.0),
        features=(Turning(((150.0, 40.0), (210.0, 24.0), (450.0, 38.0))),),
    )
    blocks = part_blocks(upright)
    spans = [(float(np.min(b.corners[:, 0])), float(np.max(b.corners[:, 0]))) for b in blocks]
    expected = [(0.0, 150.0), (150.0, 210.0), (210.0, 450.0), (450.0, 900.0)]
    for span, wanted in zip(spans, expected, strict=True):
        assert span == pytest.approx(wanted)
    assert Mesh.of_blocks(blocks[:1]).volume == pytest.approx(150.0 * 40.0 * 40.0)


@pytest.fixture(scope="module")
def design() -> Design:
    flight = regular_flight(risers=6)
    return compose(flight, plain_brief(flight), LIMITS)


@pytest.fixture(scope="module")
def whole(design: Design) -> Picture:
    return axonometric(explode(design), surroundings(design), eye_direction(design.side))


def test_seen_faces_never_overlap(whole: Picture) -> None:
    polygons = [Polygon(face.outline, face.holes) for face in whole.faces]
    together = union_all([polygon.buffer(1e-6) for polygon in polygons])
    assert sum(polygon.area for polygon in polygons) == pytest.approx(together.area, rel=1e-4)


def test_the_picture_fills_the_shadow_of_everything(design: Design, whole: Picture) -> None:
    around = surroundings(design)
    assert {thing.kind for thing in around} >= {Kind.FLOOR, Kind.STEP, Kind.STRING}
    right = unit((-eye_direction(design.side)[1], eye_direction(design.side)[0], 0.0))
    xs = [
        sum(a * b for a, b in zip(corner, right, strict=True))
        for t in around
        for b_ in t.blocks
        for corner in b_.corners
    ]
    left, _, far, _ = whole.bounds
    assert left <= min(xs) + 1e-6
    assert far >= max(xs) - 1e-6
    hull = MultiPoint([point for face in whole.faces for point in face.outline]).convex_hull
    assert 0.3 * hull.area < sum(Polygon(f.outline, f.holes).area for f in whole.faces) < hull.area


def test_nearly_every_part_that_shows_is_seen(design: Design, whole: Picture) -> None:
    seen = {face.name for face in whole.faces}
    shown = {
        p.place for p in explode(design) if p.role in (Role.HANDRAIL, Role.BASE, Role.UPRIGHT, Role.NEWEL)
    }
    assert shown <= seen


def test_a_mirrored_stair_gives_a_mirrored_picture() -> None:
    # The light falls from one side, so shades differ; outlines must not.
    areas = []
    for side in Side:
        flight = regular_flight(risers=4)
        mirrored = compose(flight, plain_brief(flight, side=side), LIMITS)
        picture = axonometric(explode(mirrored), surroundings(mirrored), eye_direction(side))
        total = {face.name: 0.0 for face in picture.faces}
        for face in picture.faces:
            total[face.name] += Polygon(face.outline, face.holes).area
        areas.append(total)
    assert areas[0] == pytest.approx(areas[1], rel=1e-5, abs=0.5)


def test_marks_and_svg_hold_the_same_faces(whole: Picture) -> None:
    marks = picture_marks(whole)
    assert sum(isinstance(mark, Area) for mark in marks) == len(whole.faces)
    assert sum(isinstance(mark, Stroke) for mark in marks) == len(whole.lines)
    root = ET.fromstring(picture_svg(whole, "Stair A & its rail"))
    names = [element.tag.rpartition("}")[2] for element in root.iter()]
    assert names.count("path") == len(whole.faces) + 2
    assert root[0].text == "Stair A & its rail"
    assert picture_svg(whole, "x") == picture_svg(whole, "x")


def test_a_picture_of_nothing_has_no_bounds() -> None:
    with pytest.raises(ValueError, match="nothing"):
        _ = axonometric([]).bounds


def test_woods_have_colours_of_their_own() -> None:
    assert wood_colour("oak-european") != wood_colour("pine-european")
    assert wood_colour("oak-red") == wood_colour("oak-white")
    assert wood_colour("mdf") != wood_colour("something-new")
    # sRGB (IEC 61966-2-1): white is 1, black 0, and 188/255 is half the light to within its rounding.
    assert linear("#ffffff") == pytest.approx((1.0, 1.0, 1.0))
    assert linear("#000000") == pytest.approx((0.0, 0.0, 0.0))
    assert linear("#bcbcbc")[0] == pytest.approx(0.5, abs=0.005)
    assert rgb("#ff8000") == pytest.approx((1.0, 128 / 255, 0.0))


def test_a_panel_with_many_openings_is_drawn_at_once_and_seen_through() -> None:
    """144 openings of 60 corners each: few faces, for the walls inside so many small openings are left out."""
    turns = [math.tau * k / 60 for k in range(60)]
    holes = tuple(
        tuple((60.0 + 70.0 * i + 20.0 * math.cos(t), -330.0 + 60.0 * j + 20.0 * math.sin(t)) for t in turns)
        for i in range(12)
        for j in range(12)
    )
    ring = ((0.0, -400.0), (900.0, -400.0), (900.0, 400.0), (0.0, 400.0))
    panel = Part(
        place="PN1", mark="PN1", role=Role.PANEL, material="birch-plywood",
        length=900.0, width=800.0, thickness=12.0,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((900.0, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=(Sawn(ring, holes),), frame=Frame(),
    )  # fmt: skip
    picture = axonometric([panel], (), (-0.3, 0.3, 1.0))
    assert len(picture.faces) <= 6
    front = max(picture.faces, key=lambda face: len(face.holes))
    assert len(front.holes) == 144
