"""Pieces worked by a boundary-representation kernel (OpenCascade, the extra ``occ``), true where faces run together.

Only a piece whose round faces meet in a curve that is no line, circle or ellipse asks for it (a hole that runs into a
rounded edge); without the extra such a piece is told in flat facets. Lengths in mm, in the piece's own axes.
"""

import re
import tempfile
from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from pitchline.kit.geometry.arcs_found import with_arcs
from pitchline.kit.geometry.contours import Arc, Contour
from pitchline.kit.geometry.frames import Plane, Vec3, along, unit
from pitchline.kit.geometry.outlines import anticlockwise
from pitchline.parts.part import Feature, Hole, Part, RoundBar, RoundOver, Sawn, Taper, Turning
from pitchline.solids.cutters import cutters
from pitchline.solids.step_file import header, text

_FAR = 100.0
"""mm by which what cuts and what is cut run past the piece."""


def is_installed() -> bool:
    """Whether the extra is there."""
    return find_spec("OCP") is not None


def exact_step(part: Part, date: str = "") -> bytes:
    """One piece in its own axes, every face true.

    ImportError without the extra; RuntimeError where the kernel fails.
    """
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_PrinterOStream
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    Message.DefaultMessenger_s().RemovePrinters(Message_PrinterOStream.get_type_descriptor_s())
    shape = exact_shape(part)
    writer = STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetCVal_s("write.step.product.name", part.mark)
    with tempfile.TemporaryDirectory(prefix="pitchline-") as scratch:
        path = Path(scratch) / "piece.step"
        told = writer.Transfer(shape, STEPControl_AsIs)
        if told != IFSelect_RetDone or writer.Write(str(path)) != IFSelect_RetDone:
            raise RuntimeError(f"{part.place}: the kernel does not write it")
        return _plain(path.read_text("utf-8"), part.mark, date)


def _plain(written: str, name: str, date: str) -> bytes:
    """The kernel's file with our header and product name, so that the same piece gives the same bytes."""
    body = written[written.index("DATA;") :]
    body = re.sub(r"PRODUCT\('[^']*','[^']*'", lambda _: f"PRODUCT({text(name)},{text(name)}", body, count=1)
    return (header(name, date) + body).encode("ascii", errors="replace")


def exact_shape(part: Part) -> Any:
    """The piece as a solid of the kernel."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
    from OCP.BRepCheck import BRepCheck_Analyzer

    turning = next((one for one in part.features if isinstance(one, Turning)), None)
    solid = _stick(part)
    for feature in part.features:
        if isinstance(feature, Sawn):
            solid = BRepAlgoAPI_Common(solid, _plate(part, feature)).Shape()
    for feature in part.features:
        for taken in _taken(part, feature):
            solid = BRepAlgoAPI_Cut(solid, taken).Shape()
    if turning is not None:
        solid = _turned(part, turning, solid)
    tapers = (feature.plane for feature in part.features if isinstance(feature, Taper))
    for plane in (*part.start_cuts, *part.finish_cuts, *tapers):
        solid = BRepAlgoAPI_Cut(solid, _beyond(plane)).Shape()
    if not BRepCheck_Analyzer(solid).IsValid():
        raise RuntimeError(f"{part.place}: the kernel makes no sound solid of it")
    return solid


def _box(low: Vec3, high: Vec3) -> Any:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Pnt

    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def _cylinder(at: Vec3, axis: Vec3, radius: float, length: float) -> Any:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*at), gp_Dir(*axis)), radius, length).Shape()


def _beyond(plane: Plane) -> Any:
    """All that lies on the side of a plane to which its normal points."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeHalfSpace
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

    face = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*plane.point), gp_Dir(*plane.normal))).Face()
    return BRepPrimAPI_MakeHalfSpace(face, gp_Pnt(*along(plane.point, plane.normal, 1.0))).Solid()


def _stick(part: Part) -> Any:
    """The blank past both ends, round or with its long edges rounded."""
    bar = next((one for one in part.features if isinstance(one, RoundBar)), None)
    if bar is not None:
        return _cylinder((-_FAR, 0.0, 0.0), (1.0, 0.0, 0.0), bar.diameter / 2.0, part.length + 2 * _FAR)
    y, z = part.width / 2.0, part.thickness / 2.0
    solid = _box((-_FAR, -y, -z), (part.length + _FAR, y, z))
    rounds = [feature for feature in part.features if isinstance(feature, RoundOver)]
    return _rounded(solid, part, rounds) if rounds else solid


