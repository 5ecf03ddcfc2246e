"""Laws of jigs and templates: built or folded as drawn, they give the plane they were made for."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.laws.test_saw_laws import laid

from pitchline.design.model import BarRole
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.tolerances import BOX_PLAY
from pitchline.kit.words import PLAIN
from pitchline.making.jigs import BOARD, JigKind, JigView
from pitchline.making.jigs_boxes import lean_in_wall, mitre_box
from pitchline.making.jigs_infill import drilling_guide, slants, spacer, tilted_on_a_packer
from pitchline.making.jigs_rails import caul
from pitchline.making.jigs_saw import saw_jigs, stop_block, taper_block
from pitchline.making.settings_ways import BLOCK_THIN
from pitchline.making.settings_work import saw_work
from pitchline.making.shop import SawKind, usual_saw, usual_shop
from pitchline.making.templates import corner_views, end_view
from pitchline.parts.explode import Group
from pitchline.parts.part import Face, Hole, Part, Role, RoundOver

FEW = settings(max_examples=60, deadline=None)
Vector = NDArray[np.float64]

mitres = st.floats(-65.0, 65.0).map(lambda deg: round(deg, 3))
tilts = st.floats(-44.0, 44.0).map(lambda deg: round(deg, 3))
sizes = st.floats(8.0, 120.0).map(lambda mm: round(mm, 2))


def unit(vector: Vector) -> Vector:
    return vector / np.linalg.norm(vector)


def off(a: Vector, b: Vector) -> float:
    """Angle between two planes by their normals, degrees."""
    return math.degrees(math.asin(min(1.0, float(np.linalg.norm(np.cross(unit(a), unit(b)))))))


@FEW
@given(mitres, tilts, sizes, sizes)
def test_a_saw_in_a_mitre_box_cuts_the_plane_and_its_mirror_image(
    mitre: float, tilt: float, wide: float, high: float
) -> None:
    """The slot's line on top of the walls and its line down the near wall span the plane of the cut."""
    reading = SawReading(mitre, tilt)
    plan, wall = mitre_box(reading, wide, high, ("A",), 0.6).views
    for on_top, down, wanted in zip(plan.marks, wall.marks, (reading, reading.mirrored), strict=False):
        a = np.array([*on_top.a, 0.0])
        b = np.array([*on_top.b, 0.0])
        foot = np.array([down.a[0], 0.0, down.a[1] - down.b[1]])
        assert down.b[0] == pytest.approx(on_top.a[0])
        normal = np.cross(b - a, foot - a)
        if wanted is reading:
            assert off(normal, np.array(reading.normal)) < 1e-6
        else:
            mirrored = np.array(reading.normal) * np.array([-1.0, 1.0, 1.0])
            assert off(normal, mirrored) < 1e-6


@FEW
@given(mitres, tilts, sizes, sizes)
def test_a_piece_slides_in_its_box_and_the_slots_stay_apart(
    mitre: float, tilt: float, wide: float, high: float
) -> None:
    plan, wall = mitre_box(SawReading(mitre, tilt), wide, high, ("A",), 0.6).views
    near, far = plan.outlines[1:]
    clear = min(y for _, y in far) - max(y for _, y in near)
    assert clear - wide == pytest.approx(2.0 * BOX_PLAY)
    assert wall.extent[1] > high + BOARD
    length = plan.extent[0]
    xs = [sorted((mark.a[0], mark.b[0])) for view in (plan, wall) for mark in view.marks]
    assert min(low for low, _ in xs) > 30.0
    assert max(high_x for _, high_x in xs) < length - 30.0
    for view in (plan, wall):
        if len(view.marks) == 1:
            assert max(abs(mitre), abs(tilt)) < 0.1
            continue
        first, second = ((mark.a[0], mark.b[0]) for mark in view.marks)
        assert (first[0] - second[0]) * (first[1] - second[1]) > 0.0


@FEW
@given(mitres, tilts, sizes, sizes)
def test_a_stop_meets_its_end_everywhere(mitre: float, tilt: float, wide: float, high: float) -> None:
    reading = SawReading(mitre, tilt)
    plan, front = stop_block(reading, wide, high, ("A",)).views
    bottom, top = plan.outlines[0][0], plan.outlines[0][-1]
    above, below = front.outlines[0][3], front.outlines[0][4]
    along = np.array([top[0] - bottom[0], top[1] - bottom[1], 0.0])
    up = np.array([above[0] - below[0], 0.0, above[1] - below[1]])
    assert off(np.cross(along, up), np.array(reading.normal)) < 1e-6
    assert min(x for x, _ in plan.outlines[0]) == pytest.approx(0.0)


