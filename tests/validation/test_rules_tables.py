"""The built-in rules against the published clauses, value by value, as read in the sources named.

Approved Document K (England) 2013: Table 1.1, Diagrams 1.1 and 3.1, clauses 1.34 to 1.41 and 3.1 to 3.3.
BS 6180:2011, Table 2 row i. International Residential Code 2021: sections R301.5, R308.4.4, R311.7, R312.
International Residential Code 2024: sections R318.7, R320, R321, R324.4.4.
"read" = seen in the text or a copy of its page; "second hand" = through a guide or another edition;
"memory" = not seen. The expected numbers are the published ones, never the program's output.
"""

import math

import pytest

from pitchline.catalogue.boards import load_board, plywood_thickness_range
from pitchline.catalogue.rules import load_rule_set
from pitchline.catalogue.timber import load_timber

STATUS = {"read": "V-P", "second hand": "V-S", "memory": "M"}

ENGLAND = [
    # id, number in mm, deg, N, N/mm, MPa or plain, what must hold, clause, how known
    ("guard.needed.drop", 600, "gt", "AD K 1.41", "read"),
    ("guard.flight.height", 900, "ge", "AD K Diagram 3.1", "read"),
    ("guard.landing.height", 900, "ge", "AD K Diagram 3.1", "read"),
    ("guard.balcony.height", 1100, "ge", "AD K Diagram 3.1", "read"),
    ("handrail.height.min", 900, "ge", "AD K 1.34", "second hand"),
    ("handrail.height.max", 1000, "le", "AD K 1.34", "second hand"),
    ("handrail.both_sides.width", 1000, "ge", "AD K 1.34 to 1.37", "second hand"),
    ("handrail.exempt.bottom_steps", 2, "le", "AD K 1.37", "second hand"),
    ("handrail.clear.wall", 25, "ge", "NHBC 6.6.10", "second hand"),
    ("opening.general", 100, "lt", "AD K 1.39, 3.3", "read"),
    ("opening.stair", 100, "lt", "AD K 1.39", "read"),
    ("opening.triangle", 100, "lt", "AD K 1.39", "read"),
    ("opening.riser", 100, "lt", "AD K 1.9", "second hand"),
    ("stair.rise.min", 150, "ge", "AD K Table 1.1", "read"),
    ("stair.rise.max", 220, "le", "AD K Table 1.1", "read"),
    ("stair.going.min", 220, "ge", "AD K Table 1.1", "read"),
    ("stair.going.max", 300, "le", "AD K Table 1.1", "read"),
    ("stair.pitch.max", 42, "le", "AD K Table 1.1, note 1", "read"),
    ("stair.two_rise_going.min", 550, "ge", "AD K Table 1.1", "read"),
    ("stair.two_rise_going.max", 700, "le", "AD K Table 1.1", "read"),
    ("stair.first_rise.less", 12, "le", "NHBC 6.6", "second hand"),
    ("stair.overlap.min", 16, "ge", "AD K Diagram 1.1", "read"),
    ("stair.headroom.min", 2000, "ge", "AD K section 1, headroom", "second hand"),
    ("glass.containment", 800, "ge", "AD K Diagram 3.1", "read"),
    ("load.line", 0.36, "ge", "BS 6180 Table 2, row i", "read"),  # kN/m = N/mm
    ("load.infill.pressure", 0.5e-3, "ge", "BS 6180 Table 2, row i", "read"),  # 0.5 kN/m2
    ("load.infill.point", 250, "ge", "BS 6180 Table 2, row i", "read"),  # 0.25 kN
    ("load.line.height", 1100, "ge", "BS 6180 6.3, Figure 1", "second hand"),
    ("load.factor", 1.5, "ge", "BS EN 1990 Table NA.A1.2", "memory"),
    ("load.fixing.factor", 1.5, "ge", "BS 6180 6.5", "second hand"),
    ("deflection.any", 25, "le", "BS 6180 6.4.1", "second hand"),
]

