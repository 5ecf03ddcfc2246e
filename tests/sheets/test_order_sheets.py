"""The sheets of the order of work: every step, gate and caution, its pieces picked out, bars where they belong."""

import io
from functools import cache
from xml.etree import ElementTree

import pypdf
import pytest
from tests.packs import solved

from pitchline.kit.drawing.marks import Area, Fill
from pitchline.kit.drawing.pages import compile_pdf
from pitchline.kit.drawing.sheet import Card, CardPage, TitleBlock
from pitchline.kit.units import Unit
from pitchline.making.order import Act
from pitchline.making.order_plan import Planned
from pitchline.sheets.chapter import Chapter
from pitchline.sheets.drawings import Style
from pitchline.sheets.finish_masks import mask_drawing, masks_of
from pitchline.sheets.order_bars import HEAD, NAMES, bars
from pitchline.sheets.order_chapter import Seen, order_chapter
from pitchline.sheets.order_pictures import NOW
from pitchline.sheets.order_words import between, clock, lasting, listed, stretch
from pitchline.solids.picture import axonometric, eye_direction
from pitchline.solids.scene import scene_of
from pitchline.story_making import Workshop, work_out

STYLE = Style(Unit.MM, "A3", True)


@cache
def workshop() -> Workshop:
    return work_out(solved("mm"))


@cache
def chapter() -> Chapter:
    seen: dict[str, Seen] = {}
    for whole in solved("mm").balustrades:
        scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
        eye = eye_direction(whole.designs[0].side)
        seen[whole.id] = (scene, axonometric(scene.parts, scene.around, eye), eye)
    return order_chapter(workshop(), seen, STYLE)


def planned(name: str) -> Planned:
    return workshop().orders[name]


def cards(name: str) -> tuple[Card, ...]:
    pages = (page for page in chapter().documents[0].pages if isinstance(page, CardPage))
    return next(page.cards for page in pages if page.title.startswith(f"Design {name}:"))


@pytest.mark.parametrize("name", ["A", "B"])
def test_every_step_is_a_card_with_a_picture(name: str) -> None:
    order = planned(name).order
    assert [card.title for card in cards(name)] == [step.title for step in order.steps]
    assert [card.number for card in cards(name)] == [str(k) for k in range(1, len(order.steps) + 1)]
    for card, step in zip(cards(name), order.steps, strict=True):
        assert card.picture is not None and card.picture.width_mm <= 60.0
        ElementTree.fromstring(card.picture.svg)
        assert card.loud == (step.gate is not None)
        assert (NOW[0] in card.picture.svg or NOW[1] in card.picture.svg) == bool(step.parts or step.gate)


def test_the_sheets_say_what_the_steps_say() -> None:
    document = chapter().documents[0]
    pdf = pypdf.PdfReader(io.BytesIO(compile_pdf(document.pages, TitleBlock("t", "Order of work"))))
    text = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    for name in ("A", "B"):
        assert f"Design {name}: the work in short" in text
        for step in planned(name).order.steps:
            assert step.title.split(":")[0] in text
    for caution in ("Wood dust makes ill", "An open edge of a stair or landing kills", "may hold lead"):
        assert caution in text


@pytest.mark.parametrize("name", ["A", "B"])
def test_bars_are_as_long_as_the_work_takes(name: str) -> None:
    """Day beside day, eight and a half hours from morning to evening: a minute is as wide everywhere."""
    plan = planned(name)
    drawing = bars(plan, 380.0, 230.0)
    days = plan.schedule.days
    minute = (380.0 - NAMES) / days / 510.0
    tinted = [m for m in drawing.marks if isinstance(m, Area) and m.fill is not Fill.GREY]
    widths = [area.outline[1][0] - area.outline[0][0] for area in tinted]
    spans = [span.end - span.start for slot in plan.schedule.slots for span in slot.spans]
    assert widths == pytest.approx([max(span * minute, 0.4) for span in spans], abs=1e-6)
    assert all(area.outline[2][1] <= -HEAD for area in tinted)


def test_what_is_masked_is_drawn_as_large_as_the_joint() -> None:
    plan = planned("A")
    mask = next(one for one in masks_of(plan) if one.part.place == "P1")
    drawing = mask_drawing(mask, "A", str, 10.0)
    white = [mark for mark in drawing.marks if isinstance(mark, Area) and mark.fill is Fill.WHITE]
    drawn = sum(abs(_area(mark.outline)) for mark in white)
    assert drawn == pytest.approx(sum(room.bare.area for room in mask.rooms), rel=1e-6)


def _area(points: tuple[tuple[float, float], ...]) -> float:
    turned = (*points[1:], points[0])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, turned, strict=True)) / 2.0


def test_the_lists_hold_every_step_and_both_designs() -> None:
    lists = {listing.id: listing for listing in chapter().listings}
    assert len(lists["A-steps"].rows) == len(planned("A").order.steps)
    assert [row[0] for row in lists["designs-made"].rows] == ["A", "B"]
    assert {"A-finish-areas", "A-used-up", "B-steps"} <= lists.keys()


def test_coats_are_not_put_on_what_is_glued_after_without_a_word() -> None:
    for name in ("A", "B"):
        for step in planned(name).order.steps:
            if step.act is Act.COAT and step.key.startswith("coat "):
                assert any("bare" in words or "Mask" in words for words in step.words)


def test_words_of_times_and_places() -> None:
    assert clock(24 * 60 + 9 * 60 + 5) == "day 2, 09:05"
    assert stretch(480.0, 545.0) == "day 1, 08:00 to 09:05"
    assert [lasting(m) for m in (0.2, 25.4, 60.0, 150.0, 1440.0, 2160.0)] == [
        "a moment", "25 min", "1 h", "2 h 30", "1 day", "1.5 days",
    ]  # fmt: skip
    assert listed(["U01", "U02", "U03", "P1", "R01b", "R02b", "R03b"]) == "U01 to U03, P1, R01b to R03b"
    assert (between(1.0, 1.5, "l"), between(2.0, 2.0, "off", 0)) == ("1.0 to 1.5 l", "2 off")
