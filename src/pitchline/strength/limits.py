"""Design strengths of the model's pieces by the chosen code: one table of MPa for each piece.

EN 1995-1-1: k_mod X_k / gamma_M with factored loads. NDS: reference values times C_D with unfactored loads. Metal:
yield strength over 1.0 (EN 1993-1-1 6.2) or 0.6 of it (allowable stress, common practice).
"""

from dataclasses import dataclass

from pitchline.catalogue.strength import LumberGrade, lumber_grade
from pitchline.strength.ec5 import edition_2025, factors
from pitchline.strength.ec5 import members as ec5
from pitchline.strength.model import Piece
from pitchline.strength.nds import members as nds
from pitchline.strength.sections import Cut
from pitchline.strength.settings import Code, StrengthSettings
from pitchline.strength.woods import PSI, Wood

PANEL_SAFETY = 2.5
"""Characteristic values of plywood over allowable ones, where the NDS has none (common practice, no source)."""

METAL_ALLOWED = 0.6
"""Allowable share of a metal's yield strength in bending (common practice in allowable stress design)."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """What stresses a piece may have, MPa, with what shear counts on, and where that stands.

    ``bending_y`` and ``bending_z`` about the piece's own axes; ``cracked`` is the share of the width left for shear,
    ``turned`` the factor on shear strength in torsion, ``k_m`` redistribution of bending.
    """

    bending_y: float
    bending_z: float
    tension: float
    compression: float
    shear: float
    cracked: float
    turned: float
    k_m: float
    clause_bending: str
    clause_shear: str
    clause_torsion: str
    worked: str


def modification(wood: Wood, settings: StrengthSettings) -> float:
    """k_mod / gamma_M of a wood for short-term loads (EN 1995-1-1)."""
    if wood.family == "metal":
        return 1.0
    k_mod = factors.k_mod(wood.family, settings.service, factors.Duration.SHORT)
    return k_mod / factors.gamma_m(wood.family)


def allowed(piece: Piece, settings: StrengthSettings, code: Code) -> Allowed:
    """Design strengths of one piece."""
    if piece.wood.family == "metal":
        return _metal(piece.wood, code)
    if code is Code.NDS_2018:
        return _nds(piece, settings)
    return _ec5(piece, settings, code)


def _metal(wood: Wood, code: Code) -> Allowed:
    share = METAL_ALLOWED if code is Code.NDS_2018 else 1.0
    f, v = wood.values.f_m * share, wood.values.f_v * share
    clause = "EN 1993-1-1 6.2.5" if code is not Code.NDS_2018 else "0.6 of the yield strength"
    return Allowed(f, f, f, f, v, 1.0, 1.0, 1.0, clause, clause, clause, f"{f:.0f} MPa")


def _bending_strengths(wood: Wood, cut: Cut) -> tuple[float, float]:
    """Characteristic bending strength about y and z with size factors; plywood edgewise and flatwise."""
    if wood.strip is not None:
        return wood.f_m, wood.strip.f_m_flat
    if wood.family == "metal":
        return wood.f_m, wood.f_m
    k_y, k_z = (factors.k_h(wood.family, side, wood.rho_k) for side in (cut.side_z, cut.side_y))
    return wood.f_m * k_y, wood.f_m * k_z


def _ec5(piece: Piece, settings: StrengthSettings, code: Code) -> Allowed:
    wood, cut = piece.wood, piece.cut
    share = modification(wood, settings)
    about_y, about_z = _bending_strengths(wood, cut)
    cracked = 1.0
    if wood.family == "solid":
        cracked = ec5.K_CR
        if code is Code.EC5_2025:
            cracked = edition_2025.k_v(wood.values.f_v, max(cut.side_y, cut.side_z))
    turned = ec5.K_SHAPE_ROUND if cut.round_shape else ec5.k_shape(cut.side_y, cut.side_z)
    solid = wood.family == "solid" and not cut.round_shape
    return Allowed(
        about_y * share,
        about_z * share,
        wood.values.f_t0 * share,
        wood.values.f_c0 * share,
        wood.values.f_v * share,
        cracked,
        turned,
        ec5.K_M_RECTANGLE if solid else 1.0,
        f"{code} 6.1.6, 6.2.3, 6.2.4",
        f"{code} 6.1.7",
        f"{code} 6.1.8",
        f"f_m,k {wood.f_m:.1f} MPa, k_mod / gamma_M {share:.3f}",
    )


def grade_of(wood: Wood) -> LumberGrade:
    """The NDS grade of a wood; spruce-pine-fir No.2 where none is known."""
    return wood.grade or lumber_grade("spf-2")


def _nds(piece: Piece, settings: StrengthSettings) -> Allowed:
    wood, cut = piece.wood, piece.cut
    clauses = ("NDS 2018 3.3, 3.9", "NDS 2018 3.4", "NDS 2018 3.4, torsion two thirds of shear")
    if wood.strip is not None:
        v = wood.values
        safe = PANEL_SAFETY
        told = f"plywood: characteristic values over {PANEL_SAFETY:g}"
        return Allowed(
            wood.f_m / safe,
            wood.strip.f_m_flat / safe,
            v.f_t0 / safe,
            v.f_c0 / safe,
            v.f_v / safe,
            1.0,
            2 / 3,
            1.0,
            *clauses,
            told,
        )
    grade = grade_of(wood)
    c_d = nds.C_D[settings.duration]
    c_y, c_z = (nds.size_factor(side / 25.4) for side in (cut.side_z, cut.side_y))
    base = grade.f_b * PSI * c_d
    return Allowed(
        base * c_y,
        base * c_z,
        grade.f_t * PSI * c_d,
        grade.f_c * PSI * c_d,
        grade.f_v * PSI * c_d,
        1.0,
        2 / 3,
        1.0,
        *clauses,
        f"{grade.name}: F_b {grade.f_b:g} psi, C_D {c_d:g}, C_F {c_z:g}",
    )
