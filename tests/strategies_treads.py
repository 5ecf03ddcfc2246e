"""Invented flights with cut strings, and briefs of uprights that stand on their treads."""

from dataclasses import replace

from hypothesis import strategies as st
from tests.strategies_stairs import (
    PLAIN_UPRIGHTS,
    Sizes,
    _tenths,
    ends,
    flight_of,
    newel,
    plain_brief,
    stair_sizes,
)

from pitchline.design.brief import (
    BarFixing,
    BaseBrief,
    BaseSeat,
    Bored,
    BoredMetal,
    Brief,
    Dowelled,
    Foot,
    Grooved,
    Making,
    Mortised,
    OnTreads,
    RailBrief,
    Shape,
    SpacingBrief,
    Spread,
    TreadFoot,
    TreadPlace,
    UprightsBrief,
)
from pitchline.stair.model import CutString, Flight, Side

GROOVED_HEAD = OnTreads(
    Grooved(rail_groove=10.0, base_groove=0.0, fillet_thickness=6.0),
    TreadFoot.DOWEL,
    depth=25.0,
    diameter=10.0,
    end_depth=35.0,
)
METAL = BoredMetal(rail_depth=30.0, base_depth=15.0, hole=50.0, end_room=8.0, fixing=BarFixing.EPOXY)
INVENTED = Sizes(
    rises=(187.0, 186.0, 189.0, 188.0, 185.0, 187.0, 188.0), goings=(226.0, 229.0, 221.0, 240.0, 224.0, 228.0)
)
"""An invented flight of seven risers whose fourth tread is 240 mm from nosing to nosing."""


def cut_flight(sizes: Sizes = INVENTED, overhang: float = 22.0) -> Flight:
    """A flight with a cut string, built from readings."""
    flight = flight_of(replace(sizes, string=None))
    string = CutString("cut", thickness=32.0, depth=110.0, return_nosing=overhang)
    return replace(flight, nosing_overhang=overhang, cut_string=string)


def tread_brief(flight: Flight, **changes: object) -> Brief:
    """Uprights 32 mm square, as few to a tread as keep the limit, newels on the first tread and the upper floor."""
    plain: dict[str, object] = {
        "base": None,
        "infill": per_tread(),
        "making": GROOVED_HEAD,
        "rail": RailBrief(width=70.0, depth=59.0),
        "bottom": newel("N1", offset=60.0, foot=Foot.TREAD),
        "top": newel(f"N{len(flight.nosings)}", offset=22.0),
    }
    return plain_brief(flight, **{**plain, **changes})


def per_tread(
    count: int | None = None, where: TreadPlace = TreadPlace.FLUSH, width: float = 32.0, **changes: object
) -> UprightsBrief:
    """Uprights so many to a tread."""
    spacing = SpacingBrief(Spread.PER_TREAD, per_tread=count, tread_place=where)
    square = replace(PLAIN_UPRIGHTS, width=width, thickness=width, spacing=spacing)
    return replace(square, **changes)  # type: ignore[arg-type]  # the names are the brief's own fields


HEADS: tuple[Grooved | Mortised | Dowelled | Bored, ...] = (
    GROOVED_HEAD.head,
    Mortised(
        rail_depth=25.0, base_depth=0.0, tenon_thickness=14.0, shoulder=4.0, clearance=0.2, end_room=2.0
    ),
    Dowelled(diameter=10.0, rail_depth=25.0, base_depth=0.0, end_depth=35.0),
)


@st.composite
def on_treads(draw: st.DrawFn) -> tuple[Making, Shape]:
    """A way of standing on treads, and the shape of the uprights that goes with it."""
    foot = draw(st.sampled_from(list(TreadFoot)))
    head = draw(st.sampled_from([*HEADS, Bored(20.0, 0.0, 0.2), METAL]))
    if isinstance(head, BoredMetal):
        return head, draw(st.sampled_from([Shape.ROUND, Shape.RECTANGULAR]))
    shape = Shape.ROUND if isinstance(head, Bored) else Shape.RECTANGULAR
    foot = TreadFoot.DOWEL if shape is Shape.ROUND else foot
    return OnTreads(head, foot, 20.0, 10.0, 30.0, cover=20.0), shape


@st.composite
def tread_cases(draw: st.DrawFn) -> tuple[Flight, Brief]:
    """A flight with a cut string and a brief of uprights spread over its treads, in any way of making."""
    sizes = draw(stair_sizes(4, 10, string=False))
    flight = cut_flight(sizes, draw(_tenths(0, 30)))
    making, shape = draw(on_treads())
    infill = per_tread(
        where=draw(st.sampled_from(list(TreadPlace))),
        width=draw(_tenths(18, 34)),
        shape=shape,
    )
    return flight, tread_brief(
        flight,
        infill=infill,
        making=making,
        side=draw(st.sampled_from(list(Side))),
        bottom=newel("N1", 90.0, draw(_tenths(20, 120)), Foot.TREAD),
        top=newel(f"N{len(sizes.rises)}", 90.0, draw(_tenths(-20, 60))),
        build_tolerance=draw(_tenths(0, 2)),
    )


@st.composite
def standing_on_treads(draw: st.DrawFn, flight: Flight) -> Brief:
    """Uprights without a base rail on a flight of any irregularity, between ends of any kind."""
    making, shape = draw(on_treads())
    width = draw(_tenths(18, 34))
    return tread_brief(
        flight,
        infill=per_tread(where=draw(st.sampled_from(list(TreadPlace))), width=width, shape=shape),
        making=making,
        side=draw(st.sampled_from(list(Side))),
        bottom=draw(ends(flight, at_head=False)),
        top=draw(ends(flight, at_head=True)),
        build_tolerance=draw(_tenths(0, 2)),
    )


@st.composite
def per_tread_between_rails(draw: st.DrawFn, flight: Flight) -> Brief:
    """Uprights spread tread by tread that stand on a base rail, in grooves, mortises or on dowels."""
    width = draw(_tenths(18, 34))
    makings: tuple[Making, ...] = (
        Grooved(rail_groove=12.0, base_groove=10.0, fillet_thickness=6.0),
        Mortised(rail_depth=25.0, base_depth=12.0, tenon_thickness=14.0, shoulder=4.0, clearance=0.2),
        Dowelled(diameter=10.0, rail_depth=25.0, base_depth=14.0, end_depth=35.0),
    )
    making = draw(st.sampled_from(makings))
    return plain_brief(
        flight,
        base=BaseBrief(70.0, 35.0, BaseSeat.CLEAR, clearance=draw(_tenths(0, 60))),
        infill=per_tread(where=draw(st.sampled_from(list(TreadPlace))), width=width),
        making=making,
        side=draw(st.sampled_from(list(Side))),
        bottom=draw(ends(flight, at_head=False)),
        top=draw(ends(flight, at_head=True)),
        build_tolerance=draw(_tenths(0, 2)),
    )