USA = [
    # id, inches, what must hold, clause of 2021, clause of 2024; all read
    ("guard.needed.drop", 30, "gt", "R312.1.1", "R321.1.1"),
    ("guard.needed.within", 36, "le", "R312.1.1", "R321.1.1"),
    ("guard.landing.height", 36, "ge", "R312.1.2", "R321.1.2"),
    ("guard.flight.height", 34, "ge", "R312.1.2, exception 1", "R321.1.2, exception 1"),
    ("guard.top.min", 34, "ge", "R312.1.2, exception 2", "R321.1.2, exception 2"),
    ("guard.top.max", 38, "le", "R312.1.2, exception 2", "R321.1.2, exception 2"),
    ("opening.general", 4, "lt", "R312.1.3", "R321.1.3"),
    ("opening.triangle", 6, "lt", "R312.1.3, exception 1", "R321.1.3, exception 1"),
    ("opening.stair", 4 + 3 / 8, "lt", "R312.1.3, exception 2", "R321.1.3, exception 2"),
    ("handrail.height.min", 34, "ge", "R311.7.8.1", "R320.2"),
    ("handrail.height.max", 38, "le", "R311.7.8.1", "R320.2"),
    ("handrail.projection", 4.5, "le", "R311.7.8.2", "R320.3"),
    ("handrail.projection.nosing", 6.5, "le", "R311.7.8.2", "R320.3"),
    ("handrail.clear.wall", 1.5, "ge", "R311.7.8.3", "R320.4"),
    ("handrail.grip.round.min", 1.25, "ge", "R311.7.8.5, Type I", "R320.6, Type I"),
    ("handrail.grip.round.max", 2, "le", "R311.7.8.5, Type I", "R320.6, Type I"),
    ("handrail.grip.perimeter.min", 4, "ge", "R311.7.8.5, Type I", "R320.6, Type I"),
    ("handrail.grip.perimeter.max", 6.25, "le", "R311.7.8.5, Type I", "R320.6, Type I"),
    ("handrail.grip.across", 2.25, "le", "R311.7.8.5, Type I", "R320.6, Type I"),
    ("handrail.grip.edge_radius", 0.01, "ge", "R311.7.8.5", "R320.6"),
    ("handrail.grip.recess.top", 3 / 4, "le", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.recess.depth", 5 / 16, "ge", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.recess.within", 7 / 8, "le", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.recess.run", 3 / 8, "ge", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.recess.level", 1.75, "ge", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.above_recess.min", 1.25, "ge", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("handrail.grip.above_recess.max", 2.75, "le", "R311.7.8.5, Type II", "R320.6, Type II"),
    ("stair.rise.max", 7.75, "le", "R311.7.5.1", "R318.7.5.1"),
    ("stair.rise.variation", 3 / 8, "le", "R311.7.5.1", "R318.7.5.1"),
    ("stair.going.min", 10, "ge", "R311.7.5.2", "R318.7.5.2"),
    ("stair.going.variation", 3 / 8, "le", "R311.7.5.2", "R318.7.5.2"),
    ("stair.winder.going", 10, "ge", "R311.7.5.2", "R318.7.5.2"),
    ("stair.winder.narrow", 6, "ge", "R311.7.5.2", "R318.7.5.2"),
    ("stair.nosing.min", 0.75, "ge", "R311.7.5.3", "R318.7.5.3"),
    ("stair.nosing.max", 1.25, "le", "R311.7.5.3", "R318.7.5.3"),
    ("stair.nosing.below", 11, "lt", "R311.7.5.3", "R318.7.5.3"),
    ("stair.nosing.radius", 9 / 16, "le", "R311.7.5.3", "R318.7.5.3"),
    ("stair.headroom.min", 6 * 12 + 8, "ge", "R311.7.2", "R318.7.2"),
    ("stair.width.min", 36, "ge", "R311.7.1", "R318.7.1"),
    ("stair.width.one_rail", 31.5, "ge", "R311.7.1", "R318.7.1"),
    ("stair.width.two_rails", 27, "ge", "R311.7.1", "R318.7.1"),
    ("stair.flight_rise.max", 12 * 12 + 7, "le", "R311.7.3", "R318.7.3"),
    ("opening.riser", 4, "lt", "R311.7.5.1", "R318.7.5.1"),
    ("opening.riser.above", 30, "gt", "R311.7.5.1", "R318.7.5.1"),
]


@pytest.mark.parametrize(("figure_id", "number", "compare", "clause", "known"), ENGLAND)
def test_england(figure_id: str, number: float, compare: str, clause: str, known: str) -> None:
    figure = load_rule_set("england-dwelling").require(figure_id)
    assert figure.value == pytest.approx(number, rel=1e-12)
    assert (figure.compare, figure.clause, figure.status) == (compare, clause, STATUS[known])


@pytest.mark.parametrize(("figure_id", "inches", "compare", "clause", "later"), USA)
def test_usa(figure_id: str, inches: float, compare: str, clause: str, later: str) -> None:
    for rules_id, where in (("us-irc-2021", clause), ("us-irc-2024", later)):
        figure = load_rule_set(rules_id).require(figure_id)
        assert figure.value_mm == pytest.approx(inches * 25.4, rel=1e-12)
        assert (figure.compare, figure.clause, figure.status) == (compare, where, "V-P")


def test_usa_counts_and_angles() -> None:
    for rules_id in ("us-irc-2021", "us-irc-2024"):
        rules = load_rule_set(rules_id)
        assert rules.require("handrail.needed.risers").value == 4  # R311.7.8, R318.7.8: four risers or more
        assert rules.require("handrail.sides").value == 1
        assert rules.require("stair.riser.lean").value == 30  # R311.7.5.1: degrees from plumb
        assert rules.require("glass.rail.panels").value == 3  # R308.4.4, R324.4.4
    assert load_rule_set("us-irc-2024").require("handrail.return.gap").value_mm == 6.35  # R320.5: 1/4 in


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
