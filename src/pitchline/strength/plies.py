"""Plywood from its plies: stiffness and strength edgewise and flatwise, along and across its face grain.

Plies laid crosswise count for nothing (as in handbooks of birch plywood). Flatwise bending uses the second moments of
the plies that run that way; edgewise bending, as of a board on edge, their areas. mm and MPa.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.catalogue.strength import Plies


@dataclass(frozen=True, slots=True)
class LaidUp:
    """A board of ``count`` plies, its faces sanded: thickness and share of plies along and across the face grain."""

    plies: Plies
    count: int
    thickness: float
    area_along: float
    inertia_along: float
    outer_across: float

    @property
    def inertia_share(self) -> float:
        """Share of the second moment, flatwise, that lies in plies along the face grain."""
        return self.inertia_along / (self.thickness**3 / 12.0)

    @property
    def area_share(self) -> float:
        """Share of the thickness that lies in plies along the face grain."""
        return self.area_along / self.thickness


def lay_up(plies: Plies, count: int) -> LaidUp:
    """A board of an odd number of plies (three or more), alternating, both faces along the grain. ValueError else."""
    if count < 3 or count % 2 == 0:
        raise ValueError(f"a plywood has an odd number of plies, three or more, not {count}")
    sizes = [plies.face, *[plies.veneer] * (count - 2), plies.face]
    thickness = sum(sizes)
    area = inertia = 0.0
    at = -thickness / 2.0
    for number, size in enumerate(sizes):
        if number % 2 == 0:
            area += size
            inertia += ((at + size) ** 3 - at**3) / 3.0
        at += size
    return LaidUp(plies, count, thickness, area, inertia, thickness / 2.0 - plies.face)


def nearest_lay_up(plies: Plies, thickness: float) -> LaidUp:
    """The board whose thickness is nearest to the one measured."""
    choices: Iterable[LaidUp] = (lay_up(plies, count) for count in range(3, 41, 2))
    return min(choices, key=lambda board: abs(board.thickness - thickness))


@dataclass(frozen=True, slots=True)
class BoardStrength:
    """Characteristic values for a strip that runs along or across the face grain, MPa on the full section."""

    e_flat: float
    f_m_flat: float
    e_edge: float
    f_t: float
    f_c: float


def board_strength(board: LaidUp, along: bool) -> BoardStrength:
    """Values of the full section: flatwise by second moments, edgewise and in plane by areas.

    Across the face grain the outermost plies count for nothing, so that the strength refers to the next ones.
    """
    p = board.plies
    i_share = board.inertia_share if along else 1.0 - board.inertia_share
    a_share = board.area_share if along else 1.0 - board.area_share
    half = board.thickness / 2.0
    outer = 1.0 if along else half / board.outer_across
    return BoardStrength(
        p.e * i_share, p.f_m * i_share * outer, p.e * a_share, p.f_t * a_share, p.f_c * a_share
    )
