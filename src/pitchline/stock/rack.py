"""The rack of a shop: boards, strips and sheets that are there or that a merchant sells, and the shop's habits.

One rack is shared by all jobs of the shop. Sizes in mm; sheets and bars are those of `pitchline.kit.cutting.need`.
"""

from dataclasses import dataclass

from pitchline.kit.cutting.need import BarStock, Keep, Saw, SheetStock


@dataclass(frozen=True, slots=True)
class RackSheet:
    """A kind of sheet, or a wide board to be ripped.

    ``stock.thickness`` is as measured; ``nominal`` is what it is sold as.
    """

    stock: SheetStock
    nominal: float | None = None


@dataclass(frozen=True, slots=True)
class RackBar:
    """A kind of board, strip or rod that is cross-cut. A ``moulded`` one has a profile and cannot be turned over."""

    stock: BarStock
    moulded: bool = False


@dataclass(frozen=True, slots=True)
class Habits:
    """How the shop works.

    ``spare_every``: one spare for so many alike pieces or part of it, none for single ones; 0 for none at all.
    ``planing``: a bar may be wider or thicker than the part by up to this, mm, and is planed down before it is cut.
    ``rest_value``: a rest that is kept is reckoned at this share of its part of the price, by area: little, for it
    must be stored and found again (common practice, no source).
    Minutes: for setting the saw's angle, for setting a stop to another length, for a cut, for bringing and marking a
    bar or sheet (common practice, no source; change them to your own).
    """

    spare_every: int = 0
    planing: float = 6.0
    rest_value: float = 0.1
    setting_minutes: float = 3.0
    stop_minutes: float = 1.0
    cut_minutes: float = 0.75
    piece_of_stock_minutes: float = 4.0


USUAL_SAW = Saw(kerf=2.8, trim=10.0)
"""The middle of what the catalogue's saws take away, and a rough edge's width (common practice, no source)."""

USUAL_KEEP = Keep()
"""Rests that are kept where a rack says nothing else."""


@dataclass(frozen=True, slots=True)
class Rack:
    """Everything in one value; ``currency`` is a code such as GBP, or None where prices bear none."""

    sheets: tuple[RackSheet, ...] = ()
    bars: tuple[RackBar, ...] = ()
    saw: Saw = USUAL_SAW
    keep: Keep = USUAL_KEEP
    habits: Habits = Habits()
    currency: str | None = None
