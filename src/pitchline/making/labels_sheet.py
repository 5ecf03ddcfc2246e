"""The sheet that part labels are printed on: a grid of equal labels. Lengths in mm."""

from dataclasses import dataclass
from typing import Literal

LabelPaperName = Literal["A4", "Letter"]

SHEETS: dict[LabelPaperName, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height upright: ISO 216 and ASME Y14.1 size A (from memory)."""

HEIGHTS: dict[LabelPaperName, float] = {"A4": 34.0, "Letter": 32.0}
"""Height of a label where nothing is told, so that eight go on a sheet (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """Labels of ``width`` x ``height``, ``across`` x ``down``; the first lies ``left`` and ``top`` of the edges."""

    paper: LabelPaperName
    across: int
    down: int
    width: float
    height: float
    gap_across: float
    gap_down: float
    left: float
    top: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper."""
        return SHEETS[self.paper]

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down

    @property
    def over_right(self) -> float:
        """How far the last column runs over the right edge; 0 or less where it does not."""
        return self.left + self.across * self.width + (self.across - 1) * self.gap_across - self.size[0]

    @property
    def over_bottom(self) -> float:
        """How far the last row runs over the lower edge."""
        return self.top + self.down * self.height + (self.down - 1) * self.gap_down - self.size[1]

    def corner(self, number: int) -> tuple[float, float]:
        """The upper left corner of a label on its sheet, from the sheet's; counted row by row from 0."""
        row, column = divmod(number, self.across)
        return (
            self.left + column * (self.width + self.gap_across),
            self.top + row * (self.height + self.gap_down),
        )


def label_sheet(
    paper: LabelPaperName,
    across: int = 3,
    down: int = 8,
    width: float = 64.0,
    height: float | None = None,
    gap_across: float = 2.5,
    gap_down: float = 0.0,
    left: float | None = None,
    top: float | None = None,
) -> LabelSheet:
    """A sheet of labels: three by eight of a common size unless told; centred where no margins are told."""
    page = SHEETS[paper]
    high = HEIGHTS[paper] if height is None else height
    columns = across * width + (across - 1) * gap_across
    rows = down * high + (down - 1) * gap_down
    return LabelSheet(
        paper=paper,
        across=across,
        down=down,
        width=width,
        height=high,
        gap_across=gap_across,
        gap_down=gap_down,
        left=max(0.0, (page[0] - columns) / 2) if left is None else left,
        top=max(0.0, (page[1] - rows) / 2) if top is None else top,
    )
