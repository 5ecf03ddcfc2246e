"""What can be chosen for a design: edges, ends, rails, infill, spread, ways of making, each as tables to put in.

A choice names one or more ways; the first that the stair allows is taken. Sizes are those of the trade, common
practice and no source, given once in mm and once in inches, and only a beginning: every one of them can be changed.
"""

from collections.abc import Callable, Iterator, Mapping

from pitchline.app.web.design_asked import NONE, Asked, Choice, Table
from pitchline.app.web.design_makings import SPREAD_KEYS, makings_for, offered_makings, on_treads
from pitchline.app.web.design_where import offered_edges, offered_feet, offered_heads


def choices(asked: Asked) -> dict[str, tuple[Choice, ...]]:
    """Everything that can be chosen, by group, in the order of work."""
    return {group: tuple(offer(asked)) for group, offer in _OFFERS.items()}


# ---------------------------------------------------------------- rails


def _handrail(asked: Asked) -> Iterator[Choice]:
    held = asked.table("handrail")
    sections = {
        "slim": ((45, "1 3/4"), (45, "1 3/4"), (10, "3/8")),
        "usual": ((60, "2 3/8"), (50, "2"), (12, "1/2")),
        "tall": ((45, "1 3/4"), (70, "2 3/4"), (10, "3/8")),
        "broad": ((80, "3 1/8"), (40, "1 5/8"), (14, "9/16")),
    }
    sizes = {key: [asked.size(*one) for one in section] for key, section in sections.items()}
    names = ("width", "depth", "round_over")
    for key, section in sizes.items():
        way = {**held, **dict(zip(names, section, strict=True))}
        chosen = all(held.get(name) == size for name, size in zip(names, section, strict=True))
        as_wide = {**way, "width": held.get("width", way["width"])}
        yield Choice("handrail", key, chosen, ({"handrail": way}, {"handrail": as_wide}))


def _base_rail(asked: Asked) -> Iterator[Choice]:
    held, rail = asked.design.get("base_rail"), asked.table("handrail")
    table: Table = dict(held) if isinstance(held, dict) else {}
    for key in ("clearance", "least_packing", "seat"):
        table.pop(key, None)
    table = {
        "width": rail.get("width", 60),
        "depth": asked.size(36, "1 3/8"),
        "material": asked.wood,
        **table,
    }
    seat = held.get("seat", "string") if isinstance(held, dict) else NONE
    ways: dict[str, Table] = {
        "string": {"seat": "string"},
        "packed": {"seat": "packed", "least_packing": asked.size(3, "1/8")},
        "clear": {"seat": "clear", "clearance": asked.size(10, "3/8")},
        "floor": {"seat": "floor"},
    }
    for key, more in ways.items():
        chosen = seat == key
        way = {"base_rail": dict(held) if chosen and isinstance(held, dict) else {**table, **more}}
        yield Choice("base_rail", key, chosen, (way,))
    without = {"base_rail": NONE}
    feet = {"making": on_treads(asked)}
    yield Choice("base_rail", NONE, seat == NONE, (without, {**without, **feet}))


# ---------------------------------------------------------------- what fills it


def _infill(asked: Asked) -> Iterator[Choice]:
    held = asked.table("infill")
    now = held.get("shape") or held.get("strand") or held.get("panel")
    flat = now == "rectangular" and held.get("thickness") not in (None, held.get("width"))
    now = "flat" if flat else now
    for key, tables in _infills(asked).items():
        chosen = key == now
        makings: list[Table] = [{}] if chosen else []
        infills = [dict(held)] if chosen else tables
        makings += [{"making": making} for making in makings_for(asked, key)]
        ways = tuple({"infill": infill, **_with_base(asked, key), **m} for infill in infills for m in makings)
        kept = ({"infill": dict(held)},) if chosen else tuple({"infill": infill} for infill in infills)
        yield Choice("infill", key, chosen, (*kept, *ways))


def _infills(asked: Asked) -> dict[str, list[Table]]:
    size, wood = asked.size, asked.wood
    held = asked.table("infill")
    plain = {key: held[key] for key in ("lean", "lean_deg", "spread", "group") if key in held}
    upright: Table = {"kind": "uprights", **plain} if held.get("kind") == "uprights" else {"kind": "uprights"}
    if upright.get("spread") == "fixed module":
        upright["module"] = held.get("module")
    turned: Table = {"shape": "turned", "width": size(41, "1 5/8"), "turned_from": size(120, "4 3/4")}
    turned["profile"] = _turning(asked)
    return {
        "rectangular": [
            {**upright, "shape": "rectangular", "width": size(32, "1 1/4"), "arris": size(2, "1/16"),
             "material": wood}
        ],
        "flat": [
            {**upright, "shape": "rectangular", "width": size(70, "2 3/4"), "thickness": size(18, "3/4"),
             "arris": size(2, "1/16"), "material": wood}
        ],
        "round": [{**upright, "shape": "round", "width": size(25, "1"), "material": wood}],
        "turned": [{**upright, **turned, "material": wood}],
        "raking bar": [_strand(asked, "raking bar", (28, "1 1/8"), wood) | {"thickness": size(20, "3/4")}],
        "rod": [_strand(asked, "rod", (12, "1/2"), "steel")],
        "cable": [
            _strand(asked, "cable", (5, "3/16"), "steel") | {"pull_n": 1000, "apart": size(900, "36")}
        ],
        "solid panel": [_panel(asked, "solid panel", (12, "1/2"), "birch-plywood")],
        "slatted panel": [
            _panel(asked, "slatted panel", (18, "3/4"), "birch-plywood")
            | {"slat": size(60, "2 3/8"), "slot": size(24, "15/16")}
        ],
        "glass panel": [
            _panel(asked, "glass panel", (10, "3/8"), "glass")
            | {"edge_gap": size(12, "1/2"), "joint": size(12, "1/2"), "widest": size(1000, "39")}
        ],
    }  # fmt: skip


