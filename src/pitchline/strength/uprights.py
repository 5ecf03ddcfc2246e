"""Uprights as members: their sections, and how far their joints in rails and treads resist turning.

A housed end bears on both walls of its housing: k = (E_90 / h_ef) w d^3 / 12 over its depth d. Low: a hinge; mean:
that, where nothing is glued; high: four times that, glued and tight. Estimates without source, as no test was found.
"""

from pitchline.design.brief import Shape
from pitchline.design.makings import (
    Bored,
    BoredMetal,
    Dowelled,
    Grooved,
    Making,
    Mortised,
    OnTreads,
    Stacked,
)
from pitchline.design.model import Upright
from pitchline.strength.bases.springs import Range, socket
from pitchline.strength.sections import Cut, round_cut, solid
from pitchline.strength.woods import Wood

HINGE = Range(0.0, 0.0, 0.0)


def upright_cut(upright: Upright) -> Cut:
    """Its section, y across the balustrade; of a turned one its narrowest place all along."""
    if upright.shape is Shape.TURNED:
        return round_cut(min(upright.narrowest, upright.thickness))
    if upright.shape is Shape.ROUND:
        return round_cut(upright.width)
    return solid(upright.thickness, upright.width)


def housed(making: Making, at_rail: bool) -> float:
    """How deep an upright's end is held, mm; 0 for a joint that only locates it."""
    if isinstance(making, OnTreads):
        return housed(making.head, True) if at_rail else making.depth
    if isinstance(making, Stacked):
        return making.rail_block if at_rail else making.base_block
    if isinstance(making, Bored | Mortised | BoredMetal):
        return making.rail_depth if at_rail else making.base_depth
    if isinstance(making, Dowelled):
        return making.rail_depth if at_rail else making.base_depth
    if isinstance(making, Grooved):
        return making.rail_groove if at_rail else making.base_groove
    return 0.0


def joint_stiffness(making: Making, at_rail: bool, upright: Upright, rail: Wood) -> tuple[Range, Range]:
    """Turning stiffness of one end about the balustrade's length (push across) and about y, Nmm/rad."""
    depth = housed(making, at_rail)
    if depth <= 0.0:
        return HINGE, HINGE
    wide, thick = upright.width, upright.thickness
    if isinstance(making, Dowelled):
        wide = thick = making.diameter
    across = socket(rail.e_90, wide, depth, max(thick / 2.0, depth / 2.0))
    along = socket(rail.e_90, thick, depth, max(wide / 2.0, depth / 2.0))
    return Range(0.0, across, 4.0 * across), Range(0.0, along, 4.0 * along)
