"""Volumes and surfaces of parts against a general boundary-representation kernel (OpenCascade 7, LGPL).

The kernel builds every part its own way: half-spaces for the cuts, fillets rolled along the edges of the blank,
cones for turnings. Nothing here is an output of the program under test.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeHalfSpace,
)
from OCP.gp import gp_Ax2, gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape
from tests.strategies_stairs import FOOT_POST, LIMITS, PLAIN_RAIL, plain_brief, regular_flight

from pitchline.design.brief import ExistingNewel
from pitchline.design.compose import compose
from pitchline.kit.geometry.bevels import SawReading, end_plane, start_plane
from pitchline.kit.geometry.frames import Frame, Plane, Vec3, along, unit
from pitchline.parts.explode import explode
from pitchline.parts.measure import surface_area, volume
from pitchline.parts.part import (
    Face,
    Feature,
    Groove,
    Hole,
    Notch,
    Part,
    Role,
    RoundBar,
    RoundOver,
    Taper,
    Turning,
)
from pitchline.solids.solid import SEGMENTS, local_solid
from pitchline.stair.facts import PostFacts

CLOSED_FORM = 1e-9
"""Relative agreement asked of closed forms."""


def piece(
    length: float,
    width: float,
    thickness: float,
    features: tuple[Feature, ...] = (),
    start: tuple[Plane, ...] = (),
    finish: tuple[Plane, ...] = (),
) -> Part:
    """An invented part in its own axes."""
    return Part(
        place="X1",
        mark="X1",
        role=Role.UPRIGHT,
        material="pine-european",
        length=length,
        width=width,
        thickness=thickness,
        start_cuts=start or (Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=finish or (Plane((length, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=features,
        frame=Frame(),
    )


def bevelled(length: float, width: float, thickness: float, *features: Feature) -> Part:
    """Compound cuts at both ends, as between a leaning and a twisted newel; long points at 0 and ``length``."""
    first, last = SawReading(3.9, -42.8), SawReading(-2.2, -40.1)
    y, z = width / 2, thickness / 2
    start = start_plane(_corner(first.normal, y, z, 0.0, low=True), first)
    finish = end_plane(_corner(last.normal, y, z, length, low=False), last)
    return piece(length, width, thickness, features, (start,), (finish,))


def _corner(normal: Vec3, y: float, z: float, x: float, *, low: bool) -> Vec3:
    """The long edge at which a cut with this normal (+x side) reaches furthest."""
    sign = 1.0 if low else -1.0
    return (x, math.copysign(y, sign * normal[1]), math.copysign(z, sign * normal[2]))


BOTH_TOP = ((-1, 1), (1, 1))
ALL_FOUR = ((-1, -1), (-1, 1), (1, -1), (1, 1))
SLANT: Vec3 = unit((0.41, 0.0, -0.91))
CASES = {
    "plain": piece(900.0, 41.0, 32.0),
    "bevelled": bevelled(3600.0, 70.0, 59.0),
    "ploughed rail": bevelled(
        3600.0, 70.0, 59.0, Groove(Face.MINUS_Z, 0.0, 41.2, 10.0), RoundOver(BOTH_TOP, 12.0)
    ),
    "groove off centre in an edge": bevelled(2400.0, 70.0, 32.0, Groove(Face.PLUS_Y, -4.0, 12.0, 9.0)),
    "groove into the round": bevelled(
        1500.0, 60.0, 40.0, RoundOver(BOTH_TOP, 15.0), Groove(Face.PLUS_Z, 20.0, 8.0, 9.0)
    ),
    "half-round rail": bevelled(1500.0, 50.0, 40.0, RoundOver(BOTH_TOP, 24.0)),
    "arrised upright": bevelled(880.0, 41.0, 41.0, RoundOver(ALL_FOUR, 3.0)),
    "bored rail": bevelled(
        1800.0,
        70.0,
        40.0,
        *(Hole((x, 3.0, 20.0), SLANT, 20.3, 25.0) for x in (400.0, 620.0, 840.0)),
    ),
    "hole that breaks out of the end": piece(
        600.0, 70.0, 40.0, (Hole((4.0, 0.0, 20.0), unit((0.2, 0.0, -1.0)), 20.0, 25.0),)
    ),
    "notched newel": piece(1300.0, 90.0, 90.0, (Notch((0.0, -45.0, -16.0), (240.0, 10.0, 16.0)),)),
    "newel notched across a corner": piece(
        1300.0, 90.0, 70.0, (Notch((-5.0, 10.0, -50.0), (240.0, 60.0, 4.0)),)
    ),
    "turned upright": piece(
        900.0,
        40.0,
        40.0,
        (
            Turning(((150.0, 40.0), (150.0, 34.0), (210.0, 24.0), (450.0, 38.0), (460.0, 30.0))),
            RoundOver(ALL_FOUR, 2.0),
        ),
    ),
    "turned to the ends": piece(
        900.0, 40.0, 40.0, (Turning(((0.0, 40.0), (150.0, 40.0), (210.0, 28.0), (900.0, 40.0))),)
    ),
    "round bar": bevelled(700.0, 20.0, 20.0, RoundBar(20.0)),
    "round bar that dies into a corner": piece(
        700.0,
        20.0,
        20.0,
        (RoundBar(20.0),),
        finish=(
            Plane((695.0, 3.0, 0.0), unit((1.0, 0.4, 0.1))),
            Plane((698.0, -2.0, 0.0), unit((1.0, -0.7, 0.0))),
        ),
    ),
    "taper packer": piece(
        3000.0,
        70.0,
        45.0,
        (Taper(Plane((0.0, 0.0, -21.0), unit((0.011, 0.0, -1.0)))),),
        finish=(Plane((2996.0, 0.0, 0.0), unit((0.75, -0.05, 0.66))),),
    ),
    "arrised upright in a corner": piece(
        500.0,
        41.0,
        41.0,
        (RoundOver(ALL_FOUR, 4.0),),
        finish=(
            Plane((470.0, 5.0, 0.0), unit((1.0, 0.8, 0.1))),
            Plane((480.0, -6.0, 0.0), unit((1.0, -1.2, -0.05))),
        ),
    ),
}


def _pnt(p: Vec3) -> gp_Pnt:
    return gp_Pnt(*p)


def _inside(plane: Plane) -> TopoDS_Shape:
    """The half-space of the material side of a plane."""
    face = BRepBuilderAPI_MakeFace(gp_Pln(_pnt(plane.point), gp_Dir(*plane.normal))).Face()
    return BRepPrimAPI_MakeHalfSpace(face, _pnt(along(plane.point, plane.normal, -1.0))).Solid()


def _filleted(shape: TopoDS_Shape, part: Part, rounding: RoundOver) -> TopoDS_Shape:
    """A ball rolled along the named long edges of the blank."""
    fillet = BRepFilletAPI_MakeFillet(shape)
    found = TopExp_Explorer(shape, TopAbs_EDGE)
    done: set[tuple[int, int]] = set()
    while found.More():
        edge = TopoDS.Edge_s(found.Current())
        middle = GProp_GProps()
        BRepGProp.LinearProperties_s(edge, middle)
        centre = middle.CentreOfMass()
        y, z = centre.Y() / (part.width / 2), centre.Z() / (part.thickness / 2)
        name = (round(y), round(z))
        if abs(abs(y) - 1) + abs(abs(z) - 1) < 1e-6 and name in rounding.edges and name not in done:
            fillet.Add(rounding.radius, edge)
            done.add(name)
        found.Next()
    assert len(done) == len(rounding.edges)
    return fillet.Shape()


def _box(low: Vec3, high: Vec3) -> TopoDS_Shape:
    return BRepPrimAPI_MakeBox(_pnt(low), _pnt(high)).Solid()


def _cone(x0: float, d0: float, x1: float, d1: float) -> TopoDS_Shape:
    axes = gp_Ax2(gp_Pnt(x0, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0))
    if d0 == d1:
        return BRepPrimAPI_MakeCylinder(axes, d0 / 2, x1 - x0).Solid()
    return BRepPrimAPI_MakeCone(axes, d0 / 2, d1 / 2, x1 - x0).Solid()


def _cutters(part: Part) -> Iterator[TopoDS_Shape]:
    for feature in part.features:
        if isinstance(feature, Groove):
            low, high = feature.centre - feature.width / 2, feature.centre + feature.width / 2
            if feature.face is Face.MINUS_Z:
                floor = feature.depth - part.thickness / 2
                yield _box((-9.0, low, -part.thickness), (part.length + 9.0, high, floor))
            elif feature.face is Face.PLUS_Z:
                floor = part.thickness / 2 - feature.depth
                yield _box((-9.0, low, floor), (part.length + 9.0, high, part.thickness))
            else:
                floor = part.width / 2 - feature.depth
                yield _box((-9.0, floor, low), (part.length + 9.0, part.width, high))
        elif isinstance(feature, Hole):
            entry = gp_Ax2(_pnt(along(feature.at, feature.axis, -90.0)), gp_Dir(*feature.axis))
            yield BRepPrimAPI_MakeCylinder(entry, feature.diameter / 2, feature.depth + 90.0).Solid()
        elif isinstance(feature, Notch):
            yield _box(feature.low, feature.high)


def by_kernel(part: Part) -> TopoDS_Shape:
    """The part as the kernel builds it."""
    y, z = part.width / 2, part.thickness / 2
    shape = _box((0.0, -y, -z), (part.length, y, z))
    for feature in part.features:
        if isinstance(feature, RoundBar):
            shape = _cone(0.0, feature.diameter, part.length, feature.diameter)
        elif isinstance(feature, RoundOver):
            shape = _filleted(shape, part, feature)
    tapers = [feature.plane for feature in part.features if isinstance(feature, Taper)]
    for plane in (*part.start_cuts, *part.finish_cuts, *tapers):
        shape = BRepAlgoAPI_Common(shape, _inside(plane)).Shape()
    for cutter in _cutters(part):
        shape = BRepAlgoAPI_Cut(shape, cutter).Shape()
    for feature in part.features:
        if isinstance(feature, Turning):
            profile = feature.profile
            room = _box((profile[0][0], -2 * y, -2 * z), (profile[-1][0], 2 * y, 2 * z))
            shape = BRepAlgoAPI_Cut(shape, room).Shape()
            for (x0, d0), (x1, d1) in pairwise(profile):
                if x1 > x0:
                    shape = BRepAlgoAPI_Fuse(shape, _cone(x0, d0, x1, d1)).Shape()
    return shape


def kernel_volume(shape: TopoDS_Shape) -> float:
    """Volume, integrated adaptively to 1e-11 of itself."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, 1e-11, False, False)
    return float(properties.Mass())


