"""Invented stairs and briefs for the tests of the stair, design and parts steps.

A flight is drawn as `Sizes` first, then carried through readings: exact ones, so that its
nosings are known to the last bit that an adjustment keeps, or ones with drawn errors.
"""

import math
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from hypothesis import strategies as st

from pitchline.design.brief import (
    AtWall,
    BaseBrief,
    BaseSeat,
    Bored,
    Brief,
    Centred,
    End,
    ExistingNewel,
    Foot,
    FreeEnd,
    Grooved,
    HalfNewel,
    Leaning,
    Making,
    NewNewel,
    RailBrief,
    Shape,
    SpacingBrief,
    Spread,
    Stacked,
    Station,
    UprightsBrief,
)
from pitchline.design.limits import Limits
from pitchline.stair.build import build_flight
from pitchline.stair.facts import FlightFacts, PostFacts, StringFacts, WallFacts
from pitchline.stair.model import FinishLayers, Flight, Side
from pitchline.survey.adjust import Adjusted, adjust
from pitchline.survey.readings import Fixed, Kind, Reading

DATUM = (Fixed(("x", "N1"), 0.0), Fixed(("z", "floor"), 0.0))
TAPE = 0.9
"""Standard uncertainty of an invented tape reading, mm."""
LIMITS = Limits(low=900.0, high=1000.0, gap=100.0)
"""The window and the ball of an English dwelling (Approved Document K, 2013)."""
FOOT_POST, HEAD_POST, FOOT_WALL, HEAD_WALL = "post-foot", "post-head", "wall-foot", "wall-head"


@dataclass(frozen=True, slots=True)
class Sizes:
    """True sizes of an invented stair; ``margins`` are the string's height above the first nosing and slope."""

    rises: tuple[float, ...]
    goings: tuple[float, ...]
    string: tuple[float, float] | None = None
    foot: float = -60.0
    head: float = 60.0

    @property
    def nosings(self) -> tuple[tuple[float, float], ...]:
        us = np.concatenate(([0.0], np.cumsum(self.goings)))
        return tuple(zip(us.tolist(), np.cumsum(self.rises).tolist(), strict=True))

    @property
    def stations(self) -> dict[str, float]:
        last = self.nosings[-1][0]
        return {
            FOOT_POST: self.foot,
            FOOT_WALL: self.foot,
            HEAD_POST: last + self.head,
            HEAD_WALL: last + self.head,
        }


def regular(risers: int, rise: float, going: float, margin: float | None = 60.0) -> Sizes:
    """A flight as drawn in a handbook: equal rises and goings, its string parallel to the nosings."""
    string = None if margin is None else (rise + margin, rise / going)
    return Sizes((rise,) * risers, (going,) * (risers - 1), string)


def exact_readings(sizes: Sizes, sigma: float = TAPE) -> tuple[Reading, ...]:
    """One reading for each thing to be known, without error: nothing checks anything."""
    take = partial(Reading, sigma=sigma)
    nosings = sizes.nosings
    readings = [
        take(f"height N{k}", Kind.HEIGHT, "floor", f"N{k}", z) for k, (_, z) in enumerate(nosings, start=1)
    ]
    readings += [
        take(f"run N{k}", Kind.RUN, "N1", f"N{k}", u) for k, (u, _) in enumerate(nosings[1:], start=2)
    ]
    readings += [take(f"run {name}", Kind.RUN, "N1", name, u) for name, u in sizes.stations.items()]
    if sizes.string is not None:
        z0, slope = sizes.string
        ends = ((1, nosings[0]), (len(nosings), nosings[-1]))
        readings += [
            take(f"margin N{k}", Kind.MARGIN, "string", f"N{k}", z0 + slope * u - z) for k, (u, z) in ends
        ]
    return tuple(readings)


def noisy_readings(sizes: Sizes, seed: int) -> tuple[Reading, ...]:
    """Every thing read twice, each time with an error drawn from its standard uncertainty."""
    rng = np.random.default_rng(seed)
    once = exact_readings(sizes)
    twice = (*once, *(replace(reading, id=f"{reading.id} again") for reading in once))
    return tuple(replace(r, value=r.value + float(rng.normal(0.0, r.sigma))) for r in twice)


