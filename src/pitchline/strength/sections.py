"""Cross-sections of rails, posts and uprights as they are cut: grooved, stacked of layers, round or rectangular.

A rail's own axes: y level across it, z square to its top edge. Stacked rails are layers of board side by side; only
those that run through count, glued over the blocks between them. mm, MPa.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np

from pitchline.kit.frame.model import Section, rectangle, round_bar
from pitchline.strength.woods import Wood


@dataclass(frozen=True, slots=True)
class Cut:
    """A section with what stress needs: moduli about y and z (mm3), sides (mm), area that takes shear (mm2).

    ``section`` carries stiffness times ``e`` of the wood; ``round_shape`` tells a round bar. ``parts`` is how many
    pieces share the bending across (stacked layers without glue), ``glue`` how much of full composite action counts.
    """

    section: Section
    w_y: float
    w_z: float
    side_y: float
    side_z: float
    round_shape: bool = False
    glue: float = 1.0


@cache
def solid(side_y: float, side_z: float) -> Cut:
    """A full rectangle."""
    return Cut(rectangle(side_y, side_z), side_y * side_z**2 / 6, side_z * side_y**2 / 6, side_y, side_z)


@cache
def round_cut(diameter: float) -> Cut:
    """A full round bar."""
    modulus = math.pi * diameter**3 / 32
    return Cut(round_bar(diameter), modulus, modulus, diameter, diameter, round_shape=True)


def grooved(side_y: float, side_z: float, width: float, depth: float) -> Cut:
    """A rectangle with one groove ``width`` by ``depth`` in the middle of a level face.

    Torsion constant and shear from the three rectangles that are left (a lower bound for an open section).
    """
    if width <= 0.0 or depth <= 0.0:
        return solid(side_y, side_z)
    gross, hole = side_y * side_z, width * depth
    area = gross - hole
    middle = (gross * side_z / 2 - hole * depth / 2) / area
    i_y = side_y * side_z**3 / 12 + gross * (side_z / 2 - middle) ** 2
    i_y -= width * depth**3 / 12 + hole * (depth / 2 - middle) ** 2
    i_z = (side_z * side_y**3 - depth * width**3) / 12
    cheek = (side_y - width) / 2
    torsion = rectangle(side_y, side_z - depth).torsion + 2 * rectangle(cheek, depth).torsion
    share = 5.0 / 6.0
    section = Section(area, i_y, i_z, torsion, share, share)
    return Cut(section, i_y / max(middle, side_z - middle), i_z / (side_y / 2), side_y, side_z - depth)


@dataclass(frozen=True, slots=True)
class Layer:
    """One part of a stacked rail: where its middle lies across the rail and how thick it is."""

    middle: float
    thickness: float


def continuous_parts(layers: int, thickness: float, member_layers: Sequence[int]) -> tuple[Layer, ...]:
    """The layers that run through a stacked rail, neighbours glued face to face taken as one."""
    parts: list[Layer] = []
    for number in range(1, layers + 1):
        if number in member_layers:
            continue
        middle = (layers / 2 - number + 0.5) * thickness
        beside = parts and abs(parts[-1].middle - middle) <= (parts[-1].thickness + thickness) / 2 + 1e-9
        if beside:
            last = parts.pop()
            low = middle - thickness / 2
            high = last.middle + last.thickness / 2
            parts.append(Layer((low + high) / 2, high - low))
        else:
            parts.append(Layer(middle, thickness))
    return tuple(parts)


def stacked(
    wood: Wood, parts: Sequence[Layer], height: float, span: float, filled: float, glue: float | None
) -> Cut:
    """A stacked rail ``height`` high, bending across over ``span`` between posts.

    ``filled`` is the share of the length where blocks lie between the layers. ``glue``: 1 for layers that slip
    nowhere, 0 for layers that only lie together, None for the slip of the blocks themselves, which shear in rolling
    (the elastically joined layers of K. Moehler, as in EN 1995-1-1 annex B, for any number of layers).
    """
    full = joined_stiffness(wood, parts, height, span, math.inf)
    none = joined_stiffness(wood, parts, height, span, 0.0)
    shear = wood.board.plies.g_r if wood.board is not None else wood.g / 10.0
    gap = _gap(parts)
    real = full if gap is None else joined_stiffness(wood, parts, height, span, shear * height * filled / gap)
    stiff = real if glue is None else none + (full - none) * glue
    width = sum(part.thickness for part in parts)
    i_y = width * height**3 / 12
    torsion = sum(rectangle(part.thickness, height).torsion for part in parts)
    i_z = stiff / wood.e
    section = Section(width * height, i_y, i_z, torsion, 5.0 / 6.0, 5.0 / 6.0)
    reach = max(abs(part.middle) + part.thickness / 2 for part in parts)
    thickest = max(part.thickness for part in parts)
    arm = thickest / 2 if stiff <= none * (1 + 1e-9) else reach
    action = 1.0 if full <= none else (stiff - none) / (full - none)
    return Cut(section, i_y / (height / 2), i_z / arm, width, height, glue=action)


def _gap(parts: Sequence[Layer]) -> float | None:
    """Thickness of what lies between neighbouring parts, None where there is one part only."""
    if len(parts) < 2:
        return None
    gaps = [abs(a.middle - b.middle) - (a.thickness + b.thickness) / 2 for a, b in pairwise(parts)]
    return max(gaps)


def joined_stiffness(wood: Wood, parts: Sequence[Layer], height: float, span: float, slip: float) -> float:
    """E I across of layers joined with a shear stiffness ``slip`` (N/mm per mm of length) between neighbours, Nmm2.

    The energy of a half sine of length ``span`` made least over the layers' own lengthening: for two layers the
    gamma of annex B.
    """
    own = sum(wood.e_flat * height * part.thickness**3 / 12 for part in parts)
    areas = np.array([wood.e * height * part.thickness for part in parts])
    places = np.array([part.middle for part in parts])
    if math.isinf(slip):
        mean = float(areas @ places / areas.sum())
        return own + float(areas @ (places - mean) ** 2)
    if slip <= 0.0 or len(parts) < 2:
        return own
    wave = math.pi / span
    stiff = np.diag(areas * wave**2)
    right = np.zeros(len(parts))
    constant = 0.0
    for n in range(len(parts) - 1):
        apart = (places[n + 1] - places[n]) * wave
        stiff[n : n + 2, n : n + 2] += slip * np.array([[1.0, -1.0], [-1.0, 1.0]])
        right[n] -= slip * apart
        right[n + 1] += slip * apart
        constant += slip * apart**2
    energy = constant - float(right @ np.linalg.solve(stiff, right))
    return own + energy / wave**4
