"""The stair page: the readings, and a drawing of the user's own stair that grows as they are typed."""

from collections.abc import Iterator, Mapping
from typing import Any

from pitchline.app.web.desk import Desk
from pitchline.app.web.guess import guessed, named_points
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.photos import photos
from pitchline.app.web.shown import NOT_READ, Entry, at, items, shown, where
from pitchline.app.web.sketch import Sketch, Taken, settled_guess
from pitchline.app.web.stair_edges import edges, joined, more_legs
from pitchline.app.web.stair_fields import KINDS, LEVEL_KINDS, Fields, addable, things
from pitchline.app.web.stair_legs import Leg, Surveyed, legs, surveyed
from pitchline.app.web.stair_next import NEXT, next_reading
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words, of: str) -> Told:
    found = legs(state.raw)
    leg = next((each for each in found if each.id == of), found[0] if found else None)
    common = {
        "head": _head(state, words),
        "legs": found,
        "leg": leg,
        "photos": photos(desk),
        "edges": tuple(edges(state.raw, state.unit, words)),
        "further": (*more_legs(found, words), *joined(state.raw, found, words)),
    }
    if leg is None:
        return {**common, "fields": None, "drawn": None, "next": None, "heads": ()}
    survey = surveyed(desk.job, state, leg)
    fields = Fields(leg, state.unit, words, survey)
    wanted = next_reading(fields)
    return {
        **common,
        "fields": fields,
        "facts": _facts(fields),
        "instruments": [_instrument(fields, state.raw, *row) for row in leg.rows if row[0] in leg.table],
        "things": things(fields),
        "addable": addable(leg, words),
        "drawn": _drawing(state, leg, survey, words, None if wanted is None else wanted.taken),
        "next": wanted,
        "count": _count(state.raw, fields),
        "kinds": LEVEL_KINDS if leg.level else KINDS,
        "points": _points(leg),
        "tone": _agreement(survey),
    }


def _head(state: State, words: Words) -> tuple[Entry, ...]:
    """What holds for the whole job."""
    from pitchline.catalogue.rules import list_rule_sets, load_rule_set

    table = state.raw.get("job")
    known = table if isinstance(table, dict) else {}
    title = str(known.get("title", ""))
    place = str(known.get("place", ""))
    listed = () if state.first else list_rule_sets()  # read from files: too slow for the first page
    places = tuple((name, f"{load_rule_set(name).title} ({name})") for name in listed)
    if place not in dict(places):
        places = ((place, place), *places)
    return (
        Entry(("job", "title"), words("fact.title"), title, known.get("title"), figure=False),
        Entry(("job", "place"), words("fact.place"), place, known.get("place"), options=places, figure=False),
    )


def _facts(fields: Fields) -> tuple[Entry, ...]:
    """What is told of the leg beside its readings."""
    told = [(("width",), "edge_width" if fields.leg.level else "width")]
    if not fields.leg.level:
        told.append((("nosing_overhang",), "nosing_overhang"))
    told.append((("headroom",), "headroom"))
    return tuple(fields.fact(key, word) for key, word in told)


_READS = {"rise": "height", "going": "run", "run": "run", "height": "height"}


def _instrument(fields: Fields, raw: Mapping[str, Any], key: str, kind: str) -> Entry:
    """With what a list of readings is read: the usual instruments that can, and the job's own."""
    from pitchline.survey.instruments import instrument_types

    able = {name: known for name, known in instrument_types().items() if _READS[kind] in known.reads}
    options = {"tape": instrument_types()["tape-ii"].title} | {
        name: known.title for name, known in able.items()
    }
    options |= {str(name): str(name) for table in items(raw, "instruments") if (name := at(("id",), table))}
    path = (*fields.leg.path, key, "instrument")
    value = at((key, "instrument"), fields.leg.table)
    held = "tape" if value is None else str(value)
    label = fields.words(f"fact.{key}_with")
    listed = tuple({held: held, **options}.items())
    return Entry(path, label, held, value, options=listed, figure=False)


def _count(raw: Mapping[str, Any], fields: Fields) -> Told:
    """The number of risers or points, and what goes with it: lists that grow, and ends that stand at the last N."""
    leg = fields.leg
    key = "points" if leg.level else "risers"
    short = {"rises": 0, "goings": -1, "runs": -1, "heights": 0}
    lists = [
        [[*leg.path, name, "values"], short[name], len(items(leg.table, name, "values"))]
        for name, _ in leg.rows
        if items(leg.table, name, "values")
    ]
    held = items(leg.table, "string", "margins")
    if held:
        lists.append([[*leg.path, "string", "margins"], 0, len(held)])
    value = leg.table.get(key)
    path = (*leg.path, key)
    entry = Entry(path, fields.words(f"fact.{key}"), shown(value, fields.unit), value, "")
    ends = [list(path) for path in _last_ends(raw, leg)]
    return {"entry": entry, "value": leg.count, "lists": lists, "ends": ends}