def adjusted(sizes: Sizes) -> Adjusted:
    """The stair adjusted from exact readings."""
    return adjust(exact_readings(sizes), DATUM)


def flight_of(
    sizes: Sizes,
    posts: tuple[PostFacts, ...] = (),
    walls: tuple[WallFacts, ...] = (),
    finishes: FinishLayers | None = None,
    survey: Adjusted | None = None,
) -> Flight:
    """The flight of these sizes, through the stair step."""
    facts = FlightFacts(
        id="F1",
        risers=len(sizes.rises),
        width=850.0,
        finishes=finishes or FinishLayers(),
        string=None if sizes.string is None else StringFacts("string", 32.0, 240.0),
        posts=posts,
        walls=walls,
    )
    return build_flight(survey or adjusted(sizes), facts)


def regular_flight(
    risers: int = 13,
    rise: float = 200.0,
    going: float = 225.0,
    margin: float | None = 60.0,
    posts: tuple[PostFacts, ...] = (),
    walls: tuple[WallFacts, ...] = (),
) -> Flight:
    """A handbook flight, built from readings."""
    return flight_of(regular(risers, rise, going, margin), posts, walls)


def newel(point: str, side: float = 90.0, offset: float = 0.0, foot: Foot = Foot.FLOOR) -> NewNewel:
    """A square newel with its centre at a point."""
    return NewNewel(at=Station(point, offset), along=side, across=side, above_rail=100.0, foot=foot)


PLAIN_RAIL = RailBrief(width=70.0, depth=59.0, height=900.0)
PLAIN_BASE = BaseBrief(width=70.0, depth=30.0)
PLAIN_UPRIGHTS = UprightsBrief(Shape.RECTANGULAR, 41.0, 41.0)
PLAIN_GROOVES = Grooved(rail_groove=10.0, base_groove=10.0, fillet_thickness=6.0)


def plain_brief(flight: Flight, **changes: object) -> Brief:
    """Newels at the first and last riser, square uprights in grooved rails; anything may be asked otherwise."""
    brief = Brief(
        id="A",
        title="invented",
        flight=flight.id,
        side=Side.LEFT,
        rail=PLAIN_RAIL,
        base=PLAIN_BASE,
        bottom=newel("N1"),
        top=newel(f"N{len(flight.nosings)}"),
        infill=PLAIN_UPRIGHTS,
        making=PLAIN_GROOVES,
    )
    return replace(brief, **changes)  # type: ignore[arg-type]  # the names are the brief's own fields


def _tenths(low: float, high: float) -> st.SearchStrategy[float]:
    """Sizes as a tape shows them, to a tenth; they shrink well and draw fast."""
    return st.integers(round(low * 10), round(high * 10)).map(lambda n: n / 10)


def _thousandths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda n: n / 1000)


@st.composite
def stair_sizes(draw: st.DrawFn, smallest: int = 3, largest: int = 16, *, string: bool = True) -> Sizes:
    """Rises of 150-220 mm and goings of 200-300 mm, each step off by up to 15 mm, and perhaps a string."""
    risers = draw(st.integers(smallest, largest))
    rise, going = draw(_tenths(165, 205)), draw(_tenths(215, 285))
    off = draw(st.lists(_tenths(-15, 15), min_size=2 * risers - 1, max_size=2 * risers - 1))
    rises = tuple(rise + error for error in off[:risers])
    goings = tuple(going + error for error in off[risers:])
    edge = None
    if string and draw(st.booleans()):
        slope = rise / going + draw(_thousandths(-0.03, 0.03))
        edge = (rises[0] + draw(_tenths(20, 120)), slope)
    return Sizes(rises, goings, edge, draw(_tenths(-90, 40)), draw(_tenths(-40, 120)))


