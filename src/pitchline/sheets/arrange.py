"""Where views stand on a sheet: in rows that are spread over it, or in columns filled from the left."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from pitchline.kit.drawing.sheet import (
    CAPTION_HEIGHT,
    PADDING,
    TITLE_HEIGHT,
    TITLE_WIDTH,
    Field,
    PlacedView,
    place_in_rows,
)
from pitchline.kit.drawing.svg import Picture
from pitchline.kit.tolerances import SAME_POINT

GAP = 8.0
"""Least paper mm between views."""

MOST_SPREAD = 30.0
"""Paper mm by which a gap grows at most where a sheet has room to spare."""

View = tuple[Picture, str, str]
"""Picture, caption and scale in words."""


def in_rows(views: Sequence[View], field: Field, gap: float = GAP) -> tuple[PlacedView, ...]:
    """Views in rows, the rows and what stands in them spread over the room that is left.

    ValueError names the first view that finds no room.
    """
    rows = [list(row) for _, row in groupby(place_in_rows(tuple(views), field, gap), key=lambda v: v.y_mm)]
    foot = max(_foot(view) for row in rows for view in row)
    down = min(MOST_SPREAD, (field.y + field.height - foot) / (len(rows) + 1))
    spread: list[PlacedView] = []
    for number, row in enumerate(rows, start=1):
        right = max(view.x_mm + view.picture.width_mm for view in row)
        step = min(MOST_SPREAD, (field.x + field.width - right) / (len(row) + 1))
        spread += [
            replace(view, x_mm=view.x_mm + place * step, y_mm=view.y_mm + number * down)
            for place, view in enumerate(row, start=1)
        ]
    return tuple(spread)


def _foot(view: PlacedView) -> float:
    return view.y_mm + view.picture.height_mm + CAPTION_HEIGHT


@dataclass(frozen=True, slots=True)
class _Columns:
    """Equal columns of a field; those left of the title block may reach down beside it."""

    field: Field
    count: int
    gap: float

    @property
    def pitch(self) -> float:
        return (self.field.width + self.gap) / self.count

    def left(self, column: int) -> float:
        return self.field.x + column * self.pitch

    def height(self, column: int) -> float:
        beside = self.left(column) + self.pitch - self.gap
        free = self.field.x + self.field.width + PADDING - TITLE_WIDTH - self.gap / 2
        return self.field.height + (TITLE_HEIGHT if beside <= free else 0.0)

    def filled(self, views: Sequence[View], least_room: float = 0.0) -> list[tuple[int, float]]:
        """Column and place from the top of as many views as find room, ``least_room`` mm left at each foot."""
        places: list[tuple[int, float]] = []
        column, y = 0, 0.0
        for picture, _, _ in views:
            needed = picture.height_mm + CAPTION_HEIGHT
            while column < self.count and y + needed > self.height(column) - least_room + SAME_POINT:
                column, y = column + 1, 0.0
            if column == self.count:
                break
            places.append((column, y))
            y += needed + self.gap
        return places


def in_columns(views: Sequence[View], field: Field, gap: float = GAP) -> tuple[tuple[PlacedView, ...], ...]:
    """Views in columns from the left, each filled from the top, on as many sheets as they need.

    The columns of the last sheet are filled evenly. ValueError names a view that is too large for any sheet.
    """
    widest = max(picture.width_mm for picture, _, _ in views)
    columns = _Columns(field, max(1, int((field.width + gap + SAME_POINT) // (widest + gap))), gap)
    sheets = []
    left = list(views)
    while left:
        places = columns.filled(left)
        if not places:
            raise ValueError(f"the view {left[0][1]!r} is too large for its sheet")
        if len(places) == len(left):
            places = _evenly(columns, left, places)
        shown, left = left[: len(places)], left[len(places) :]
        sheets.append(tuple(_placed(columns, *pair) for pair in zip(shown, places, strict=True)))
    return tuple(sheets)


def _evenly(
    columns: _Columns, views: Sequence[View], places: list[tuple[int, float]]
) -> list[tuple[int, float]]:
    """The same views with as much room at the feet of the columns as they can spare."""
    for spare in range(int(columns.field.height), 0, -4):
        evener = columns.filled(views, float(spare))
        if len(evener) == len(views):
            return evener
    return places


def _placed(columns: _Columns, view: View, place: tuple[int, float]) -> PlacedView:
    picture, caption, scale_text = view
    column, y = place
    return PlacedView(picture, columns.left(column), columns.field.y + y, caption, scale_text)
