"""Every kind of infill by name, each with invented briefs for a flight: what the contract of infill is tried on.

A new kind is one line in `KINDS`.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from hypothesis import strategies as st
from tests.strategies_stairs import _tenths, briefs, ends, spacings
from tests.strategies_treads import per_tread_between_rails, standing_on_treads

from pitchline.design.brief import (
    BaseBrief,
    BaseSeat,
    Brief,
    CutPattern,
    Follow,
    FreeEnd,
    Grooved,
    InfillBrief,
    Leaning,
    PanelKind,
    PanelsBrief,
    RailBrief,
    Shape,
    SpacingBrief,
    Spread,
    StrandKind,
    StrandsBrief,
    UprightsBrief,
)
from pitchline.design.makings import BetweenPosts, Clamped, Making
from pitchline.stair.model import Flight, Side

Briefs = Callable[[Flight], st.SearchStrategy[Brief]]


@dataclass(frozen=True)
class Kind:
    """One kind of infill: its briefs, and whether the count is left to the program, so that the limit must hold."""

    briefs: Briefs
    chosen: bool = True


@st.composite
def _around(draw: st.DrawFn, flight: Flight, infill: InfillBrief, making: Making, *, closed: bool) -> Brief:
    """Rails, ends and allowances around an infill; ``closed``: no end is free."""
    seats = [BaseSeat.CLEAR] if flight.string is None else [BaseSeat.STRING, BaseSeat.PACKED]
    places = [ends(flight, at_head=at_head) for at_head in (False, True)]
    if closed:
        places = [place.filter(lambda end: not isinstance(end, FreeEnd)) for place in places]
    across = draw(_tenths(60, 80))
    base = BaseBrief(across, draw(_tenths(28, 40)), draw(st.sampled_from(seats)), draw(_tenths(0, 80)))
    return Brief(
        id="A",
        title="invented",
        flight=flight.id,
        side=draw(st.sampled_from(list(Side))),
        rail=RailBrief(across, draw(_tenths(45, 70)), draw(st.sampled_from([None, 900.0, 950.0]))),
        base=base,
        bottom=draw(places[0]),
        top=draw(places[1]),
        infill=infill,
        making=making,
        build_tolerance=draw(_tenths(0, 2)),
    )


def _uprights(lean: Leaning | None) -> Briefs:
    """Uprights of every making and shape, at one lean or any."""

    @st.composite
    def drawn(draw: st.DrawFn, flight: Flight) -> Brief:
        brief = draw(briefs(flight, count=False, module=False))
        return brief if lean is None else replace(brief, infill=replace(brief.uprights, lean=lean))

    return drawn


@st.composite
def _groups(draw: st.DrawFn, flight: Flight) -> Brief:
    width = draw(_tenths(18, 35))
    spacing = SpacingBrief(
        Spread.GROUPS, group=draw(st.integers(2, 4)), inner_gap=draw(st.one_of(st.none(), _tenths(15, 60)))
    )
    lean = draw(st.one_of(st.sampled_from(list(Leaning)), _tenths(-20, 10).map(math.radians)))
    infill = UprightsBrief(Shape.RECTANGULAR, width, width, lean, spacing)
    making = Grooved(rail_groove=12.0, base_groove=10.0, fillet_thickness=6.0)
    return draw(_around(flight, infill, making, closed=False))


def _strands(kind: StrandKind) -> Briefs:
    """Bars, rods or cables, housed or not, pushed or not."""

    @st.composite
    def drawn(draw: st.DrawFn, flight: Flight) -> Brief:
        depth = draw(_tenths(4, 10)) if kind is StrandKind.CABLE else draw(_tenths(12, 40))
        bar = kind is StrandKind.BAR
        infill = StrandsBrief(
            kind,
            depth,
            draw(_tenths(12, 40)) if bar else depth,
            draw(spacings(depth, module=False, count=False)),
            material="pine-european" if bar else "steel",
            arris=draw(_tenths(0, 3)) if bar else 0.0,
        )
        if kind is StrandKind.CABLE:
            infill = replace(
                infill,
                pull=draw(_tenths(500, 3000)),
                apart=draw(st.one_of(st.none(), _tenths(400, 1300))),
                push=draw(st.one_of(st.none(), _tenths(10, 60))),
                stretch=draw(st.one_of(st.none(), _tenths(1e5, 2e6))),
            )
        making = BetweenPosts(draw(st.one_of(st.just(0.0), _tenths(8, 25))), draw(_tenths(0, 1)))
        return draw(_around(flight, infill, making, closed=True))

    return drawn


@st.composite
def _patterns(draw: st.DrawFn) -> CutPattern:
    """Round holes or squares in a repeat, with wood between them however they are sheared."""
    size, wood = draw(_tenths(45, 80)), draw(_tenths(20, 50))
    cell, middle = size + wood, (size + wood) / 2
    if draw(st.booleans()):
        turns = [2 * math.pi * k / 24 for k in range(24)]
        outline = tuple((middle + size / 2 * math.cos(t), middle + size / 2 * math.sin(t)) for t in turns)
    else:
        low, high = wood / 2, wood / 2 + size
        outline = ((low, low), (high, low), (high, high), (low, high))
    return CutPattern(
        (outline,),
        cell,
        cell,
        draw(st.sampled_from(list(Follow))),
        draw(_tenths(10, 60)),
        "invented",
        draw(st.booleans()),
    )


def _panels(kind: PanelKind) -> Briefs:
    """Panels in grooves or clamps, one or several to a bay."""

    @st.composite
    def drawn(draw: st.DrawFn, flight: Flight) -> Brief:
        grooved = kind is not PanelKind.GLASS and draw(st.booleans())
        widest = draw(st.one_of(st.none(), _tenths(400, 1200)))
        infill = PanelsBrief(
            kind,
            draw(_tenths(8, 22)),
            draw(_tenths(1, 5)) if grooved else draw(_tenths(4, 40)),
            widest,
            0.0 if widest is None else draw(_tenths(2, 40)),
            slat=draw(_tenths(20, 60)) if kind is PanelKind.SLATTED else 0.0,
            slot=draw(_tenths(10, 90)) if kind is PanelKind.SLATTED else 0.0,
            pattern=draw(_patterns()) if kind is PanelKind.CUT else None,
        )
        making: Making = Grooved(12.0, 10.0, 6.0, 0.5) if grooved else Clamped(400.0, 100.0, 30.0)
        return draw(_around(flight, infill, making, closed=not grooved))

    return drawn


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        "plumb uprights": Kind(_uprights(Leaning.PLUMB)),
        "leaning uprights": Kind(_uprights(None)),
        "uprights square to the rake": Kind(_uprights(Leaning.SQUARE)),
        "groups": Kind(_groups),
        "uprights on treads": Kind(standing_on_treads),
        "uprights per tread between rails": Kind(per_tread_between_rails),
        "raking bars": Kind(_strands(StrandKind.BAR)),
        "rods": Kind(_strands(StrandKind.ROD)),
        "cables": Kind(_strands(StrandKind.CABLE)),
        "solid panels": Kind(_panels(PanelKind.SOLID)),
        "slatted panels": Kind(_panels(PanelKind.SLATTED)),
        "glass panels": Kind(_panels(PanelKind.GLASS)),
        "cut patterns": Kind(_panels(PanelKind.CUT)),
    }
)
"""Each kind that is laid out on a flight of any irregularity, between two rails or on the treads."""
