"""Compound cuts, wreaths and easings against a general boundary-representation kernel (OpenCascade 7, LGPL).

The kernel builds each rail its own way: a bar along x is sawn where it lies, by a blade that is turned by the mitre
and tilted by the bevel, and only then rolled, raised to its pitch and turned in plan. Nothing of pitchline but the
saw readings goes in. Faces must then lie in one plane and have one outline, to 1e-6 mm.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse, BRepAlgoAPI_Section
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeHalfSpace
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_ShapeEnum, TopAbs_SOLID, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape

from pitchline.kit.geometry.bevels import SawReading, direction_of, joint_between, rail_frame
from pitchline.kit.geometry.contours import Arc, Contour
from pitchline.kit.geometry.easings import easing_between, gooseneck
from pitchline.kit.geometry.frames import ORIGIN
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.meetings_space import (
    corner_miss,
    end_cut,
    leaning,
    post_face,
    unequal_mitre,
)
from pitchline.kit.geometry.meetings_ways import Turn, level_way
from pitchline.kit.geometry.wreath import Wreath

SAME = 1e-6
"""How closely faces must lie together, mm (and radians, for directions one long)."""

REACH = 400.0
WIDTH, DEPTH = 70.0, 45.0
ORIGIN_POINT = gp_Pnt(0.0, 0.0, 0.0)
X, Y, Z = gp_Dir(1.0, 0.0, 0.0), gp_Dir(0.0, 1.0, 0.0), gp_Dir(0.0, 0.0, 1.0)

TURNS = [
    (0.0, 37.303, 0.0),
    (90.0, 37.303, 0.0),
    (90.0, 0.0, 37.303),
    (90.0, 37.303, 37.303),
    (90.0, 41.634, 41.634),
    (45.0, 41.5, 41.5),
    (-45.0, 41.5, 0.0),
    (-90.0, -30.0, 20.0),
    (17.0, -12.0, 44.0),
    (120.0, 35.0, -10.0),
    (0.0, 42.0, -31.0),
]
"""Turn in plan and the two pitches; the first six are those of the table in docs/method/angles.md."""


@dataclass(frozen=True)
class Laid:
    """How a bar along x is laid in space, in degrees."""

    plan: float
    pitch: float
    roll: float = 0.0


def turned(shape: TopoDS_Shape, axis: gp_Dir, degrees: float) -> TopoDS_Shape:
    turn = gp_Trsf()
    turn.SetRotation(gp_Ax1(ORIGIN_POINT, axis), math.radians(degrees))
    return BRepBuilderAPI_Transform(shape, turn, True).Shape()


def laid(shape: TopoDS_Shape, how: Laid) -> TopoDS_Shape:
    """Rolled about its length, raised to its pitch, turned in plan."""
    return turned(turned(turned(shape, X, how.roll), Y, -how.pitch), Z, how.plan)


def bar(start: float, end: float, width: float = WIDTH, depth: float = DEPTH) -> TopoDS_Shape:
    return BRepPrimAPI_MakeBox(
        gp_Pnt(start, -width / 2.0, -depth / 2.0), gp_Pnt(end, width / 2.0, depth / 2.0)
    ).Shape()


def rod(start: float, end: float, diameter: float = 50.0) -> TopoDS_Shape:
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(start, 0.0, 0.0), X), diameter / 2.0, end - start).Shape()


def sawn(shape: TopoDS_Shape, reading: SawReading, keep: float, at: float = 0.0) -> TopoDS_Shape:
    """A bar cut at ``at`` by a blade set to the reading; what is kept lies before (-1) or behind (+1) it."""
    normal = X.Rotated(gp_Ax1(ORIGIN_POINT, Y), -math.radians(reading.bevel_deg))
    normal = normal.Rotated(gp_Ax1(ORIGIN_POINT, Z), math.radians(reading.mitre_deg))
    blade = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(at, 0.0, 0.0), normal)).Face()
    waste = BRepPrimAPI_MakeHalfSpace(
        blade, gp_Pnt(at - keep * normal.X(), -keep * normal.Y(), -keep * normal.Z())
    ).Solid()
    return BRepAlgoAPI_Cut(shape, waste).Shape()


def volume(shape: TopoDS_Shape) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found)
    return float(found.Mass())


def area(shape: TopoDS_Shape) -> float:
    found = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, found)
    return float(found.Mass())


def line_length(shape: TopoDS_Shape) -> float:
    found = GProp_GProps()
    BRepGProp.LinearProperties_s(shape, found)
    return float(found.Mass())


def inside(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    """The faces, edges, vertices or solids of a shape."""
    found = []
    walk = TopExp_Explorer(shape, kind)
    while walk.More():
        found.append(walk.Current())
        walk.Next()
    return found


def face_at(shape: TopoDS_Shape, point: gp_Pnt = ORIGIN_POINT) -> TopoDS_Face:
    """The flat face of a sawn bar whose plane passes the point: the mitre."""
    for each in inside(shape, TopAbs_FACE):
        face = TopoDS.Face_s(each)
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane and surface.Plane().Distance(point) < SAME:
            return face
    raise AssertionError("no mitre found")


def corners(face: TopoDS_Face) -> list[tuple[float, float, float]]:
    points = [BRep_Tool.Pnt_s(TopoDS.Vertex_s(each)) for each in inside(face, TopAbs_VERTEX)]
    return [(p.X(), p.Y(), p.Z()) for p in points]


def apart(one: TopoDS_Face, other: TopoDS_Face) -> float:
    """How far the corners of one face stand from the nearest corner of another, at most."""
    return max(min(math.dist(a, b) for b in corners(other)) for a in corners(one))


def in_one_plane(one: TopoDS_Face, other: TopoDS_Face) -> bool:
    a, b = BRepAdaptor_Surface(one).Plane(), BRepAdaptor_Surface(other).Plane()
    return bool(a.Axis().IsParallel(b.Axis(), SAME)) and a.Distance(b.Location()) < SAME


def touch_only(one: TopoDS_Shape, other: TopoDS_Shape) -> bool:
    """Whether two solids share a face and no wood, and are one solid when glued."""
    glued = BRepAlgoAPI_Fuse(one, other).Shape()
    whole = volume(one) + volume(other)
    return (
        volume(BRepAlgoAPI_Common(one, other).Shape()) < SAME
        and len(inside(glued, TopAbs_SOLID)) == 1
        and abs(volume(glued) - whole) < 1e-9 * whole
    )


@pytest.mark.parametrize(("plan", "one", "other"), TURNS)
def test_mitred_round_rails_have_one_face(plan: float, one: float, other: float) -> None:
    """A cut through a cylinder is an ellipse: the two must have one centre, one size and one direction."""
    joint = joint_between(direction_of(0.0, one), direction_of(plan, other))
    first = laid(sawn(rod(-REACH, REACH), joint.first, -1.0), Laid(0.0, one))
    second = laid(sawn(rod(-REACH, REACH), joint.second, 1.0), Laid(plan, other))
    faces = face_at(first), face_at(second)
    assert in_one_plane(*faces)
    ellipses = []
    for face in faces:
        curves = [BRepAdaptor_Curve(TopoDS.Edge_s(edge)) for edge in inside(face, TopAbs_EDGE)]
        ellipses += [c.Ellipse() for c in curves if c.GetType() == GeomAbs_CurveType.GeomAbs_Ellipse]
    a, b = ellipses
    assert a.Location().Distance(b.Location()) < SAME
    assert (a.MajorRadius(), a.MinorRadius()) == pytest.approx((b.MajorRadius(), b.MinorRadius()), abs=SAME)
    assert a.XAxis().IsParallel(b.XAxis(), SAME)
    assert a.MajorRadius() == pytest.approx(25.0 / math.cos(math.radians(joint.turn_deg) / 2.0), abs=SAME)
    assert touch_only(first, second)


@pytest.mark.parametrize(("plan", "one", "other"), TURNS)
def test_mitred_rails_have_one_face_when_the_first_is_rolled(plan: float, one: float, other: float) -> None:
    """With the first rail rolled by what the joint says the oblong sections run into each other corner by corner."""
    ahead, away = direction_of(0.0, one), direction_of(plan, other)
    roll = -joint_between(ahead, away).roll_deg
    joint = joint_between(ahead, away, roll)
    first = laid(sawn(bar(-REACH, REACH), joint.first, -1.0), Laid(0.0, one, roll))
    second = laid(sawn(bar(-REACH, REACH), joint.second, 1.0), Laid(plan, other))
    faces = face_at(first), face_at(second)
    assert in_one_plane(*faces)
    assert apart(*faces) < SAME
    assert area(faces[0]) == pytest.approx(area(faces[1]), abs=SAME)
    assert touch_only(first, second)


@pytest.mark.parametrize(("plan", "one", "other"), TURNS)
def test_unrolled_rails_share_the_plane_and_miss_each_other_where_there_is_roll(
    plan: float, one: float, other: float
) -> None:
    joint = joint_between(direction_of(0.0, one), direction_of(plan, other))
    first = laid(sawn(bar(-REACH, REACH), joint.first, -1.0), Laid(0.0, one))
    second = laid(sawn(bar(-REACH, REACH), joint.second, 1.0), Laid(plan, other))
    faces = face_at(first), face_at(second)
    assert in_one_plane(*faces)
    if abs(joint.roll_deg) < SAME:
        assert apart(*faces) < SAME
    else:
        assert apart(*faces) > 0.3 * min(corner_miss(WIDTH, DEPTH, joint.roll_deg), DEPTH)


@pytest.mark.parametrize(("plan", "one", "other"), TURNS[1:5] + TURNS[8:10])
def test_levelling_out_carries_the_section_round(plan: float, one: float, other: float) -> None:
    """Every joint of the chain rake, level, level, rake (a level rail has one less) matches corner by corner."""
    way = level_way(Turn(one, other, plan, WIDTH, DEPTH))
    lays = [Laid(0.0, one)] if one else []
    lays += [Laid(0.0, 0.0), Laid(plan, 0.0)]
    lays += [Laid(plan, other)] if other else []
    assert len(way.joints) == len(lays) - 1
    for joint, (before, behind) in zip(way.joints, pairwise(lays), strict=True):
        first = laid(sawn(bar(-REACH, REACH), joint.first, -1.0), before)
        second = laid(sawn(bar(-REACH, REACH), joint.second, 1.0), behind)
        assert apart(face_at(first), face_at(second)) < SAME
        assert touch_only(first, second)


def test_a_level_piece_of_the_least_length_comes_to_nothing_on_one_edge() -> None:
    """Sawn at both ends `before` apart, the shortest of its long edges vanishes: two of eight corners are one."""
    way = level_way(Turn(37.3, 37.3, 90.0, WIDTH, DEPTH))
    piece = sawn(bar(-REACH, REACH), way.joints[0].second, 1.0)
    piece = sawn(piece, way.joints[1].first, -1.0, at=way.before)
    faces = [TopoDS.Face_s(face) for face in inside(piece, TopAbs_FACE)]
    places = {tuple(round(part, 5) for part in corner) for face in faces for corner in corners(face)}
    assert len(places) == 7


@pytest.mark.parametrize(("pitch", "second_depth"), [(37.3, 60.0), (41.6, 38.0), (-30.0, 45.0)])
def test_rails_of_unequal_depth_are_mitred_edge_to_edge(pitch: float, second_depth: float) -> None:
    """A rake into a level of another depth, both cut through the middle of their common face."""
    first_cut, second_cut = unequal_mitre(-pitch, DEPTH, second_depth)
    first = laid(sawn(bar(-REACH, REACH), SawReading(0.0, first_cut), -1.0), Laid(0.0, pitch))
    second = sawn(bar(-REACH, REACH, depth=second_depth), SawReading(0.0, -second_cut), 1.0)
    assert in_one_plane(face_at(first), face_at(second))
    assert apart(face_at(first), face_at(second)) < SAME
    assert touch_only(first, second)


@pytest.mark.parametrize("pitch", [0.0, 41.634, -25.0])
@pytest.mark.parametrize(
    ("along", "across", "twist"), [(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, -8.0, 0.0), (-6.0, 9.0, 3.0)]
)
def test_a_rail_fits_a_leaning_twisted_post(pitch: float, along: float, across: float, twist: float) -> None:
    """The kernel stands a post on its axis, its side as near as can be to the bearing; the rail only touches it."""
    axis = leaning(along, across)
    bearing = gp_Dir(math.cos(math.radians(twist)), math.sin(math.radians(twist)), 0.0)
    stand = gp_Ax2(ORIGIN_POINT, gp_Dir(*axis), bearing)
    corner = ORIGIN_POINT.Translated(gp_Vec(stand.YDirection()) * -150.0 + gp_Vec(stand.Direction()) * -900.0)
    stand.SetLocation(corner)
    post = BRepPrimAPI_MakeBox(stand, 90.0, 300.0, 1800.0).Shape()
    face = post_face(ORIGIN, 180.0, axis, twist)
    cut = end_cut(rail_frame(direction_of(0.0, pitch)), face, WIDTH, DEPTH)
    rail = laid(sawn(bar(-REACH, REACH), cut.reading, -1.0), Laid(0.0, pitch))
    assert touch_only(rail, post)
    square = laid(bar(-REACH, min(cut.edges)), Laid(0.0, pitch))
    assert BRepExtrema_DistShapeShape(square, post).Value() < SAME
    assert volume(BRepAlgoAPI_Common(square, post).Shape()) < SAME


@pytest.mark.parametrize(
    ("radius", "plan", "first", "second"),
    [
        (125.0, 90.0, 0.0, 95.0),
        (100.0, 90.0, 88.8889, 88.8889),
        (152.4, 90.0, 106.68, 160.02),
        (300.0, 60.0, 121.0, 80.0),
    ],
)
def test_a_wreath_is_where_the_plank_cuts_the_cylinder(
    radius: float, plan: float, first: float, second: float
) -> None:
    """The kernel intersects the plank's plane with the cylinder over the arc and measures the ellipse."""
    wreath = Wreath(radius, plan, first, second)
    one, other = wreath.tangents
    normal = gp_Vec(*one).Crossed(gp_Vec(*other))
    plank = BRepBuilderAPI_MakeFace(gp_Pln(ORIGIN_POINT, gp_Dir(normal))).Face()
    centre = gp_Pnt(-wreath.plan_tangent, radius, -1000.0)
    from_centre = gp_Ax2(centre, Z, gp_Dir(0.0, -1.0, 0.0))
    sector = BRepPrimAPI_MakeCylinder(from_centre, radius, 2000.0, math.radians(plan)).Shape()
    (wall,) = (
        each
        for each in inside(sector, TopAbs_FACE)
        if BRepAdaptor_Surface(TopoDS.Face_s(each)).GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder
    )
    (edge,) = inside(BRepAlgoAPI_Section(wall, plank).Shape(), TopAbs_EDGE)
    curve = BRepAdaptor_Curve(TopoDS.Edge_s(edge))
    assert line_length(edge) == pytest.approx(wreath.length, abs=1e-5)
    small, large = wreath.semi_axes
    assert curve.Ellipse().MinorRadius() == pytest.approx(small, abs=SAME)
    assert curve.Ellipse().MajorRadius() == pytest.approx(large, abs=SAME)
    ends = sorted(
        (curve.Value(at) for at in (curve.FirstParameter(), curve.LastParameter())), key=lambda p: p.Z()
    )
    wanted = sorted((tuple(-c for c in one), other), key=lambda p: p[2])
    for found, place in zip(ends, wanted, strict=True):
        assert (found.X(), found.Y(), found.Z()) == pytest.approx(place, abs=1e-5)