def kernel_area(shape: TopoDS_Shape) -> float:
    """Area of all faces, integrated adaptively."""
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties, 1e-11, False)
    return float(properties.Mass())


@pytest.mark.parametrize("name", CASES)
def test_volume_in_closed_form_is_the_kernels(name: str) -> None:
    part = CASES[name]
    assert volume(part) == pytest.approx(kernel_volume(by_kernel(part)), rel=CLOSED_FORM)


def test_an_oblique_cut_into_a_turned_length_is_summed_to_a_millionth() -> None:
    slant = Plane((300.0, 0.0, 0.0), unit((1.0, 0.6, 0.2)))
    profile = Turning(((100.0, 40.0), (160.0, 26.0), (400.0, 38.0)))
    part = piece(700.0, 40.0, 40.0, (profile,), finish=(slant,))
    turned = BRepAlgoAPI_Fuse(_cone(100.0, 40.0, 160.0, 26.0), _cone(160.0, 26.0, 400.0, 38.0)).Shape()
    foot = _box((0.0, -20.0, -20.0), (100.0, 20.0, 20.0))
    whole = BRepAlgoAPI_Common(BRepAlgoAPI_Fuse(foot, turned).Shape(), _inside(slant)).Shape()
    assert volume(part) == pytest.approx(kernel_volume(whole), rel=1e-6)


