"""The cuts that take a sheet apart, found from where its pieces lie: what the saw does, stage by stage.

Knows nothing of how the plan came about, and so can judge it: with cuts from edge to edge in turn along and across,
cutting a region at every place where it can be cut is never worse than cutting it at some of them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pitchline.kit.cutting.need import Saw
from pitchline.kit.cutting.plan import CutSheet, SheetPiece
from pitchline.kit.tolerances import CUT_FITS


@dataclass(frozen=True, slots=True)
class SawCut:
    """One cut: it runs ``along`` the sheet's length (a rip) or across it, at a distance ``at`` from the datum, from
    ``start`` to ``end``. The kerf lies beyond ``at`` (``kerf_beyond``) or before it. Stages are counted from 1; the
    last may be one more than the saw's, for trimming single pieces.
    """

    stage: int
    along: bool
    at: float
    start: float
    end: float
    kerf_beyond: bool = True


@dataclass(frozen=True, slots=True)
class _Region:
    x0: float
    y0: float
    x1: float
    y1: float

    def ends(self, *, along: bool) -> tuple[float, float]:
        """Extent square to cuts that run along."""
        return (self.y0, self.y1) if along else (self.x0, self.x1)

    def cropped(self, low: float, high: float, *, along: bool) -> "_Region":
        """The part between two such cuts."""
        if along:
            return _Region(self.x0, low, self.x1, high)
        return _Region(low, self.y0, high, self.y1)


def saw_cuts(sheet: CutSheet, trim: float, saw: Saw) -> tuple[SawCut, ...] | None:
    """The cuts in working order, all of a stage before the next; None when the pieces cannot be sawn apart so.

    Trimming the sheet's own edges is not among them.
    """
    whole = _Region(trim, trim, sheet.length - trim, sheet.width - trim)
    for along in (True, False):
        if saw.first == ("cross" if along else "rip"):
            continue
        found = _divided(sheet.pieces, whole, saw, 1, along)
        if found is not None:
            return tuple(sorted(found, key=lambda cut: cut.stage))
    return None


def _divided(
    pieces: Sequence[SheetPiece], region: _Region, saw: Saw, stage: int, along: bool
) -> list[SawCut] | None:
    kerf = saw.kerf if along else saw.kerf_across
    if stage > saw.stages and len(pieces) > 1:
        return None
    cuts: list[SawCut] = []
    start, end = region.ends(along=not along)
    low, high = region.ends(along=along)
    reached = low
    deeper: list[SawCut] = []
    for group in _groups(pieces, kerf, along):
        first = min(_span(piece, along)[0] for piece in group)
        last = max(_span(piece, along)[1] for piece in group)
        if first - reached > CUT_FITS:
            cuts.append(SawCut(stage, along, first, start, end, kerf_beyond=False))
        if high - last > CUT_FITS:
            cuts.append(SawCut(stage, along, last, start, end))
        reached = last + kerf
        inner = region.cropped(first, last, along=along)
        if len(group) == 1 and _fills(group[0], inner):
            continue
        if stage > saw.stages:
            return None
        more = _divided(group, inner, saw, stage + 1, not along)
        if more is None:
            return None
        deeper += more
    return cuts + deeper


def _span(piece: SheetPiece, along: bool) -> tuple[float, float]:
    if along:
        return piece.y, piece.y + piece.width
    return piece.x, piece.x + piece.length


def _groups(pieces: Iterable[SheetPiece], kerf: float, along: bool) -> list[list[SheetPiece]]:
    """Pieces between which no cut of this kind can pass, in order."""
    groups: list[list[SheetPiece]] = []
    reached = 0.0
    for piece in sorted(pieces, key=lambda piece: _span(piece, along)):
        low, high = _span(piece, along)
        if groups and low - reached < kerf - CUT_FITS:
            groups[-1].append(piece)
            reached = max(reached, high)
        else:
            groups.append([piece])
            reached = high
    return groups


def _fills(piece: SheetPiece, region: _Region) -> bool:
    return all(
        abs(have - wanted) <= CUT_FITS
        for have, wanted in zip(
            (*_span(piece, False), *_span(piece, True)),
            (region.x0, region.x1, region.y0, region.y1),
            strict=True,
        )
    )
