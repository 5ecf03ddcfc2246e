"""The plan of winders: every nosing, going and place is on it, and a mirrored stair gives a mirrored drawing."""

import math
from dataclasses import replace

import pytest
from tests.strategies_winders import radiating

from pitchline.catalogue.rules import load_rule_set
from pitchline.kit.drawing.marks import ArcMark, Label, RunningMarks, Stroke
from pitchline.kit.units import Unit
from pitchline.sheets.drawings import Style
from pitchline.sheets.windersheet import walked_lines, winder_plan, winder_sheet
from pitchline.stair.model import Side
from pitchline.stair.winders import build_winders

FACTS = radiating([math.radians(30.0 * k) for k in range(4)], inner=(-60.0, -30.0, 30.0, 60.0))
ENGLAND = load_rule_set("england-dwelling")


def show(mm: float) -> str:
    return f"{mm:.0f}"


def test_every_nosing_going_and_place_is_written() -> None:
    winders = build_winders(FACTS)
    walks = walked_lines(winders, ENGLAND)
    drawing = winder_plan(winders, walks, show, 20.0)
    written = {mark.text for mark in drawing.marks if isinstance(mark, Label)}
    assert {"N5", "N6", "N7", "N8"} <= written
    assert {show(going) for going in walks[0].walk.goings} <= written
    places = [text for mark in drawing.marks if isinstance(mark, RunningMarks) for text in mark.texts]
    assert sorted(places) == sorted(show(abs(place)) for place in winders.outer_places)


def test_a_turn_to_the_right_is_the_mirror_image() -> None:
    left, right = (build_winders(replace(FACTS, side=side)) for side in Side)
    drawn = [winder_plan(w, walked_lines(w, ENGLAND), show, 20.0) for w in (left, right)]
    strokes = [[m for m in drawing.marks if isinstance(m, Stroke)] for drawing in drawn]
    for one, other in zip(*strokes, strict=True):
        mirrored = [size for x, y in one.points for size in (x, -y)]
        assert mirrored == pytest.approx([size for point in other.points for size in point])
    arcs = [next(m for m in drawing.marks if isinstance(m, ArcMark)) for drawing in drawn]
    assert (arcs[0].start_deg, arcs[0].end_deg) == pytest.approx((-arcs[1].end_deg, -arcs[1].start_deg))


@pytest.mark.parametrize(
    ("unit", "paper", "rules"), [(Unit.MM, "A3", "england-dwelling"), (Unit.INCH, "Tabloid", "us-irc-2021")]
)
def test_the_sheet_holds_plan_and_table(unit: Unit, paper: str, rules: str) -> None:
    style = Style(unit, "A3" if paper == "A3" else "Tabloid", True)
    sheet = winder_sheet(build_winders(FACTS), load_rule_set(rules), style)
    assert len(sheet.page.views) == 2
    assert "W" in sheet.page.title
