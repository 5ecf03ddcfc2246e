"""The page on rules names every figure with its meaning, every status and unit, and its example loads."""

import re
from pathlib import Path

import pytest

from pitchline.catalogue.load import MEASURES, STATUSES
from pitchline.catalogue.rules import FIGURES, list_rule_sets, load_rule_file, load_rule_set

OF_OTHER_TABLES = {"density", "movement", "time", "coverage", "spread", "dust"}
"""Quantities of timber and of finishes, which no rule speaks of."""

PAGE = (Path(__file__).parents[2] / "docs" / "method" / "rules.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("figure_id", FIGURES)
def test_every_figure_is_on_the_page(figure_id: str) -> None:
    assert f"| `{figure_id}` | {FIGURES[figure_id].meaning} |" in PAGE


def test_statuses_units_and_sets_are_on_the_page() -> None:
    for status, meaning in STATUSES.items():
        assert f"| {status} | {meaning} |" in PAGE
    for name, measure in MEASURES.items():
        if measure.quantity not in OF_OTHER_TABLES:
            assert f"`{name}`" in PAGE
    for rules_id in list_rule_sets():
        assert f"`{rules_id}`" in PAGE
    assert "not legal advice" in PAGE


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_every_set_is_on_the_page_with_its_counts(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    stated, read = len(rules.figures), len(rules.figures) - len(rules.unverified)
    assert f"| `{rules_id}` | {rules.title} | {rules.status} | {stated} | {read} |" in PAGE


def test_every_set_of_the_page_is_there() -> None:
    named = re.findall(r"^\| `([a-z0-9-]+)` \|", PAGE.split("## One figure")[0], re.MULTILINE)
    assert tuple(named) == list_rule_sets()


def test_every_mode_of_the_triangle_is_on_the_page() -> None:
    assert len(FIGURES["opening.triangle.mode"].words) == 5
    for mode in FIGURES["opening.triangle.mode"].words:
        assert f"| `{mode}` |" in PAGE


def test_the_example_of_the_page_loads(tmp_path: Path) -> None:
    example = next(
        block for block in re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL) if "our-town" in block
    )
    path = tmp_path / "our-town.toml"
    path.write_text(example, encoding="utf-8")
    rules = load_rule_file(path)
    assert rules.require("guard.landing.height").value_mm == pytest.approx(42 * 25.4)
    assert rules.require("opening.general").clause == "section 13"
    assert rules.require("opening.general").value_mm == 101.6
    assert rules.figure("opening.stair") is None