def built(contour: Contour) -> TopoDS_Face:
    """The contour as the kernel's own lines and arcs of circles, as a face."""
    wire = BRepBuilderAPI_MakeWire()
    for piece in contour.pieces:
        wire.Add(_edge(piece.start, piece.at(piece.length / 2.0), piece.end, round_=isinstance(piece, Arc)))
    return BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()


def _edge(
    a: tuple[float, float], middle: tuple[float, float], b: tuple[float, float], *, round_: bool
) -> TopoDS_Edge:
    start, through, end = (gp_Pnt(p[0], p[1], 0.0) for p in (a, middle, b))
    if not round_:
        return BRepBuilderAPI_MakeEdge(start, end).Edge()
    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(start, through, end).Value()).Edge()


def test_outlines_of_easings_are_closed_faces_of_the_size_they_say() -> None:
    rake = Line(900.0, 200.0 / 225.0)
    over = easing_between(rake, Line(900.0, 0.0), 300.0).outline(0.0, 60.0, 75.0, 50.0)
    under = easing_between(Line(900.0, 0.0), rake, 300.0).outline(0.0, 60.0, 75.0, 50.0)
    neck = gooseneck(rake, 0.0, 1200.0, 80.0, 60.0).outline(25.0, 25.0, 100.0, 100.0)
    knee = gooseneck(rake, 0.0, 1200.0, 80.0).outline(25.0, 25.0, 100.0, 100.0)
    for contour in (over, under, neck, knee):
        face = built(contour)
        assert abs(area(face)) == pytest.approx(contour.area, abs=1e-5)
        assert line_length(face) == pytest.approx(contour.length, abs=1e-6)
