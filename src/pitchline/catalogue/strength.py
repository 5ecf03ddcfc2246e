"""Strength of materials and fixings: classes of EN 338, lumber grades of the NDS, plies, bolts and screws."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast

from pitchline.catalogue.load import (
    Section,
    Source,
    Status,
    chosen,
    data_text,
    parse,
    read_origin,
    read_sources,
)

WoodKind = Literal["softwood", "hardwood"]
FixingKind = Literal["bolt", "screw"]


@dataclass(frozen=True, slots=True)
class StrengthClassValues:
    """A class of EN 338: characteristic strengths and moduli in MPa, densities in kg/m3."""

    name: str
    kind: WoodKind
    f_m: float
    f_t0: float
    f_t90: float
    f_c0: float
    f_c90: float
    f_v: float
    e_mean: float
    e_05: float
    e_90: float
    g_mean: float
    rho_k: float
    rho_mean: float
    source: Source
    status: Status


@dataclass(frozen=True, slots=True)
class LumberGrade:
    """Reference design values of a lumber grade, psi, and its specific gravity (NDS)."""

    id: str
    name: str
    kind: WoodKind
    f_b: float
    f_t: float
    f_v: float
    f_c90: float
    f_c: float
    e: float
    e_min: float
    gravity: float
    source: Source
    status: Status
    note: str


@dataclass(frozen=True, slots=True)
class Plies:
    """What a plywood is glued up from: one ply's values along its grain, MPa; thicknesses in mm."""

    id: str
    veneer: float
    face: float
    e: float
    f_m: float
    f_t: float
    f_c: float
    f_v: float
    g_v: float
    f_r: float
    g_r: float
    rho_k: float
    rho_mean: float
    source: Source
    status: Status


@dataclass(frozen=True, slots=True)
class FixingType:
    """A bolt or screw: diameters in mm, tensile strength in MPa, ``pull`` a declared withdrawal strength or 0."""

    id: str
    name: str
    kind: FixingKind
    d: float
    root: float
    f_u: float
    head: float
    hole: float
    pull: float
    source: Source
    status: Status

    @property
    def stress_area(self) -> float:
        """Area at the root of the thread, mm2."""
        return math.pi * self.root**2 / 4.0


def _numbers(section: Section, keys: tuple[str, ...]) -> dict[str, float]:
    """Numbers of a row; what is missing or no number is a fault and stands as nan."""
    found = {}
    for key in keys:
        value = section.ask(key)
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value < math.inf:
            section.fault(key, "this must be a number, not negative", found=value)
            value = math.nan
        found[key] = float(value)
    return found


_CLASS_KEYS = (
    "f_m",
    "f_t0",
    "f_t90",
    "f_c0",
    "f_c90",
    "f_v",
    "e_mean",
    "e_05",
    "e_90",
    "g_mean",
    "rho_k",
    "rho_mean",
)
_GRADE_KEYS = ("f_b", "f_t", "f_v", "f_c90", "f_c", "e", "e_min", "gravity")
_PLY_KEYS = ("veneer", "face", "e", "f_m", "f_t", "f_c", "f_v", "g_v", "f_r", "g_r", "rho_k", "rho_mean")
_FIXING_KEYS = ("d", "root", "f_u", "head", "hole", "pull")


def read_strength_classes(text: str, name: str) -> Mapping[str, StrengthClassValues]:
    """The classes of a TOML text; InputError with every fault in it."""
    root = parse(text, name)
    sources = read_sources(root)
    found = {}
    for key, section in root.named("classes").items():
        kind = cast("WoodKind", section.word("kind", ("softwood", "hardwood")))
        source, status = read_origin(section, sources)
        values = _numbers(section, _CLASS_KEYS)
        found[key] = StrengthClassValues(key, kind, **values, source=source, status=status)
        section.close()
    root.close()
    root.finish(name)
    return MappingProxyType(found)


@cache
def _classes() -> Mapping[str, StrengthClassValues]:
    return read_strength_classes(data_text("strength-classes.toml"), "the catalogue of strength classes")