def _turning(asked: Asked) -> list[Table]:
    steps = (
        (0, "0", 41, "1 5/8"), (25, "1", 26, "1"), (60, "2 3/8", 36, "1 7/16"), (330, "13", 22, "7/8"),
        (430, "17", 38, "1 1/2"), (480, "19", 41, "1 5/8"),
    )  # fmt: skip
    return [
        {"above": asked.size(at, at_inch), "diameter": asked.size(d, d_inch)}
        for at, at_inch, d, d_inch in steps
    ]


def _strand(asked: Asked, kind: str, depth: tuple[float, str], material: str) -> Table:
    return {"kind": "strands", "strand": kind, "depth": asked.size(*depth), "material": material}


def _panel(asked: Asked, kind: str, thickness: tuple[float, str], material: str) -> Table:
    made = {"kind": "panels", "panel": kind, "thickness": asked.size(*thickness), "material": material}
    return {
        **made,
        "edge_gap": asked.size(4, "3/16"),
        "widest": asked.size(900, "36"),
        "joint": asked.size(6, "1/4"),
    }


def _with_base(asked: Asked, key: str) -> Table:
    """Strands and panels keep a base rail where there is one, and want one where there is none."""
    if asked.table("base_rail") or key == "glass panel":
        return {}
    rail = asked.table("handrail")
    seat = {"seat": "clear", "clearance": asked.size(10, "3/8")}
    return {
        "base_rail": {
            "width": rail.get("width", 60),
            "depth": asked.size(36, "1 3/8"),
            **seat,
            "material": asked.wood,
        }
    }


def _lean(asked: Asked) -> Iterator[Choice]:
    held = asked.table("infill")
    if held.get("kind") != "uprights":
        return
    degrees = held.get("lean_deg")
    now = held.get("lean", "plumb") if degrees is None else ("down" if degrees < 0 else "up")
    plain = {key: value for key, value in held.items() if key not in ("lean", "lean_deg")}
    ways: dict[str, Table] = {
        "plumb": {"lean": "plumb"},
        "square to the rake": {"lean": "square to the rake"},
        "down": {"lean_deg": -14},
        "up": {"lean_deg": 14},
    }
    for key, way in ways.items():
        chosen = key == now
        yield Choice("lean", key, chosen, ({"infill": dict(held) if chosen else {**plain, **way}},))


def _spread(asked: Asked) -> Iterator[Choice]:
    held = asked.table("infill")
    if held.get("kind") not in ("uprights", "strands"):
        return
    plain = {key: value for key, value in held.items() if key not in SPREAD_KEYS}
    module = asked.size(110, "4 1/2") if held["kind"] == "uprights" else asked.size(90, "3 1/2")
    ways: dict[str, Table] = {
        "equal gaps": {"spread": "equal gaps"},
        "half gaps at the ends": {"spread": "half gaps at the ends"},
        "fixed module": {"spread": "fixed module", "module": module},
    }
    if held["kind"] == "uprights":
        ways |= {
            "pairs": {"spread": "groups", "group": 2},
            "triplets": {"spread": "groups", "group": 3},
            "per tread": {"spread": "per tread"},
        }
    standing = {key: value for key, value in plain.items() if key not in ("lean", "lean_deg")}
    now = held.get("spread", "equal gaps")
    now = {2: "pairs", 3: "triplets"}.get(held.get("group", 2), "pairs") if now == "groups" else now
    for key, way in ways.items():
        chosen = key == now
        tables = [dict(held)] if chosen else [{**plain, **way}, {**standing, **way}]
        yield Choice("spread", key, chosen, tuple({"infill": table} for table in tables))


_OFFERS: Mapping[str, Callable[[Asked], Iterator[Choice]]] = {
    "edges": offered_edges,
    "bottom": offered_feet,
    "top": offered_heads,
    "infill": _infill,
    "lean": _lean,
    "spread": _spread,
    "handrail": _handrail,
    "base_rail": _base_rail,
    "making": offered_makings,
}
GROUPS = tuple(_OFFERS)
