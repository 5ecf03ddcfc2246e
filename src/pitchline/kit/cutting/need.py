"""What is to be cut and from what: parts, bars and sheets, and how the saw goes through them. Lengths in mm.

A sheet's *length* is the way its grain runs. A bar is cut across only; a part for bars has the bar's section and may
have angled ends. ``length`` of a part is longest point to longest point.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

Stages = Literal[2, 3]
First = Literal["any", "rip", "cross"]
"""Which way the first cuts of a sheet run: along its length, across it, or whichever is better."""


@dataclass(frozen=True, slots=True)
class SheetStock:
    """A kind of sheet. ``count`` None: as many as are wanted. An offcut is square already and is not trimmed."""

    id: str
    length: float
    width: float
    thickness: float
    price: float
    count: int | None = None
    offcut: bool = False
    material: str = ""


@dataclass(frozen=True, slots=True)
class BarStock:
    """A kind of board, strip or moulding. ``count`` None: as many as are wanted. An offcut is not trimmed."""

    id: str
    length: float
    width: float
    thickness: float
    price: float
    count: int | None = None
    offcut: bool = False
    material: str = ""


@dataclass(frozen=True, slots=True)
class End:
    """An end cut read from square, in degrees, as in `pitchline.kit.geometry.bevels`: equal readings at the two ends
    of a part mean parallel cuts, readings equal but for their signs a mirrored pair.
    """

    mitre_deg: float = 0.0
    bevel_deg: float = 0.0

    def __post_init__(self) -> None:
        if not (abs(self.mitre_deg) < 90.0 and abs(self.bevel_deg) < 90.0):
            raise ValueError("an end cut has a mitre and a bevel of less than 90 degrees")

    @property
    def is_square(self) -> bool:
        """Whether it is a plain cross-cut."""
        return self.mitre_deg == 0.0 and self.bevel_deg == 0.0

    @property
    def slopes(self) -> tuple[float, float]:
        """How far the cut runs along the bar over 1 mm of its width and over 1 mm of its thickness."""
        m, b = math.radians(self.mitre_deg), math.radians(self.bevel_deg)
        return (-math.tan(m), -math.tan(b) / math.cos(m))

    @property
    def stretch(self) -> float:
        """How much longer than the kerf the saw's way is, measured along the bar."""
        return 1.0 / (math.cos(math.radians(self.mitre_deg)) * math.cos(math.radians(self.bevel_deg)))


SQUARE = End()


@dataclass(frozen=True, slots=True)
class Piece:
    """A part that is wanted ``quantity`` times.

    ``keep_grain``: its length must lie along a sheet's. ``turn_over``: its other wide face may come up, so that
    it may be cut as its own mirror image. ``turn_round``: it may lie end for end on a bar.
    """

    id: str
    length: float
    width: float
    thickness: float
    quantity: int = 1
    keep_grain: bool = False
    ends: tuple[End, End] = (SQUARE, SQUARE)
    turn_over: bool = False
    turn_round: bool = True
    material: str = ""

    @property
    def has_angled_ends(self) -> bool:
        """Whether an end is anything but square."""
        return not (self.ends[0].is_square and self.ends[1].is_square)


@dataclass(frozen=True, slots=True)
class Keep:
    """The smallest rest that is worth keeping: length and width of a rest of sheet, length of a rest of bar."""

    length: float = 300.0
    width: float = 100.0
    bar: float = 300.0


@dataclass(frozen=True, slots=True)
class Saw:
    """How the cuts are made. ``kerf`` is square to the blade; ``bar_kerf`` None: the same for bars.

    ``trim`` is taken off each side of a sheet and each end of a bar before anything else, offcuts excepted.
    ``cross_kerf``: of cross-cuts on sheets, where another saw makes them than the rips. ``merchant``: the merchant
    rips the sheets (in two stages, rips first) and what is left is cut at home; without ``home_rips`` nothing is
    ripped narrower there.
    """

    kerf: float = 0.0
    trim: float = 0.0
    stages: Stages = 3
    first: First = "any"
    bar_kerf: float | None = None
    bar_trim: float | None = None
    cross_kerf: float | None = None
    merchant: bool = False
    home_rips: bool = True

    @property
    def kerf_across(self) -> float:
        """The kerf of cross-cuts on sheets."""
        return self.kerf if self.cross_kerf is None else self.cross_kerf

    @property
    def kerf_in_bars(self) -> float:
        """The kerf of the saw that cross-cuts bars."""
        return self.kerf if self.bar_kerf is None else self.bar_kerf

    @property
    def trim_of_bars(self) -> float:
        """What comes off each end of a bar."""
        return self.trim if self.bar_trim is None else self.bar_trim


@dataclass(frozen=True)
class SheetOrder:
    """Parts to be cut from sheets of one thickness and material; thicknesses are not looked at any more."""

    parts: tuple[Piece, ...]
    stocks: tuple[SheetStock, ...]
    saw: Saw
    keep: Keep = Keep()

    def trim_of(self, stock: SheetStock) -> float:
        """What comes off each side of this sheet."""
        return 0.0 if stock.offcut else self.saw.trim


@dataclass(frozen=True)
class BarOrder:
    """Parts to be cut from bars of one section (``width`` x ``thickness``) and material."""

    parts: tuple[Piece, ...]
    stocks: tuple[BarStock, ...]
    saw: Saw
    keep: Keep = Keep()

    @cached_property
    def section(self) -> tuple[float, float]:
        """Width and thickness, those of the first bar."""
        return self.stocks[0].width, self.stocks[0].thickness

    def trim_of(self, stock: BarStock) -> float:
        """What comes off each end of this bar."""
        return 0.0 if stock.offcut else self.saw.trim_of_bars

    def usable(self, stock: BarStock) -> float:
        """Length between the trimmed ends."""
        return stock.length - 2.0 * self.trim_of(stock)


@dataclass(frozen=True, slots=True)
class Need:
    """The whole list: any sections, any thicknesses."""

    parts: tuple[Piece, ...]
    sheets: tuple[SheetStock, ...] = ()
    bars: tuple[BarStock, ...] = ()
    saw: Saw = Saw()
    keep: Keep = Keep()
