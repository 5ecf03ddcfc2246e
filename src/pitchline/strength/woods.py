"""What the pieces are made of, for strength: the class or grade that each material is taken as, and why.

Joinery stock is not stress graded, so that the class is an assumption until the user names the one that was bought.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pitchline.catalogue.load import Status
from pitchline.catalogue.strength import (
    LumberGrade,
    StrengthClassValues,
    assumed_grade,
    is_plywood,
    list_strength_classes,
    lumber_grade,
    plies_of,
    strength_class,
)
from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.strength.ec5.factors import Family
from pitchline.strength.plies import BoardStrength, LaidUp, board_strength, nearest_lay_up

_CAUTIOUS = {"softwood": "C14", "hardwood": "D18"}
_UNKNOWN = "C16"
_METALS = {"steel": (210000.0, 81000.0, 235.0, 7850.0)}
"""E, G, yield strength of S235 (MPa) and density: EN 1993-1-1 and EN 10025-2, second hand."""

PSI = 4.4482216152605 / 25.4**2
"""One pound-force per square inch in MPa."""


@dataclass(frozen=True, slots=True)
class Wood:
    """One material of the model: moduli in MPa, densities in kg/m3.

    ``values`` is the class of EN 338 and ``grade`` the grade of the NDS it is taken as; for plywood ``board`` and
    ``strip`` say what it is laid up of. ``assumed`` tells in a sentence what was taken for granted.
    """

    material: str
    family: Family | Literal["metal"]
    softwood: bool
    e: float
    e_flat: float
    g: float
    e_90: float
    rho_k: float
    rho_mean: float
    values: StrengthClassValues
    grade: LumberGrade | None
    board: LaidUp | None
    strip: BoardStrength | None
    assumed: str
    status: Status

    @property
    def f_m(self) -> float:
        """Characteristic bending strength edgewise, MPa: for plywood the smaller of its strengths in plane."""
        return self.values.f_m if self.strip is None else min(self.strip.f_t, self.strip.f_c)


@dataclass(frozen=True, slots=True)
class Graded:
    """What the user bought: a class of EN 338 and a grade of the NDS by material; either may be left out."""

    classes: Mapping[str, str]
    grades: Mapping[str, str]


UNGRADED = Graded({}, {})


def wood_of(material: str, graded: Graded = UNGRADED, thickness: float = 18.0) -> Wood:
    """The wood of a material id; of a plywood the board nearest to ``thickness`` (mm), face grain along the piece.

    A piece ``as found`` is taken as class C16. InputError for an unknown material, class or grade.
    """
    if is_plywood(material):
        return _plywood(material, thickness)
    return _plain(material, graded.classes.get(material), graded.grades.get(material))


@cache
def _plain(material: str, named: str | None, grade_id: str | None) -> Wood:
    """Anything but plywood, of a stated class and grade or None."""
    if material in _METALS:
        return _metal(material)
    if named is not None:
        values, why, status = strength_class(named), f"{material}: class {named} as stated for this job", "D"
    else:
        values, why, status = _assumed_class(material)
    grade = assumed_grade(material) if grade_id is None else lumber_grade(grade_id)
    return Wood(
        material,
        "solid",
        values.kind == "softwood",
        values.e_mean,
        values.e_mean,
        values.g_mean,
        values.e_90,
        values.rho_k,
        values.rho_mean,
        values,
        grade,
        None,
        None,
        why,
        _status(status),
    )


def _status(word: str) -> Status:
    known: tuple[Status, ...] = ("V-P", "V-S", "M", "CP", "D")
    return next(status for status in known if status == word)


def _assumed_class(material: str) -> tuple[StrengthClassValues, str, str]:
    if material not in list_timbers():
        why = f"{material}: wood unknown, taken as class {_UNKNOWN}"
        return strength_class(_UNKNOWN), why, "CP"
    timber = load_timber(material)
    if timber.strength is not None and timber.strength.name in list_strength_classes():
        name = timber.strength.name
        return (
            strength_class(name),
            f"{timber.name}: not graded, taken as class {name}",
            timber.strength.status,
        )
    name = _CAUTIOUS.get(timber.kind, _UNKNOWN)
    return strength_class(name), f"{timber.name}: no class is known for it, taken as class {name}", "CP"


def _metal(material: str) -> Wood:
    """Mild steel; its strength in shear is the yield strength over the square root of three."""
    e, g, f, rho = _METALS[material]
    timber = load_timber(material)
    source = timber.density.source
    shear = f / 3.0**0.5
    values = StrengthClassValues(
        material, "hardwood", f, f, f, f, f, shear, e, e, e, g, rho, rho, source, "V-S"
    )
    why = f"{material}: grade S235, the lowest usual one"
    return Wood(material, "metal", False, e, e, g, e, rho, rho, values, None, None, None, why, "V-S")


@cache
def _plywood(material: str, thickness: float) -> Wood:
    plies = plies_of(material)
    board = nearest_lay_up(plies, thickness)
    strip = board_strength(board, along=True)
    values = StrengthClassValues(
        material,
        "hardwood",
        strip.f_m_flat,
        strip.f_t,
        strip.f_t / 30.0,
        strip.f_c,
        strip.f_c / 6.0,
        plies.f_v,
        strip.e_edge,
        strip.e_edge * 0.84,
        strip.e_edge / 20.0,
        plies.g_v,
        plies.rho_k,
        plies.rho_mean,
        plies.source,
        plies.status,
    )
    why = f"{material}: {board.count} plies, {board.thickness:.1f} mm, face grain along the piece"
    return Wood(
        material,
        "plywood",
        False,
        strip.e_edge,
        strip.e_flat,
        plies.g_v,
        values.e_90,
        plies.rho_k,
        plies.rho_mean,
        values,
        None,
        board,
        strip,
        why,
        plies.status,
    )
