"""A boundary representation as entities of an exchange file: points, curves, surfaces, faces, a closed shell."""

import math

from pitchline.kit.geometry.frames import Frame, Plane, Vec3, along, dot, subtract, unit
from pitchline.solids.brep import Brep, BrepEdge, Ellipse, Line
from pitchline.solids.step_file import Entities, Ref, number, text
from pitchline.solids.surfaces import Surface

_NONE = text("")


def write_solid(entities: Entities, brep: Brep, name: str) -> Ref:
    """A solid with its faces; returns it."""
    add = entities.add
    corners = [add("VERTEX_POINT", _NONE, _point(entities, at)) for at in brep.corners]
    edges = [
        add(
            "EDGE_CURVE",
            _NONE,
            corners[edge.start],
            corners[edge.finish],
            _curve(entities, brep, edge),
            _flag(edge.forward),
        )
        for edge in brep.edges
    ]
    faces = []
    for face in brep.faces:
        bounds = []
        for order, loop in enumerate(face.loops):
            run = [add("ORIENTED_EDGE", _NONE, "*", "*", edges[k], _flag(forward)) for k, forward in loop]
            kind = "FACE_BOUND" if order else "FACE_OUTER_BOUND"
            bounds.append(add(kind, _NONE, add("EDGE_LOOP", _NONE, run), ".T."))
        surface = _surface(entities, face.surface)
        faces.append(add("ADVANCED_FACE", _NONE, bounds, surface, _flag(face.outward)))
    return add("MANIFOLD_SOLID_BREP", text(name), add("CLOSED_SHELL", _NONE, faces))


def write_placement(entities: Entities, frame: Frame) -> Ref:
    """Where something stands: its origin, its Z and its X."""
    return _axes(entities, frame.origin, frame.z, frame.x)


def _flag(value: bool) -> str:
    return ".T." if value else ".F."


def _axes(entities: Entities, at: Vec3, axis: Vec3, towards: Vec3) -> Ref:
    place, z, x = _point(entities, at), _way(entities, axis), _way(entities, towards)
    return entities.shared("AXIS2_PLACEMENT_3D", _NONE, place, z, x)


def _point(entities: Entities, at: Vec3) -> Ref:
    return entities.shared("CARTESIAN_POINT", _NONE, [number(value) for value in at])


def _way(entities: Entities, direction: Vec3) -> Ref:
    return entities.shared("DIRECTION", _NONE, [number(value) for value in direction])


def _curve(entities: Entities, brep: Brep, edge: BrepEdge) -> Ref:
    add, curve = entities.add, edge.curve
    if isinstance(curve, Line):
        start = brep.corners[edge.start]
        way = unit(subtract(brep.corners[edge.finish], start))
        vector = add("VECTOR", _NONE, _way(entities, way), number(1.0))
        return add("LINE", _NONE, _point(entities, start), vector)
    return _ellipse(entities, curve)


def _ellipse(entities: Entities, curve: Ellipse) -> Ref:
    axes = _axes(entities, curve.centre, curve.normal, curve.major)
    if curve.is_circle:
        return entities.add("CIRCLE", _NONE, axes, number(curve.half_minor))
    return entities.add("ELLIPSE", _NONE, axes, number(curve.half_major), number(curve.half_minor))


def _surface(entities: Entities, surface: Surface) -> Ref:
    if isinstance(surface, Plane):
        return entities.add("PLANE", _NONE, _axes(entities, surface.point, surface.normal, _beside(surface)))
    first = surface.across[0]
    if surface.growth == 0.0:
        axes = _axes(entities, surface.at, surface.axis, first)
        return entities.add("CYLINDRICAL_SURFACE", _NONE, axes, number(surface.radius))
    sense = 1.0 if surface.growth > 0.0 else -1.0
    axis = surface.axis if sense > 0.0 else (-surface.axis[0], -surface.axis[1], -surface.axis[2])
    half = number(_half_angle(surface.growth))
    axes = _axes(entities, surface.at, axis, first)
    return entities.add("CONICAL_SURFACE", _NONE, axes, number(surface.radius), half)


def _half_angle(growth: float) -> float:
    """Between a cone's axis and its side, radians."""
    return math.atan(abs(growth))


def _beside(plane: Plane) -> Vec3:
    """A direction in a plane."""
    other = (1.0, 0.0, 0.0) if abs(plane.normal[0]) < 0.9 else (0.0, 1.0, 0.0)
    return unit(along(other, plane.normal, -dot(other, plane.normal)))
