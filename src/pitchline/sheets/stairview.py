"""The stair as surveyed: its steps, the lines laid over its nosings, and running sizes from one datum."""

from collections.abc import Iterator

from pitchline.kit.drawing.marks import (
    Anchor,
    Area,
    Drawing,
    Fill,
    Label,
    Leader,
    Mark,
    Pen,
    RunningMarks,
    Stroke,
)
from pitchline.kit.geometry.lines import Line
from pitchline.sheets.looking import Looker, Show, steps
from pitchline.stair.model import Flight, Side
from pitchline.stair.pitch import fitted_line, pitch_deg, support_line

FLOOR_SHOWN = 450.0
"""mm of floor drawn before the foot and beyond the head of the flight."""


def stair_drawing(flight: Flight, side: Side, show: Show, scale: float) -> Drawing:
    """The flight in elevation, climbing the way it does in the balustrade's elevation."""
    look = Looker(side)
    marks = (
        *_profile(flight, look),
        *_lines(flight, look, scale),
        *_names(flight, look, scale),
        *_running(flight, look, show),
    )
    return Drawing(
        f"{flight.id}-stair", "The stair as surveyed, finishes laid", scale, marks, "seen from the open side"
    )


def _profile(flight: Flight, look: Looker) -> Iterator[Mark]:
    profile = steps(flight, FLOOR_SHOWN, FLOOR_SHOWN)
    low = [
        (profile[-1][0], profile[-1][1] - 150.0),
        (flight.nosings[0][0] + 350.0, -40.0),
        (profile[0][0], -40.0),
    ]
    yield Area(look.all([*profile, *low]), Fill.GREY)
    yield Stroke(look.all(profile), Pen.CUT)
    if flight.string is not None:
        ends = (flight.nosings[0][0] - 60.0, flight.nosings[-1][0] + 40.0)
        yield Stroke(look.all(flight.string.top.point(u) for u in ends), Pen.HIDDEN)


def _lines(flight: Flight, look: Looker, scale: float) -> Iterator[Mark]:
    """The straightedge on the proud nosings and the fitted line, each with its pitch."""
    first, last = flight.nosings[0][0], flight.nosings[-1][0]
    support, fitted = support_line(flight.nosings), fitted_line(flight.nosings)
    named: tuple[tuple[Line, Pen, float, str], ...] = (
        (support, Pen.OUTLINE, 0.66, f"straightedge on the nosings, {pitch_deg(support):.2f}° from level"),
        (fitted, Pen.CENTRE, 0.38, f"line fitted to all nosings, {pitch_deg(fitted):.2f}° from level"),
    )
    for line, pen, place, text in named:
        yield Stroke(look.all((line.point(first - 120.0), line.point(last + 120.0))), pen)
        u = first + place * (last - first)
        at = (u - 14.0 * scale, line.at(u) + 16.0 * scale)
        yield Leader(look.at(line.point(u)), look.at(at), text)
    if flight.string is not None:
        u = first + 0.14 * (last - first)
        top = flight.string.top
        text = f"string's top edge, {pitch_deg(top):.2f}° from level"
        yield Leader(look.at(top.point(u)), look.at((u - 14.0 * scale, top.at(u) + 22.0 * scale)), text)


def _names(flight: Flight, look: Looker, scale: float) -> Iterator[Mark]:
    for number, (u, z) in enumerate(flight.nosings, start=1):
        yield Label(look.at((u + 5.0 * scale, z - 3.5 * scale)), f"N{number}", 2.5, Anchor.MIDDLE)


def _running(flight: Flight, look: Looker, show: Show) -> Iterator[Mark]:
    first = flight.nosings[0]
    yield RunningMarks(
        look.at((first[0], -40.0)),
        look.all(flight.nosings[1:]),
        direction_deg=0.0 if look.sign > 0 else 180.0,
        offset=-look.sign * 9.0,
        texts=tuple(show(u - first[0]) for u, _ in flight.nosings[1:]),
    )
    edge = flight.nosings[-1][0] + FLOOR_SHOWN
    yield RunningMarks(
        look.at((edge, 0.0)),
        look.all(flight.nosings),
        direction_deg=90.0,
        offset=-look.sign * 8.0,
        texts=tuple(show(z) for _, z in flight.nosings),
    )
