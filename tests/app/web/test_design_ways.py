"""What can be chosen on the design page: whatever is offered can be had, and is what stands there afterwards."""

import tomllib
from pathlib import Path

import pytest

from pitchline.app.web.design_asked import Asked, Choice, changes_for, over
from pitchline.app.web.design_fields import field_groups, fraction
from pitchline.app.web.design_start import plain_design
from pitchline.app.web.design_trial import as_toml, try_design
from pitchline.app.web.design_ways import GROUPS, choices
from pitchline.app.web.edits import changes_of, edited
from pitchline.app.web.words import catalogue
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit
from pitchline.story import Memo, solve

EXAMPLES = (("mm", Unit.MM), ("in", Unit.INCH), ("quarter-turn", Unit.MM), ("cables", Unit.INCH))
LABELS = catalogue("en").under("figure")


def raw_of(text: str, unit: Unit = Unit.MM) -> Asked:
    return Asked(tomllib.loads(text), 0, unit)


def laid_out(asked: Asked, choice: Choice, memo: Memo) -> list[dict[str, object]] | None:
    """The edits of the first way that the stair allows; None where none does, and then every way says why."""
    for way in choice.ways:
        trial = try_design(asked.raw, over(asked.design, way), Path("stair.toml"), memo)
        if trial.balustrade is not None:
            return changes_for(asked, way)
        assert trial.faults
        assert all(fault.problem for fault in trial.faults)
    return None


@pytest.mark.parametrize(("name", "unit"), EXAMPLES, ids=[name for name, _ in EXAMPLES])
def test_what_is_offered_can_be_had_and_is_then_what_is_chosen(name: str, unit: Unit) -> None:
    text = starting_text(name, unit)
    asked, memo = raw_of(text, unit), Memo()
    had = 0
    for group, offered in choices(asked).items():
        for choice in offered:
            changes = laid_out(asked, choice, memo)
            if changes is None or choice.chosen:
                assert changes in (None, [])
                continue
            after = edited(text, changes_of(changes))
            solve(load_text(after, "stair.toml", Path("stair.toml")), memo)
            now = {c.key: c.chosen for c in choices(raw_of(after, unit))[group] if c.words == choice.words}
            assert now[choice.key], f"{group}: {choice.key}"
            had += 1
    assert had >= 12


@pytest.mark.parametrize(("name", "unit"), EXAMPLES, ids=[name for name, _ in EXAMPLES])
def test_in_every_group_at_most_one_is_chosen_and_every_label_has_its_words(name: str, unit: Unit) -> None:
    offered = choices(raw_of(starting_text(name, unit), unit))
    assert tuple(offered) == GROUPS
    for group, several in offered.items():
        assert sum(choice.chosen for choice in several) <= 1, group
        for choice in several:
            for language in ("en", "de"):
                key = f"way.{group}.{choice.key.replace(' ', '_')}"
                assert catalogue(language)(key, **choice.words)


def test_comments_of_a_job_outlive_a_choice() -> None:
    text = starting_text("mm", Unit.MM)
    asked = raw_of(text)
    cable = next(choice for choice in choices(asked)["infill"] if choice.key == "cable")
    changes = laid_out(asked, cable, Memo())
    assert changes
    kept = [line for line in text.splitlines() if line.startswith("#")]
    after = edited(text, changes_of(changes)).splitlines()
    assert kept
    assert all(line in after for line in kept)


@pytest.mark.parametrize(("name", "unit"), EXAMPLES[:2], ids=["mm", "in"])
def test_a_first_design_fits_a_stair_that_has_none(name: str, unit: Unit) -> None:
    raw = {key: value for key, value in raw_of(starting_text(name, unit)).raw.items() if key != "designs"}
    made = plain_design(raw, unit)
    assert made is not None
    trial = try_design(raw, made, Path("stair.toml"), None)
    assert trial.balustrade is not None, trial.faults


def test_a_job_without_a_stair_has_no_first_design() -> None:
    assert plain_design({"job": {"title": "Nothing yet"}}, Unit.MM) is None


@pytest.mark.parametrize(("name", "unit"), EXAMPLES, ids=[name for name, _ in EXAMPLES])
def test_every_figure_shows_what_the_file_has_and_its_slider_reaches_it(name: str, unit: Unit) -> None:
    text = starting_text(name, unit)
    asked = raw_of(text, unit)
    solved = solve(load_text(text, "stair.toml", Path("stair.toml"))).balustrades[0]
    fields = [field for group in field_groups(asked, solved, LABELS) for field in group.fields]
    assert len(fields) > 8
    for field in fields:
        assert field.low <= field.value <= field.high, field.where
        assert field.label not in field.path, "the catalogue has its words"
        assert (field.was is None) == (field.text == "")
        if field.was is None and field.path[-1] in ("height", "count"):
            assert field.auto


@pytest.mark.parametrize(
    ("inches", "told"),
    [(0.0, "0"), (1.5, "1 1/2"), (-2.375, "-2 3/8"), (0.0625, "1/16"), (34.0, "34"), (63 / 64, "63/64")],
)
def test_inches_are_shown_as_fractions(inches: float, told: str) -> None:
    assert fraction(inches) == told


def test_values_written_for_a_trial_are_read_back_as_they_are() -> None:
    raw = tomllib.loads(starting_text("mm", Unit.MM))
    assert tomllib.loads(as_toml(raw)) == raw
    odd = {"job": {"title": 'quote " back \\ tab \t and \x7f', "date": raw["job"].get("date")}}
    assert tomllib.loads(as_toml(odd)) == odd