def _rounded(solid: Any, part: Part, rounds: Sequence[RoundOver]) -> Any:
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    radii = {edge: one.radius for one in sorted(rounds, key=lambda r: r.radius) for edge in one.edges}
    fillet, done = BRepFilletAPI_MakeFillet(solid), set()
    found = TopExp_Explorer(solid, TopAbs_EDGE)
    while found.More():
        edge = TopoDS.Edge_s(found.Current())
        found.Next()
        properties = GProp_GProps()
        BRepGProp.LinearProperties_s(edge, properties)
        middle = properties.CentreOfMass()
        key = (round(2.0 * middle.Y() / part.width), round(2.0 * middle.Z() / part.thickness))
        if abs(middle.X() - part.length / 2.0) < _FAR / 2.0 and key in radii and key not in done:
            fillet.Add(radii[key], edge)
            done.add(key)
    return fillet.Shape()


def _taken(part: Part, feature: Feature) -> Iterator[Any]:
    """What a feature takes out: true cylinders for holes, else solids of flat faces."""
    if isinstance(feature, Hole):
        run_in = 2.0 * (part.width + part.thickness)
        axis = unit(feature.axis)
        start = along(feature.at, axis, -run_in)
        yield _cylinder(start, axis, feature.diameter / 2.0, run_in + feature.depth)
        return
    for cutter in cutters(part, feature, 4, outside=False):
        mesh = cutter.solid.to_mesh64()
        yield _flat_solid(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))


def _flat_solid(corners: Any, triangles: Any) -> Any:
    """A closed mesh of flat faces as a solid."""
    from OCP.BRepBuilderAPI import (
        BRepBuilderAPI_MakeFace,
        BRepBuilderAPI_MakePolygon,
        BRepBuilderAPI_MakeSolid,
        BRepBuilderAPI_Sewing,
    )
    from OCP.gp import gp_Pnt
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
    from OCP.TopoDS import TopoDS

    sewing = BRepBuilderAPI_Sewing()
    for triangle in triangles:
        polygon = BRepBuilderAPI_MakePolygon()
        for corner in triangle:
            polygon.Add(gp_Pnt(*(float(v) for v in corners[corner])))
        polygon.Close()
        sewing.Add(BRepBuilderAPI_MakeFace(polygon.Wire()).Face())
    sewing.Perform()
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(sewing.SewedShape())).Solid()
    whole = ShapeUpgrade_UnifySameDomain(solid)
    whole.Build()
    return whole.Shape()


def _plate(part: Part, sawn: Sawn) -> Any:
    """An outline with its openings and true arcs, drawn through the thickness and past it."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    low = -part.thickness / 2.0 - 1.0
    face = BRepBuilderAPI_MakeFace(_wire(with_arcs(anticlockwise(sawn.outline)), low))
    for hole in sawn.holes:
        face.Add(_wire(with_arcs(tuple(reversed(anticlockwise(hole)))), low))
    return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0.0, 0.0, part.thickness + 2.0)).Shape()


def _wire(contour: Contour, z: float) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Pnt

    wire = BRepBuilderAPI_MakeWire()
    for piece in contour.pieces:
        a, b = gp_Pnt(*piece.start, z), gp_Pnt(*piece.end, z)
        if isinstance(piece, Arc):
            middle = gp_Pnt(*piece.at(piece.length / 2.0), z)
            wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(a, middle, b).Value()).Edge())
        else:
            wire.Add(BRepBuilderAPI_MakeEdge(a, b).Edge())
    return wire.Wire()


def _turned(part: Part, turning: Turning, squared: Any) -> Any:
    """The squared ends, and cones and cylinders between them."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Fuse
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    profile, far = turning.profile, part.width + part.thickness
    spans = [(-_FAR, profile[0][0]), (profile[-1][0], part.length + _FAR)]
    pieces = [
        BRepAlgoAPI_Common(squared, _box((low, -far, -far), (high, far, far))).Shape()
        for low, high in spans
        if high - max(low, 0.0) > 0.0 and min(high, part.length) - low > 0.0
    ]
    for (x, one), (end, other) in pairwise(profile):
        if end - x <= 0.0:
            continue
        axes = gp_Ax2(gp_Pnt(x, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0))
        alike = abs(one - other) <= 1e-9
        pieces.append(
            _cylinder((x, 0.0, 0.0), (1.0, 0.0, 0.0), one / 2.0, end - x)
            if alike
            else BRepPrimAPI_MakeCone(axes, one / 2.0, other / 2.0, end - x).Shape()
        )
    whole = pieces[0]
    for piece in pieces[1:]:
        whole = BRepAlgoAPI_Fuse(whole, piece).Shape()
    return whole