@FEW
@given(mitres, tilts, mitres, st.sampled_from([SawKind.MITRE, SawKind.TABLE]))
def test_a_stop_stands_against_the_end_that_is_cut(
    mitre: float, tilt: float, other: float, kind: SawKind
) -> None:
    """Its face, turned round where the stop stands on the left of the piece, is the plane of that end as it lies."""
    start, finish = SawReading(mitre / 2.0, tilt / 2.0), SawReading(other / 2.0, tilt / 3.0)
    part = Part(
        "A", "A", Role.UPRIGHT, "oak-european", 900.0, 40.0, 30.0,
        (start_plane((100.0, 0.0, 0.0), start),), (end_plane((800.0, 0.0, 0.0), finish),), (), Frame(),
    )  # fmt: skip
    shop = replace(usual_shop(), saws=(usual_saw(kind),))
    work = saw_work([Group("A", part, ("a", "b", "c"))], shop)
    second = [(batch, one) for batch in work.batches for one in batch.cuts if not one.first]
    stops = [jig for jig in saw_jigs((), work, shop, PLAIN) if jig.kind is JigKind.STOP]
    assert len(second) == len(stops) == 1
    ((batch, one),) = second
    plan, front = stops[0].views
    bottom, top = plan.outlines[0][0], plan.outlines[0][-1]
    above, below = front.outlines[0][3], front.outlines[0][4]
    face = np.cross(
        [top[0] - bottom[0], top[1] - bottom[1], 0.0], [above[0] - below[0], 0.0, above[1] - below[1]]
    )
    if not one.on_right:
        face = face * np.array([-1.0, -1.0, 1.0])
    end = finish if one.cut.at_start else start
    assert off(face, laid(one, batch.setting.saw.kind) @ np.array(end.normal)) < 1e-6


@FEW
@given(st.floats(10.0, 45.0))
def test_a_taper_block_turns_by_its_angle(angle: float) -> None:
    (plan, _) = taper_block(angle, 40.0, ("A",)).views
    (x0, y0), (x1, y1) = plan.outlines[0][3], plan.outlines[0][2]
    assert y0 == BLOCK_THIN
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(angle)


@FEW
@given(st.floats(5.0, 60.0), sizes)
def test_a_caul_gives_the_jaw_a_seat_parallel_to_the_joint(angle: float, deep: float) -> None:
    """The joint stands ``angle`` from square to the rail; so does the caul's slant to the rail it lies on."""
    (view,) = caul(angle, deep, ("H1",)).views
    foot, head = view.outlines[0][1], view.outlines[0][2]
    from_square = math.degrees(math.atan2(foot[0] - head[0], head[1] - foot[1]))
    assert from_square == pytest.approx(angle)
    assert min(x for x, _ in view.outlines[0]) >= 0.0
    assert view.outlines[0][2][0] >= 20.0 - 1e-9


@FEW
@given(st.floats(40.0, 150.0), st.floats(-50.0, 50.0))
def test_a_spacer_holds_uprights_as_far_apart_as_they_are(clear: float, end: float) -> None:
    """Its two slanting ends are parallel and ``clear`` x cos(end) apart, square to the uprights."""
    (view,) = spacer(clear, end, end, 9, BarRole.BASE).views
    a, b, c, d = (np.array(point) for point in view.outlines[0])
    assert b - a == pytest.approx(c - d)
    side = unit(d - a)
    apart = abs(float(np.cross(np.append(b - a, 0.0), np.append(side, 0.0))[2]))
    assert apart == pytest.approx(clear * math.cos(math.radians(end)))
    assert min(x for x, _ in view.outlines[0]) >= -1e-9


@FEW
@given(st.floats(-50.0, 50.0), st.floats(-40.0, 40.0), st.sampled_from(list(Face)))
def test_a_guide_leads_the_drill_along_the_hole(along: float, aside: float, face: Face) -> None:
    """Axes are built from the two tangents on the face and read back."""
    out = {
        Face.PLUS_Y: (0, 1, 0),
        Face.MINUS_Y: (0, -1, 0),
        Face.PLUS_Z: (0, 0, 1),
        Face.MINUS_Z: (0, 0, -1),
    }[face]
    across = np.array([0.0, 0.0, 1.0]) if out[1] else np.array([0.0, 1.0, 0.0])
    x = np.array([1.0, 0.0, 0.0])
    axis = unit(
        -np.array(out, dtype=float)
        + math.tan(math.radians(along)) * x
        + math.tan(math.radians(aside)) * across
    )
    hole = Hole((0.0, 0.0, 0.0), (float(axis[0]), float(axis[1]), float(axis[2])), 10.0, 30.0)
    assert slants(hole, face) == pytest.approx((along, aside), abs=1e-9)
    (side, _) = drilling_guide(abs(along), abs(aside), 10.0, 40.0, 30.0, ("A",), 3).views
    drill = side.marks[0]
    lean = math.degrees(math.atan2(drill.b[0] - drill.a[0], drill.b[1] - drill.a[1]))
    assert lean == pytest.approx(abs(along))
    assert 0.0 < drill.a[0] < drill.b[0] + 1e-9 < side.extent[0]


