"""The figures of a design that can be typed or dragged: where each stands in the job, and how far a slider goes.

A slider covers what is usual (common practice, no source); what is typed may go as far as the job file allows.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pitchline.app.web.design_asked import Asked
from pitchline.job.positions import Path
from pitchline.kit.units import LengthError, Unit, read_length, show_length
from pitchline.story import SolvedBalustrade

SIXTEENTH = 25.4 / 16


@dataclass(frozen=True, slots=True)
class Knob:
    """A figure: path below the design, kind (length, count, degrees, newtons), reach of its slider, step; mm."""

    path: tuple[str, ...]
    low: float
    high: float
    kind: str = "length"
    step: float = 1.0


@dataclass(frozen=True, slots=True)
class Field:
    """A figure as the page shows it, in the job's unit; ``auto`` is what holds where nothing is written."""

    where: str
    path: Path
    label: str
    text: str
    value: float
    low: float
    high: float
    step: float
    unit: str
    auto: str
    was: Any


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Figures that belong together, under one heading."""

    key: str
    fields: tuple[Field, ...]


RAIL = (
    Knob(("handrail", "height"), 800, 1150),
    Knob(("handrail", "width"), 30, 120),
    Knob(("handrail", "depth"), 25, 120),
    Knob(("handrail", "round_over"), 0, 30),
)
BASE = (Knob(("base_rail", "width"), 30, 120), Knob(("base_rail", "depth"), 20, 90))
UPRIGHTS = (
    Knob(("infill", "width"), 8, 120),
    Knob(("infill", "thickness"), 8, 80),
    Knob(("infill", "arris"), 0, 8),
)
STRANDS = (
    Knob(("infill", "depth"), 3, 60),
    Knob(("infill", "pull_n"), 200, 3000, "newtons", 50),
    Knob(("infill", "apart"), 300, 2000, step=10),
)
PANELS = (
    Knob(("infill", "thickness"), 4, 40),
    Knob(("infill", "widest"), 300, 2500, step=10),
    Knob(("infill", "edge_gap"), 0, 60),
    Knob(("infill", "joint"), 0, 40),
    Knob(("infill", "slat"), 15, 150),
    Knob(("infill", "slot"), 5, 110),
)
_ENDS = {
    "offset": (-300, 300),
    "along": (40, 160),
    "across": (40, 160),
    "above_rail": (0, 300),
    "overhang": (0, 300),
}
_MAKING = {
    "rail_groove": (3, 30), "base_groove": (3, 30), "fillet_thickness": (2, 25), "layer_thickness": (6, 40),
    "rail_block": (5, 50), "base_block": (5, 50), "rail_depth": (5, 60), "base_depth": (5, 60), "diameter": (4, 25),
    "end_depth": (10, 80), "tenon_thickness": (5, 40), "shoulder": (0, 20), "hole": (6, 40), "apart": (200, 1500),
    "from_end": (50, 500), "bite": (5, 60), "depth": (0, 250), "inset": (-30, 100), "clearance": (0, 3),
    "end_play": (0, 3), "end_room": (0, 20), "glue_room": (0, 10), "shoe": (0, 60), "cover": (0, 40),
}  # fmt: skip
_FINE = frozenset({"clearance", "end_play"})


def _spacing(asked: Asked) -> Iterator[Knob]:
    """What can be wished for the spacing, by the way it is spread."""
    infill = asked.table("infill")
    spread = infill.get("spread", "equal gaps")
    if spread == "per tread":
        yield Knob(("infill", "per_tread"), 1, 4, "count")
    else:
        yield Knob(("infill", "count"), 1, 60, "count")
    if spread == "fixed module":
        yield Knob(("infill", "module"), 40, 250)
    if spread == "groups":
        yield Knob(("infill", "group"), 2, 5, "count")
        yield Knob(("infill", "inner_gap"), 8, 100)
    if not {"count", "module", "per_tread"} & set(infill):
        yield Knob(("infill", "max_gap"), 30, 150)


def _infill(asked: Asked) -> Iterator[Knob]:
    infill = asked.table("infill")
    kind = infill.get("kind")
    if kind == "panels":
        slatted = infill.get("panel") == "slatted panel"
        yield from (knob for knob in PANELS if slatted or knob.path[-1] not in ("slat", "slot"))
        return
    yield from _spacing(asked)
    if kind == "strands":
        cable = infill.get("strand") == "cable"
        yield from (knob for knob in STRANDS if cable or knob.path[-1] != "pull_n")
        if infill.get("strand") == "raking bar":
            yield Knob(("infill", "thickness"), 8, 60)
        return
    flat = infill.get("shape") == "rectangular"
    yield from (knob for knob in UPRIGHTS if flat or knob.path[-1] == "width")
    if "lean_deg" in infill:
        yield Knob(("infill", "lean_deg"), -35, 35, "degrees", 0.5)


def _base(asked: Asked) -> Iterator[Knob]:
    table = asked.table("base_rail")
    if not table:
        return
    yield from BASE
    seat = table.get("seat", "string")
    if seat == "clear":
        yield Knob(("base_rail", "clearance"), 0, 120)
    if seat == "packed":
        yield Knob(("base_rail", "least_packing"), 0, 30)


def _end(asked: Asked, end: str) -> Iterator[Knob]:
    table = asked.table(end)
    yield from (Knob((end, key), *_ENDS[key]) for key in _ENDS if key in table)


def _making(asked: Asked) -> Iterator[Knob]:
    table = asked.table("making")
    for key, reach in _MAKING.items():
        if isinstance(table.get(key), int | float | str) and key in table:
            yield Knob(("making", key), *reach, step=0.1 if key in _FINE else 1.0)


def field_groups(
    asked: Asked, solved: SolvedBalustrade | None, label: Mapping[str, str]
) -> tuple[FieldGroup, ...]:
    """Every figure of the design by heading; ``label`` has the words by the key of a figure."""
    knobs: dict[str, Iterator[Knob]] = {
        "infill": _infill(asked),
        "handrail": iter(RAIL),
        "base_rail": _base(asked),
        "bottom": _end(asked, "bottom"),
        "top": _end(asked, "top"),
        "making": _making(asked),
    }
    found = found_values(solved)
    groups = (
        FieldGroup(key, tuple(_field(asked, knob, found, label) for knob in several))
        for key, several in knobs.items()
    )
    return tuple(group for group in groups if group.fields)


def found_values(solved: SolvedBalustrade | None) -> dict[tuple[str, ...], float]:
    """What the program chose where the job leaves it open: counts, heights, gaps; mm."""
    if solved is None:
        return {}
    first = solved.legs[0].design
    rail = first.rail_line
    found: dict[tuple[str, ...], float] = {("handrail", "height"): min(rail.heights)} if rail.heights else {}
    members = first.uprights or first.strands
    if members:
        found["infill", "count"] = float(len(members))
    if first.uprights:
        upright = first.uprights[0]
        found["infill", "thickness"] = upright.thickness
        found["infill", "inner_gap"] = upright.width
        nosings = max(len(first.flight.nosings) - 1, 1)
        found["infill", "per_tread"] = max(1.0, round(len(first.uprights) / nosings))
    if first.bay.opening is not None:
        found["infill", "max_gap"] = first.bay.opening
    return found


def _field(
    asked: Asked, knob: Knob, found: Mapping[tuple[str, ...], float], label: Mapping[str, str]
) -> Field:
    table = asked.table(knob.path[0])
    written = table.get(knob.path[-1])
    held = _number(written, knob, asked.unit)
    in_unit = asked.unit.in_mm if knob.kind == "length" else 1.0
    step = knob.step
    if knob.kind == "length" and asked.unit is Unit.INCH:
        step = 1 / 16
    chosen = found.get(knob.path)
    beside = chosen / in_unit if chosen is not None else 0.0
    value = beside if held is None else held
    low, high = min(knob.low / in_unit, value), max(knob.high / in_unit, value)
    if knob.kind == "length" and asked.unit is Unit.INCH:
        low, high = _rounded(low, step, down=True), _rounded(high, step, down=False)
    where = f"designs[{asked.index}].{'.'.join(knob.path)}"
    return Field(
        where=where,
        path=("designs", asked.index, *knob.path),
        label=label.get(knob.path[-1], knob.path[-1]),
        text=_text(written, asked.unit, knob),
        value=round(value, 4),
        low=round(low, 4),
        high=round(high, 4),
        step=step,
        unit=_unit(knob, asked.unit),
        auto="" if written is not None or chosen is None else _shown(chosen, knob, asked.unit),
        was=written,
    )


def _rounded(value: float, step: float, *, down: bool) -> float:
    whole = int(value / step)
    if whole * step == value:
        return value
    return (whole - (value < 0)) * step if down else (whole + (value > 0)) * step


def _unit(knob: Knob, unit: Unit) -> str:
    return {"length": unit.value, "degrees": "°", "newtons": "N"}.get(knob.kind, "")


def _shown(value: float, knob: Knob, unit: Unit) -> str:
    if knob.kind == "length":
        return show_length(value, unit)
    return f"{value:g}"


def _number(written: object, knob: Knob, unit: Unit) -> float | None:
    """A written value in the job's unit; None where it is no number, a fault that is told elsewhere."""
    if isinstance(written, bool) or not isinstance(written, int | float | str):
        return None
    if knob.kind != "length":
        return float(written) if not isinstance(written, str) else None
    try:
        return read_length(written, unit) / unit.in_mm
    except LengthError:
        return None


def _text(written: object, unit: Unit, knob: Knob) -> str:
    """A value as its field shows it: in inches as the fraction it is."""
    if written is None:
        return ""
    number = _number(written, knob, unit)
    if number is None or isinstance(written, str):
        return str(written).removesuffix(" in") if unit is Unit.INCH else str(written)
    if knob.kind == "length" and unit is Unit.INCH and (64 * number).is_integer():
        return fraction(number)
    return f"{number:.10g}"


def fraction(inches: float) -> str:
    """A number of inches as whole and fraction, such as -2 3/8."""
    parts = round(64 * abs(inches))
    whole, rest = divmod(parts, 64)
    below = 64
    while rest and rest % 2 == 0:
        rest, below = rest // 2, below // 2
    told = " ".join([*([str(whole)] if whole or not rest else []), *([f"{rest}/{below}"] if rest else [])])
    return f"-{told}" if inches < 0 and parts else told
