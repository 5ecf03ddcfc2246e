"""The places side by side: what a private dwelling, or the use named, must answer, typed anew from the sources.

A second entry of the chief figures, independent of the tables place by place: a slip in either shows here. Sources:
Approved Document K 2013 and 1998, Technical Standards (Scotland) 1999, TGD K 2014 (second hand), IRC and IBC 2021,
NBC 2020 9.8, OBC 9.8, NCC 2022 Housing Provisions, F4/AS1, DIN 18065, NF P01-012:1988, DB-SUA 2022, Bbl, BBR 19,
TEK17. A dash means that the place states no such figure, or that it was not seen.
"""

import pytest

from pitchline.catalogue.rules import load_rule_set

INCH = 25.4

MATRIX = [
    # rules, drop that wants guarding, flight, landing, handrail from, to, ball beside a flight, line load in kN/m
    ("england-dwelling", ">600", 900, 900, 900, 1000, "<100", 0.36),
    ("england-common-parts", "-", 900, 1100, 900, 1000, "<100", 0.74),
    ("england-other", "-", 900, 1100, 900, 1000, "<100", 0.74),
    ("wales-dwelling", ">600", 900, 900, 900, 1000, "<100", 0.36),
    ("scotland-dwelling", ">=600", 840, 900, 840, 1000, "<100", 0.36),
    ("ireland-dwelling", ">600", 900, 900, 900, 1000, "<100", None),
    ("us-irc-2021", ">762", 34 * INCH, 36 * INCH, 34 * INCH, 38 * INCH, "<111.125", None),
    ("us-irc-2024", ">762", 34 * INCH, 36 * INCH, 34 * INCH, 38 * INCH, "<111.125", None),
    ("us-ibc-2021", ">762", 42 * INCH, 42 * INCH, 34 * INCH, 38 * INCH, "<101.6", 0.7297),
    ("us-ibc-2024", ">762", 42 * INCH, 42 * INCH, 34 * INCH, 38 * INCH, "<101.6", 0.7297),
    ("canada-nbc-2020", ">600", 900, 900, 865, 1070, "<100", 0.5),
    ("ontario-obc", ">600", 900, 900, 865, 1070, "<100", 0.5),
    ("australia-ncc-2022", ">=1000", 865, 1000, 865, None, "<125", 0.35),
    ("new-zealand-nzbc", ">=1000", 900, 1000, 900, 1000, "<100", 0.35),
    ("germany-din-18065", ">1000", 900, 900, 800, 1150, "<=120", 0.5),
    ("france-nf-p01-012-1988", ">=1000", 900, 1000, None, None, "<=110", 0.6),
    ("spain-db-sua", ">550", 900, 900, None, None, "<100", 0.8),
    ("netherlands-bbl", ">1000", 850, 1000, 800, 1000, "<100", None),
    ("sweden-bbr", ">500", 900, 900, 900, None, "<=100", None),
    ("norway-tek17", "-", 900, 1000, 800, 900, "<=100", None),
]

SIGNS = {"lt": "<", "le": "<=", "gt": ">", "ge": ">="}


def stated(rules_id: str, *figure_ids: str) -> str:
    """The first of some figures that a set states, with its sign, such as "<100"; a dash where it states none."""
    found = [figure for figure_id in figure_ids if (figure := load_rule_set(rules_id).figure(figure_id))]
    return f"{SIGNS[found[0].compare]}{found[0].value:g}" if found else "-"


def number(rules_id: str, figure_id: str) -> float | None:
    figure = load_rule_set(rules_id).figure(figure_id)
    return None if figure is None else figure.value


def same(held: float | None, published: float | None) -> bool:
    """Whether a set states the published number (to four places), or neither states one."""
    if held is None or published is None:
        return held is published
    return held == pytest.approx(published, rel=1e-12, abs=5e-5)


@pytest.mark.parametrize(("rules_id", "drop", "flight", "landing", "low", "high", "ball", "line"), MATRIX)
def test_chief_figures(
    rules_id: str,
    drop: str,
    flight: float,
    landing: float,
    low: float | None,
    high: float | None,
    ball: str,
    line: float | None,
) -> None:
    assert stated(rules_id, "guard.needed.drop") == drop
    assert same(number(rules_id, "guard.flight.height"), flight)
    assert same(number(rules_id, "guard.landing.height"), landing)
    assert same(number(rules_id, "handrail.height.min"), low)
    assert same(number(rules_id, "handrail.height.max"), high)
    assert stated(rules_id, "opening.stair", "opening.general") == ball
    assert same(number(rules_id, "load.line"), line)  # 50 lb/ft is 0.7297 kN/m


