"""Tables of stock: what both a rack and a need document say of sheets, bars, saws and rests."""

from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field

from pitchline.job.fields import Choice, Count, Figure, Letters, Size, Switch, Words
from pitchline.job.model_table import Table
from pitchline.kit.cutting.need import BarStock, First, Keep, Saw, SheetStock, Stages

LENGTH = Size("a length", 0.01, 100_000, "no stock is a hundred metres long")
THICKNESS = Size("a thickness", 0, 1000, "no board is a metre thick")
KERF = Size("a kerf", 0, 30, "no saw takes away more")
TRIM = Size("a trim", 0, 1000, "more is no trimming")
KEEP = Size("a smallest rest", 0, 100_000, "no stock is a hundred metres long")
PRICE = Figure("a price", 0, 1e9, "in whatever currency the list is in", unit="money")
STOCK_NUMBER = Count("a number in stock", 0, 100_000)
MATERIAL = Words("a material", 60)
CURRENCY = Letters("a currency", 3)
SWITCH = Switch()
ID = Words("a name", 60)


class FirstCut(StrEnum):
    """Which way the first cuts of a sheet run."""

    ANY = "any"
    RIP = "rip"
    CROSS = "cross"


class StockTable(Table):
    """What sheets and bars have in common."""

    id: Annotated[str, ID] = Field(description="What it is called.")
    length: Annotated[float, LENGTH] = Field(description="Its length, the way the grain runs.")
    width: Annotated[float, LENGTH] = Field(description="Its width.")
    thickness: Annotated[float, THICKNESS] = Field(default=0.0, description="Its thickness, as measured.")
    price: Annotated[float, PRICE] = Field(description="What one costs, a plain number.")
    count: Annotated[int, STOCK_NUMBER] | None = Field(
        default=None, description="How many there are. Left out: as many as are wanted."
    )
    offcut: Annotated[bool, SWITCH] = Field(
        default=False, description="An offcut is square already and is not trimmed."
    )
    material: Annotated[str, MATERIAL] | None = Field(default=None, description="What it is made of.")

    def shared(self) -> dict[str, Any]:
        """What sheets and bars have in common, as the planner's values take it."""
        return {
            "id": self.id,
            "length": self.length,
            "width": self.width,
            "thickness": self.thickness,
            "price": self.price,
            "count": self.count,
            "offcut": self.offcut,
            "material": self.material or "",
        }


class SheetTable(StockTable):
    """A kind of sheet."""

    @property
    def sheet(self) -> SheetStock:
        """The sheet as the planner knows it."""
        return SheetStock(**self.shared())


class BarTable(StockTable):
    """A kind of board, strip or moulding; parts of the same width and thickness are cut from it."""

    @property
    def bar(self) -> BarStock:
        """The bar as the planner knows it."""
        return BarStock(**self.shared())


class KeepTable(Table):
    """The smallest rest that is worth keeping."""

    length: Annotated[float, KEEP] = Field(default=300.0, description="Length of a rest of sheet.")
    width: Annotated[float, KEEP] = Field(default=100.0, description="Width of a rest of sheet.")
    bar: Annotated[float, KEEP] = Field(default=300.0, description="Length of a rest of bar.")

    @property
    def keep(self) -> Keep:
        """The smallest rests as the planner knows them."""
        return Keep(self.length, self.width, self.bar)


class MerchantTable(Table):
    """The merchant rips the sheets into strips, which are cut to length at home."""

    home_kerf: Annotated[float, KERF] = Field(
        description="What the saw at home removes when it cuts to length."
    )
    home_rips: Annotated[bool, SWITCH] = Field(
        default=True, description="Whether a piece may be ripped narrower than its strip at home."
    )


class SawTable(Table):
    """How the cuts are made."""

    kerf: Annotated[float, KERF] = Field(
        default=0.0, description="What the saw takes away, square to its blade."
    )
    trim: Annotated[float, TRIM] = Field(
        default=0.0,
        description="What comes off each side of a sheet and each end of a bar, offcuts excepted.",
    )
    bar_kerf: Annotated[float, KERF] | None = Field(
        default=None, description="The kerf of the saw that cuts bars, where it is another."
    )
    bar_trim: Annotated[float, TRIM] | None = Field(
        default=None, description="What comes off each end of a bar, where it is not `trim`."
    )
    stages: Annotated[int, Count("the number of stages", 2, 3)] = Field(
        default=3, description="How often the direction of cutting may change on a sheet: 2 or 3 stages."
    )
    first: Annotated[FirstCut, Choice(FirstCut)] = Field(
        default=FirstCut.ANY, description='First cuts along the sheet ("rip"), across it ("cross"), or "any".'
    )

    merchant: MerchantTable | None = Field(
        default=None,
        description="Where the merchant rips the sheets: kerf and trim are those of his saw then.",
    )

    @property
    def saw(self) -> Saw:
        """The saw as the planner knows it."""
        if self.merchant is not None:
            return Saw(
                self.kerf,
                self.trim,
                2,
                "rip",
                self.bar_kerf,
                self.bar_trim,
                self.merchant.home_kerf,
                merchant=True,
                home_rips=self.merchant.home_rips,
            )
        stages: Stages = 2 if self.stages == 2 else 3
        first: First = self.first.value
        return Saw(self.kerf, self.trim, stages, first, self.bar_kerf, self.bar_trim)
