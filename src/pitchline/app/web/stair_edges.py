"""More of a stair than one flight: further flights, edges of floors, and the open edge along several of them."""

from collections.abc import Iterator, Mapping
from typing import Any

from pitchline.app.web.shown import Entry, Path, at, items, shown
from pitchline.app.web.stair_fields import Thing
from pitchline.app.web.stair_legs import Leg
from pitchline.app.web.words import Words
from pitchline.kit.units import Unit

Offered = tuple[str, list[dict[str, Any]]]
"""What can be put to the job: its name, and the changes that put it."""

NEW_RISERS, NEW_POINTS = 7, 3
"""Of a further flight and of a floor's edge, to begin with: half a storey, and both ends with a point between."""


def more_legs(legs: tuple[Leg, ...], words: Words) -> tuple[Offered, ...]:
    """A further flight and a floor's edge, each standing on the last leg."""
    below = {"flight": legs[-1].id} if legs else None
    flight = {
        "id": _free("flight", legs),
        "risers": NEW_RISERS,
        "rises": {"values": ["-"] * NEW_RISERS},
        "goings": {"values": ["-"] * (NEW_RISERS - 1)},
    }
    floor = {"id": _free("floor", legs), "points": NEW_POINTS, "runs": {"values": ["-"] * (NEW_POINTS - 1)}}
    found = []
    for kind, word, table in (("flights", "flight", flight), ("levels", "floor", floor)):
        held = table if below is None else {**table, "stands_on": below}
        found.append((words(f"leg.{word}"), [{"path": [kind], "add": held}]))
    return tuple(found)


def _free(word: str, legs: tuple[Leg, ...]) -> str:
    taken = {leg.id for leg in legs}
    return next(name for k in range(2, len(taken) + 3) if (name := f"{word} {k}") not in taken)


def joined(raw: Mapping[str, Any], legs: tuple[Leg, ...], words: Words) -> tuple[Offered, ...]:
    """One edge along all legs, where there are several and no edge yet."""
    if len(legs) < 2 or items(raw, "edges"):
        return ()
    edge = {
        "id": "edge",
        "side": "left",
        "legs": [leg.id for leg in legs],
        "turns": [{"turn": "left"} for _ in legs[1:]],
    }
    return ((words("leg.edge"), [{"path": ["edges"], "add": edge}]),)


def edges(raw: Mapping[str, Any], unit: Unit, words: Words) -> Iterator[Thing]:
    """Every edge of the job: its open side, and how it turns from leg to leg."""
    for number, table in enumerate(items(raw, "edges")):
        path: Path = ("edges", number)
        legs = [str(name) for name in items(table, "legs")]
        entries = [_choice(table, path, ("side",), words("fact.side"), ("left", "right"), words)]
        for turn, beyond in enumerate(legs[1:]):
            place = ("turns", turn)
            label = words("fact.turn", leg=beyond)
            entries.append(
                _choice(table, path, (*place, "turn"), label, ("left", "right", "straight on"), words)
            )
            for key in ("leaves_offset", "joins_offset"):
                value = at((*place, key), table)
                entries.append(
                    Entry((*path, *place, key), words(f"fact.{key}"), shown(value, unit), value, unit.value)
                )
        name = table.get("id", "?") if isinstance(table, dict) else "?"
        yield Thing(
            f"edge-{number}", words("thing.edge", name=name, legs=", ".join(legs)), tuple(entries), path, ""
        )


def _choice(table: Any, path: Path, key: Path, label: str, choices: tuple[str, ...], words: Words) -> Entry:
    value = at(key, table)
    named = tuple((choice, words(f"way_on.{choice.replace(' ', '_')}")) for choice in choices)
    if value not in choices:
        named = (("" if value is None else str(value), "–"), *named)
    return Entry(
        (*path, *key), label, "" if value is None else str(value), value, options=named, figure=False
    )
