"""The drawings of a wall rail: every bracket, stud and nosing is on them, and every case fits its sheet."""

import pytest
from tests.strategies_walls import (
    landing_stair,
    one_wall,
    straight_stair,
    wall_over_winders,
    wall_round_landing,
    winder_stair,
)

from pitchline.catalogue.rules import load_rule_set
from pitchline.design.wall_brief import CornerWay, WallRailBrief
from pitchline.design.wall_legs import Surroundings
from pitchline.design.wallrail import compose_wall_rail
from pitchline.kit.drawing.marks import Label, RunningMarks
from pitchline.kit.units import Unit
from pitchline.parts.wallrail import wall_rail_parts
from pitchline.sheets.drawings import Style
from pitchline.sheets.wallrailsheets import wall_rail_sheets
from pitchline.sheets.wallrailview import datum_of, wall_elevation, wall_plan
from pitchline.stair.model import Side

ENGLAND = load_rule_set("england-dwelling")
CASES = [
    (one_wall(), straight_stair()),
    (one_wall(side=Side.LEFT), straight_stair()),
    (wall_over_winders(), winder_stair()),
    (wall_over_winders(CornerWay.BROKEN), winder_stair()),
    (wall_round_landing(), landing_stair()),
]


def show(mm: float) -> str:
    return f"{mm:.0f}"


@pytest.mark.parametrize(("brief", "around"), CASES)
def test_every_bracket_is_drawn_and_marked(brief: WallRailBrief, around: Surroundings) -> None:
    rail = compose_wall_rail(brief, around, ENGLAND)
    parts = wall_rail_parts(rail)
    names = {bracket.id for bracket in rail.brackets}
    for drawing in (wall_elevation(rail, parts, show, 25.0), wall_plan(rail, parts, show, 25.0)):
        assert names <= {mark.text for mark in drawing.marks if isinstance(mark, Label)}
    elevation = wall_elevation(rail, parts, show, 25.0)
    texts = [text for mark in elevation.marks if isinstance(mark, RunningMarks) for text in mark.texts]
    expected = [show(abs(bracket.u - datum_of(rail, bracket.leg)[0])) for bracket in rail.brackets]
    assert sorted(texts) == sorted(expected)


def test_a_wall_on_the_right_climbs_to_the_left() -> None:
    right, left = (
        wall_elevation(rail, wall_rail_parts(rail), show, 25.0)
        for rail in (
            compose_wall_rail(one_wall(side=s), straight_stair(), ENGLAND) for s in (Side.RIGHT, Side.LEFT)
        )
    )
    places = [
        {mark.text: mark.at[0] for mark in drawing.marks if isinstance(mark, Label)}
        for drawing in (right, left)
    ]
    assert places[0]["B4"] < places[0]["B1"]
    assert places[1]["B4"] > places[1]["B1"]


@pytest.mark.parametrize(("brief", "around"), CASES)
@pytest.mark.parametrize("unit", list(Unit))
def test_every_case_fits_its_sheets(brief: WallRailBrief, around: Surroundings, unit: Unit) -> None:
    rail = compose_wall_rail(brief, around, ENGLAND)
    style = Style(unit, "A3" if unit is Unit.MM else "Tabloid", True)
    sheets = list(wall_rail_sheets(rail, wall_rail_parts(rail), style))
    assert [sheet.page.title for sheet in sheets] == [
        f"Wall rail {rail.id}: elevation",
        f"Wall rail {rail.id}: plan",
    ]
    assert all(len(sheet.page.views) == 2 for sheet in sheets)
