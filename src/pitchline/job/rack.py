"""Read a shop's rack: one TOML file of sheets, boards and strips, the saws and the habits, shared by all jobs."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import Field, ValidationError

from pitchline.job.faults import with_lines
from pitchline.job.fields import Choice, Count, Figure, Setting, Size
from pitchline.job.model_rack import (
    CURRENCY,
    SWITCH,
    THICKNESS,
    BarTable,
    KeepTable,
    MerchantTable,
    SawTable,
    SheetTable,
)
from pitchline.job.model_table import Table, as_brief
from pitchline.job.read import decode, parse, read_bytes
from pitchline.job.stock_faults import named_twice, slips_of
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.stock.rack import Habits, Rack, RackBar, RackSheet

SCHEMA: Final = "pitchline-rack/1"

MINUTES = Figure("a time", 0, 600, "nothing at a saw takes ten hours", unit="minutes")
SHARE = Figure("a share", 0, 1, "a rest is worth no more than what it is of", unit="of the whole")
PLANING = Size("what is planed off", 0, 50, "more is another board")
EVERY = Count("how many pieces one spare stands for", 0, 10_000)


class RackSheetTable(SheetTable):
    """A kind of sheet, or a wide board to be ripped."""

    nominal: Annotated[float, THICKNESS] | None = Field(
        default=None, description="The thickness it is sold as, where it measures another."
    )


class RackBarTable(BarTable):
    """A kind of board, strip, moulding or rod that is cross-cut."""

    moulded: Annotated[bool, SWITCH] = Field(
        default=False,
        description="Whether it has a profile, so that it cannot be turned over or planed down.",
    )


class HabitsTable(Table):
    """How the shop works."""

    spare_every: Annotated[int, EVERY] = as_brief(
        Habits, "spare_every", "One spare for so many alike pieces or part of it; 0 for none."
    )
    planing: Annotated[float, PLANING] = as_brief(
        Habits, "planing", "How much wider or thicker than the part a bar may be, a length."
    )
    rest_value: Annotated[float, SHARE] = Field(
        default=0.1,
        description="What a rest that is kept is reckoned at, as a share of its part of the price.",
    )
    setting_minutes: Annotated[float, MINUTES] = Field(
        default=3.0, description="For setting the saw's angle."
    )
    stop_minutes: Annotated[float, MINUTES] = Field(default=1.0, description="For setting a stop.")
    cut_minutes: Annotated[float, MINUTES] = Field(default=0.75, description="For one cut.")
    piece_of_stock_minutes: Annotated[float, MINUTES] = Field(
        default=4.0, description="For bringing and marking a bar or sheet."
    )


class TakenTable(Table):
    """A plan that was carried out; written by the program, so that it is never carried out twice."""

    plan: str = Field(description="What the plan is known by.")
    job: str = Field(description="What it was for.")


class RackFile(SawTable):
    """A shop's rack."""

    form: Literal["pitchline-rack/1"] = Field(
        alias="schema", description='Which form of rack this is: "pitchline-rack/1".'
    )
    units: Annotated[Unit, Choice(Unit)] = Field(description='What plain numbers are in: "mm" or "in".')
    currency: Annotated[str, CURRENCY] | None = Field(
        default=None, description='Of the prices, such as "GBP".'
    )
    keep: KeepTable = Field(default=KeepTable(), description="The smallest rest that is worth keeping.")
    habits: HabitsTable = Field(default=HabitsTable(), description="How the shop works.")
    sheets: list[RackSheetTable] = Field(default=[], description="Sheets and wide boards.")
    bars: list[RackBarTable] = Field(default=[], description="Boards, strips, mouldings, rods.")
    taken: list[TakenTable] = Field(default=[], description="Plans that were carried out.")


TABLES: Mapping[str, type[Table]] = {
    "": RackFile,
    "keep": KeepTable,
    "merchant": MerchantTable,
    "habits": HabitsTable,
    "sheets": RackSheetTable,
    "bars": RackBarTable,
    "taken": TakenTable,
}
"""Each table by the key that holds it."""


def rack_schema() -> dict[str, Any]:
    """The JSON Schema of a rack, with every key described."""
    schema = RackFile.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "pitchline rack"}


def load_rack(path: Path) -> Rack:
    """The rack in a file. Raises InputError with every fault found, each with its line."""
    return rack_of(decode(read_bytes(path), path.name), path.name)


def rack_of(text: str, source: str) -> Rack:
    """The rack in a text. Raises InputError."""
    file = rack_file(text, source)
    return Rack(
        sheets=tuple(RackSheet(table.sheet, table.nominal) for table in file.sheets),
        bars=tuple(RackBar(table.bar, table.moulded) for table in file.bars),
        saw=file.saw,
        keep=file.keep.keep,
        habits=Habits(**file.habits.model_dump()),
        currency=file.currency,
    )


def rack_file(text: str, source: str) -> RackFile:
    """The rack as it is written. Raises InputError."""
    raw = parse(text, source)
    unit = Unit.INCH if raw.get("units") == Unit.INCH.value else Unit.MM
    try:
        file = RackFile.model_validate(raw, context=Setting(unit))
    except ValidationError as error:
        raise InputError(with_lines(slips_of(error, TABLES), text, raw), source) from error
    slips = [
        *named_twice("sheets", [sheet.id for sheet in file.sheets]),
        *named_twice("bars", [bar.id for bar in file.bars]),
    ]
    if slips:
        raise InputError(with_lines(slips, text, raw), source)
    return file
