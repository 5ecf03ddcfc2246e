"""Ways of making a design, with sizes to begin from: common practice, no source."""

from collections.abc import Callable, Iterator, Mapping

from pitchline.app.web.design_asked import NONE, Asked, Choice, Table

SPREAD_KEYS = (
    "spread",
    "count",
    "max_gap",
    "module",
    "centred",
    "group",
    "inner_gap",
    "per_tread",
    "tread_place",
)


def offered_makings(asked: Asked) -> Iterator[Choice]:
    """Every way of making, with what else it asks of the design."""
    held = asked.table("making")
    for key, make in _MAKINGS.items():
        chosen = held.get("kind") == key
        ways = (
            [{"making": dict(held)}]
            if chosen
            else [way if "making" in way else {"making": way} for way in make(asked)]
        )
        yield Choice("making", key, chosen, tuple(ways))


def _grooved(asked: Asked) -> Iterator[Table]:
    size = asked.size
    wood = str(asked.table("infill").get("material", asked.wood))
    fillets = wood if asked.table("infill").get("kind") == "uprights" else asked.wood
    yield {
        "kind": "grooved", "rail_groove": size(10, "3/8"), "base_groove": size(8, "5/16"),
        "fillet_thickness": size(6, "1/4"), "clearance": size(0.3, "1/64"), "fillet_material": fillets,
    }  # fmt: skip


def _stacked(asked: Asked) -> Iterator[Table]:
    """Three layers of the uprights' thickness; the rails become as wide as the layers."""
    infill, size = asked.table("infill"), asked.size
    layer, three = size(18, "3/4"), size(54, "2 1/4")
    making = {
        "kind": "stacked", "layers": 3, "layer_thickness": layer, "member_layers": [2],
        "rail_block": size(20, "3/4"), "base_block": size(16, "5/8"), "material": "birch-plywood",
    }  # fmt: skip
    way: Table = {"making": making, "handrail": {**asked.table("handrail"), "width": three}}
    if asked.table("base_rail"):
        way["base_rail"] = {**asked.table("base_rail"), "width": three}
    if infill.get("kind") == "uprights":
        width = infill.get("width", size(40, "1 1/2"))
        way["infill"] = {**infill, "width": width, "thickness": layer, "material": "birch-plywood"}
    elif infill.get("kind") == "panels":
        way["infill"] = {**infill, "thickness": layer}
    yield way


def _bored(asked: Asked) -> Iterator[Table]:
    size = asked.size
    yield {
        "kind": "bored", "rail_depth": size(18, "3/4"), "base_depth": size(15, "5/8"), "clearance": size(0.2, "1/64")
    }  # fmt: skip


def _mortised(asked: Asked) -> Iterator[Table]:
    size = asked.size
    yield {
        "kind": "mortised", "rail_depth": size(20, "3/4"), "base_depth": size(18, "3/4"),
        "tenon_thickness": size(12, "1/2"), "shoulder": size(4, "3/16"), "end_room": size(2, "1/16"),
    }  # fmt: skip


def _dowelled(asked: Asked) -> Iterator[Table]:
    size = asked.size
    yield {
        "kind": "dowelled", "diameter": size(10, "3/8"), "rail_depth": size(20, "3/4"),
        "base_depth": size(18, "3/4"), "end_depth": size(30, "1 1/4"), "glue_room": size(1, "1/16"),
    }  # fmt: skip


def _bored_metal(asked: Asked) -> Iterator[Table]:
    """Metal bars; wooden uprights become bars."""
    size = asked.size
    making = {
        "kind": "bored metal", "rail_depth": size(25, "1"), "base_depth": size(20, "3/4"), "hole": size(14, "9/16"),
        "end_room": size(8, "5/16"),
    }  # fmt: skip
    infill = asked.table("infill")
    if infill.get("kind") != "uprights":
        yield making
        return
    kept = {key: value for key, value in infill.items() if key in (*SPREAD_KEYS, "kind", "lean", "lean_deg")}
    bars = {**kept, "shape": "round", "width": size(12, "1/2"), "material": "steel"}
    yield {"making": making, "infill": bars}


def on_treads(asked: Asked) -> Table:
    """Uprights that stand on the treads with a dowel below, and meet the handrail as their shape suggests."""
    size = asked.size
    round_ = asked.table("infill").get("shape") == "round"
    head: Table = {
        "kind": "dowelled",
        "diameter": size(10, "3/8"),
        "rail_depth": size(20, "3/4"),
        "end_depth": size(30, "1 1/4"),
    }
    if round_:
        head = {"kind": "bored", "rail_depth": size(18, "3/4")}
    pin = {"depth": size(25, "1"), "diameter": size(10, "3/8"), "end_depth": size(35, "1 3/8")}
    return {"kind": "on treads", "head": head, "foot": "dowel", **pin}


def _treads(asked: Asked) -> Iterator[Table]:
    yield {"making": on_treads(asked), "base_rail": NONE}


def _clamped(asked: Asked) -> Iterator[Table]:
    size = asked.size
    for on_posts in (False, True):
        yield {
            "kind": "clamped", "apart": size(700, "27"), "from_end": size(150, "6"), "bite": size(20, "3/4"),
            "on_posts": on_posts, "what": "panel clamp",
        }  # fmt: skip


def _between(asked: Asked) -> Iterator[Table]:
    size = asked.size
    strand = asked.table("infill").get("strand")
    deep = {"depth": size(20, "3/4"), "clearance": size(0.5, "1/64")}
    if strand == "cable":
        deep = {"depth": size(200, "8"), "clearance": size(0.5, "1/64"), "what": "threaded cable end"}
    yield {"kind": "between posts", **deep}
    yield {"kind": "between posts"}


_MAKINGS: Mapping[str, Callable[[Asked], Iterator[Table]]] = {
    "grooved": _grooved,
    "stacked": _stacked,
    "bored": _bored,
    "mortised": _mortised,
    "dowelled": _dowelled,
    "bored metal": _bored_metal,
    "on treads": _treads,
    "clamped": _clamped,
    "between posts": _between,
}

_OFTEN = {
    "rectangular": (_grooved, _dowelled),
    "flat": (_grooved, _dowelled),
    "round": (_bored, _dowelled),
    "turned": (_dowelled, _mortised),
    "raking bar": (_between,),
    "rod": (_between,),
    "cable": (_between,),
    "solid panel": (_grooved, _clamped),
    "slatted panel": (_grooved, _clamped),
    "glass panel": (_clamped,),
}


def makings_for(asked: Asked, infill: str) -> Iterator[Table]:
    """Plain ways of making that often go with an infill, for that infill."""
    kind, _, name = infill.partition(" ")
    strand = {"rod": "rod", "cable": "cable"}.get(
        infill, "raking bar" if (kind, name) == ("raking", "bar") else None
    )
    wished = {"infill": {"kind": "uprights", "strand": strand, "material": asked.wood}}
    there = Asked({"designs": [{**asked.design, **wished}]}, 0, asked.unit)
    for make in _OFTEN[infill]:
        yield from (table for table in make(there) if "kind" in table)
