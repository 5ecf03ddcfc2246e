"""The built-in rules against the published clauses, value by value, as read in the sources named.

The tables of each place stand in tests/catalogue/published_*.py, with their sources. The expected numbers are the
published ones, never the program's output; a set that differs from its table in one figure, word, clause or status
by the smallest step fails here.
"""

import math
from dataclasses import replace
from typing import get_args

import pytest
from tests.catalogue.published import Row, assert_agrees, resolved
from tests.catalogue.published_britain import TABLES as BRITAIN
from tests.catalogue.published_europe import TABLES as EUROPE
from tests.catalogue.published_usa import TABLES as USA
from tests.catalogue.published_wide import TABLES as WIDE

from pitchline.catalogue.boards import load_board, plywood_thickness_range
from pitchline.catalogue.rules import FIGURES, Figure, list_rule_sets, load_rule_set
from pitchline.catalogue.timber import load_timber
from pitchline.kit.finding import Compare

TABLES = {**BRITAIN, **USA, **WIDE, **EUROPE}
PLACES = list_rule_sets()


def rows_of(rules_id: str) -> dict[str, Row]:
    return resolved(TABLES, rules_id)


def test_every_set_has_its_table() -> None:
    assert set(TABLES) == set(PLACES)
    for rules_id, table in TABLES.items():
        assert load_rule_set(rules_id).parent == table.parent


@pytest.mark.parametrize("rules_id", PLACES)
def test_each_place_as_published(rules_id: str) -> None:
    """Every figure and word of a set: number, unit, comparison, clause, status, verdicts at the edge."""
    assert_agrees(load_rule_set(rules_id), rows_of(rules_id))


def steps_of(figure: Figure) -> tuple[float, ...]:
    """The smallest step by which a figure may go wrong, up and down, in the program's unit."""
    number, _, unit = figure.written.rpartition(" ")
    step = {"mm": 0.1, "in": 25.4 / 64.0, "deg": 0.1}.get(unit)
    if unit == "in" and "." in number:
        step = 25.4 / 1000.0
    if step is None:
        step = 1.0 if figure.unit == "" and figure.value >= 1.0 else figure.value / 100.0
    return (step, -step)


@pytest.mark.parametrize("rules_id", PLACES)
def test_no_figure_can_change_unseen(rules_id: str) -> None:
    """A figure moved by 0.1 mm, 1/64 in, one riser or one part in a hundred disagrees with the tables."""
    rules, rows = load_rule_set(rules_id), rows_of(rules_id)
    for figure_id, figure in rules.figures.items():
        others = [compare for compare in get_args(Compare) if compare != figure.compare]
        wrong = [replace(figure, value=figure.value + step) for step in steps_of(figure)]
        wrong += [replace(figure, compare=compare) for compare in others]
        wrong += [
            replace(figure, clause=f"{figure.clause}0"),
            replace(figure, status="CP" if figure.status != "CP" else "M"),
        ]
        for moved in wrong:
            changed = replace(rules, figures={**rules.figures, figure_id: moved})
            with pytest.raises(AssertionError):
                assert_agrees(changed, rows)


@pytest.mark.parametrize("rules_id", PLACES)
def test_no_word_can_change_and_nothing_be_lost_unseen(rules_id: str) -> None:
    rules, rows = load_rule_set(rules_id), rows_of(rules_id)
    for choice_id, choice in rules.choices.items():
        for word in FIGURES[choice_id].words:
            if word != choice.word:
                changed = replace(rules, choices={**rules.choices, choice_id: replace(choice, word=word)})
                with pytest.raises(AssertionError):
                    assert_agrees(changed, rows)
    for figure_id in rules.figures:
        fewer = {other: figure for other, figure in rules.figures.items() if other != figure_id}
        with pytest.raises(AssertionError):
            assert_agrees(replace(rules, figures=fewer), rows)