def _post(name: str, station: str, z: float) -> st.SearchStrategy[PostFacts]:
    lean = _thousandths(-0.025, 0.025)
    return st.builds(
        PostFacts,
        id=st.just(name),
        station=st.just(station),
        face_height=st.just(z),
        along=_tenths(70, 110),
        across=_tenths(70, 110),
        lean_along=lean,
        lean_across=lean,
        twist=_tenths(-5, 5).map(math.radians),
        top_height=st.sampled_from([None, z + 1300.0]),
    )


def _wall(name: str, station: str, z: float) -> st.SearchStrategy[WallFacts]:
    return st.builds(
        WallFacts,
        id=st.just(name),
        station=st.just(station),
        face_height=st.just(z),
        lean_along=_thousandths(-0.02, 0.02),
        skew=_tenths(-8, 8).map(math.radians),
    )


def finish_layers() -> st.SearchStrategy[FinishLayers]:
    """Nothing, or coverings of up to 20 mm, with or without wrapping the nosings."""
    layer = _tenths(0, 20)
    laid = st.builds(
        FinishLayers, lower_floor=layer, treads=layer, upper_floor=layer, wraps_nosings=st.booleans()
    )
    return st.one_of(st.just(FinishLayers()), laid)


@st.composite
def flights(draw: st.DrawFn, smallest: int = 3, largest: int = 16, *, string: bool = True) -> Flight:
    """An irregular flight with newels and walls standing at both ends, mostly from exact readings."""
    sizes = draw(stair_sizes(smallest, largest, string=string))
    head = sizes.nosings[-1][1]
    posts = (draw(_post("foot", FOOT_POST, 700.0)), draw(_post("head", HEAD_POST, head + 500.0)))
    walls = (draw(_wall("foot", FOOT_WALL, 700.0)), draw(_wall("head", HEAD_WALL, head + 500.0)))
    survey = None
    if draw(st.integers(0, 4)) == 4:
        survey = adjust(noisy_readings(sizes, draw(st.integers(0, 2**16))), DATUM)
    return flight_of(sizes, posts, walls, draw(finish_layers()), survey)


def ends(flight: Flight, *, at_head: bool) -> st.SearchStrategy[End]:
    """All five kinds of ends at the foot or the head."""
    name = "head" if at_head else "foot"
    point = f"N{len(flight.nosings)}" if at_head else "N1"
    feet = [Foot.FLOOR, Foot.TREAD] if flight.string is None else list(Foot)
    station = st.builds(Station, point=st.just(point), offset=_tenths(-45, 45))
    side = _tenths(60, 110)
    new = st.builds(
        NewNewel,
        at=station,
        along=side,
        across=side,
        above_rail=_tenths(0, 150),
        foot=st.sampled_from(feet),
        lap=_tenths(50, 200),
    )
    half = st.builds(
        HalfNewel,
        wall=st.just(name),
        along=_tenths(30, 60),
        across=side,
        above_rail=_tenths(0, 150),
        foot=st.sampled_from([Foot.FLOOR] if flight.string is None else [Foot.FLOOR, Foot.STRING]),
        lap=_tenths(50, 200),
    )
    return st.one_of(
        new,
        st.builds(ExistingNewel, post=st.just(name)),
        half,
        st.builds(AtWall, wall=st.just(name)),
        st.builds(FreeEnd, at=station, overhang=_tenths(0, 60)),
    )


def spacings(width: float, *, module: bool = True, count: bool = True) -> st.SearchStrategy[SpacingBrief]:
    """Equal and half gaps with or without a wish, fixed modules."""
    spread = st.sampled_from([Spread.EQUAL, Spread.HALF_ENDS])
    wishes = [
        st.builds(SpacingBrief, spread=spread),
        st.builds(SpacingBrief, spread=spread, max_gap=_tenths(60, 120)),
    ]
    if count:
        wishes.append(st.builds(SpacingBrief, spread=spread, count=st.integers(1, 12)))
    if module:
        wishes.append(
            st.builds(
                SpacingBrief,
                spread=st.just(Spread.MODULE),
                module=_tenths(width + 40, width + 98),
                centred=st.sampled_from(list(Centred)),
            )
        )
    return st.one_of(wishes)


