"""The sheet of what is built so far: every difference and piece is on it, and the drawing exaggerates as it says."""

import math
from dataclasses import replace

import pytest
from tests.built import round_of
from tests.packs import solved, style_of

from pitchline.kit.drawing.marks import Area, Leader, Stroke
from pitchline.kit.drawing.sheet import DrawingPage, TextPage
from pitchline.making.fitting_match import TO_MAKE
from pitchline.making.fitting_report import AsBuilt
from pitchline.sheets.as_built_chapter import as_built_chapters
from pitchline.sheets.as_built_lists import built_lists
from pitchline.sheets.as_built_view import FARTHEST, as_built_drawing, exaggeration, moved_posts
from pitchline.sheets.looking import Looker
from pitchline.sheets.tables import Listing, Quantity
from pitchline.story import Solved, SolvedBalustrade, solve

UNITS = ("mm", "in")
OFF = 4.0
"""mm that the newels were set away from their places, down the stair."""


def half_built(units: str) -> Solved:
    """An invented example with its newels set off their marks, and some uprights cut or fitted."""
    plan = solved(units)
    marks = [upright.mark for upright in plan.balustrades[0].designs[0].uprights]
    rounds = round_of(plan, lambda _: -OFF, fitted=marks[:3], cut=marks[3:9])
    return solve(replace(plan.job, as_built=rounds))


def whole(built: Solved) -> tuple[SolvedBalustrade, AsBuilt]:
    """The half-built design with what is told of it."""
    told = built.balustrades[0].as_built
    assert told is not None
    return built.balustrades[0], told


@pytest.fixture(scope="module", params=UNITS)
def built(request: pytest.FixtureRequest) -> Solved:
    return half_built(request.param)


def test_nothing_measured_makes_no_chapter() -> None:
    plan = solved("mm")
    assert list(as_built_chapters(plan, style_of(plan))) == []


def test_the_chapter_holds_a_report_and_a_drawing_of_each_leg(built: Solved) -> None:
    (chapter,) = as_built_chapters(built, style_of(built))
    (document,) = chapter.documents
    assert document.file.name == "as-built.pdf"
    report, *drawings = document.pages
    assert isinstance(report, TextPage)
    assert [type(page) for page in drawings] == [DrawingPage] * len(whole(built)[1].legs)
    assert [drawn.drawing.id for drawn in chapter.drawn] == [
        f"{pair[1].id}-as-built" for pair in whole(built)[1].legs
    ]


def rows_of(listings: list[Listing], ending: str) -> list[dict[str, object]]:
    """The rows of one list by their headings."""
    listing = next(one for one in listings if one.id.endswith(ending))
    return [dict(zip(listing.headings, row, strict=True)) for row in listing.rows]


def test_every_place_is_on_one_of_the_lists_with_its_length(built: Solved) -> None:
    design, told = whole(built)
    lengths = {part.place: part.length for part in design.parts}
    listings = list(built_lists(design.id, told, design.parts, style_of(built).list_show))
    at_hand = rows_of(listings, "at-hand")
    for row in at_hand:
        wanted = row["Length wanted"]
        assert isinstance(wanted, Quantity)
        assert wanted.value == lengths[str(row["Goes to"])]
    to_make = rows_of(listings, "to-make")
    off = [row["Off"] for row in to_make]
    assert sum(one.value for one in off if isinstance(one, Quantity)) + len(at_hand) == len(lengths)
    assert len(at_hand) == sum(one.fate not in TO_MAKE for one in told.match.placed)
    first = to_make[0]
    assert isinstance(first["Now"], Quantity)
    assert first["Now"].value == lengths[str(first["Places"]).partition(" to ")[0]]


def test_every_difference_is_in_its_list(built: Solved) -> None:
    design, told = whole(built)
    listings = list(built_lists(design.id, told, design.parts, style_of(built).list_show))
    rows = rows_of(listings, "differences")
    assert len(rows) == len(told.differences)
    posts = [row["Difference"] for row in rows if "face" in str(row["What, and from where"])]
    assert posts
    assert [one.value for one in posts if isinstance(one, Quantity)] == pytest.approx([-OFF] * len(posts))


@pytest.mark.parametrize("scale", [10.0, 20.0, 50.0])
def test_what_moved_is_drawn_moved_as_many_times_as_the_caption_says(built: Solved, scale: float) -> None:
    _, told = whole(built)
    pair = told.legs[0]
    drawing = as_built_drawing(pair, told.differences, style_of(built).show, scale)
    times = exaggeration(pair, scale)
    assert times > 1
    assert f"moved {times} times" in drawing.title
    moved = moved_posts(pair)["P1"]
    assert times * moved.most <= FARTHEST * scale
    look = Looker(pair[1].side)
    shown = [
        (a[0] + times * (b[0] - a[0]), a[1] + times * (b[1] - a[1]))
        for a, b in zip(moved.planned, moved.built, strict=True)
    ]
    areas = [mark.outline for mark in drawing.marks if isinstance(mark, Area)]
    assert look.all(shown) in areas
    strokes = [mark.points for mark in drawing.marks if isinstance(mark, Stroke)]
    assert look.all(moved.planned) in strokes


def test_words_beside_the_drawing_tell_true_sizes(built: Solved) -> None:
    _, told = whole(built)
    show = style_of(built).show
    drawing = as_built_drawing(told.legs[0], told.differences, show, 20.0)
    words = [mark.text for mark in drawing.marks if isinstance(mark, Leader)]
    assert any(text.startswith("P1 as built") and f"{show(OFF)} down the stair" in text for text in words)
    for mark in drawing.marks:
        if isinstance(mark, Leader):
            assert math.isfinite(mark.at[0])