@FEW
@given(st.floats(1.0, 50.0), st.floats(1.0, 40.0))
def test_a_block_on_its_packer_is_bored_along_the_hole(along: float, aside: float) -> None:
    """Packer on a tilted table, by rotations: the plumb drill meets the slant that is wanted."""
    tilt = math.radians(tilted_on_a_packer(along, aside))
    s = math.radians(aside)
    lean = np.array([[1.0, 0.0, 0.0], [0.0, math.cos(s), -math.sin(s)], [0.0, math.sin(s), math.cos(s)]])
    turn = np.array(
        [[math.cos(tilt), 0.0, math.sin(tilt)], [0.0, 1.0, 0.0], [-math.sin(tilt), 0.0, math.cos(tilt)]]
    )
    drill = np.linalg.inv(turn @ lean) @ np.array([0.0, 0.0, -1.0])
    assert abs(drill[0] / drill[2]) == pytest.approx(math.tan(math.radians(along)))
    assert abs(drill[1] / drill[2]) == pytest.approx(math.tan(math.radians(aside)))


def part_of(width: float, thickness: float, cut: Plane, *, at_start: bool) -> Part:
    square = SawReading(0.0, 0.0)
    start = cut if at_start else start_plane((0.0, 0.0, 0.0), square)
    finish = end_plane((900.0, 0.0, 0.0), square) if at_start else cut
    return Part(
        "A", "A", Role.UPRIGHT, "oak-european", 900.0, width, thickness, (start,), (finish,), (), Frame()
    )


@FEW
@given(
    mitres, tilts, sizes, sizes, st.booleans(), st.sampled_from([None, (1, 1), (-1, 1), (1, -1), (-1, -1)])
)
def test_a_template_folded_round_its_arris_lies_on_the_cut(
    mitre: float,
    tilt: float,
    width: float,
    thickness: float,
    at_start: bool,
    rounded: tuple[int, int] | None,
) -> None:
    """Folded back into space by its own rule, both red lines lie in the plane of the cut, whichever arris it is."""
    reading = SawReading(mitre, tilt)
    cut = start_plane((300.0, 0.0, 0.0), reading) if at_start else end_plane((600.0, 0.0, 0.0), reading)
    part = part_of(width, thickness, cut, at_start=at_start)
    edge = 0.3 * min(width, thickness)
    if rounded is not None:
        part = replace(part, features=(RoundOver((rounded,), edge),))
    view = end_view(part, cut, at_start=at_start)
    upper, lower = faces_of(view)
    y, z = width / 2.0 * upper, thickness / 2.0 * lower
    # outside is where the fold's right, its up and the face's outward normal are right-handed
    sign = float(np.cross((1.0, 0.0, 0.0), (0.0, 0.0, -float(lower)))[1] * upper)
    arris = -cut.distance((0.0, y, z)) / cut.normal[0]
    for mark in view.marks[:2]:
        for px, py in (mark.a, mark.b):
            in_space = (
                (arris + sign * px, y, z - lower * py)
                if py >= 0.0
                else (arris + sign * px, y + upper * py, z)
            )
            assert cut.distance(in_space) == pytest.approx(0.0, abs=1e-6)
    assert max(abs(py) for _, py in view.outlines[0]) <= max(width, thickness) + 1e-9


def faces_of(view: JigView) -> tuple[int, int]:
    """The signs of the Y face above the fold and of the Z face below it."""
    above, below = view.name.split(" above, ")
    return (1 if above.endswith("+Y") else -1), (1 if "+Z" in below else -1)


def test_a_template_lies_on_the_flat_faces_of_a_rounded_rail() -> None:
    """A handrail rounded on both its upper edges is marked from its underside."""
    cut = end_plane((600.0, 0.0, 0.0), SawReading(0.0, 40.0))
    part = replace(part_of(60.0, 50.0, cut, at_start=False), features=(RoundOver(((1, 1), (-1, 1)), 20.0),))
    assert "-Z below" in end_view(part, cut, at_start=False).name


@FEW
@given(st.floats(200.0, 900.0), st.floats(300.0, 900.0), st.floats(-0.9, 0.9))
def test_the_corners_of_a_panel_close(width: float, height: float, slope: float) -> None:
    """The four angles of a parallelogram: neighbours add up to 180 degrees, and each is what its slope makes it."""
    rise = slope * width
    outline = ((0.0, 0.0), (width, rise), (width, rise + height), (0.0, height))
    opened = [view.angles[0].value_deg for view in corner_views(outline)]
    assert sum(opened) == pytest.approx(360.0)
    pitch = math.degrees(math.atan(slope))
    assert opened == pytest.approx([90.0 - pitch, 90.0 + pitch, 90.0 - pitch, 90.0 + pitch])


@FEW
@given(mitres, tilts)
def test_the_lean_in_the_wall_is_steeper_than_the_tilt(mitre: float, tilt: float) -> None:
    """Seen square to the wall, a tilted cut leans by more than its blade: tan = tan(tilt) / cos(mitre)."""
    lean = lean_in_wall(SawReading(mitre, tilt))
    assert abs(lean) >= abs(tilt) - 1e-9
    assert math.tan(math.radians(lean)) * math.cos(math.radians(mitre)) == pytest.approx(
        math.tan(math.radians(tilt))
    )
