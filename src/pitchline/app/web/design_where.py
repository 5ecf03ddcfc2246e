"""Where a design goes: which edge it guards, and what it begins and ends with."""

from collections.abc import Iterator, Sequence

from pitchline.app.web.design_asked import Asked, Choice, Table, Values, names_in, tables_in


def offered_edges(asked: Asked) -> Iterator[Choice]:
    """Each side of each flight, and each edge of several legs."""
    design = asked.design
    for flight in tables_in(asked.raw, "flights"):
        name = str(flight.get("id"))
        for side in ("left", "right"):
            chosen = design.get("flight") == name and design.get("side") == side
            way: Table = {
                "flight": name,
                "side": side,
                "edge": None,
                "edges": None,
                "turns": None,
                "legs": None,
            }
            yield Choice("edges", side, chosen, (way, *_newels(asked, way, name)), {"leg": name})
    for edge in tables_in(asked.raw, "edges"):
        name = str(edge.get("id"))
        way = {"edge": name, "flight": None, "side": None, "edges": None}
        newel = {"turns": [_turn_newel(asked) for _ in tables_in(edge, "turns")]}
        turned = {**way, **newel, "legs": None}
        legs = names_in(edge, "legs") or [""]
        ways = (way, turned, *_newels(asked, turned, legs[-1]))
        yield Choice("edges", "edge", asked.design.get("edge") == name, ways, {"leg": name})


def _newels(asked: Asked, way: Table, last: str) -> Iterator[Table]:
    """The same with a new newel at the head, at the foot, at both: what stood there may belong to another leg."""
    there = Asked({**asked.raw, "designs": [{"handrail": asked.table("handrail")}]}, 0, asked.unit)
    foot, head = (_newel(there, end, last) for end in ("bottom", "top"))
    yield from ({**way, **ends} for ends in ({"top": head}, {"bottom": foot}, {"bottom": foot, "top": head}))


def _turn_newel(asked: Asked) -> Table:
    side = asked.size(90, "3 1/2")
    above = asked.size(60, "2 1/2")
    return {"kind": "turn newel", "along": side, "across": side, "above_rail": above, "material": asked.wood}


# ---------------------------------------------------------------- ends


def offered_feet(asked: Asked) -> Iterator[Choice]:
    """What the design may begin with at its foot."""
    yield from _ends(asked, "bottom")


def offered_heads(asked: Asked) -> Iterator[Choice]:
    """What it may end with at its head."""
    yield from _ends(asked, "top")


def _ends(asked: Asked, end: str) -> Iterator[Choice]:
    if not asked.legs:
        return
    held, leg = asked.table(end), asked.legs[0 if end == "bottom" else -1]
    newel, above = _newel(asked, end, leg), asked.size(90, "3 1/2")
    side = newel["across"]
    feet = [{**newel, "foot": foot} for foot in ("floor", "tread")]
    yield _end(end, "new newel", held, feet if end == "bottom" else feet[::-1])
    for post in asked.standing(leg, "posts"):
        ways = [{"kind": "existing newel", "post": post}]
        yield _end(end, "existing newel", held, ways, post=post)
    for wall in asked.standing(leg, "walls"):
        half = {"kind": "half newel", "wall": wall, "along": asked.size(45, "1 3/4"), "across": side}
        half |= {"above_rail": above, "foot": "floor", "material": asked.wood}
        yield _end(end, "half newel", held, [half], wall=wall)
        yield _end(end, "wall", held, [{"kind": "wall", "wall": wall}], wall=wall)
    free = {"kind": "free end", **_set_out(asked, end, leg)}
    yield _end(end, "free end", held, [free])


def _newel(asked: Asked, end: str, leg: str) -> Table:
    side, above = asked.size(90, "3 1/2"), asked.size(90, "3 1/2")
    section = {"along": side, "across": side, "above_rail": above, "material": asked.wood}
    return {"kind": "new newel", **_set_out(asked, end, leg), **section}


def _end(end: str, kind: str, held: Values, ways: Sequence[Table], **words: str) -> Choice:
    named = all(held.get(key) == value for key, value in words.items())
    chosen = held.get("kind") == kind and named
    kept = [dict(held)] if chosen else []
    return Choice(end, kind, chosen, tuple({end: way} for way in (*kept, *ways)), words)


def _set_out(asked: Asked, end: str, leg: str) -> Table:
    """From which point a newel or a free end is set out: the one it has now, else the first or last nosing."""
    held = asked.table(end)
    if "at" in held:
        return {"at": held["at"], "offset": held.get("offset", 0)}
    if end == "bottom":
        return {"at": "N1", "offset": asked.size(-60, "-2 1/2")}
    last = next((t.get("risers", t.get("points", 1)) for t in asked.stretches if t.get("id") == leg), 1)
    return {"at": f"N{last}", "offset": asked.size(48, "2")}
