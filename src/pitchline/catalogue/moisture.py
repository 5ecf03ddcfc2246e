"""Moisture in wood: what the air of a room brings it to, and how far a piece shrinks or swells on the way.

Moisture contents are % of the dry weight, humidities % relative, temperatures degrees Celsius, lengths mm.
The movement is the one across the grain; along it wood hardly moves.
"""

import math
from dataclasses import dataclass

from pitchline.catalogue.load import Fact
from pitchline.catalogue.timber import Timber
from pitchline.kit.tolerances import MOISTURE_SIGMA, MOVEMENT_SPREAD

COEFFICIENT_FROM, COEFFICIENT_TO = 6.0, 14.0
"""Between these moisture contents a movement coefficient holds (Wood Handbook, FPL-GTR-190, chapter 13)."""

COEFFICIENT_AT = 10.0
"""The moisture content at which the handbook takes its coefficients from the shrinkage."""

FIBRE_SATURATION = 30.0
"""Above this moisture content wood no longer swells (Wood Handbook, chapter 4: a usual mean of the species)."""

COLDEST, HOTTEST = (30.0 - 32.0) / 1.8, (270.0 - 32.0) / 1.8
"""What the handbook's table 4-2 spans, 30 to 270 degrees Fahrenheit, in degrees Celsius."""


@dataclass(frozen=True, slots=True)
class Climate:
    """The air of a room: relative ``humidity`` in % and ``temperature`` in degrees Celsius."""

    humidity: float
    temperature: float

    @property
    def moisture(self) -> float:
        """The moisture content that wood settles at in this air, %."""
        return equilibrium_moisture(self.humidity, self.temperature)


HEATED_WINTER = Climate(30.0, 21.0)
"""The dry end of a lived-in house: heated, in a cold winter (common practice, no source: 30 to 60 %)."""

DAMP_SUMMER = Climate(60.0, 20.0)
"""The damp end of a lived-in house: late summer, unheated (common practice, no source: 30 to 60 %)."""


@dataclass(frozen=True, slots=True)
class Season:
    """What the wood goes through: its moisture content when it is ``made``, %, and the two ends of the year."""

    made: float
    dry: Climate = HEATED_WINTER
    damp: Climate = DAMP_SUMMER


@dataclass(frozen=True, slots=True)
class Movement:
    """How much wider a piece becomes, mm (below zero: narrower), and the standard uncertainty of that, mm."""

    change: float
    sigma: float


def equilibrium_moisture(humidity: float, temperature: float) -> float:
    """The moisture content (%) at which wood is at rest in air of a relative humidity (%) and temperature.

    Hailwood and Horrobin's equation with the constants of the Wood Handbook (FPL-GTR-190, eq. 4-5) for degrees
    Celsius, second hand through an open implementation; it agrees with the printed table 4-2. ValueError for
    air outside that table.
    """
    if not 0.0 <= humidity < 100.0:
        raise ValueError(f"a relative humidity of {humidity:g} % is out of reach; allowed: 0 to below 100")
    if not COLDEST <= temperature <= HOTTEST:
        raise ValueError(f"{temperature:g} degrees C lie outside the table; allowed: -1.1 to 132.2")
    t, h = temperature, humidity / 100.0
    w = 349.0 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    first, second = k1 * kh, k1 * k2 * kh**2
    return 1800.0 / w * (kh / (1.0 - kh) + (first + 2.0 * second) / (1.0 + first + second))


def by_coefficient(width: float, coefficient: float, start: float, end: float) -> float:
    """Change of a ``width`` (mm) from one moisture content to another (%): D C (MF - MI), within 6 to 14 %.

    ``coefficient`` is the share of the width per % of moisture (Wood Handbook, chapter 13, table 13-5).
    """
    return width * coefficient * (end - start)


def by_shrinkage(width: float, shrinkage: float, start: float, end: float) -> float:
    """Change of a ``width`` (mm) between any two moisture contents up to fibre saturation.

    ``shrinkage`` is the whole shrinkage from green to oven dry in %: D (MF - MI) / (3000 / S - 30 + MI)
    (Wood Handbook, chapter 13; the formula from memory, it gives the printed coefficients at MI = 10).
    """
    return width * (end - start) / (100.0 * FIBRE_SATURATION / shrinkage - FIBRE_SATURATION + start)


def shrinkage_of(coefficient: float) -> float:
    """The shrinkage from green to oven dry (%) that a movement coefficient was taken from."""
    return 100.0 * FIBRE_SATURATION / (1.0 / coefficient + FIBRE_SATURATION - COEFFICIENT_AT)


def change_of_width(width: float, coefficient: float, start: float, end: float) -> float:
    """Change of a ``width`` (mm) from one moisture content to another, by the formula that holds for each part.

    Between 6 and 14 % the coefficient is used; what lies outside goes by the shrinkage, begun at the bound, so
    that drying further always shrinks further. Nothing moves above fibre saturation.
    """
    if coefficient <= 0.0:
        return 0.0
    return width * (_swelling(coefficient, end) - _swelling(coefficient, start))


def _swelling(coefficient: float, moisture: float) -> float:
    """Share of the width by which a piece is wider than at 6 % moisture."""
    moisture = min(max(moisture, 0.0), FIBRE_SATURATION)
    within = min(max(moisture, COEFFICIENT_FROM), COEFFICIENT_TO)
    outside = by_shrinkage(1.0, shrinkage_of(coefficient), within, moisture) if moisture != within else 0.0
    return by_coefficient(1.0, coefficient, COEFFICIENT_FROM, within) + outside


def movement_between(width: float, fact: Fact | None, start: float, end: float) -> Movement:
    """Movement of a ``width`` (mm) between two moisture contents (%) with a coefficient of the catalogue.

    Its uncertainty holds the spread of the coefficient within a species and that of both moisture contents.
    None for the coefficient: the material stands still.
    """
    if fact is None:
        return Movement(0.0, 0.0)
    change = change_of_width(width, fact.value, start, end)
    return Movement(change, math.hypot(MOVEMENT_SPREAD * change, width * fact.value * MOISTURE_SIGMA))


def across_face(timber: Timber, *, in_plane: bool = True) -> Fact | None:
    """The coefficient for the width of a piece whose growth rings nobody knows: the larger, tangential one.

    Of a board cut from plywood the width lies in the plane of the sheet; ``in_plane`` False asks for the
    movement through its thickness. None for materials that stand still or have no figure.
    """
    if timber.kind == "plywood" and in_plane:
        return timber.movement_radial
    return timber.movement_tangential
