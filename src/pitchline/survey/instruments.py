"""How well an instrument reads: from a maker's limit of error to a standard uncertainty.

A limit of error of +-a says that every value within it is as likely as another, so its standard uncertainty is
a / sqrt(3) (JCGM 100:2008, 4.3.7). What the hand adds in use is a second term of the same kind; the terms are
added in squares. The figures stand, with their sources, in ``instruments.toml`` beside this module.
"""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.tolerances import READING_FLOOR
from pitchline.survey.determined import listed
from pitchline.survey.readings import ANGLES, Kind


@dataclass(frozen=True, slots=True)
class InstrumentType:
    """One entry of the instrument table: limits of error in mm, per metre in mm, angles in degrees."""

    id: str
    title: str
    reads: tuple[Kind, ...]
    source: str
    status: str
    use_source: str
    limit: float | None = None
    per_metre: float = 0.0
    whole_metres: bool = False
    from_metres: float = 0.0
    per_reach: float = 0.0
    reach: float = 0.0
    limit_deg: float | None = None
    use: float = 0.0
    use_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument as a job names it: its type (see ``instrument_types``) and, if given, its own terms.

    ``limit`` replaces the type's whole limit of error (mm, or degrees for pitches), ``in_use`` what the hand
    adds (same units), ``reach`` the distance in mm over which a level is used.
    """

    id: str
    type: str
    limit: float | None = None
    in_use: float | None = None
    reach: float | None = None


@cache
def instrument_types() -> dict[str, InstrumentType]:
    """The table of instruments, by id."""
    text = files("pitchline.survey").joinpath("instruments.toml").read_text(encoding="utf-8")
    table: dict[str, InstrumentType] = {}
    for key, entry in tomllib.loads(text).items():
        reads = tuple(Kind(kind) for kind in entry.pop("reads"))
        table[key] = InstrumentType(id=key, reads=reads, **entry)
    return table


def default_instruments() -> tuple[Instrument, ...]:
    """What a job may name without saying more: every type by its own id, and ``tape`` for the usual tape."""
    return (Instrument("tape", "tape-ii"), *(Instrument(key, key) for key in instrument_types()))


def standard_uncertainty(instrument: Instrument, kind: Kind, value: float) -> float:
    """Standard uncertainty of one reading: mm, for an angle radians. ``value`` is the reading (mm, radians).

    Raises InputError for an unknown type and for a reading the instrument cannot take.
    """
    known = _type_of(instrument)
    told, kind = kind, Kind.PITCH if kind in ANGLES else kind
    if kind is Kind.PITCH:
        limit = known.limit_deg if instrument.limit is None else instrument.limit
        in_use = known.use_deg
    else:
        limit = _limit(instrument, known, value)
        in_use = known.use
    if limit is None or kind not in known.reads:
        reads = listed([f"a {other}" for other in known.reads], "or")
        fault = Fault(f"instrument {instrument.id}", f"a {known.title} does not read a {told}", allowed=reads)
        raise InputError([fault], source="the readings")
    in_use = in_use if instrument.in_use is None else instrument.in_use
    half_width = math.hypot(limit, in_use)
    sigma = half_width / math.sqrt(3.0)
    return math.radians(sigma) if kind is Kind.PITCH else max(sigma, READING_FLOOR)


def _type_of(instrument: Instrument) -> InstrumentType:
    known = instrument_types().get(instrument.type)
    if known is None:
        allowed = ", ".join(instrument_types())
        fault = Fault(f"instrument {instrument.id}", "no such type of instrument", instrument.type, allowed)
        raise InputError([fault], source="the readings")
    return known


def _limit(instrument: Instrument, known: InstrumentType, value: float) -> float | None:
    """The limit of error of a length, mm: +-(a + b L), and what a level loses over its reach."""
    if instrument.limit is not None or known.limit is None:
        return instrument.limit
    metres = abs(value) / 1000.0
    if known.whole_metres:
        metres = float(max(math.ceil(metres), 1))
    length_term = known.limit + known.per_metre * max(metres - known.from_metres, 0.0)
    reach = known.reach if instrument.reach is None else instrument.reach
    return math.hypot(length_term, known.per_reach * reach / 1000.0)
