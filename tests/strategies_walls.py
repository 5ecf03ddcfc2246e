"""Invented stairs with walls beside them, and briefs of rails along those walls."""

import math
from dataclasses import replace

from hypothesis import strategies as st
from tests.strategies_stairs import Sizes, flight_of, regular, stair_sizes
from tests.strategies_winders import radiating

from pitchline.design.brief import RailBrief, Station
from pitchline.design.wall_brief import (
    Backing,
    BracketBrief,
    CornerWay,
    EndWay,
    Stud,
    WallEnd,
    WallFace,
    WallRailBrief,
    WallTurn,
)
from pitchline.design.wall_legs import Surroundings
from pitchline.stair.edge import Spot
from pitchline.stair.model import Flight, LegKind, Side
from pitchline.stair.winder_facts import WinderFacts, WinderNosing
from pitchline.stair.winders import Winders, build_winders

QUARTER = math.pi / 2
RAIL = RailBrief(width=45.0, depth=60.0, round_over=12.0)


def studs(first: float, apart: float, count: int, half_width: float = 19.0) -> tuple[Stud, ...]:
    """Studs at equal distances, measured from the first nosing."""
    return tuple(Stud(Station("N1", first + k * apart), half_width) for k in range(count))


def named(flight: Flight, name: str, base_z: float = 0.0) -> Flight:
    """The flight under another name, standing higher."""
    return replace(flight, id=name, base_z=base_z)


def straight_stair(sizes: Sizes | None = None) -> Surroundings:
    """One flight of thirteen risers by a wall."""
    flight = flight_of(sizes or regular(13, 200.0, 225.0, None))
    return Surroundings({"F1": flight}, {})


def one_wall(**changes: object) -> WallRailBrief:
    """A rail beside that flight on studs 400 mm apart, the wall on its right."""
    brief = WallRailBrief(
        id="W",
        title="invented",
        side=Side.RIGHT,
        walls=(WallFace("F1", Backing.STUDS, studs(-500.0, 400.0, 10)),),
        rail=RAIL,
    )
    return replace(brief, **changes)  # type: ignore[arg-type]  # the names are the brief's own fields


def winder_stair(widths: tuple[float, float] = (850.0, 850.0), rise: float = 190.0) -> Surroundings:
    """Five risers, three winders round a quarter turn to the left, and seven risers more."""
    facts = radiating([math.radians(30.0 * k) for k in range(4)], widths, rise=rise)
    winders = build_winders(replace(facts, place_sigma=1.0))
    lower = named(flight_of(regular(5, rise, 240.0, None)), "lower")
    upper = named(flight_of(regular(7, rise, 240.0, None)), "upper", 5 * rise + 2 * rise)
    return Surroundings({"lower": lower, "upper": upper}, {"W": winders})


def wall_over_winders(way: CornerWay = CornerWay.LEVELLED, **changes: object) -> WallRailBrief:
    """A rail along both outer walls of that stair."""
    brief = WallRailBrief(
        id="H",
        title="invented",
        side=Side.RIGHT,
        walls=(
            WallFace("lower", Backing.STUDS, studs(-100.0, 400.0, 6)),
            WallFace("upper", Backing.MASONRY),
        ),
        rail=RAIL,
        turns=(WallTurn(way, 120.0, winders="W"),),
    )
    return replace(brief, **changes)  # type: ignore[arg-type]  # the names are the brief's own fields


def landing_stair() -> Surroundings:
    """A flight of six, a landing a metre square with its back wall, and a flight of six to the left."""
    flight = flight_of(regular(6, 190.0, 240.0, None))
    lower = named(flight, "lower")
    level = replace(
        flight,
        id="landing",
        nosings=((0.0, 0.0), (1000.0, 0.0)),
        kind=LegKind.LEVEL,
        base_z=6 * 190.0,
        nosing_overhang=0.0,
    )
    upper = named(flight, "upper", 6 * 190.0)
    return Surroundings({"lower": lower, "landing": level, "upper": upper}, {})


def wall_round_landing(way: CornerWay = CornerWay.LEVELLED) -> WallRailBrief:
    """A rail up the wall on the right, across the back of the landing, and up again."""
    faces = tuple(WallFace(leg, Backing.MASONRY) for leg in ("lower", "landing", "upper"))
    turns = (
        WallTurn(way, 100.0, QUARTER, Spot("N6", 1000.0), Spot("N1", -850.0)),
        WallTurn(way, 100.0, 0.0, Spot("N2", 0.0), Spot("N1", 0.0)),
    )
    return WallRailBrief("L", "invented", Side.RIGHT, faces, RAIL, turns)


def wall_round_half_turn() -> tuple[WallRailBrief, Surroundings]:
    """Five risers, winders round half a turn about one newel, six risers back; a rail along all three walls."""
    nosings = (
        WinderNosing(-60.0, -860.0),
        WinderNosing(-40.0, -320.0, 190.0),
        WinderNosing(-20.0, 420.0, 190.0),
        WinderNosing(20.0, -420.0, 190.0, corner=2),
        WinderNosing(40.0, 330.0, 190.0, corner=2),
        WinderNosing(70.0, 860.0, 190.0, corner=2),
    )
    facts = WinderFacts(
        "W", Side.LEFT, "lower", 5, "upper", (QUARTER, QUARTER), (800.0, 810.0, 800.0), nosings
    )
    lower = named(flight_of(regular(5, 190.0, 240.0, None)), "lower")
    upper = named(flight_of(regular(6, 190.0, 240.0, None)), "upper", 9 * 190.0)
    faces = tuple(WallFace(leg, Backing.MASONRY) for leg in ("lower", "W", "upper"))
    turn = WallTurn(winders="W")
    brief = WallRailBrief("T", "invented", Side.RIGHT, faces, RAIL, (turn, turn))
    return brief, Surroundings({"lower": lower, "upper": upper}, {"W": build_winders(facts)})


@st.composite
def irregular_walls(draw: st.DrawFn) -> tuple[WallRailBrief, Surroundings]:
    """An irregular flight by a wall on either side, any backing, any ends; the rail is asked for at will."""
    around = straight_stair(draw(stair_sizes(5, 14, string=False)))
    backing = draw(st.sampled_from([Backing.STUDS, Backing.MASONRY]))
    apart = draw(st.sampled_from([400.0, 406.4, 450.0, 600.0]))
    face = WallFace("F1", backing, studs(draw(st.floats(-700.0, -300.0)), apart, 16))
    ways = st.sampled_from(list(EndWay))
    past = st.none() | st.floats(0.0, 300.0)
    brief = WallRailBrief(
        id="W",
        title="invented",
        side=draw(st.sampled_from(list(Side))),
        walls=(face,),
        rail=RAIL,
        bottom=WallEnd(draw(ways), draw(past)),
        top=WallEnd(draw(ways), draw(past)),
        brackets=BracketBrief(),
        is_round=draw(st.booleans()),
    )
    return brief, around


def winders_of(around: Surroundings) -> Winders:
    """The winders of the stair that has them."""
    return around.winders["W"]