def strength_class(name: str) -> StrengthClassValues:
    """A class of EN 338 by name; InputError naming the nearest for an unknown one."""
    return chosen("strength class", name, _classes())


def list_strength_classes() -> tuple[str, ...]:
    """The names of the classes, in the order of the file."""
    return tuple(_classes())


@dataclass(frozen=True, slots=True)
class LumberGrades:
    """All grades, and which of them ungraded stock of a material is taken as."""

    grades: Mapping[str, LumberGrade]
    assumed: Mapping[str, str]


def read_lumber_grades(text: str, name: str) -> LumberGrades:
    """The grades of a TOML text; InputError with every fault in it."""
    root = parse(text, name)
    sources = read_sources(root)
    found = {}
    for key, section in root.named("grades").items():
        kind = cast("WoodKind", section.word("kind", ("softwood", "hardwood")))
        title, note = section.text("name"), section.text("note", "")
        source, status = read_origin(section, sources)
        values = _numbers(section, _GRADE_KEYS)
        found[key] = LumberGrade(key, title, kind, **values, source=source, status=status, note=note)
        section.close()
    rows = root.section("assumed")
    assumed = {material: rows.word(material, tuple(found) or ("",)) for material in rows.table}
    root.close()
    root.finish(name)
    return LumberGrades(MappingProxyType(found), MappingProxyType(assumed))


@cache
def _lumber() -> LumberGrades:
    return read_lumber_grades(data_text("lumber-grades.toml"), "the catalogue of lumber grades")


def lumber_grade(grade_id: str) -> LumberGrade:
    """A grade by id; InputError naming the nearest for an unknown one."""
    return chosen("lumber grade", grade_id, _lumber().grades)


def list_lumber_grades() -> tuple[str, ...]:
    """Ids of all grades, in the order of the catalogue."""
    return tuple(_lumber().grades)


def assumed_grade(material: str) -> LumberGrade | None:
    """The grade that ungraded joinery stock of a material is taken as; None where the catalogue has none."""
    found = _lumber().assumed.get(material)
    return None if found is None else lumber_grade(found)


def read_plies(text: str, name: str) -> Mapping[str, Plies]:
    """The plywoods of a TOML text; InputError with every fault in it."""
    root = parse(text, name)
    sources = read_sources(root)
    found = {}
    for key, section in root.named("plywood").items():
        source, status = read_origin(section, sources)
        found[key] = Plies(key, **_numbers(section, _PLY_KEYS), source=source, status=status)
        section.close()
    root.close()
    root.finish(name)
    return MappingProxyType(found)


@cache
def _plywoods() -> Mapping[str, Plies]:
    return read_plies(data_text("plywood.toml"), "the catalogue of plywood")


def plies_of(material: str) -> Plies:
    """The plies of a plywood by its material id; InputError for any other material."""
    return chosen("plywood", material, _plywoods())


def is_plywood(material: str) -> bool:
    """Whether the catalogue has the plies of this material."""
    return material in _plywoods()


def read_fixings(text: str, name: str) -> Mapping[str, FixingType]:
    """The fixings of a TOML text; InputError with every fault in it."""
    root = parse(text, name)
    sources = read_sources(root)
    found = {}
    for key, section in root.named("fixings").items():
        kind = cast("FixingKind", section.word("kind", ("bolt", "screw")))
        title = section.text("name")
        source, status = read_origin(section, sources)
        found[key] = FixingType(
            key, title, kind, **_numbers(section, _FIXING_KEYS), source=source, status=status
        )
        section.close()
    root.close()
    root.finish(name)
    return MappingProxyType(found)


@cache
def _fixings() -> Mapping[str, FixingType]:
    return read_fixings(data_text("fixings.toml"), "the catalogue of fixings")


def fixing_type(fixing_id: str) -> FixingType:
    """A bolt or screw by id; InputError naming the nearest for an unknown one."""
    return chosen("fixing", fixing_id, _fixings())


def list_fixings() -> tuple[str, ...]:
    """The ids of the fixings, in the order of the file."""
    return tuple(_fixings())
