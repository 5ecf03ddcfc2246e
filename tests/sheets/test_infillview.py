"""Strands and panels drawn and listed: what is drawn is what was laid out."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.strategies_stairs import LIMITS, plain_brief, regular_flight

from pitchline.design.brief import (
    CutPattern,
    Grooved,
    InfillBrief,
    PanelKind,
    PanelsBrief,
    SpacingBrief,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Clamped, Making
from pitchline.design.model import Design
from pitchline.kit.drawing.marks import Area, Fill, Label, Leader, RunningMarks, Stroke
from pitchline.kit.units import Unit
from pitchline.kit.words import show_in
from pitchline.parts.explode import explode, grouped
from pitchline.parts.part import Role
from pitchline.sheets.families import families
from pitchline.sheets.infill_lists import infill_lists
from pitchline.sheets.infillview import infill_marks, infill_notes, panel_edges, spacer_lines, strand_words
from pitchline.sheets.looking import Looker, Show
from pitchline.sheets.partnotes import part_notes
from pitchline.sheets.partviews import part_drawing
from pitchline.sheets.schedule import schedule_rows
from pitchline.sheets.tables import Quantity

FLIGHT = regular_flight()
CABLES = StrandsBrief(
    StrandKind.CABLE, 5.0, 5.0, SpacingBrief(count=6), pull=1000.0, apart=900.0, material="steel"
)
PATTERN = CutPattern((((10.0, 10.0), (50.0, 10.0), (50.0, 50.0), (10.0, 50.0)),), 60.0, 60.0, margin=30.0)
CUT = PanelsBrief(PanelKind.CUT, 12.0, edge_gap=4.0, widest=900.0, joint=6.0, pattern=PATTERN)
MM, INCH = show_in(Unit.MM), show_in(Unit.INCH)


def design_of(infill: InfillBrief, making: Making) -> Design:
    return compose(FLIGHT, plain_brief(FLIGHT, infill=infill, making=making), LIMITS)


STRANDED = design_of(CABLES, BetweenPosts(70.0))
PANELLED = design_of(CUT, Grooved(12.0, 10.0, 6.0, 0.5))
GLAZED = design_of(replace(CUT, kind=PanelKind.GLASS, edge_gap=15.0), Clamped(400.0, 100.0, 30.0))


def test_thin_cables_are_lines_and_thick_bars_areas() -> None:
    look = Looker(STRANDED.side)
    fine = [mark for mark in infill_marks(STRANDED, look, 20.0) if isinstance(mark, Stroke)]
    assert len(fine) == len(STRANDED.strands) + 3
    coarse = [mark for mark in infill_marks(STRANDED, look, 5.0) if isinstance(mark, Area)]
    assert len(coarse) == len(STRANDED.strands)


def test_spacers_stand_plumb_at_equal_distances() -> None:
    us = [low[0] for low, _ in spacer_lines(STRANDED)]
    assert [high[0] for _, high in spacer_lines(STRANDED)] == us
    start, finish = STRANDED.bay.start.point[0], STRANDED.bay.finish.point[0]
    steps = [b - a for a, b in pairwise([start, *us, finish])]
    assert max(steps) - min(steps) < 1e-6
    assert list(spacer_lines(PANELLED)) == []


def test_openings_are_left_open_and_glass_is_glass() -> None:
    areas = [m for m in infill_marks(PANELLED, Looker(PANELLED.side), 20.0) if isinstance(m, Area)]
    assert [len(area.holes) for area in areas] == [len(panel.holes) for panel in PANELLED.panels]
    panes = [m for m in infill_marks(GLAZED, Looker(GLAZED.side), 20.0) if isinstance(m, Area)]
    assert {pane.fill for pane in panes} == {Fill.GLASS}


def test_gaps_are_told_square_and_plumb() -> None:
    words = strand_words(STRANDED, MM)
    gap = STRANDED.strands[0].gap_below
    assert f"clear {MM(gap)} square" in words
    assert f"{MM(gap / math.cos(STRANDED.handrail.top.angle))} plumb" in words
    assert "6000 N in all" in words
    leaders = [
        m for m in infill_notes(STRANDED, Looker(STRANDED.side), MM, 20.0, 0.0) if isinstance(m, Leader)
    ]
    assert [leader.text for leader in leaders] == [words]


@pytest.mark.parametrize("show", [MM, INCH])
def test_edges_of_panels_run_from_one_datum(show: Show) -> None:
    marks = list(infill_notes(GLAZED, Looker(GLAZED.side), show, 20.0, 0.0))
    (running,) = [mark for mark in marks if isinstance(mark, RunningMarks)]
    start = GLAZED.bay.start.point[0]
    expected = [f"{p.mark} {show(edge - start)}" for p in GLAZED.panels for edge in panel_edges(p)]
    assert list(running.texts[:-1]) == expected
    assert [mark.text for mark in marks if isinstance(mark, Label)] == ["PN01", "PN02", "PN03"]


def test_heights_on_the_posts_are_listed_plumb() -> None:
    (listing,) = infill_lists("A", STRANDED)
    low = STRANDED.base_rail.top
    for row, strand in zip(listing.rows, STRANDED.strands, strict=True):
        plumb = Quantity(strand.line.z0 - low.z0)
        assert row[0] == strand.mark
        for cell in row[1:3]:
            assert isinstance(cell, Quantity)
            assert cell.value == pytest.approx(plumb.value)


def test_panels_are_listed_with_their_diagonals() -> None:
    (listing,) = infill_lists("A", GLAZED)
    _, low, _, high, _, long, short, _ = listing.rows[0]
    assert isinstance(low, Quantity)
    assert isinstance(high, Quantity)
    assert isinstance(long, Quantity)
    assert isinstance(short, Quantity)
    assert low.value == pytest.approx(high.value)
    assert long.value > short.value
    assert list(infill_lists("A", compose(FLIGHT, plain_brief(FLIGHT), LIMITS))) == []


def test_the_schedule_tells_of_cables_and_panels() -> None:
    rows = [" ".join(row) for row in schedule_rows(STRANDED, MM)]
    assert any("6 off cables steel" in row for row in rows)
    assert any("1000 N, 6000 N" in row for row in rows)
    rows = [" ".join(row) for row in schedule_rows(PANELLED, MM)]
    assert any("3 off cut patterns birch-plywood" in row for row in rows)


def test_a_panel_is_drawn_with_its_openings_corners_and_diagonals() -> None:
    family = next(f for f in families(grouped(explode(PANELLED))) if f.part.role is Role.PANEL)
    drawing = part_drawing(family, MM, "x", inches=False, first_angle=True)
    areas = [mark for mark in drawing.marks if isinstance(mark, Area) and mark.holes]
    assert [len(area.holes) for area in areas] == [len(PANELLED.panels[0].holes)]
    notes = " ".join(part_notes(family.part, MM))
    right = math.degrees(PANELLED.handrail.top.angle)
    assert f"{90 - right:.2f}°" in notes
    assert "diagonals" in notes
    assert "template" in notes


def test_newels_with_housings_are_drawn_one_by_one_with_every_centre() -> None:
    newels = [f for f in families(grouped(explode(STRANDED))) if f.part.role is Role.NEWEL]
    assert [len(family.groups) for family in newels] == [1, 1]
    notes = " ".join(part_notes(newels[0].part, MM))
    for strand in STRANDED.strands:
        assert MM(strand.line.at(45.0)) in notes