@pytest.mark.parametrize(
    ("figure_id", "printed"),
    [
        # The millimetres the code prints in brackets (IRC 2021), rounded there to the whole mm.
        ("guard.needed.drop", 762),
        ("guard.needed.within", 914),
        ("guard.landing.height", 914),
        ("guard.flight.height", 864),
        ("handrail.height.max", 965),
        ("opening.general", 102),
        ("opening.stair", 111),
        ("opening.triangle", 152),  # some adopted copies print 153
        ("handrail.clear.wall", 38),
        ("handrail.projection", 114),
        ("handrail.projection.nosing", 165),
        ("handrail.grip.round.min", 32),
        ("handrail.grip.round.max", 51),
        ("handrail.grip.perimeter.min", 102),
        ("handrail.grip.across", 57),
        ("stair.rise.max", 197),  # some adopted copies print 196
        ("stair.going.min", 254),
        ("stair.headroom.min", 2032),
        ("stair.flight_rise.max", 3835),
    ],
)
def test_the_printed_millimetres_are_the_rounded_inches(figure_id: str, printed: int) -> None:
    assert load_rule_set("us-irc-2021").require(figure_id).value_mm == pytest.approx(printed, abs=0.5)


def test_usa_loads_agree_with_the_kilonewtons_in_print() -> None:
    rules = load_rule_set("us-irc-2021")  # Table R301.5 with notes d, f, h
    assert rules.require("load.top.point").value == pytest.approx(890, abs=5)  # 200 lb printed as 0.89 kN
    assert rules.require("load.infill.point").value == pytest.approx(220, abs=5)  # 50 lb printed as 0.22 kN
    assert rules.require("load.infill.area").value == pytest.approx(0.093e6, abs=0.5e3)  # 1 sq ft, 0.093 m2
    assert rules.require("load.glass.factor").value == 4
    assert rules.figure("load.line") is None  # 50 lb/ft is not asked of one- and two-family dwellings


def test_usa_deflection_is_advice_after_astm_e985() -> None:
    # ASTM E985, second hand: post h/12; rail h/24 + L/96. For h 914, L 1829 mm: 76.2 and 57.1 mm.
    rules = load_rule_set("us-irc-2021")
    height, span = 914.0, 1829.0
    post = height * rules.require("deflection.post.height").value
    middle = height * rules.require("deflection.rail.height").value
    middle += span * rules.require("deflection.rail.span").value
    assert (post, middle) == pytest.approx((76.2, 57.1), abs=0.05)
    assert span * rules.require("deflection.rail.vertical").value == pytest.approx(19.05, abs=0.05)
    assert rules.require("deflection.post.height").status == "V-S"


def test_words_as_the_codes_have_them() -> None:
    england, usa = load_rule_set("england-dwelling"), load_rule_set("us-irc-2021")
    assert england.word("opening.triangle.mode", "") == "same"  # AD K 1.39: any opening
    assert usa.word("opening.triangle.mode", "") == "sphere"  # R312.1.3 exception 1
    assert england.word("climb.mode", "") == "not readily"  # AD K 1.39, 3.3
    assert usa.word("climb.mode", "") == "none"
    assert usa.word("opening.applies", "") == "required"  # up to the height a guard needs
    assert england.word("opening.applies", "") == "all"
    assert england.word("load.line.at", "") == "fixed height"


def test_england_table_excludes_largest_rise_with_smallest_going() -> None:
    # AD K Table 1.1, note 1: the pitch may not exceed 42 degrees, so 220 on 220 (45 degrees) is out.
    rules = load_rule_set("england-dwelling")
    steepest = math.degrees(
        math.atan2(rules.require("stair.rise.max").value_mm, rules.require("stair.going.min").value_mm)
    )
    assert steepest == pytest.approx(45.0)
    assert steepest > rules.require("stair.pitch.max").value


