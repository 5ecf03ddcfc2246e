"""The need document of `pitchline cut`: what is to be cut from what, typed by hand (TOML) or by a program (JSON)."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import Field, ValidationError

from pitchline.app.nesting import Router, Wanted
from pitchline.job.faults import Slip, with_lines
from pitchline.job.fields import Angle, Choice, Count, Setting, Size, sort_of
from pitchline.job.model_rack import (
    CURRENCY,
    ID,
    KERF,
    LENGTH,
    MATERIAL,
    SWITCH,
    THICKNESS,
    TRIM,
    BarTable,
    KeepTable,
    MerchantTable,
    SawTable,
    SheetTable,
)
from pitchline.job.model_table import Table
from pitchline.job.read import decode, parse, read_bytes
from pitchline.job.stock_faults import named_twice, slips_of
from pitchline.kit.cutting.need import End, Need, Piece
from pitchline.kit.cutting.nests import ALONG_GRAIN, QUARTERS, Ring, Shape
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.units import Unit

SCHEMA: Final = "pitchline-need/1"

MITRE_DEG = Angle("a mitre", -89, 89, "read from square; at 90 degrees it would run along the piece")
COORDINATE = Size("a coordinate", -100_000, 100_000, "no sheet is a hundred metres long")
NUMBER = Count("a number of pieces", 1, 100_000)


class Grain(StrEnum):
    """How a part may lie on a sheet."""

    LENGTH = "length"
    ANY = "any"


class EndTable(Table):
    """One end cut of a part, read from square."""

    mitre_deg: Annotated[float, MITRE_DEG] = Field(
        default=0.0,
        description="Mitre in the wide face, degrees from square. Equal figures at both ends are parallel cuts, "
        "opposite signs a mirrored pair.",
    )
    bevel_deg: Annotated[float, MITRE_DEG] = Field(
        default=0.0, description="Bevel through the thickness, degrees from square; signs as for the mitre."
    )


class PartTable(Table):
    """A part that is wanted."""

    id: Annotated[str, ID] = Field(description="Its mark.")
    length: Annotated[float, LENGTH] = Field(description="Longest point to longest point, a length.")
    width: Annotated[float, LENGTH] = Field(description="Across its wide face, a length.")
    thickness: Annotated[float, THICKNESS] = Field(default=0.0, description="Its thickness, a length.")
    quantity: Annotated[int, NUMBER] = Field(default=1, description="How many are wanted.")
    grain: Annotated[Grain, Choice(Grain)] = Field(
        default=Grain.ANY,
        description='"length": its length must lie along the sheet\'s; "any": it may be turned.',
    )
    ends: list[EndTable] | None = Field(default=None, description="The two end cuts of a part for bars.")
    turn_over: Annotated[bool, SWITCH] = Field(
        default=False, description="Whether its other wide face may come up, as for plain stock."
    )
    turn_round: Annotated[bool, SWITCH] = Field(
        default=True,
        description="Whether it may lie end for end, which a moulding worked on one edge may not.",
    )
    material: Annotated[str, MATERIAL] | None = Field(default=None, description="What it is made of.")


class ShapeTable(Table):
    """A shape for the router, drawn as a closed outline."""

    id: Annotated[str, ID] = Field(description="Its mark.")
    outline: list[list[Annotated[float, COORDINATE]]] = Field(
        description="Its corners in order as [x, y], x along the grain; the last is joined to the first."
    )
    holes: list[list[list[Annotated[float, COORDINATE]]]] = Field(
        default=[], description="Openings inside it, each a list of corners."
    )
    quantity: Annotated[int, NUMBER] = Field(default=1, description="How many are wanted.")
    thickness: Annotated[float, THICKNESS] = Field(default=0.0, description="Its thickness, a length.")
    grain: Annotated[Grain, Choice(Grain)] = Field(
        default=Grain.ANY, description='"length": turned by half a turn at most; "any": by quarters too.'
    )
    material: Annotated[str, MATERIAL] | None = Field(default=None, description="What it is made of.")


class NeedFile(SawTable):
    """A list of parts, what they can be cut from, and the saw."""

    form: Literal["pitchline-need/1"] = Field(
        default=SCHEMA, alias="schema", description='Which form of list this is: "pitchline-need/1".'
    )
    units: Annotated[Unit, Choice(Unit)] = Field(
        default=Unit.MM, description='What plain numbers are in: "mm" or "in". Left out: mm.'
    )
    currency: Annotated[str, CURRENCY] | None = Field(
        default=None, description='Such as "GBP", for the answer.'
    )
    keep: KeepTable = Field(default=KeepTable(), description="The smallest rest that is worth keeping.")
    sheets: list[SheetTable] = Field(default=[], description="The sheets there are or can be bought.")
    bars: list[BarTable] = Field(default=[], description="The bars there are or can be bought.")
    parts: list[PartTable] = Field(default=[], description="The parts wanted.")
    shapes: list[ShapeTable] = Field(default=[], description="Shapes wanted, for the router.")
    clearance: Annotated[float, KERF] = Field(
        default=0.0, description="Room between shapes: the cutter and an allowance, a length."
    )
    margin: Annotated[float, TRIM] = Field(
        default=0.0, description="Room between shapes and the edges of a sheet, for clamps."
    )


TABLES: Mapping[str, type[Table]] = {
    "": NeedFile,
    "keep": KeepTable,
    "merchant": MerchantTable,
    "sheets": SheetTable,
    "bars": BarTable,
    "parts": PartTable,
    "shapes": ShapeTable,
    "ends": EndTable,
}
"""Each table by the key that holds it."""


@dataclass(frozen=True, slots=True)
class NeedList:
    """A list that was read: the need in mm, and how to speak of it."""

    need: Need
    unit: Unit
    currency: str | None
    says_kerf: bool
    shapes: tuple[Wanted, ...]
    router: Router


def need_schema() -> dict[str, Any]:
    """The JSON Schema of a need document, with every key described."""
    schema = NeedFile.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "pitchline need"}


def load_need(path: Path) -> NeedList:
    """The list in a file. Raises InputError with every fault found."""
    text = decode(read_bytes(path), path.name)
    return need_of(text, path.name, as_json=path.suffix.lower() == ".json" or text.lstrip().startswith("{"))


def need_of(text: str, source: str, *, as_json: bool) -> NeedList:
    """The list in a text. Raises InputError with every fault found."""
    raw = _json(text, source) if as_json else parse(text, source)
    unit = Unit.INCH if raw.get("units") == Unit.INCH.value else Unit.MM
    try:
        file = NeedFile.model_validate(raw, context=Setting(unit))
    except ValidationError as error:
        raise InputError(with_lines(slips_of(error, TABLES), "" if as_json else text, raw), source) from error
    slips = list(_cross(file))
    if slips:
        raise InputError(with_lines(slips, "" if as_json else text, raw), source)
    says_kerf = "kerf" in raw or "bar_kerf" in raw or not file.parts
    shapes = tuple(_wanted(table) for table in file.shapes)
    router = Router(file.clearance, file.margin)
    return NeedList(_need(file), file.units, file.currency, says_kerf, shapes, router)


def _json(text: str, source: str) -> dict[str, Any]:
    def refused(constant: str) -> float:
        raise ValueError(f"{constant} is no number")

    try:
        raw = json.loads(text, parse_constant=refused)
    except RecursionError as error:
        raise InputError([Fault("the file", "brackets are nested too deeply")], source) from error
    except json.JSONDecodeError as error:
        fault = Fault(
            "the file", f"this is not JSON: {error.msg[:1].lower()}{error.msg[1:]}", line=error.lineno
        )
        raise InputError([fault], source) from error
    except ValueError as error:
        raise InputError([Fault("the file", str(error))], source) from error
    if not isinstance(raw, dict):
        raise InputError([Fault("the file", f"{sort_of(raw)} stands where a table belongs")], source)
    return raw


def _cross(file: NeedFile) -> Iterator[Slip]:
    """What the tables say of each other."""
    if not file.parts and not file.shapes:
        yield Slip(("parts",), "no part is asked for", allowed="one part or more")
    yield from named_twice("parts", [part.id for part in file.parts])
    yield from named_twice("shapes", [shape.id for shape in file.shapes])
    for index, shape in enumerate(file.shapes):
        if any(len(point) != 2 for ring in (shape.outline, *shape.holes) for point in ring):
            yield Slip(("shapes", index, "outline"), "a corner is no pair of lengths", allowed="[x, y]")
            continue
        try:
            _wanted(shape)
        except ValueError as wrong:
            yield Slip(("shapes", index, "outline"), str(wrong), remedy="draw it as one closed line")
    yield from named_twice("sheets", [sheet.id for sheet in file.sheets])
    yield from named_twice("bars", [bar.id for bar in file.bars])
    for index, part in enumerate(file.parts):
        if part.ends is not None and len(part.ends) != 2:
            yield Slip(("parts", index, "ends"), "a part has two ends", part.ends, "a list of two end cuts")
        elif part.ends is not None and _ends_cross(_piece(part)):
            remedy = "the length is told from longest point to longest point"
            yield Slip(
                ("parts", index, "ends"), "the end cuts cross each other inside the part", remedy=remedy
            )


def _wanted(table: ShapeTable) -> Wanted:
    """The shape as the planner knows it. Raises ValueError for an outline that is none."""

    def ring(points: list[list[float]]) -> Ring:
        return tuple((x, y) for x, y in points)

    angles = ALONG_GRAIN if table.grain is Grain.LENGTH else QUARTERS
    holes = tuple(ring(hole) for hole in table.holes)
    shape = Shape(table.id, ring(table.outline), holes, table.quantity, angles)
    return Wanted(shape, table.thickness, table.material or "")


def _ends_cross(piece: Piece) -> bool:
    """Whether one of the part's four long edges would have less than no length."""
    (a0, b0), (a1, b1) = (end.slopes for end in piece.ends)
    corners = [(y * piece.width / 2.0, z * piece.thickness / 2.0) for y in (-1, 1) for z in (-1, 1)]
    starts = [a0 * y + b0 * z for y, z in corners]
    ends = [a1 * y + b1 * z for y, z in corners]
    between = piece.length + min(starts) - max(ends)
    return any(between + end - start < 0.0 for start, end in zip(starts, ends, strict=True))


def _need(file: NeedFile) -> Need:
    return Need(
        parts=tuple(_piece(part) for part in file.parts),
        sheets=tuple(table.sheet for table in file.sheets),
        bars=tuple(table.bar for table in file.bars),
        saw=file.saw,
        keep=file.keep.keep,
    )


def _piece(part: PartTable) -> Piece:
    ends = part.ends if part.ends is not None and len(part.ends) == 2 else [EndTable(), EndTable()]
    start, end = (End(table.mitre_deg, table.bevel_deg) for table in ends)
    return Piece(
        part.id,
        part.length,
        part.width,
        part.thickness,
        part.quantity,
        keep_grain=part.grain is Grain.LENGTH,
        ends=(start, end),
        turn_over=part.turn_over,
        turn_round=part.turn_round,
        material=part.material or "",
    )
