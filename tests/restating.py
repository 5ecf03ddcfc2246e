"""A job file said otherwise: its plain numbers in another unit, its stair seen in a mirror, its answer as numbers."""

from collections.abc import Iterator, Mapping
from typing import Any

from pitchline.kit.tolerances import BALL
from pitchline.kit.units import Unit

NOT_LENGTHS = frozenset({"risers", "number", "count", "layers", "member_layers"})
"""Keys of plain numbers that are counted, not measured; angles end in ``_deg``."""

WORDED = frozenset({"text", "remedy"})
"""Keys of a result document that speak in the user's unit."""


def in_unit(document: Mapping[str, Any], unit: Unit) -> dict[str, Any]:
    """The same job with its plain lengths in another unit; texts with a unit of their own stay."""
    old = Unit(document["job"]["units"])
    restated = {key: _scaled(value, key, old.in_mm / unit.in_mm) for key, value in document.items()}
    restated["job"]["units"] = unit.value
    return restated


def _scaled(value: Any, key: str, factor: float) -> Any:
    if isinstance(value, dict):
        return {inner: _scaled(item, inner, factor) for inner, item in value.items()}
    if isinstance(value, list):
        return [_scaled(item, key, factor) for item in value]
    counted = key in NOT_LENGTHS or key.endswith("_deg") or isinstance(value, bool)
    return value if counted or not isinstance(value, int | float) else value * factor


def mirrored(document: Mapping[str, Any]) -> dict[str, Any]:
    """The same job on the other side of the stair.

    Leans across and layers of a stacked rail are told from the walking side, so they stay; what turns
    anticlockwise as seen from above turns the other way.
    """
    flights = [
        {
            **flight,
            "posts": [{**post, "twist_deg": -post["twist_deg"]} for post in flight.get("posts", [])],
            "walls": [{**wall, "skew_deg": -wall["skew_deg"]} for wall in flight.get("walls", [])],
        }
        for flight in document["flights"]
    ]
    other = {"left": "right", "right": "left"}
    designs = [{**design, "side": other[design["side"]]} for design in document["designs"]]
    restated = {**document, "flights": flights, "designs": designs}
    if "as_built" in document:
        restated["as_built"] = [
            {**told, "posts": [{**post, "twist_deg": -post["twist_deg"]} for post in told["posts"]]}
            for told in document["as_built"]
        ]
    return restated


STRENGTH = ("deflection", "deflection_limit", "utilisation")
"""What is compared of the strength: which of two alike pieces is named first hangs on the last digit."""

SOLVED = 1e-7
"""Share of itself that a movement or force may differ by: a frame's stiffnesses span many powers of ten."""


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every number and name of a result document with its path, sentences left out."""
    if isinstance(value, dict):
        shown = STRENGTH if path and path[-1] == "strength" else tuple(value)
        items = [(key, value[key]) for key in shown if key not in WORDED]
    elif isinstance(value, list | tuple):
        items = list(enumerate(value))
    else:
        yield path, value
        return
    for key, item in items:
        yield from leaves(item, (*path, key))


def differences(one: Any, other: Any, within: float) -> list[str]:
    """Where two result documents differ: lengths and angles by more than ``within``, anything else at all.

    A largest ball is found to within `BALL`, and may differ by that. Volumes differ by more than ``within`` of
    themselves: in mm3 they have too many figures for a double.
    """
    first, second = dict(leaves(one)), dict(leaves(other))
    found = [f"only in one: {path}" for path in first.keys() ^ second.keys()]
    for path in first.keys() & second.keys():
        a, b = first[path], second[path]
        numbers = isinstance(a, float) and isinstance(b, float)
        allowed = within * abs(b) if path[-1] == "volume" else within
        judged = path[-1] == "measured" and str(first.get((*path[:-1], "code"), "")).startswith("opening")
        if path[-1] == "largest_ball" or judged:
            allowed = max(allowed, BALL)
        if numbers and "strength" in path:
            allowed = max(allowed, SOLVED * abs(b))
        if abs(a - b) > allowed if numbers else a != b:
            found.append(f"{path}: {a} and {b}")
    return sorted(found)
