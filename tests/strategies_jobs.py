"""Invented whole jobs, as the tables of a job file in mm: irregular stairs, all ends, all makings."""

import math
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st
from tests.strategies_stairs import (
    FOOT_POST,
    FOOT_WALL,
    HEAD_POST,
    HEAD_WALL,
    Sizes,
    briefs,
    flight_of,
    stair_sizes,
)

from pitchline.design.brief import (
    AtWall,
    BaseSeat,
    Bored,
    Brief,
    End,
    ExistingNewel,
    Foot,
    FreeEnd,
    Grooved,
    HalfNewel,
    Leaning,
    Making,
    NewNewel,
    Spread,
    Stacked,
    UprightsBrief,
)

Table = dict[str, Any]


def _tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 10), round(high * 10)).map(lambda n: n / 10)


@st.composite
def jobs(draw: st.DrawFn, smallest: int = 3, largest: int = 10) -> Table:
    """One irregular flight with newels and walls at both ends, and one design for it."""
    sizes = _no_two_alike(draw(stair_sizes(smallest, largest)))
    brief = _no_square_rail(draw(briefs(flight_of(sizes))))
    head: Table = {
        "title": "invented",
        "place": draw(st.sampled_from(["england-dwelling", "us-irc-2021", "us-irc-2024"])),
        "units": "mm",
    }
    flight = _flight(sizes) | {
        "readings": [*_ends_read(sizes), *draw(_once_more(sizes))],
        "posts": [
            draw(_post("foot", FOOT_POST, 700.0)),
            draw(_post("head", HEAD_POST, _head(sizes) + 500.0)),
        ],
        "walls": [
            draw(_wall("foot wall", FOOT_WALL, 700.0)),
            draw(_wall("head wall", HEAD_WALL, _head(sizes) + 500.0)),
        ],
    }
    finishes = draw(st.none() | _finishes())
    if finishes is not None:
        flight["finishes"] = finishes
    return {"schema": "pitchline-job/1", "job": head, "flights": [flight], "designs": [design_table(brief)]}


def _no_two_alike(sizes: Sizes) -> Sizes:
    """No step quite like another and none just at a limit, so that rounding decides nothing."""
    rises = tuple(rise + 0.00131 * k for k, rise in enumerate(sizes.rises, start=1))
    goings = tuple(going + 0.00173 * k for k, going in enumerate(sizes.goings, start=1))
    return replace(sizes, rises=rises, goings=goings)


def _no_square_rail(brief: Brief) -> Brief:
    """A rail as deep as it is wide has no wide face to read its mitres in."""
    square = abs(brief.rail.width - brief.rail.depth) < 0.01
    return replace(brief, rail=replace(brief.rail, depth=brief.rail.depth + 0.1)) if square else brief


def _head(sizes: Sizes) -> float:
    return sizes.nosings[-1][1]


def _flight(sizes: Sizes) -> Table:
    table: Table = {
        "id": "F1",
        "risers": len(sizes.rises),
        "width": 850.0,
        "rises": {"values": list(sizes.rises)},
        "goings": {"values": list(sizes.goings)},
    }
    if sizes.string is not None:
        z0, slope = sizes.string
        margins = [z0 + slope * u - z for u, z in sizes.nosings]
        table["string"] = {"id": "string", "thickness": 32.0, "depth": 240.0, "margins": margins}
    return table


def _ends_read(sizes: Sizes) -> list[Table]:
    return [
        {"kind": "run", "from": "N1", "to": name, "value": value} for name, value in sizes.stations.items()
    ]


@st.composite
def _once_more(draw: st.DrawFn, sizes: Sizes) -> list[Table]:
    """Drops from a level line and distances from a plumb line, each a little off; perhaps none."""
    if not draw(st.booleans()):
        return []
    last = f"N{len(sizes.rises)}"
    off = draw(st.lists(_tenths(-1.5, 1.5), min_size=4, max_size=4))
    run, rise = sizes.nosings[-1]
    return [
        {"kind": "level", "setup": "laser 1", "to": "floor", "value": rise + 900.0 + off[0]},
        {"kind": "level", "setup": "laser 1", "to": last, "value": 900.0 + off[1]},
        {"kind": "plumb", "setup": "plumb line", "to": "N1", "value": -run - 15.0 + off[2]},
        {"kind": "plumb", "setup": "plumb line", "to": last, "value": -15.0 + off[3]},
    ]


def _lean() -> st.SearchStrategy[Table]:
    return st.fixed_dictionaries({"offset": _tenths(-20, 20), "over": st.just(900.0)})


