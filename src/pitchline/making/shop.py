"""The user's workshop: saws with their scales, router, clamps, sander, drills, glue, printer, and working times.

What a job says nothing of is taken from the catalogue. Lengths in mm, angles in degrees from a square cut, times in
minutes of one person.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from pitchline.catalogue.load import FactRange
from pitchline.catalogue.shop import Shop as Figures
from pitchline.catalogue.shop import load_shop

PrinterPaper = Literal["A4", "A3", "Letter"]
"""The paper that full-size templates are printed on."""

BAR_MM = 100.0
"""Length of the bars that the user measures on a printed template."""
BAR_INCHES = 4.0 * 25.4
"""Likewise on the templates of a job in inches."""


class SawKind(StrEnum):
    """How a saw is guided."""

    MITRE = "mitre saw"
    """The piece lies against the fence, the head swings and tilts."""
    TABLE = "table saw"
    """The piece is pushed along a mitre gauge, the blade tilts."""
    RAIL = "rail saw"
    """The piece lies still under a guide rail, the saw tilts."""
    HAND = "hand saw"
    """The piece lies in a mitre box made for the cut."""


@dataclass(frozen=True, slots=True)
class Saw:
    """A saw and how far it goes.

    ``left_deg`` and ``right_deg`` are how far its mitre scale goes from square to either side; ``tilt_left_deg`` and
    ``tilt_right_deg`` how far the top of the blade leans to either side, as one stands at it. ``deep`` and ``wide``
    are the thickest and widest piece that it cuts through, upright and square. ``shortest`` is the shortest piece
    that may be held by hand at it.
    """

    id: str
    kind: SawKind
    left_deg: float
    right_deg: float
    tilt_left_deg: float
    tilt_right_deg: float
    deep: float
    wide: float
    kerf: float
    shortest: float

    def reaches(self, mitre_deg: float, tilt_deg: float, within_deg: float = 0.0) -> bool:
        """Whether its scales go that far: mitre + to the right, tilt + with the top of the blade to the left."""
        swing = -self.left_deg - within_deg <= mitre_deg <= self.right_deg + within_deg
        return swing and -self.tilt_right_deg - within_deg <= tilt_deg <= self.tilt_left_deg + within_deg

    def passes(self, width: float, thickness: float, mitre_deg: float, tilt_deg: float) -> bool:
        """Whether the blade cuts right through a piece lying with ``thickness`` upright, set to these angles."""
        across = width / math.cos(math.radians(mitre_deg))
        through = thickness / math.cos(math.radians(tilt_deg))
        return across <= self.wide and through <= self.deep


@dataclass(frozen=True, slots=True)
class Router:
    """A router, by hand or on a table: diameters of its cutters, how deep they go, its bed, the largest board.

    ``bed_length`` and ``bed_width`` are what it can cut in one setting up; ``board_length`` and ``board_width`` the
    largest board that can lie on it.
    """

    cutters: tuple[float, ...]
    depth: float
    bed_length: float
    bed_width: float
    board_length: float
    board_width: float


@dataclass(frozen=True, slots=True)
class Clamps:
    """So many clamps that open this far."""

    count: int
    reach: float


@dataclass(frozen=True, slots=True)
class Glue:
    """Minutes from spreading it until the joint must be closed, and until the clamps may come off."""

    open_minutes: float
    clamp_minutes: float


@dataclass(frozen=True, slots=True)
class Printer:
    """The printer's paper, and how large it prints what should be 1 along the sheet's short and its long edge."""

    paper: PrinterPaper
    across: float = 1.0
    along: float = 1.0

    @property
    def stretch(self) -> tuple[float, float]:
        """What drawings must be multiplied by along the short edge and the long edge to come out full size."""
        return 1.0 / self.across, 1.0 / self.along


@dataclass(frozen=True, slots=True)
class Rate:
    """Minutes of one person for each of something."""

    id: str
    each: str
    what: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Shop:
    """A workshop: its saws in the order they are preferred in, and all else that making hangs on.

    ``sander`` and ``hand_sander`` are the widths that a power sander and sanding by hand need to get in between;
    ``drills`` diameters; ``day_hours`` how long a working day is.
    """

    saws: tuple[Saw, ...]
    router: Router | None
    clamps: tuple[Clamps, ...]
    sander: float
    hand_sander: float
    drills: tuple[float, ...]
    glue: Glue
    printer: Printer
    rates: tuple[Rate, ...]
    day_hours: float = 8.0

    def minutes(self, rate: str) -> float:
        """Minutes of a work by its id. Raises KeyError for one that is not listed."""
        return {one.id: one.minutes for one in self.rates}[rate]


USUAL_SAWS = (SawKind.MITRE, SawKind.RAIL, SawKind.HAND)
"""The saws that a shop has of which nothing is said."""

TOOL_OF_KIND = {
    SawKind.MITRE: "mitre-saw",
    SawKind.TABLE: "table-saw",
    SawKind.RAIL: "track-saw",
    SawKind.HAND: "pull-saw",
}
"""The tool of the catalogue that stands for each kind of saw."""


def usual_shop(*, inches: bool = False) -> Shop:
    """The shop of a job that says nothing of it; with ``inches`` it prints on Letter."""
    figures = load_shop()
    return Shop(
        saws=tuple(usual_saw(kind) for kind in USUAL_SAWS),
        router=_router(figures),
        clamps=tuple(
            Clamps(int(count), reach)
            for count, reach in zip(
                figures.clamps["counts"].values, figures.clamps["reaches"].values, strict=True
            )
        ),
        sander=figures.sanding["sander"].high,
        hand_sander=figures.sanding["hand"].high,
        drills=figures.drills.values,
        glue=Glue(figures.glue["open"].low, figures.glue["clamped"].high),
        printer=Printer("Letter" if inches else "A4"),
        rates=tuple(
            Rate(rate.id, rate.each, rate.what, middle(rate.minutes)) for rate in figures.rates.values()
        ),
    )


def usual_saw(kind: SawKind) -> Saw:
    """A saw of this kind as the catalogue has it: the least it can be trusted to reach, one tilt only if powered.

    Pieces held at a powered saw are the longer of what the trade thinks safe.
    """
    figures = load_shop()
    tool = figures.tool(TOOL_OF_KIND[kind])
    by_hand = kind is SawKind.HAND
    swing = tool.mitre_deg.value if tool.mitre_deg else 0.0
    tilt = tool.bevel_deg.value if tool.bevel_deg else 0.0
    hold = figures.hold_by_hand
    return Saw(
        id=tool.name,
        kind=kind,
        left_deg=swing,
        right_deg=swing,
        tilt_left_deg=swing if by_hand else tilt,
        tilt_right_deg=swing if by_hand else 0.0,
        deep=tool.deep.low if tool.deep else math.inf,
        wide=tool.wide.low if tool.wide else math.inf,
        kerf=middle(tool.kerf),
        shortest=hold.low if by_hand else hold.high,
    )


def middle(figure: FactRange) -> float:
    """Half way between the low and the high."""
    return (figure.low + figure.high) / 2.0


def _router(figures: Figures) -> Router:
    length, width = figures.router["bed"].values
    return Router(
        cutters=figures.router["cutters"].values,
        depth=figures.router["depth"].values[0],
        bed_length=length,
        bed_width=width,
        board_length=length,
        board_width=width,
    )
