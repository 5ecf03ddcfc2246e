"""Lengths against published definitions and printed tables.

The inch: international yard and pound agreement of 1959; ISO 80000-3:2019 states 1 in = 25.4 mm. The converted
sizes are those printed side by side in the International Residential Code (guards and handrails, 2021
numbers), where mm are rounded to the whole.
"""

import json
import math
from pathlib import Path

import pytest

from pitchline.kit.units import Unit, read_length, show_length

CASES = json.loads((Path(__file__).parent / "data" / "trade_checks.json").read_text(encoding="utf-8"))
BRACES = [case for case in CASES if case["id"].startswith("brace-")]


def test_the_inch_is_exact() -> None:
    assert read_length("1 in", Unit.MM) == 25.4
    assert read_length("1 ft", Unit.MM) == pytest.approx(304.8, abs=1e-12)


@pytest.mark.parametrize(
    ("inches", "mm", "clause"),
    [
        ("36 in", 914, "R312.1.2"),
        ("34 in", 864, "R312.1.2 exception 1"),
        ("38 in", 965, "R311.7.8.1"),
        ("4 in", 102, "R312.1.3"),
        ("4 3/8 in", 111, "R312.1.3 exception 2"),
        ("4 1/2 in", 114, "R311.7.8.2"),
        ("1 1/2 in", 38, "R311.7.8.3"),
        ("1 1/4 in", 32, "R311.7.8.5"),
        ("2 in", 51, "R311.7.8.5"),
        ("12 ft 7 in", 3835, "R311.7.3"),
        ("6 ft 8 in", 2032, "R311.7.2"),
    ],
)
def test_sizes_printed_in_both_units(inches: str, mm: int, clause: str) -> None:
    assert show_length(read_length(inches, Unit.MM), Unit.MM, decimals=0) == str(mm), clause


@pytest.mark.parametrize("case", BRACES, ids=lambda case: str(case["id"]))
def test_the_brace_table_of_the_steel_square(case: dict[str, dict[str, float]]) -> None:
    """Brace length = run x sqrt 2; the table prints hundredths of an inch."""
    brace = math.hypot(case["inputs"]["k"], case["inputs"]["k"])
    printed = case["expected"]["len"]
    assert float(show_length(brace, Unit.MM, decimals=2)) == pytest.approx(printed, abs=0.0051)
