"""Published figures written out beside the rule sets, and what it means that a set agrees with them.

Nothing here is read from the rule files: numbers, comparisons, clauses and statuses stand as the published texts
(or, by their status, guides and memory) give them. Status: V-P read in the text, V-S second hand, M from memory,
CP common practice, D worked out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from pitchline.catalogue.rules import RuleSet
from pitchline.kit.finding import Compare, Verdict, judge

Row = tuple[str, str, str, str, str]
"""Id, number with its unit or a word, what must hold (empty for a word), clause, status."""

UNITS: Mapping[str, tuple[Fraction, str]] = {
    # 1 in = 25.4 mm; 1 lb = 0.45359237 kg and g = 9.80665 m/s2, all exact by definition
    "mm": (Fraction(1), "mm"),
    "in": (Fraction(254, 10), "mm"),
    "deg": (Fraction(1), "deg"),
    "count": (Fraction(1), ""),
    "times": (Fraction(1), ""),
    "kN": (Fraction(1000), "N"),
    "lbf": (Fraction("0.45359237") * Fraction("9.80665"), "N"),
    "kN_per_m": (Fraction(1), "N/mm"),
    "lbf_per_ft": (Fraction("0.45359237") * Fraction("9.80665") / Fraction("304.8"), "N/mm"),
    "kN_per_m2": (Fraction(1, 1000), "MPa"),
    "mm2": (Fraction(1), "mm2"),
    "ft2": (Fraction("304.8") ** 2, "mm2"),
}

SMALL = {"mm": 0.1, "deg": 0.1, "N": 1.0, "": 1e-4, "N/mm": 1e-3, "MPa": 1e-5, "mm2": 1.0}
"""A little on either side of a limit, by unit: 0.1 mm for lengths."""

AT_THE_EDGE = {
    "lt": (Verdict.PASS, Verdict.FAIL, Verdict.FAIL),
    "le": (Verdict.PASS, Verdict.PASS, Verdict.FAIL),
    "ge": (Verdict.FAIL, Verdict.PASS, Verdict.PASS),
    "gt": (Verdict.FAIL, Verdict.FAIL, Verdict.PASS),
}
"""Verdicts a little below the limit, on it, and a little above."""


@dataclass(frozen=True, slots=True)
class Published:
    """What one place publishes: its own rows, over those of a parent less what it leaves out."""

    rows: tuple[Row, ...]
    parent: str | None = None
    without: tuple[str, ...] = ()


def resolved(tables: Mapping[str, Published], rules_id: str) -> dict[str, Row]:
    """All rows that hold for a set, by id; a row with an empty number takes its parent's."""
    table = tables[rules_id]
    found = {} if table.parent is None else resolved(tables, table.parent)
    found = {figure_id: row for figure_id, row in found.items() if figure_id not in table.without}
    for row in table.rows:
        figure_id, number, _, clause, status = row
        under = found.get(figure_id, row)
        found[figure_id] = row if number else (figure_id, under[1], under[2], clause, status)
    return found


def value_of(number: str) -> tuple[float, str]:
    """A published number such as "4 3/8 in" in the program's unit, by exact fractions, and that unit."""
    written, unit = number.rsplit(" ", 1)
    exact = sum((Fraction(piece) for piece in written.split()), Fraction(0))
    if unit == "one_in":
        return float(1 / exact), ""
    factor, shown = UNITS[unit]
    return float(exact * factor), shown


def assert_row(rules: RuleSet, row: Row) -> None:
    """One figure or word against its row: number, unit, comparison, clause, status, and the limit at its edge."""
    figure_id, number, compare, clause, status = row
    if not compare:
        choice = rules.choices[figure_id]
        assert (choice.word, choice.clause, choice.status) == (number, clause, status), figure_id
        return
    value, unit = value_of(number)
    figure = rules.figures[figure_id]
    assert abs(figure.value - value) <= 1e-12 * value, figure_id
    assert (figure.unit, figure.compare) == (unit, compare), figure_id
    assert (figure.clause, figure.status) == (clause, status), figure_id
    assert_edge(value, unit, figure.value, figure.compare)


def assert_edge(published: float, unit: str, limit: float, compare: Compare) -> None:
    """A little below the published number, on it and above it: what the held limit says."""
    small = SMALL[unit] if published > SMALL[unit] else published / 10.0
    measured = (published - small, limit, published + small)
    assert tuple(judge(each, 0.0, limit, compare) for each in measured) == AT_THE_EDGE[compare]


def assert_agrees(rules: RuleSet, rows: Mapping[str, Row]) -> None:
    """A whole rule set against its table: the same ids, each row kept."""
    assert set(rules.figures) | set(rules.choices) == set(rows)
    for row in rows.values():
        assert_row(rules, row)
