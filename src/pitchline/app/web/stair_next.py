"""The reading worth taking next: the first that is missing, then the one that sharpens the stair most."""

from dataclasses import dataclass
from typing import Any

from pitchline.app.web.shown import NOT_READ, items, where
from pitchline.app.web.sketch import Taken
from pitchline.app.web.stair_fields import SET_UPS, Fields, named

NEXT = "stair_next.html"
WHERE = "next"
"""Name of its field and of its shape on the drawing."""


@dataclass(frozen=True, slots=True)
class Next:
    """A reading to take: what it is, why, the field that waits for it, or the item that its value completes."""

    label: str
    why: str
    field: str = ""
    path: tuple[str | int, ...] = ()
    item: Any = None
    key: str = "value"
    taken: Taken | None = None
    unit: str = ""


def next_reading(fields: Fields) -> Next | None:
    """The reading worth taking next on a leg; None where the survey proposes nothing more."""
    return _missing(fields) or _helpful(fields)


def _missing(fields: Fields) -> Next | None:
    """The first reading of the lists that is not there: with it the stair becomes known."""
    leg, words = fields.leg, fields.words
    if fields.survey is not None:
        return None
    for key, kind in leg.rows:
        for number, value in enumerate(items(leg.table, key, "values")):
            if value == NOT_READ and key != "heights":
                path = (*leg.path, key, "values", number)
                label = words(f"step.{kind}", number=number + 1)
                return Next(label, words(f"how.{kind}"), where(path))
    return None


def _helpful(fields: Fields) -> Next | None:
    """The reading that the survey proposes."""
    survey, words, leg = fields.survey, fields.words, fields.leg
    if survey is None:
        return None
    advice = next((f for f in survey.findings if f.code == "survey.next-reading"), None)
    if advice is None:
        return None
    from pitchline.survey.next_reading import Suggestion

    for reading in survey.takeable:
        if Suggestion(reading.kind, reading.start, reading.end, 0.0, 0.0, "").where != advice.where:
            continue
        kind = str(reading.kind.value)
        start = {"setup": reading.start} if kind in SET_UPS else {"from": reading.start}
        item = {"kind": kind, **start, "to": reading.end}
        if kind == "margin":
            item = {"kind": kind, "string": reading.start, "at": reading.end}
        taken = Taken(WHERE, kind, reading.start, reading.end, "?", unread=True)
        key = "value_deg" if kind == "pitch" else "value"
        unit = "°" if kind == "pitch" else fields.unit.value
        path = (*leg.path, "readings")
        return Next(named(item, words), advice.text, "", path, item, key, taken, unit)
    return None
