"""Differences between designs in words: figures made up by hand, so that every sentence can be reckoned."""

from dataclasses import replace

import pytest

from pitchline.app.web.compare import chosen_of
from pitchline.app.web.compare_figures import ALIKE, KEYS, Compared, Figure, best_of
from pitchline.app.web.compare_looks import wood_of
from pitchline.app.web.compare_words import TOLD, differences
from pitchline.app.web.state import State
from pitchline.app.web.words import LANGUAGES, Words, catalogue
from pitchline.kit.units import Unit
from pitchline.kit.words import Words as Lengths
from pitchline.kit.words import show_in

MM, INCH = (Lengths(show_in(unit)) for unit in (Unit.MM, Unit.INCH))
UNITS = {"movement": " mm", "openings": " mm", "cost": " EUR", "waste": " %"}


def design(name: str, **values: float | None) -> Compared:
    """A design with some figures; all others are those of a design like any other."""
    figures = []
    for key in KEYS:
        value = values.get(key, 10.0)
        text = "–" if value is None else f"{value:g}{UNITS.get(key, '')}"
        figures.append(Figure(key, value, text, "no figure" if value is None else ""))
    return Compared(name, f"Design {name}", "Looks", tuple(figures), 0, 0)


def english(*designs: Compared, keys: tuple[str, ...] = TOLD, lengths: Lengths = MM) -> tuple[str, ...]:
    return differences(designs, catalogue("en"), lengths, keys)


def test_the_cheapest_is_named_and_how_much_more_the_others_cost() -> None:
    told = english(design("A", cost=218.9), design("B", cost=204.0), design("C", cost=204.5), keys=("cost",))
    assert told == ("B needs the cheapest stock: 204 EUR. C about the same; A costs 14.90 EUR more.",)


def test_whole_millimetres_are_subtracted_as_they_are_shown() -> None:
    told = english(design("A", movement=78.4), design("B", movement=62.6), keys=("movement",))
    assert "A gives way 15 mm more" in told[0]  # 78 - 63, as the table shows them, not 15.8


def test_inches_are_subtracted_as_fractions() -> None:
    told = english(design("A", openings=101.6), design("B", openings=95.25), keys=("openings",), lengths=INCH)
    assert 'A lets through 1/4" more' in told[0]  # 4 in less 3 3/4 in


def test_shares_of_waste_are_told_apart_in_per_cent() -> None:
    told = english(design("A", waste=0.164), design("B", waste=0.076), keys=("waste",))
    assert "A wastes 8 % of its stock more" in told[0]  # 16 % less 8 %


def test_what_does_not_hold_comes_first_and_what_is_alike_last() -> None:
    told = english(replace(design("A"), fails=2, unsure=1), design("B", pieces=30.0))
    assert told[0].startswith("Not all hold yet. A: 2 checks fail, 1 are unsure.")
    assert told[1].startswith("A has the fewest pieces")
    assert len(told) == 2 + len(TOLD) - 1
    assert all(sentence.startswith(("All ", "Their ")) for sentence in told[2:])


def test_a_line_with_fewer_than_two_figures_is_left_out() -> None:
    told = english(design("A", cost=None), design("B", cost=100.0), keys=("cost",))
    assert told == ()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_line_can_be_said_in_every_language(language: str) -> None:
    t: Words = catalogue(language)
    far = {key: 10.0 + 5.0 * ALIKE[key] for key in TOLD}
    told = differences((design("A"), design("B", **far)), t, MM)
    same = differences((design("A"), design("B")), t, MM)
    assert len(told) == len(same) == len(TOLD)
    assert len({*told, *same}) == 2 * len(TOLD)
    assert all(t(f"line.{key}") for key in KEYS)


@pytest.mark.parametrize(
    ("key", "first", "second", "best"),
    [
        ("cost", 100.0, 120.0, "A"),
        ("cost", 100.0, 100.5, None),  # less than a unit of money apart
        ("margin", 3.0, 5.0, "B"),  # here more is better
        ("movement", None, 12.0, None),
        ("pieces", 60.0, 60.0, None),
    ],
)
def test_the_best_is_marked_where_it_can_be_told(
    key: str, first: float | None, second: float | None, best: str | None
) -> None:
    assert best_of((design("A", **{key: first}), design("B", **{key: second})), key) == best


def state_of(*names: str) -> State:
    raw = {"designs": [{"id": name} for name in names]}
    return State(1, "", raw, (), None, fresh=False, undo=None, redo=None)


@pytest.mark.parametrize(
    ("of", "chosen"),
    [
        ("", ("A", "B", "C", "D")),
        ("C,A", ("C", "A")),
        ("C,C,Z", ("C",)),
        ("Z", ("A", "B", "C", "D")),
        ("A,B,C,D,E", ("A", "B", "C", "D")),
    ],
)
def test_which_designs_stand_side_by_side(of: str, chosen: tuple[str, ...]) -> None:
    assert chosen_of(state_of("A", "B", "C", "D", "E"), of) == chosen


def test_a_wood_has_its_name_in_the_words_of_the_reader() -> None:
    assert wood_of("oak-european", catalogue("de")) == "Eiche"
    assert wood_of("an own wood", catalogue("en")) == "an own wood"
