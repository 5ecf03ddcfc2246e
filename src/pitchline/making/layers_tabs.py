"""Tabs that hold a piece in its board until all is cut: on straight stretches, away from corners. Lengths in mm."""

import math
from collections.abc import Iterator

from pitchline.kit.geometry.contours import Contour, Straight
from pitchline.making.router import Cut, Tab, Way

APART = 400.0
"""No further along an outline from tab to tab (common practice, no source)."""

FROM_CORNER = 8.0
"""Least straight edge left beside a tab."""

SLUG = 2500.0
"""mm2 of an opening from which its waste is held by tabs too: smaller slugs fall or fly without harm to the piece."""


def tabs_of(cut: Cut, length: float) -> tuple[Tab, ...]:
    """Two tabs or more on an outline, or on an opening whose waste is large; none where it has no straight edges."""
    inside = cut.way is Way.INSIDE and abs(cut.contour.area) > SLUG
    if cut.way is not Way.OUTSIDE and not inside:
        return ()
    return tuple(_tabs(cut.contour, length))


def _tabs(contour: Contour, length: float) -> Iterator[Tab]:
    room = [
        (begun, piece)
        for begun, piece in _begun(contour)
        if isinstance(piece, Straight) and piece.length >= length + 2.0 * FROM_CORNER
    ]
    count = max(2, math.ceil(contour.length / APART))
    taken: set[tuple[int, float]] = set()
    for k in range(count):
        wish = contour.length * (k + 0.5) / count
        places = [_nearest(begun, piece, wish, length) for begun, piece in room]
        if not places:
            return
        best = min(range(len(places)), key=lambda j: abs(places[j] + room[j][0] - wish))
        key = (best, round(places[best], 3))
        if key in taken or any(b == best and abs(at - places[best]) < 2.0 * length for b, at in taken):
            continue
        taken.add(key)
        piece = room[best][1]
        yield Tab(piece.at(places[best] - length / 2.0), piece.at(places[best] + length / 2.0))


def _begun(contour: Contour) -> Iterator[tuple[float, object]]:
    begun = 0.0
    for piece in contour.pieces:
        yield begun, piece
        begun += piece.length


def _nearest(begun: float, piece: Straight, wish: float, length: float) -> float:
    """The place along a straight, its ends left free, that is nearest to a wished one along the contour."""
    keep = FROM_CORNER + length / 2.0
    return min(max(wish - begun, keep), piece.length - keep)
