"""The answer to a need: which bars and sheets are cut, where each piece lies, what is left, and the bound.

Lengths in mm. x runs along a sheet's or bar's length, y across it; both start at the corner of the untrimmed stock.
"""

from dataclasses import dataclass

from pitchline.kit.cutting.need import End


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """A piece on a sheet: ``length`` along the sheet and ``width`` across it as it lies, turned or not."""

    part: str
    x: float
    y: float
    length: float
    width: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Rest:
    """A rectangle of a sheet that is left and worth keeping."""

    x: float
    y: float
    length: float
    width: float

    @property
    def area(self) -> float:
        """In mm2."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One sheet that is cut; ``stock`` is its id, sizes are those before trimming. ``rests`` largest first."""

    stock: str
    length: float
    width: float
    pieces: tuple[SheetPiece, ...]
    rests: tuple[Rest, ...] = ()


@dataclass(frozen=True, slots=True)
class BarPiece:
    """A piece on a bar from its longest point at ``start`` to that at ``end``; nested neighbours overlap in these.

    ``turned``: end for end, by half a turn on its wide face. ``over``: other wide face up, ends where they were.
    ``ends`` are the cuts as they lie on the bar.
    """

    part: str
    start: float
    end: float
    turned: bool
    over: bool
    ends: tuple[End, End]


@dataclass(frozen=True, slots=True)
class CutBar:
    """One bar that is cut; ``length`` before trimming. ``rest``: from where to where it is left, if worth keeping."""

    stock: str
    length: float
    pieces: tuple[BarPiece, ...]
    rest: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Shortage:
    """Pieces that found no place: of which part, how many, and one sentence that says why."""

    part: str
    quantity: int
    why: str


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """Sheets of one order. ``lower_bound``: no plan in these stages that cuts everything can cost less.

    ``late``: the clock ended the search, so that another run may find another plan; ``stopped``: the user did, with
    Ctrl-C, and this is the best that was found by then. ``engine`` names who found it.
    """

    sheets: tuple[CutSheet, ...]
    cost: float
    lower_bound: float
    unplaced: tuple[Shortage, ...] = ()
    late: bool = False
    stopped: bool = False
    engine: str = ""


@dataclass(frozen=True, slots=True)
class BarPlan:
    """Bars of one order, as `SheetPlan`."""

    bars: tuple[CutBar, ...]
    cost: float
    lower_bound: float
    unplaced: tuple[Shortage, ...] = ()
    late: bool = False
    stopped: bool = False
    engine: str = ""


@dataclass(frozen=True, slots=True)
class Ripped:
    """What a merchant is asked for: ``count`` sheets of a stock ripped alike.

    ``widths`` of the strips from the datum edge, which is trimmed first; ``marks`` run from the trimmed edge to the
    strips' far edges; ``rest`` is what is left beside the last strip.
    """

    stock: str
    count: int
    widths: tuple[float, ...]
    marks: tuple[float, ...]
    rest: float


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """The plans of all orders of a need together. Money is in whatever currency the prices were in."""

    sheets: tuple[CutSheet, ...]
    bars: tuple[CutBar, ...]
    cost: float
    lower_bound: float
    seconds: float
    unplaced: tuple[Shortage, ...] = ()
    late: bool = False
    stopped: bool = False
    engines: tuple[str, ...] = ()
    ripped: tuple[Ripped, ...] = ()

    @property
    def gap(self) -> float:
        """How far the cost may lie above the least possible, as a share of the bound; 0 where nothing is spent."""
        if self.lower_bound > 0.0:
            return max(0.0, self.cost / self.lower_bound - 1.0)
        return 0.0
