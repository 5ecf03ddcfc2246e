"""The differences between designs in plain words: what a household wants to know, worked out from the figures."""

from collections.abc import Iterator, Sequence

from pitchline.app.web.compare_figures import ALIKE, MORE_IS_BETTER, Compared, Figure
from pitchline.app.web.words import Words
from pitchline.kit.units import Unit
from pitchline.kit.words import Words as Lengths

TOLD = ("movement", "openings", "pieces", "settings", "hours", "waste", "cost")
"""The lines that are told in sentences, in this order; others are in the table."""


def differences(
    designs: Sequence[Compared], t: Words, lengths: Lengths, keys: Sequence[str] = TOLD
) -> tuple[str, ...]:
    """Sentences: first what does not hold, then where the designs differ, then where they do not."""
    told = [*_unsound(designs, t)]
    alike = []
    for key in (key for key in TOLD if key in keys):
        figures = [(design, design.figure(key)) for design in designs]
        known = [(design, figure) for design, figure in figures if figure.value is not None]
        if len(known) < 2:
            continue
        known.sort(key=lambda pair: pair[1].value or 0.0, reverse=key in MORE_IS_BETTER)
        values = [figure.value or 0.0 for _, figure in known]
        if abs(values[-1] - values[0]) < ALIKE[key]:
            alike.append(t(f"same.{key}", value=known[0][1].text))
        else:
            told.append(_sentence(key, known, t, lengths))
    return (*told, *alike)


def _unsound(designs: Sequence[Compared], t: Words) -> Iterator[str]:
    told = [
        t("differs.so_many", name=design.id, fails=design.fails, unsure=design.unsure)
        for design in designs
        if design.fails or design.unsure
    ]
    if told:
        yield t("differs.none_yet" if len(told) == len(designs) else "differs.not_yet", told="; ".join(told))


def _sentence(key: str, known: Sequence[tuple[Compared, Figure]], t: Words, lengths: Lengths) -> str:
    """Which does best, and how far behind the others are."""
    (first, best), *others = known
    behind = []
    for design, figure in others:
        one, two = figure.value or 0.0, best.value or 0.0
        if abs(one - two) < ALIKE[key]:
            behind.append(t("differs.level", name=design.id))
        else:
            unit = best.text.partition(" ")[2]
            behind.append(t(f"more.{key}", name=design.id, more=_apart(key, one, two, unit, lengths)))
    return f"{t(f'differs.{key}', name=first.id, value=best.text)} {'; '.join(behind)}."


def _apart(key: str, one: float, two: float, unit: str, lengths: Lengths) -> str:
    """How far apart two figures are, as they are written: whole ones where the table has whole ones."""
    more = abs(one - two)
    match key:
        case "movement" if lengths.unit is Unit.MM:
            return lengths.about(abs(round(one) - round(two)))
        case "movement" | "openings":
            return lengths.mm(more)
        case "cost":
            return f"{more:.2f} {unit}".strip()
        case "waste":
            return f"{abs(round(100.0 * one) - round(100.0 * two))}"
        case "hours":
            return f"{abs(round(one, 1) - round(two, 1)):.1f}"
    return f"{more:.0f}"