WITHOUT_HOUSINGS = (
    "plain",
    "bevelled",
    "half-round rail",
    "arrised upright",
    "turned upright",
    "turned to the ends",
    "round bar",
    "taper packer",
)


@pytest.mark.parametrize("name", WITHOUT_HOUSINGS)
def test_surface_without_housings_is_the_kernels(name: str) -> None:
    part = CASES[name]
    assert surface_area(part) == pytest.approx(kernel_area(by_kernel(part)), rel=1e-7)


@pytest.mark.parametrize("name", ["arrised upright in a corner", "round bar that dies into a corner"])
def test_surface_under_two_cuts_is_within_a_thousandth(name: str) -> None:
    part = CASES[name]
    assert surface_area(part) == pytest.approx(kernel_area(by_kernel(part)), rel=1e-3)


def test_the_inside_of_a_groove_takes_no_finish() -> None:
    # A groove adds two walls and moves its floor; all three are bare, so the kernel's area less those is left.
    part = piece(1000.0, 70.0, 59.0, (Groove(Face.MINUS_Z, 0.0, 41.0, 10.0),))
    inside = 1000.0 * (10.0 + 41.0 + 10.0)
    assert surface_area(part) == pytest.approx(kernel_area(by_kernel(part)) - inside, rel=CLOSED_FORM)