def _last_ends(raw: Mapping[str, Any], leg: Leg) -> Iterator[tuple[str | int, ...]]:
    """Ends of designs of this leg that stand at its last nosing."""
    last = f"N{leg.count}"
    for number, design in enumerate(items(raw, "designs")):
        if isinstance(design, dict) and design.get("flight") == leg.id:
            for end in ("bottom", "top"):
                if at((end, "at"), design) == last:
                    yield ("designs", number, end, "at")


def _points(leg: Leg) -> tuple[str, ...]:
    """The points that readings can be taken between."""
    return ("floor", *(f"N{k}" for k in range(1, leg.count + 1)), *named_points(leg.table))


def _agreement(survey: Surveyed | None) -> Any:
    """Whether the readings agree, as the survey says."""
    if survey is None:
        return None
    return next((finding for finding in survey.findings if finding.code == "survey.global"), None)


def _drawing(state: State, leg: Leg, survey: Surveyed | None, words: Words, wanted: Taken | None) -> Any:
    guess = guessed(leg.table, state.unit, level=leg.level)
    settled = survey is not None
    if survey is not None:
        known = survey.adjusted
        names = [f"N{k}" for k in range(1, leg.count + 1)]
        try:
            nosings = [known.point(name) for name in names]
        except KeyError:
            settled = False
        else:
            others = {
                name: known.point(name)
                for name in guess.points
                if known.has(("x", name)) and known.has(("z", name))
            }
            guess = settled_guess(guess, nosings, others)
    sign = -1.0 if _guarded_right(state, leg) else 1.0
    taken = [*_taken(leg, survey, state), *([] if wanted is None else [wanted])]
    label = words("stair.drawing", leg=leg.id)
    return Sketch(guess, sign).svg(taken, label, settled=settled)


def _guarded_right(state: State, leg: Leg) -> bool:
    """Whether the first design guards the right side: the stair is drawn as one sees it from the open side."""
    for design in items(state.raw, "designs"):
        if isinstance(design, dict) and design.get("flight") == leg.id:
            return design.get("side") == "right"
    for edge in items(state.raw, "edges"):
        if isinstance(edge, dict) and leg.id in items(edge, "legs"):
            return edge.get("side") == "right"
    return False


def _taken(leg: Leg, survey: Surveyed | None, state: State) -> Iterator[Taken]:
    """Every reading of a leg as it is drawn."""
    for key, kind in leg.rows:
        for number, value in enumerate(items(leg.table, key, "values")):
            path = (*leg.path, key, "values", number)
            start, end = _ends(kind, number)
            yield _one(path, kind, (start, end), value, survey, state)
    name = str(at(("string", "id"), leg.table) or "string")
    for number, value in enumerate(items(leg.table, "string", "margins")):
        if value != NOT_READ:
            path = (*leg.path, "string", "margins", number)
            yield _one(path, "margin", (name, f"N{number + 1}"), value, survey, state)
    for number, table in enumerate(items(leg.table, "readings")):
        if isinstance(table, dict):
            yield _further(leg, number, table, survey, state)


def _ends(kind: str, number: int) -> tuple[str, str]:
    below = "floor" if number == 0 else f"N{number}"
    if kind == "rise":
        return below, f"N{number + 1}"
    if kind == "height":
        return "floor", f"N{number + 1}"
    return f"N{number + 1}", f"N{number + 2}"


def _further(leg: Leg, number: int, table: Mapping[str, Any], survey: Surveyed | None, state: State) -> Taken:
    kind = str(table.get("kind"))
    key = "value_deg" if kind == "pitch" else "value"
    path = (*leg.path, "readings", number, key)
    step = table.get("number")
    if kind in ("rise", "going") and isinstance(step, int):
        ends = _ends(kind, step - 1)
    else:
        start = table.get("from", table.get("setup", table.get("string", "")))
        ends = str(start), str(table.get("to", table.get("at", "")))
    return _one(path, kind, ends, table.get(key), survey, state)


def _one(
    path: tuple[str | int, ...],
    kind: str,
    ends: tuple[str, str],
    value: Any,
    survey: Surveyed | None,
    state: State,
) -> Taken:
    text = shown(value, state.unit)
    doubt = survey is not None and survey.said_of(path) is not None
    words = f"{text}°" if kind == "pitch" else text
    return Taken(where(path), kind, *ends, words, unread=not text, doubt=doubt)


PAGE = Page(
    "stair",
    "stair.html",
    lambda desk, state, words: _tell(desk, state, words, ""),
    {
        "sketch": "stair_sketch.html",
        "next": NEXT,
        "figures": "stair_figures.html",
        "whole": "stair_whole.html",
        "photos": "stair_photos.html",
    },
    ("stair.js",),
    ("stair.css",),
    _tell,
)
