"""The strength sheet: pictures that show where the frame is, bars and tables that add up, one page for what falls."""

import math
from dataclasses import replace

import pytest
from tests.command import FAILING, LIMBER, SOUND

from pitchline.job.load import load_text
from pitchline.kit.drawing.marks import Area, Drawing, Label, Stroke
from pitchline.kit.drawing.sheet import Table
from pitchline.kit.units import Unit
from pitchline.sheets.drawings import Style
from pitchline.sheets.strength_chapter import strength_chapter
from pitchline.sheets.strength_sheet import model_drawn, strength_page
from pitchline.sheets.strength_tables import (
    bases_table,
    by_kind,
    known_table,
    ordered_shares,
    split_table,
    stiffness_list,
    uses_table,
)
from pitchline.sheets.strength_views import BAR, TIMES, Eye, split_bar, times_drawn
from pitchline.story import Solved, solve
from pitchline.story_strength import EdgeStrength, worst_of
from pitchline.strength.report import StrengthReport

MM = Style(Unit.MM, "A3", first_angle=True)
INCHES = Style(Unit.INCH, "Tabloid", first_angle=False)
FROM = (-0.45, -1.0, 0.55)
FREE_END = '[designs.bottom]\nkind = "free end"\nat = "N1"\noffset = -60\n\n'


@pytest.fixture(scope="module")
def firm() -> Solved:
    """The loft stair that stands firm."""
    return solve(load_text(SOUND.read_text("utf-8")))


@pytest.fixture(scope="module")
def falling() -> Solved:
    """The loft stair with its first newel forgotten."""
    text = LIMBER.read_text("utf-8")
    first, last = text.index("[designs.bottom]"), text.index("[designs.top]")
    return solve(load_text(text[:first] + FREE_END + text[last:]))


def edge_of(job: Solved) -> tuple[EdgeStrength, StrengthReport]:
    """Its one edge, which stands."""
    (edge,) = job.balustrades[0].strength
    assert edge.report is not None
    return edge, edge.report


def words_of(table: Table) -> str:
    """Everything a table says."""
    return " ".join(str(cell) for row in table.rows for cell in row)


def test_the_picture_plane_is_square_to_the_eye() -> None:
    """Right and up are unit, level and square to each other (axonometric projection)."""
    eye = Eye.along(FROM)
    assert math.isclose(math.hypot(*eye.right), 1.0)
    assert math.isclose(math.hypot(*eye.up), 1.0)
    assert eye.right[2] == 0.0
    assert math.isclose(sum(a * b for a, b in zip(eye.right, eye.up, strict=True)), 0.0, abs_tol=1e-12)


def test_movements_are_drawn_a_round_number_of_times_as_large(firm: Solved) -> None:
    _, report = edge_of(firm)
    small, large = (times_drawn(report.model.frame, most) for most in (1.0, 100.0))
    assert {small, large} <= set(TIMES)
    assert small >= large


def test_the_picture_has_every_member_at_rest_and_moved_and_every_newel(firm: Solved) -> None:
    edge, report = edge_of(firm)
    drawing = model_drawn(edge, FROM, MM).drawing
    strokes = [mark for mark in drawing.marks if isinstance(mark, Stroke) and len(mark.points) == 2]
    assert len(strokes) >= 2 * len(report.model.frame.members)
    assert {"P1", "P2", "P3"} <= labels(drawing)
    assert any("kNm/rad" in label for label in labels(drawing))


def labels(drawing: Drawing) -> set[str]:
    """The words in a drawing."""
    return {mark.text for mark in drawing.marks if isinstance(mark, Label)}


def test_the_parts_of_the_bar_fill_it_and_those_of_the_table_add_up(firm: Solved) -> None:
    _, report = edge_of(firm)
    shares = ordered_shares(report.movement)
    assert math.isclose(sum(value for _, value in shares), report.movement.value, rel_tol=1e-6)
    areas = [mark for mark in split_bar("A", shares, MM.list_show).marks if isinstance(mark, Area)]
    widths = [max(x for x, _ in area.outline) - min(x for x, _ in area.outline) for area in areas]
    assert math.isclose(sum(widths), BAR[0], rel_tol=1e-9)
    assert len(split_table(report.movement, MM).rows) == len(shares)


def test_uses_stand_worst_first_and_those_over_the_limit_are_marked() -> None:
    edge = solve(load_text(LIMBER.read_text("utf-8"))).balustrades[0].strength[0]
    assert edge.report is not None
    table = uses_table(edge.report, MM)
    over = [n for n, use in enumerate(edge.report.utilisations) if use.ratio > 1.0]
    assert table.accents == frozenset(over)
    assert over == list(range(len(over)))


def test_every_base_is_told_each_way(firm: Solved) -> None:
    _, report = edge_of(firm)
    assert len(bases_table(report, MM).rows) == 2 * len(report.posts)


def test_loads_of_a_kind_are_counted_together(firm: Solved) -> None:
    _, report = edge_of(firm)
    assert sum(map(len, by_kind(report.cases).values())) == len(report.cases)


def test_a_sheet_in_inches_speaks_inches_and_pounds() -> None:
    edge, report = edge_of(solve(load_text(FAILING.read_text("utf-8"))))
    told = words_of(uses_table(report, INCHES)) + words_of(bases_table(report, INCHES))
    bases = [row for row in known_table(edge, report, INCHES).rows if str(row[0]).startswith("base of")]
    assert not [row for row in bases if " N " in str(row[1]) or "195 mm" in str(row[1])]
    assert "psi" in told
    assert "lbf" in told
    assert "MPa" not in told
    assert "kNm" not in told
    assert "ft kip/rad" in " ".join(labels(model_drawn(edge, FROM, INCHES).drawing))


def test_of_what_falls_there_is_a_picture_and_no_number(falling: Solved) -> None:
    (edge,) = falling.balustrades[0].strength
    page = strength_page(edge, model_drawn(edge, FROM, MM), MM)
    assert [section.heading for section in page.sections] == [
        "What was found",
        "How it moves",
        "What was taken for granted",
        "Cautions",
    ]
    assert not any(section.tables for section in page.sections)
    assert strength_chapter(falling, MM).listings == ()


def test_designs_are_held_beside_each_other_and_what_falls_is_worst(firm: Solved, falling: Solved) -> None:
    edges = (firm.balustrades[0].strength[0], falling.balustrades[0].strength[0])
    listing = stiffness_list(edges)
    assert len(listing.rows) == 2
    assert listing.accents == frozenset({1})
    assert worst_of(edges) is edges[1]
    with pytest.raises(ValueError, match="at least one edge"):
        worst_of(())


def test_a_job_without_balustrades_has_no_chapter(firm: Solved) -> None:
    assert strength_chapter(replace(firm, balustrades=()), MM).documents == ()