WOOD_HANDBOOK = [
    # FPL-GTR-190: shrinkage green to oven dry, radial and tangential, % (table 4-3); coefficients (table 13-5)
    ("ash-white", 4.9, 7.8, 0.00169, 0.00274),
    ("beech-american", 5.5, 11.9, 0.00190, 0.00431),
    ("birch-yellow", 7.3, 9.5, 0.00256, 0.00338),
    ("birch-paper", 6.3, 8.6, 0.00219, 0.00304),
    ("cherry-black", 3.7, 7.1, 0.00126, 0.00248),
    ("maple-hard", 4.8, 9.9, 0.00165, 0.00353),
    ("walnut-black", 5.5, 7.8, 0.00190, 0.00274),
    ("pine-southern", 4.6, 7.7, 0.00158, 0.00271),  # from memory
]


@pytest.mark.parametrize(("timber_id", "radial", "tangential", "c_radial", "c_tangential"), WOOD_HANDBOOK)
def test_movement_agrees_with_the_handbook_and_its_formula(
    timber_id: str, radial: float, tangential: float, c_radial: float, c_tangential: float
) -> None:
    """Printed coefficients, and 1 / (3000 / S - 30 + M) at M = 10 % (the formula from memory)."""
    timber = load_timber(timber_id)
    assert timber.movement_radial is not None and timber.movement_tangential is not None
    assert timber.movement_radial.value == c_radial
    assert timber.movement_tangential.value == c_tangential
    assert 1.0 / (3000.0 / radial - 20.0) == pytest.approx(c_radial, abs=2e-5)
    assert 1.0 / (3000.0 / tangential - 20.0) == pytest.approx(c_tangential, abs=2e-5)


EUROPEAN = [
    # shrinkage green to oven dry, %: beech from a published sheet, the others from memory
    ("pine-european", 5.2, 8.3),
    ("spruce-european", 3.9, 8.2),
    ("oak-european", 4.7, 8.9),
    ("ash-european", 5.7, 9.6),
    ("beech-european", 5.7, 11.6),
]


@pytest.mark.parametrize(("timber_id", "radial", "tangential"), EUROPEAN)
def test_movement_of_european_species_follows_the_formula(
    timber_id: str, radial: float, tangential: float
) -> None:
    timber = load_timber(timber_id)
    assert timber.movement_radial is not None and timber.movement_tangential is not None
    assert timber.movement_radial.value == pytest.approx(1.0 / (3000.0 / radial - 20.0), abs=5e-6)
    assert timber.movement_tangential.value == pytest.approx(1.0 / (3000.0 / tangential - 20.0), abs=5e-6)


@pytest.mark.parametrize(
    ("timber_id", "gravity"),
    [
        ("oak-white", 0.68),
        ("oak-red", 0.63),
        ("maple-hard", 0.63),
        ("douglas-fir", 0.48),
        ("cherry-black", 0.50),
    ],
)
def test_density_follows_specific_gravity(timber_id: str, gravity: float) -> None:
    # Wood Handbook table 5-3: oven-dry mass on volume at 12 % moisture, so 1000 G (1 + 0.12) kg/m3.
    assert load_timber(timber_id).density.value == pytest.approx(1000.0 * gravity * 1.12, abs=0.05)


@pytest.mark.parametrize(
    ("nominal", "over", "under"), [(12, 0.5, 0.7), (18, 0.7, 0.9), (24, 0.9, 1.1), (30, 1.1, 1.3)]
)
def test_plywood_tolerance_as_a_mill_prints_it(nominal: int, over: float, under: float) -> None:
    # A mill's table after EN 315 for sanded panels, printed to 0.1 mm (second hand).
    low, high = plywood_thickness_range(float(nominal))
    assert high - nominal == pytest.approx(over, abs=0.0601)
    assert nominal - low == pytest.approx(under, abs=0.0601)


def test_an_18_mm_birch_board_is_thinner_than_its_name() -> None:
    real = load_board("birch-plywood-18").real  # a published sheet: 17.1 to 18.1 mm
    assert (real.low, real.high) == (17.1, 18.1)