def test_the_inside_of_holes_and_notches_takes_no_finish() -> None:
    bored = piece(1000.0, 70.0, 40.0, (Hole((300.0, 0.0, 20.0), (0.0, 0.0, -1.0), 20.0, 25.0),))
    inside = math.pi * 20.0 * 25.0 + math.pi * 10.0**2
    assert surface_area(bored) == pytest.approx(kernel_area(by_kernel(bored)) - inside, rel=CLOSED_FORM)
    notched = piece(1300.0, 90.0, 90.0, (Notch((0.0, 0.0, -16.0), (240.0, 45.0, 16.0)),))
    walls = 2 * 240.0 * 45.0 + 240.0 * 32.0 + 45.0 * 32.0
    assert surface_area(notched) == pytest.approx(kernel_area(by_kernel(notched)) - walls, rel=CLOSED_FORM)


@pytest.mark.parametrize("name", CASES)
def test_the_mesh_is_within_its_facets(name: str) -> None:
    # A polygon of n sides has sin(2 pi/n)/(2 pi/n) of its circle's area: 0.9984 for 64.
    share = 1.0 - math.sin(math.tau / SEGMENTS) / (math.tau / SEGMENTS)
    part = CASES[name]
    curved = any(isinstance(f, Hole | RoundBar | RoundOver | Turning) for f in part.features)
    allowed = share if curved else 1e-9
    assert local_solid(part).volume() == pytest.approx(volume(part), rel=allowed * 1.05)


def test_parts_between_a_leaning_twisted_newel_and_a_plumb_one_are_the_kernels() -> None:
    post = PostFacts("old", FOOT_POST, 700.0, 92.0, 90.0, 0.021, -0.014, math.radians(3.0), 1300.0)
    flight = regular_flight(risers=5, posts=(post,))
    rail = replace(PLAIN_RAIL, round_over=8.0)
    design = compose(flight, plain_brief(flight, bottom=ExistingNewel("old"), rail=rail), LIMITS)
    for part in explode(design):
        assert volume(part) == pytest.approx(kernel_volume(by_kernel(part)), rel=CLOSED_FORM), part.place


def test_mirrored_parts_hold_as_much_wood() -> None:
    part = CASES["ploughed rail"]
    turned = [
        tuple(
            Plane((p.point[0], p.point[1], -p.point[2]), (p.normal[0], p.normal[1], -p.normal[2]))
            for p in cuts
        )
        for cuts in (part.start_cuts, part.finish_cuts)
    ]
    features = (Groove(Face.PLUS_Z, 0.0, 41.2, 10.0), RoundOver(((-1, -1), (1, -1)), 12.0))
    mirrored = replace(part, start_cuts=turned[0], finish_cuts=turned[1], features=features)
    assert volume(mirrored) == pytest.approx(volume(part), rel=1e-12)
