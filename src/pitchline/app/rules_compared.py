"""Rule sets side by side: what each asks on the same subject, and how well each figure is known.

One block for each subject, a line a place: readable on a narrow terminal however many places stand together.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from pitchline.app.rules_text import MUST_BE, TOPICS, hanging, heading, loaded, wrapped
from pitchline.catalogue.rules import FIGURES, STATUSES, RuleSet

NOT_STATED = "nothing stated"


def compared(ids: Sequence[str], topic: str | None = None) -> Iterator[str]:
    """Two or more rule sets (ids or files of the user's own), subject by subject; only what differs is shown.

    ``topic`` keeps the ids that begin with it, such as ``opening``. InputError for a set that cannot be had.
    """
    sets = [loaded(name) for name in ids]
    for rules in sets:
        yield from hanging(f"{rules.id}: ", f"{rules.title}, {rules.edition}", 4)
    wide = max(len(rules.id) for rules in sets)
    wanted = [name for name in FIGURES if topic is None or name.startswith(topic)]
    told = [(name, lines) for name in wanted if (lines := _lines(name, sets)) and len(set(lines)) > 1]
    for part, rows in groupby(told, key=lambda row: row[0].split(".")[0]):
        yield from heading(TOPICS[part])
        for name, lines in rows:
            yield from hanging(f"  {name}: ", FIGURES[name].meaning, 6)
            for rules, line in zip(sets, lines, strict=True):
                yield from hanging(f"      {rules.id:<{wide}}  ", line, wide + 8)
    if not told:
        yield from wrapped("They state the same.")
    yield ""
    legend = "; ".join(f"{status} {meaning}" for status, meaning in STATUSES.items())
    yield from wrapped(f"{legend}. A comparison of figures, not of whole texts: ask each authority.")


def _lines(name: str, sets: Sequence[RuleSet]) -> tuple[str, ...] | None:
    """What each set says on one subject; None when none of them says anything."""
    lines = tuple(_line(name, rules) for rules in sets)
    return None if all(line == NOT_STATED for line in lines) else lines


def _line(name: str, rules: RuleSet) -> str:
    figure = rules.figure(name)
    if figure is not None:
        return f"{MUST_BE[figure.compare]} {figure.written} ({figure.clause}, {figure.status})"
    choice = rules.choice(name)
    return NOT_STATED if choice is None else f"{choice.word} ({choice.clause}, {choice.status})"