TRIANGLES = [
    # rules, mode, ball or cube where it has a limit of its own, underside of the rail above the nosings
    ("england-dwelling", "same", "<100", None),
    ("wales-dwelling", "same", "<100", None),
    ("scotland-dwelling", "exempt_if_rail_within", "<100", 50),
    ("ireland-dwelling", "exempt_if_rail_within", "<100", 50),
    ("us-irc-2021", "sphere", "<152.4", None),
    ("us-ibc-2021", "sphere", "<152.4", None),
    ("canada-nbc-2020", "sphere", "<150", None),
    ("ontario-obc", "same", "<100", None),
    ("australia-ncc-2022", "not_below_nosing_line", "-", None),
    ("new-zealand-nzbc", "sphere", "<150", None),
    ("germany-din-18065", "cube", "<150", None),
    ("france-nf-p01-012-1988", "exempt_if_rail_within", "-", 50),
    ("spain-db-sua", "exempt_if_rail_within", "<100", 50),
    ("sweden-bbr", "exempt_if_rail_within", "-", 50),
]


@pytest.mark.parametrize(("rules_id", "mode", "ball", "within"), TRIANGLES)
def test_the_triangle_beside_a_step(rules_id: str, mode: str, ball: str, within: float | None) -> None:
    assert load_rule_set(rules_id).word("opening.triangle.mode", "") == mode
    assert stated(rules_id, "opening.triangle") == ball
    assert number(rules_id, "opening.triangle.rail_within") == within


CLIMBING = [
    # rules, word, foot and head of the zone, drop from which it binds
    ("england-dwelling", "not readily", None, None, "-"),
    ("us-irc-2021", "none", None, None, "-"),
    ("us-ibc-2021", "none", None, None, "-"),
    ("canada-nbc-2020", "zone", 140, 900, ">4200"),
    ("ontario-obc", "zone", 140, 900, "-"),  # at any drop
    ("australia-ncc-2022", "zone", 150, 760, ">4000"),
    ("new-zealand-nzbc", "not readily", None, None, "-"),
    ("germany-din-18065", "not readily", None, None, "-"),
    ("spain-db-sua", "zone", 300, 500, "-"),
    ("netherlands-bbl", "zone", 200, 700, "-"),
    ("sweden-bbr", "not readily", None, None, "-"),
    ("norway-tek17", "not readily", None, None, "-"),
]


@pytest.mark.parametrize(("rules_id", "word", "foot", "head", "drop"), CLIMBING)
def test_climbing(rules_id: str, word: str, foot: float | None, head: float | None, drop: str) -> None:
    assert load_rule_set(rules_id).word("climb.mode", "") == word
    assert number(rules_id, "climb.zone.from") == foot
    assert number(rules_id, "climb.zone.to") == head
    assert stated(rules_id, "climb.zone.drop") == drop


def test_heights_up_to_which_climbing_is_made_hard() -> None:
    assert number("germany-din-18065", "climb.up_to") == 700  # DIN 18065, or the handrail 150 mm inside
    assert number("germany-din-18065", "climb.inset") == 150
    assert number("sweden-bbr", "climb.up_to") == 800  # BBR 8:2321


@pytest.mark.parametrize(
    ("rules_id", "above", "part", "height"),
    [
        ("germany-din-18065", 12_000, "flight", 1100),  # DIN 18065: drops of more than 12 m
        ("spain-db-sua", 6_000, "landing", 1100),  # SUA 1 3.2.1: more than 6 m
        ("netherlands-bbl", 13_000, "landing", 1200),  # from memory
        ("norway-tek17", 10_000, "landing", 1200),  # from memory
        ("canada-nbc-2020", 1_800, "balcony", 1070),  # 9.8.8.3: outside, more than 1.8 m over the ground
        ("ontario-obc", 1_800, "balcony", 1070),
    ],
)
def test_greater_heights_over_deep_drops(rules_id: str, above: float, part: str, height: float) -> None:
    assert stated(rules_id, "guard.drop_band.1.above") == f">{above}"
    assert number(rules_id, f"guard.drop_band.1.{part}") == height


