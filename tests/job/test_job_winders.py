"""Jobs with winders and with handrails along walls."""

import math
from dataclasses import fields

import pytest

from pitchline.design.brief import Station
from pitchline.design.wall_brief import Backing, BracketBrief, CornerWay, EndWay, Stud, WallEnd, WallTurn
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.stair.edge import Spot
from pitchline.stair.facts import Support
from pitchline.stair.model import Side
from pitchline.stair.winder_facts import WinderFacts, WinderNosing, winder_faults

TEXT = starting_text("winders", Unit.MM)


def test_winders_are_told_from_their_corners() -> None:
    (winders,) = load_text(TEXT).winders
    assert (winders.id, winders.side, winders.lower, winders.leaves, winders.upper) == (
        "winders",
        Side.LEFT,
        "lower",
        6,
        "upper",
    )
    assert winders.turns == pytest.approx((math.radians(90.3),))
    assert (winders.widths, winders.newel) == ((868, 874), 90)
    assert winders.nosings[1] == WinderNosing(-26, -372, 188)
    assert winders.names == ("N6", "N7", "N8", "N9")
    assert list(winder_faults(winders)) == []
    usual = {field.name: field.default for field in fields(WinderFacts)}
    assert (winders.place_sigma, winders.turn_sigma) == (usual["place_sigma"], usual["turn_sigma"])


def test_uncertainties_of_winders_may_be_told() -> None:
    text = TEXT.replace("newel = 90\n", "newel = 90\nplace_sigma = 2\nturn_sigma_deg = 0.2\n")
    (winders,) = load_text(text).winders
    assert winders.place_sigma == 2
    assert winders.turn_sigma == pytest.approx(math.radians(0.2))


def test_the_flight_above_stands_on_the_last_winder() -> None:
    """Its own lower floor is the tread of the winders' last nosing but one: N8 here, of N6 to N9."""
    job = load_text(TEXT)
    assert [leg.facts.id for leg in job.flights] == ["lower", "upper"]
    assert job.flight("upper").facts.stands_on == Support("winders", 8)


def test_a_rail_along_walls() -> None:
    (rail,) = load_text(TEXT).wall_rails
    assert (rail.id, rail.side, rail.is_round) == ("W", Side.RIGHT, True)
    assert (rail.rail.width, rail.rail.height, rail.clear) == (45, None, None)
    lower, upper = rail.walls
    assert (lower.leg, lower.backing) == ("lower", Backing.MASONRY)
    assert lower.lean == pytest.approx(4 / 1500)
    assert (upper.backing, upper.lining, len(upper.studs)) == (Backing.STUDS, 12.5, 5)
    assert upper.studs[1] == Stud(Station("N1", -281))
    assert rail.turns == (WallTurn(CornerWay.LEVELLED, winders="winders"),)
    assert rail.bottom == rail.top == WallEnd(EndWay.RETURN)
    assert rail.brackets == BracketBrief()


def test_a_corner_without_winders_and_brackets_of_ones_own() -> None:
    text = TEXT.replace(
        'winders = "winders"\nway = "levelled"',
        'way = "mitred"\nturn = "left"\nleaves_offset = 950\njoins_offset = -940',
    )
    text += "\n[wall_rails.brackets]\napart = 700\nscrews = 2\n"
    (rail,) = load_text(text).wall_rails
    (turn,) = rail.turns
    assert turn.way is CornerWay.MITRED
    assert turn.angle == pytest.approx(math.pi / 2)
    assert (turn.leaves, turn.joins) == (Spot("N6", 950), Spot("N1", -940))
    assert (rail.brackets.apart, rail.brackets.screws) == (700, 2)


def test_a_job_may_ask_for_a_rail_along_the_wall_alone() -> None:
    start, rest = TEXT.index("[[designs]]"), TEXT.index("[[wall_rails]]")
    job = load_text(TEXT[:start] + TEXT[rest:])
    assert job.designs == ()
    assert len(job.wall_rails) == 1


BROKEN = {
    "no flight below": ('lower = "lower"', 'lower = "low"', "winders[0].lower", "no flight of this id"),
    "a nosing that is not there": (
        'lower = "lower"\n',
        'lower = "lower"\nleaves = 9\n',
        "winders[0].leaves",
        "no nosing 9",
    ),
    "a rise missing": (", rise = 190.5", "", "winders[0].nosings[2].rise", "needs its rise"),
    "a rise too many": (
        "outer = -951",
        "outer = -951, rise = 188",
        "winders[0].nosings[0].rise",
        "has its rise already",
    ),
    "nosings that cross": (
        "inner = 27",
        "inner = -40",
        "winders[0].nosings",
        "along the inner side N8 lies before N7",
    ),
    "a width missing": ("widths = [868, 874]", "widths = [868]", "winders[0].nosings", "one width more"),
    "a flight that stands elsewhere": (
        'stands_on = { flight = "winders" }',
        'stands_on = { flight = "lower" }',
        "flights[1].stands_on",
        'stands_on = { flight = "winders" }',
    ),
    "a nosing of winders": (
        'stands_on = { flight = "winders" }',
        'stands_on = { flight = "winders", nosing = 7 }',
        "flights[1].stands_on.nosing",
        "so nosing has no say",
    ),
    "no studs": (
        'leg = "lower"\nbacking = "masonry"',
        'leg = "lower"\nbacking = "studs"',
        "wall_rails[0].walls[0].studs",
        "no stud was found",
    ),
    "studs in brick": (
        'backing = "studs"',
        'backing = "masonry"',
        "wall_rails[0].walls[1].studs",
        "studs only mean something",
    ),
    "a stud at no point": (
        'at = "N3", offset = 66',
        'at = "N9", offset = 66',
        "wall_rails[0].walls[1].studs[3].at",
        "no nosing 9",
    ),
    "a wall beside nothing": (
        '[[wall_rails.walls]]\nleg = "upper"',
        '[[wall_rails.walls]]\nleg = "uper"',
        "wall_rails[0].walls[1].leg",
        'perhaps you mean "upper"',
    ),
    "a corner told twice": (
        'winders = "winders"\nway',
        'winders = "winders"\nturn = "left"\nway',
        "wall_rails[0].turns[0]",
        "winders and turn both say",
    ),
    "a corner not told": (
        'winders = "winders"\nway',
        "way",
        "wall_rails[0].turns[0]",
        "not said how the wall turns",
    ),
    "a place that winders tell": (
        'winders = "winders"\nway',
        'winders = "winders"\nleaves_offset = 20\nway',
        "wall_rails[0].turns[0].leaves_offset",
        "the winders say where",
    ),
    "a level piece of a mitre": (
        'way = "levelled"',
        'way = "mitred"\nlevel = 80',
        "wall_rails[0].turns[0].level",
        "level only means something",
    ),
    "a round rail with two sizes": (
        "width = 45\ndepth = 45",
        "width = 45\ndepth = 40",
        "wall_rails[0].handrail.depth",
        "as deep as it is wide",
    ),
    "a rail of a design's name": ('id = "W"', 'id = "A"', "wall_rails[0].id", "another design or wall rail"),
}


@pytest.mark.parametrize(("old", "new", "where", "words"), BROKEN.values(), ids=BROKEN)
def test_contradictions_of_winders_and_wall_rails(old: str, new: str, where: str, words: str) -> None:
    assert old in TEXT
    with pytest.raises(InputError) as caught:
        load_text(TEXT.replace(old, new, 1))
    told = {fault.where: fault for fault in caught.value.faults}
    assert where in told, told
    assert words in told[where].sentence()
    assert told[where].line is not None
