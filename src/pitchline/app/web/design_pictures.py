"""Small pictures of what can be chosen, drawn from the user's own stair: each choice is laid out on it."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from pitchline.app.web.design_asked import Asked, Choice, changes_for, over
from pitchline.app.web.design_drawing import legs_of, thumbnail
from pitchline.app.web.design_sections import section_thumbnail
from pitchline.app.web.design_trial import try_design
from pitchline.app.web.design_ways import GROUPS, choices
from pitchline.app.web.state import Bench, State
from pitchline.app.web.words import Words
from pitchline.kit.finding import Verdict
from pitchline.story import SolvedBalustrade


@dataclass(frozen=True, slots=True)
class Shown:
    """One choice on the page: its picture, and the edits that make it; or why this stair does not allow it.

    ``fails``: how many checks more fail than now; below zero fewer.
    """

    key: str
    label: str
    chosen: bool
    picture: Markup
    changes: str
    fails: int
    why: str = ""


_PART = {"bottom": "foot", "top": "head", "infill": "middle", "lean": "middle", "spread": "middle"}
"""Which part of the edge a group's pictures show."""


def pictured(bench: Bench, state: State, index: int, group: str, words: Words) -> tuple[Shown, ...] | None:
    """Every choice of a group as it would be on this stair; None for a group that there is not."""
    if group not in GROUPS:
        return None
    asked = Asked(state.raw, index, state.unit)
    whole = None if state.solved is None or not state.fresh else state.solved.balustrades[index]
    now = None if whole is None else _fails(whole)
    return tuple(_shown(bench, asked, choice, words, now) for choice in choices(asked)[group])


def _fails(whole: SolvedBalustrade) -> int:
    return sum(finding.verdict is Verdict.FAIL for finding in whole.findings)


def _shown(bench: Bench, asked: Asked, choice: Choice, words: Words, now: int | None) -> Shown:
    label = words(f"way.{choice.group}.{_word(choice.key)}", **choice.words)
    why = ""
    for way in choice.ways:
        trial = try_design(asked.raw, over(asked.design, way), bench.path, bench.memo, asked.index)
        if trial.balustrade is not None:
            changes = "" if choice.chosen else json.dumps(changes_for(asked, way), ensure_ascii=False)
            fails = 0 if now is None else _fails(trial.balustrade) - now
            return Shown(
                choice.key, label, choice.chosen, _picture(choice.group, trial.balustrade), changes, fails
            )
        why = why or _sentence([fault.problem for fault in trial.faults])
    return Shown(choice.key, label, choice.chosen, Markup(), "", 0, why)


def _word(key: str) -> str:
    """A key as the catalogue of words writes it."""
    return key.replace(" ", "_")


def _sentence(problems: Sequence[str]) -> str:
    return f"{problems[0][0].upper()}{problems[0][1:]}." if problems else ""


def _picture(group: str, whole: SolvedBalustrade) -> Markup:
    if group in ("handrail", "base_rail", "making"):
        svg = section_thumbnail(whole.legs[0].design)
    else:
        first = whole.edges[0]
        svg = thumbnail(first, legs_of(first, whole.legs[: len(first.legs)]), _PART.get(group, "all"))
    return Markup(svg)  # written by us, escaped
