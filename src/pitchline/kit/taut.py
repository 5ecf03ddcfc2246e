"""A taut cable pushed aside at the middle of its span. Forces in N, lengths in mm.

A push F bends a cable with a pull T over a span L into two straight legs at an angle a: 2 T' sin a = F, where
T' = T + EA (1/cos a - 1) counts how much longer the legs are than the span, and the middle moves w = L/2 tan a.
With small angles and no stretch this is the deflection of the ideal string, w = F L / (4 T): the value at the
middle of its Green's function x (1 - x) for unit length and pull (Courant and Hilbert, Methods of Mathematical
Physics I, chapter V; from memory). Without any pull it tends to w = L/2 (F / EA)^(1/3).
"""

import math

_STEPS = 200
"""Halvings of the angle: more than doubles can tell apart."""


def pushed_aside(push: float, span: float, pull: float, stretch: float | None = None) -> float:
    """How far the middle of a cable moves under a push square to it, mm.

    ``stretch`` is the cable's stiffness along itself (E A) in N; without it the pull stays what it was, which moves
    it furthest. Infinite where nothing holds it: a push of twice the pull or more without stretch. ValueError
    for negative forces or a span not above zero.
    """
    if push < 0.0 or pull < 0.0 or span <= 0.0 or (stretch is not None and stretch < 0.0):
        raise ValueError("a push, a pull and a stiffness are not negative, and a span is above zero")
    if push == 0.0:
        return 0.0
    if not stretch:
        share = push / (2.0 * pull) if pull > 0.0 else math.inf
        return math.inf if share >= 1.0 else span / 2.0 * math.tan(math.asin(share))
    low, high = 0.0, math.pi / 2.0
    for _ in range(_STEPS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _held(middle, pull, stretch) < push else (low, middle)
    return span / 2.0 * math.tan(low)


def push_to_move(aside: float, span: float, pull: float, stretch: float | None = None) -> float:
    """The push that moves the middle of a cable by ``aside`` mm, N: the inverse of `pushed_aside`."""
    if aside < 0.0 or span <= 0.0:
        raise ValueError("a cable is moved aside by no less than nothing, over a span above zero")
    return _held(math.atan2(aside, span / 2.0), pull, stretch or 0.0)


def _held(angle: float, pull: float, stretch: float) -> float:
    """The push that two legs at an angle hold."""
    return 2.0 * (pull + stretch * (1.0 / math.cos(angle) - 1.0)) * math.sin(angle)


def spans_of(length: float, apart: float | None) -> int:
    """Over how many equal spans a cable is held when nothing that holds it stands further apart than ``apart``."""
    return 1 if apart is None else max(1, math.ceil(length / apart - _SAME))


_SAME = 1e-9
"""A count within this of a whole number is that number."""
