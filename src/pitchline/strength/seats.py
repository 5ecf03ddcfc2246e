"""A base rail on its string or floor: the springs of its screws, and what they bear."""

from pitchline.strength.bases.springs import Range
from pitchline.strength.drawing import SixSprings
from pitchline.strength.settings import SeatFixing

SEAT_ACROSS = Range(3.0, 6.0, 12.0)
"""A base rail screwed down every 300 mm: slip across and along, N/mm per mm of rail (table 7.1, screws of 5 mm).

Other screws and distances in proportion, as the slip modulus grows with the diameter.
"""

SEAT_TURN = Range(3e3, 6e3, 12e3)
"""The same against rocking on its seat: screws in the middle pulling over half its width, Nmm/rad per mm."""

USUAL_APART, USUAL_SCREW = 300.0, 5.0

SEAT_PRESSED = 500.0
"""The same pressed on to its seat, N/mm per mm: E_90 of softwood times width over depth, all but rigid."""


def seat_springs(share: float, quarters: int | None, seat: SeatFixing) -> SixSprings:
    """Springs under a node of a base rail that has ``share`` mm of it; ``quarters`` turns it lies from the world's x.

    A leg that lies on no axis of the world is held against rocking both ways: along it the seat's pressing holds it
    a thousand times harder anyway.
    """
    screwed = share * USUAL_APART / seat.apart * seat.fixing.d / USUAL_SCREW
    slip, turn = SEAT_ACROSS.times(screwed), SEAT_TURN.times(screwed)
    about_x = turn if quarters is None or quarters % 2 == 0 else 0.0
    about_y = turn if quarters is None or quarters % 2 == 1 else 0.0
    return (slip, slip, SEAT_PRESSED * share, about_x, about_y, 0.0)