def leans() -> st.SearchStrategy[Leaning | float]:
    """Plumb, square to the rake, and angles between and somewhat beyond plumb."""
    return st.one_of(st.sampled_from(list(Leaning)), _tenths(-30, 12).map(math.radians))


@st.composite
def makings(draw: st.DrawFn) -> tuple[Making, Shape, float, float]:
    """A making, with the shape, width and thickness of the uprights that go with it."""
    kinds: list[type[Making]] = [Grooved, Stacked, Bored]
    kind = draw(st.sampled_from(kinds))
    width = draw(_tenths(18, 45))
    if kind is Bored:
        shape = draw(st.sampled_from([Shape.ROUND, Shape.TURNED]))
        bored = Bored(draw(_tenths(12, 25)), draw(_tenths(8, 14)), draw(_tenths(0, 0.5)))
        return bored, shape, width, width
    shape = draw(st.sampled_from([Shape.RECTANGULAR, Shape.TURNED]))
    if kind is Grooved:
        grooved = Grooved(
            rail_groove=draw(_tenths(6, 15)),
            base_groove=draw(_tenths(6, 12)),
            fillet_thickness=6.0,
            clearance=draw(_tenths(0, 0.5)),
            end_play=draw(_tenths(0, 1)),
        )
        return grooved, shape, width, width
    layers = draw(st.integers(1, 3))
    housed = draw(st.sampled_from(_HOUSED[layers]))
    layer = draw(_tenths(11, 19))
    stacked = Stacked(layers, layer, housed, draw(_tenths(15, 35)), draw(_tenths(8, 20)), draw(_tenths(0, 1)))
    thickness = layer * len(housed) - draw(st.sampled_from([0.0, 1.0]))
    return stacked, shape, thickness if shape is Shape.TURNED else width, thickness


_HOUSED: dict[int, list[tuple[int, ...]]] = {
    1: [(1,)],
    2: [(1,), (2,), (1, 2)],
    3: [(1,), (2,), (3,), (1, 2), (2, 3), (1, 2, 3)],
}


@st.composite
def briefs(
    draw: st.DrawFn, flight: Flight, *, count: bool = True, module: bool = True, plumb: bool = False
) -> Brief:
    """A brief for a flight, over all makings, shapes, ends, seats, leans and spacings."""
    making, shape, width, thickness = draw(makings())
    across = making.layers * making.layer_thickness if isinstance(making, Stacked) else draw(_tenths(60, 80))
    on_string = [BaseSeat.STRING, BaseSeat.PACKED, BaseSeat.CLEAR]
    seats = [BaseSeat.CLEAR] if flight.string is None else on_string
    infill = UprightsBrief(
        shape=shape,
        width=width,
        thickness=thickness,
        lean=Leaning.PLUMB if plumb else draw(leans()),
        spacing=draw(spacings(width, module=module, count=count)),
        profile=((0.0, width), (60.0, 0.7 * width), (300.0, 0.9 * width)) if shape is Shape.TURNED else (),
        turned_from=150.0 if shape is Shape.TURNED else 0.0,
    )
    return Brief(
        id="A",
        title="invented",
        flight=flight.id,
        side=draw(st.sampled_from(list(Side))),
        rail=RailBrief(across, draw(_tenths(45, 70)), draw(st.sampled_from([None, 900.0, 950.0]))),
        base=BaseBrief(
            across,
            draw(_tenths(28, 40)),
            draw(st.sampled_from(seats)),
            clearance=draw(_tenths(0, 80)),
            least_packing=draw(_tenths(0, 6)),
        ),
        bottom=draw(ends(flight, at_head=False)),
        top=draw(ends(flight, at_head=True)),
        infill=infill,
        making=making,
        build_tolerance=draw(_tenths(0, 2)),
    )


@st.composite
def cases(
    draw: st.DrawFn,
    smallest: int = 3,
    largest: int = 16,
    *,
    count: bool = True,
    module: bool = True,
    plumb: bool = False,
) -> tuple[Flight, Brief]:
    """A flight and a brief for it."""
    flight = draw(flights(smallest, largest))
    return flight, draw(briefs(flight, count=count, module=module, plumb=plumb))