def test_two_bands_in_ontario() -> None:
    # OBC 9.8.8.3: outside stairs and landings more than 10 m up have 1500 mm
    assert stated("ontario-obc", "guard.drop_band.2.above") == ">10000"
    assert number("ontario-obc", "guard.drop_band.2.balcony") == 1500
    assert number("canada-nbc-2020", "guard.drop_band.2.balcony") is None


def test_the_upper_zone_of_a_high_guard() -> None:
    # IBC 1015.4 exception 1: from 36 to 42 in a ball of 4 3/8 in
    for rules_id in ("us-ibc-2021", "us-ibc-2024"):
        assert number(rules_id, "opening.upper") == pytest.approx(4.375 * INCH)
        assert number(rules_id, "opening.upper.from") == pytest.approx(36 * INCH)
        assert number(rules_id, "opening.upper.to") == pytest.approx(42 * INCH)
        assert number(rules_id, "opening.upper.to") == number(rules_id, "guard.flight.height")


@pytest.mark.parametrize("perimeter, clearance", [(4.0, 1.5), (5.0, 1.25), (6.0, 1.0), (6.25, 0.9375)])
@pytest.mark.parametrize("rules_id", ["us-ada-2010", "us-ibc-2021", "us-ibc-2024"])
def test_clear_space_below_a_thicker_handrail(rules_id: str, perimeter: float, clearance: float) -> None:
    """Guide to the ADA standards, 505.6: 1 1/2 in, less 1/8 in for each 1/2 in of way round above 4 in."""
    rules = load_rule_set(rules_id)
    steps = (perimeter * INCH - rules.require("handrail.grip.perimeter.min").value_mm) / rules.require(
        "handrail.clear.below.per"
    ).value_mm
    least = rules.require("handrail.clear.below").value_mm
    least -= steps * rules.require("handrail.clear.below.less").value_mm
    assert least == pytest.approx(clearance * INCH)


@pytest.mark.parametrize("rules_id", ["new-zealand-nzbc", "australia-ncc-2022"])
def test_from_which_spacing_the_line_load_governs(rules_id: str) -> None:
    # Build 107, figure 1: 0.6 kN equals 0.35 kN/m on posts 1.7 m apart
    point, line = number(rules_id, "load.top.point"), number(rules_id, "load.line")
    assert point is not None and line is not None
    assert point / line == pytest.approx(1700.0, abs=50.0)


def test_scotland_excludes_largest_rise_with_smallest_going() -> None:
    # Technical Standards S3.3, note 2: the largest rise on the smallest going is too steep
    rules = load_rule_set("scotland-dwelling")
    rise, going = rules.require("stair.rise.max").value_mm, rules.require("stair.going.min").value_mm
    assert rise / going > 0.9004  # tan 42 degrees
    assert rules.require("stair.pitch.max").value == 42


def test_both_sides_always() -> None:
    for rules_id in ("england-common-parts", "us-ibc-2021", "us-ada-2010", "sweden-bbr", "norway-tek17"):
        assert number(rules_id, "handrail.sides") == 2
        assert number(rules_id, "handrail.both_sides.width") is None


def test_limits_of_openings_that_end_at_a_height() -> None:
    assert stated("norway-tek17", "opening.up_to") == "<=750"  # TEK17 12-15(5)
    assert stated("netherlands-bbl", "opening.up_to") == "<=700"  # from memory
    assert stated("netherlands-bbl", "opening.above") == "<200"  # from memory


def test_what_is_not_known_is_not_stated() -> None:
    # The revision of November 2024 was not seen.
    rules = load_rule_set("france-nf-p01-012-2024")
    assert rules.status == "unknown"
    assert not rules.figures and not rules.choices
    assert any("No figure of this edition was seen" in note.text for note in rules.notes)
    assert load_rule_set("france-nf-p01-012-1988").status == "superseded"


def test_the_figures_of_2025_are_notes_in_the_set_of_2022() -> None:
    rules = load_rule_set("australia-ncc-2022")
    (note,) = rules.notes_on("next edition")
    assert all(size in note.text for size in ("130 to 225", "215 to 355", "540 to 700"))
    assert (number(rules.id, "stair.rise.max"), number(rules.id, "stair.going.min")) == (190, 240)
