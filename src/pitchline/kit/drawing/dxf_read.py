"""Lines of a DXF drawing in mm: lines, arcs, circles, ellipses, polylines and splines of its model space.

Blocks are taken apart; whatever else is drawn (words, dimensions, hatches) is passed over.
"""

from pathlib import Path

from ezdxf import units
from ezdxf.disassemble import recursive_decompose
from ezdxf.enums import InsertUnits
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFError
from ezdxf.path import make_path

from pitchline.kit.drawing.outlines_read import Chain
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.tolerances import CHORD_OFF_ARC, OUTLINE_CLOSES

_DRAWN = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE"}


def read_dxf(path: Path, unit_mm: float | None) -> list[Chain]:
    """The lines of a drawing. InputError where it is no DXF or names no units; OSError where it cannot be opened."""
    try:
        document = readfile(path)
    except (DXFError, UnicodeDecodeError) as problem:
        raise InputError([Fault("drawing", f"it is no sound DXF: {problem}")], path.name) from problem
    except OSError as problem:
        if problem.strerror:
            raise
        raise InputError([Fault("drawing", "it is no DXF drawing")], path.name) from problem
    scale = unit_mm
    if scale is None:
        if document.units == InsertUnits.Unitless:
            remedy = "save it with its units (mm, inches), or say how long one of its units is"
            raise InputError(
                [Fault("drawing", "it does not say in which units it is drawn", remedy=remedy)], path.name
            )
        scale = units.conversion_factor(InsertUnits(document.units), InsertUnits.Millimeters)
    chains = []
    for entity in recursive_decompose(document.modelspace()):
        if entity.dxftype() not in _DRAWN or entity.dxf.invisible:
            continue
        drawn = make_path(entity)
        points = tuple((p.x * scale, p.y * scale) for p in drawn.flattening(CHORD_OFF_ARC / scale))
        if len(points) > 1:
            chains.append(Chain(points, drawn.is_closed and len(points) > OUTLINE_CLOSES))
    return chains
