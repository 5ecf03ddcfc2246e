"""From a design's parts and a rack to a cutting need: blanks, spares, grain, and which stock is for which part."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.kit.cutting.need import SQUARE, BarStock, End, Need, Piece, SheetStock
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_PART, SHEET_TAKEN_FOR
from pitchline.parts.explode import Group
from pitchline.parts.part import Part, Taper
from pitchline.stock.rack import Rack, RackBar, RackSheet

NO_GRAIN = {"fibreboard", "metal"}
"""Kinds of material that have no grain to keep to."""

SETTING_PLACES = 2
"""Decimals of a degree to which end cuts of blanks are told apart: 0.01 degrees is 0.016 mm across 90 mm, and no saw
is set finer."""


@dataclass(frozen=True, slots=True)
class _Section:
    """What parts cut from the same stock have in common."""

    material: str
    width: float
    thickness: float


def need_of(groups: Iterable[Group], rack: Rack) -> Need:
    """What the parts need, with the stock of the rack that is for them.

    A part goes to bars of its section (planed down to it if they are a little larger), else to sheets and wide boards
    of its thickness, or of its width if it is to stand on edge; what finds neither is left for the plan to tell.
    Stock of another material is left out.
    """
    wanted = list(groups)
    sections = list(dict.fromkeys(_section(group.part) for group in wanted))
    bars = _bars_for(sections, rack)
    moulded = {bar.stock.id for bar in rack.bars if bar.moulded}
    served = {_Section(bar.material, bar.width, bar.thickness) for bar in bars}
    profiled = {_Section(bar.material, bar.width, bar.thickness) for bar in bars if bar.id in moulded}
    pieces = []
    flat: list[_Section] = []
    for group in wanted:
        section = _section(group.part)
        piece = _piece(group, rack, turns_over=section not in profiled)
        if section not in served:
            piece = _laid_flat(piece, group.part, rack)
            flat.append(_Section(piece.material, piece.width, piece.thickness))
        pieces.append(piece)
    return Need(tuple(pieces), _sheets_for(flat, rack), bars, rack.saw, rack.keep)


def _section(part: Part) -> _Section:
    return _Section(part.material, part.width, part.thickness)


def _piece(group: Group, rack: Rack, *, turns_over: bool) -> Piece:
    part = group.part
    return Piece(
        id=group.mark,
        length=part.blank_length,
        width=part.width,
        thickness=part.thickness,
        quantity=group.quantity + spares(group.quantity, rack.habits.spare_every),
        keep_grain=_has_grain(part.material),
        ends=(_end(part.start_cuts), _end(part.finish_cuts)),
        turn_over=turns_over,
        material=part.material,
    )


def _laid_flat(piece: Piece, part: Part, rack: Rack) -> Piece:
    """The piece as it lies in a sheet of its material: on edge where its width is the sheet's thickness.

    A tapered piece may come from a thicker sheet; it is told with that sheet's thickness then.
    """
    sheets = [sheet for sheet in rack.sheets if sheet.stock.material == piece.material]
    if any(_off(sheet, piece.thickness) <= SHEET_TAKEN_FOR for sheet in sheets):
        return piece
    if any(_off(sheet, piece.width) <= SHEET_TAKEN_FOR for sheet in sheets):
        return replace(piece, width=piece.thickness, thickness=piece.width)
    if any(isinstance(feature, Taper) for feature in part.features):
        thicker = [sheet.stock.thickness for sheet in sheets if sheet.stock.thickness >= piece.thickness]
        if thicker and min(thicker) - piece.thickness <= rack.habits.planing:
            return replace(piece, thickness=min(thicker))
    return piece


def spares(quantity: int, spare_every: int) -> int:
    """Spare pieces for so many alike ones: one for every ``spare_every`` or part of it, none for a single piece."""
    return math.ceil(quantity / spare_every) if spare_every > 0 and quantity > 1 else 0


def _has_grain(material: str) -> bool:
    return material not in list_timbers() or load_timber(material).kind not in NO_GRAIN


def _end(cuts: Sequence[Plane]) -> End:
    """The cut of a blank's end; square where the end is cut twice, and then worked on afterwards."""
    if len(cuts) != 1:
        return SQUARE
    reading = saw_reading(cuts[0].normal)
    if max(abs(reading.mitre_deg), abs(reading.bevel_deg)) <= ENDS_ALIKE_DEG:
        return SQUARE
    return End(round(reading.mitre_deg, SETTING_PLACES), round(reading.bevel_deg, SETTING_PLACES))


def _bars_for(sections: Sequence[_Section], rack: Rack) -> tuple[BarStock, ...]:
    """Each bar for the one section that it has, or is planed down to with the least loss; told with that section."""
    found = []
    for bar in rack.bars:
        fitting = [section for section in sections if _serves(bar, section, rack.habits.planing)]
        if fitting:
            best = min(fitting, key=lambda section: _loss(bar, section))
            found.append(replace(bar.stock, width=best.width, thickness=best.thickness))
    return tuple(found)


def _serves(bar: RackBar, section: _Section, planing: float) -> bool:
    spare = 0.0 if bar.moulded else planing
    return (
        bar.stock.material == section.material
        and -SAME_PART <= bar.stock.width - section.width <= spare + SAME_PART
        and -SAME_PART <= bar.stock.thickness - section.thickness <= spare + SAME_PART
    )


def _loss(bar: RackBar, section: _Section) -> float:
    return bar.stock.width * bar.stock.thickness - section.width * section.thickness


def _sheets_for(sections: Sequence[_Section], rack: Rack) -> tuple[SheetStock, ...]:
    """Each sheet or wide board for the thickness that it is taken for; told with that thickness."""
    found = []
    for sheet in rack.sheets:
        off = {
            section.thickness: _off(sheet, section.thickness)
            for section in sections
            if sheet.stock.material == section.material
        }
        near = [thickness for thickness, by in off.items() if by <= SHEET_TAKEN_FOR]
        if near:
            found.append(replace(sheet.stock, thickness=min(near, key=lambda thickness: off[thickness])))
    return tuple(found)


def _off(sheet: RackSheet, thickness: float) -> float:
    """By how much a sheet is not of this thickness, as it is or as it is sold."""
    sold = sheet.stock.thickness if sheet.nominal is None else sheet.nominal
    return min(abs(sheet.stock.thickness - thickness), abs(sold - thickness))