def _post(name: str, station: str, height: float) -> st.SearchStrategy[Table]:
    known = {
        "id": st.just(name),
        "station": st.just(station),
        "face_height": st.just(height),
        "along": _tenths(70, 110),
        "across": _tenths(70, 110),
        "lean_along": _lean(),
        "lean_across": _lean(),
        "twist_deg": _tenths(-5, 5),
    }
    return st.fixed_dictionaries(known, optional={"top_height": st.just(height + 1300.0)})


def _wall(name: str, station: str, height: float) -> st.SearchStrategy[Table]:
    return st.fixed_dictionaries(
        {
            "id": st.just(name),
            "station": st.just(station),
            "face_height": st.just(height),
            "lean_along": _lean(),
            "skew_deg": _tenths(-8, 8),
        }
    )


def _finishes() -> st.SearchStrategy[Table]:
    layer = _tenths(0, 20)
    return st.fixed_dictionaries(
        {"lower_floor": layer, "treads": layer, "upper_floor": layer, "wraps_nosings": st.booleans()}
    )


def design_table(brief: Brief) -> Table:
    """The table of a job file that asks for this brief, lengths in mm; walls are told from posts by their names."""
    rail, base = brief.rail, brief.base_rail
    handrail: Table = {"width": rail.width, "depth": rail.depth, "round_over": rail.round_over}
    if rail.height is not None:
        handrail["height"] = rail.height
    base_rail: Table = {"width": base.width, "depth": base.depth, "seat": base.seat.value}
    if base.seat is BaseSeat.CLEAR:
        base_rail["clearance"] = base.clearance
    elif base.seat is BaseSeat.PACKED:
        base_rail["least_packing"] = base.least_packing
    return {
        "id": brief.id,
        "title": brief.title,
        "flight": brief.flight,
        "side": brief.side.value,
        "handrail": handrail,
        "base_rail": base_rail,
        "bottom": _end(brief.bottom),
        "top": _end(brief.top),
        "infill": _infill(brief.uprights),
        "making": _making(brief.making),
        "allowances": {"build_tolerance": brief.build_tolerance},
    }


def _end(end: End) -> Table:
    if isinstance(end, ExistingNewel):
        return {"kind": "existing newel", "post": end.post}
    if isinstance(end, AtWall):
        return {"kind": "wall", "wall": f"{end.wall} wall"}
    if isinstance(end, NewNewel | HalfNewel):
        table: Table = {"along": end.along, "across": end.across, "above_rail": end.above_rail}
        table["foot"] = end.foot.value
        if end.foot is Foot.STRING:
            table["lap"] = end.lap
        if isinstance(end, HalfNewel):
            return {"kind": "half newel", "wall": f"{end.wall} wall", **table}
        return {"kind": "new newel", "at": end.at.point, "offset": end.at.offset, **table}
    if not isinstance(end, FreeEnd):
        raise TypeError("a leg of its own has no turn")
    return {"kind": "free end", "at": end.at.point, "offset": end.at.offset, "overhang": end.overhang}


def _infill(infill: UprightsBrief) -> Table:
    spacing = infill.spacing
    table: Table = {
        "kind": "uprights",
        "shape": infill.shape.value,
        "width": infill.width,
        "thickness": infill.thickness,
        "spread": spacing.spread.value,
    }
    if isinstance(infill.lean, Leaning):
        table["lean"] = infill.lean.value
    else:
        table["lean_deg"] = round(math.degrees(infill.lean), 6)
    wishes: Table = {"count": spacing.count, "max_gap": spacing.max_gap}
    if spacing.spread is Spread.MODULE:
        wishes |= {"module": spacing.module, "centred": spacing.centred.value}
    table |= {key: wish for key, wish in wishes.items() if wish is not None}
    if infill.profile:
        table["turned_from"] = infill.turned_from
        table["profile"] = [{"above": above, "diameter": diameter} for above, diameter in infill.profile]
    return table


def _making(making: Making) -> Table:
    if isinstance(making, Grooved):
        return {
            "kind": "grooved",
            "rail_groove": making.rail_groove,
            "base_groove": making.base_groove,
            "fillet_thickness": making.fillet_thickness,
            "clearance": making.clearance,
            "end_play": making.end_play,
        }
    if isinstance(making, Stacked):
        return {
            "kind": "stacked",
            "layers": making.layers,
            "layer_thickness": making.layer_thickness,
            "member_layers": list(making.member_layers),
            "rail_block": making.rail_block,
            "base_block": making.base_block,
            "end_play": making.end_play,
        }
    if not isinstance(making, Bored):
        raise TypeError("these jobs are grooved, stacked or bored")
    return {
        "kind": "bored",
        "rail_depth": making.rail_depth,
        "base_depth": making.base_depth,
        "clearance": making.clearance,
    }
