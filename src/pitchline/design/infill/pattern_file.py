"""A pattern read from the user's own drawing. Lengths in mm."""

from dataclasses import dataclass
from pathlib import Path

from pitchline.design.brief import CutPattern, Follow
from pitchline.design.infill.pattern import pattern_faults
from pitchline.kit.drawing.outlines_read import read_outlines
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.geometry.outlines import Points


@dataclass(frozen=True, slots=True)
class PatternWish:
    """How a drawing is repeated: the size of a repeat (None: the sheet's own), how it follows the rake, its margin.

    ``unit_mm`` is the length of one unit of a drawing that names none.
    """

    width: float | None = None
    height: float | None = None
    follow: Follow = Follow.SHEARED
    margin: float = 0.0
    clip: bool = False
    unit_mm: float | None = None


def read_pattern(path: Path, wish: PatternWish) -> CutPattern:
    """The pattern of a drawing, its openings counted from the lower left corner of the sheet (or of what is drawn).

    InputError with every fault, each told by the number of its outline: lines that are not closed, that cross
    themselves, lie in one another, are too narrow to cut; a drawing without units or without the size of a repeat.
    """
    drawn = read_outlines(path, wish.unit_mm)
    faults = list(pattern_faults(drawn.outlines))
    page = drawn.page or (None, None)
    size = (wish.width or page[0], wish.height or page[1])
    for key, length in zip(("width", "height"), size, strict=True):
        if length is None:
            problem = f"a DXF drawing has no sheet, so it does not say the {key} of a repeat"
            faults.append(Fault("drawing", problem, remedy=f"give the {key} of a repeat in the job"))
    if faults or size[0] is None or size[1] is None:
        raise InputError(faults, path.name)
    corner = (0.0, 0.0) if drawn.page is not None else _corner(drawn.outlines)
    outlines = tuple(tuple((x - corner[0], y - corner[1]) for x, y in outline) for outline in drawn.outlines)
    return CutPattern(outlines, size[0], size[1], wish.follow, wish.margin, path.name, wish.clip)


def _corner(outlines: tuple[Points, ...]) -> tuple[float, float]:
    """The lower left corner of what is drawn."""
    xs, ys = zip(*(point for outline in outlines for point in outline), strict=True)
    return min(xs), min(ys)
