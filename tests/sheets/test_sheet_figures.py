"""Every figure on a drawing is the model's: dimension texts read back and compared with bars, parts and readings.

Lengths are worked out here from planes, lines and sections, not taken from the drawing code. One decimal is
shown in mm and 1/32 in in inches, so a figure may differ from the model by half of that.
"""

import math
import re
from dataclasses import replace

import pytest
from tests.packs import UNITS, designs, groups_of, solved, style_of

from pitchline.design.brief import Shape
from pitchline.design.model import BarRole, Design
from pitchline.kit.drawing.marks import AngleMark, Dimension, Disc, Drawing, Label, Leader, RunningMarks
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.units import read_length
from pitchline.parts.part import Groove, RoundOver
from pitchline.parts.rails import rail_parts
from pitchline.sheets.bevelcards import LEAST_CARD_DEG, bevel_card, distinct_angles
from pitchline.sheets.elevation import elevation, upright_outline
from pitchline.sheets.families import families
from pitchline.sheets.gapview import gap_drawing, gap_square, neighbours
from pitchline.sheets.looking import Looker
from pitchline.sheets.openingsview import openings_drawing, worst_openings
from pitchline.sheets.partnotes import part_notes
from pitchline.sheets.partviews import part_drawing
from pitchline.sheets.plan import plan
from pitchline.sheets.sections import base_section, rail_section
from pitchline.sheets.stairview import stair_drawing
from pitchline.story import SolvedDesign

HALF_STEP = {"mm": 0.05, "in": 25.4 / 64}
"""Half the last place that a drawing shows, mm."""

_LENGTH = re.compile(r'^(\d[\d ./]*)("?)')

CASES = [(units, index) for units in ("mm", "in") for index in range(len(designs(units)))]


def length_in(text: str, units: str) -> float:
    """The length with which a dimension's text starts, or that follows its first word, in mm."""
    words = text if text[0].isdigit() else text.split(" ", 1)[1]
    found = _LENGTH.match(words)
    assert found, text
    return read_length(f"{found[1].strip()} {units}", UNITS[units])


def dimensions(drawing: Drawing) -> list[Dimension]:
    return [mark for mark in drawing.marks if isinstance(mark, Dimension) and mark.text]


def along(mark: Dimension) -> float:
    """The distance that a dimension spans, mm."""
    dx, dy = mark.b[0] - mark.a[0], mark.b[1] - mark.a[1]
    if mark.direction_deg is None:
        return math.hypot(dx, dy)
    turn = math.radians(mark.direction_deg)
    return abs(dx * math.cos(turn) + dy * math.sin(turn))


def drawn_true(design: SolvedDesign, units: str) -> list[Drawing]:
    """The drawings of a design that show its sizes unbroken."""
    show = style_of(solved(units)).show
    pair = neighbours(design.design)
    assert pair is not None
    return [
        elevation(design.design, show, 20.0),
        plan(design.design, show, 20.0),
        gap_drawing(design.design, pair, show, 5.0),
        rail_section(design.design, show, 1.0),
        base_section(design.design, show, 1.0),
    ]


@pytest.mark.parametrize(("units", "index"), CASES)
def test_every_dimension_says_the_distance_between_its_own_points(units: str, index: int) -> None:
    for drawing in drawn_true(designs(units)[index], units):
        found = dimensions(drawing)
        assert found
        for mark in found:
            assert length_in(mark.text, units) == pytest.approx(along(mark), abs=HALF_STEP[units] + 1e-6)


@pytest.mark.parametrize(("units", "index"), CASES)
def test_running_marks_say_the_places_of_their_points_and_of_the_uprights(units: str, index: int) -> None:
    design = designs(units)[index].design
    drawing = elevation(design, style_of(solved(units)).show, 20.0)
    running = next(mark for mark in drawing.marks if isinstance(mark, RunningMarks))
    plane, line = design.base_rail.start, design.base_rail.top
    n, p = plane.normal, plane.point
    datum = (n[0] * p[0] + n[1] * p[1] + n[2] * p[2] - n[2] * line.z0) / (n[0] + n[2] * line.slope)
    uprights = {upright.mark: upright.u - datum for upright in design.uprights}
    for point, text in zip(running.points, running.texts, strict=True):
        name, _, length = text.partition(" ") if text.startswith("U") else ("", "", text)
        shown = length_in(length, units)
        assert shown == pytest.approx(abs(point[0] - running.datum[0]), abs=HALF_STEP[units] + 1e-6)
        if name:
            assert shown == pytest.approx(uprights[name], abs=HALF_STEP[units] + 1e-6)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_stair_is_dimensioned_as_it_was_adjusted(units: str) -> None:
    job = solved(units)
    flight = job.flights[0].flight
    drawing = stair_drawing(flight, job.designs[0].design.side, style_of(job).show, 20.0)
    level, plumb = (mark for mark in drawing.marks if isinstance(mark, RunningMarks))
    for text, (u, _) in zip(level.texts, flight.nosings[1:], strict=True):
        assert length_in(text, units) == pytest.approx(u - flight.nosings[0][0], abs=HALF_STEP[units] + 1e-6)
    heights = [sum(flight.rises[: k + 1]) for k in range(len(flight.rises))]
    for text, height in zip(plumb.texts, heights, strict=True):
        assert length_in(text, units) == pytest.approx(height, abs=HALF_STEP[units] + 1e-6)


@pytest.mark.parametrize(("units", "index"), CASES)
def test_part_drawings_say_length_width_and_thickness_of_their_parts(units: str, index: int) -> None:
    design = designs(units)[index]
    style = style_of(solved(units))
    for number, family in enumerate(families(groups_of(design))):
        drawing = part_drawing(
            family, style.show, f"p{number}", inches=style.inches, first_angle=style.first_angle
        )
        sizes = [mark for mark in dimensions(drawing) if mark.direction_deg == 90.0]
        shown = [length_in(mark.text, units) for mark in sizes]
        assert shown == pytest.approx([family.part.width, family.part.thickness], abs=HALF_STEP[units] + 1e-6)
        words = next(m.text for m in dimensions(drawing) if m.text == family.lengths(style.show))
        lengths = [group.part.length for group in family.groups]
        assert length_in(words, units) == pytest.approx(min(lengths), abs=HALF_STEP[units] + 1e-6)


@pytest.mark.parametrize(("units", "index"), CASES)
def test_part_drawings_say_the_angles_of_their_ends(units: str, index: int) -> None:
    design = designs(units)[index]
    style = style_of(solved(units))
    for number, family in enumerate(families(groups_of(design))):
        drawing = part_drawing(family, style.show, f"p{number}", inches=style.inches, first_angle=True)
        words = "\n".join(mark.text for mark in drawing.marks if isinstance(mark, Label))
        for cut in (*family.part.start_cuts, *family.part.finish_cuts):
            for name, axis in (("mitre", 1), ("bevel", 2)):
                if name == "mitre":
                    angle = math.degrees(math.atan2(abs(cut.normal[axis]), abs(cut.normal[0])))
                else:
                    angle = abs(saw_reading(cut.normal).bevel_deg)
                if angle < 0.05:
                    assert f"{name} 0, square" in words
                else:
                    assert f"{name} {angle:.2f}° from square" in words
                    assert f"{90 - angle:.2f}° from edge" in words


@pytest.mark.parametrize(("units", "index"), CASES)
def test_parts_say_their_timber_grooves_and_round_overs(units: str, index: int) -> None:
    design = designs(units)[index]
    style = style_of(solved(units))
    for part in rail_parts(design.design):
        words = " ".join(part_notes(part, style.show))
        assert words.startswith(
            f"{part.material}, finished {style.show(part.width)} x {style.show(part.thickness)}"
        )
        for feature in part.features:
            if isinstance(feature, Groove):
                assert f"groove {style.show(feature.width)} wide, {style.show(feature.depth)} deep" in words
            if isinstance(feature, RoundOver):
                assert f"R{style.show(feature.radius)}" in words


def test_the_outer_edges_of_a_stacked_rail_are_rounded_and_the_inner_ones_are_not() -> None:
    design = designs("mm")[1].design
    rounded = {
        part.place: feature
        for part in rail_parts(design)
        for feature in part.features
        if isinstance(feature, RoundOver)
    }
    assert set(rounded) == {"H1a", "H1c"}
    for place, towards in (("H1a", design.side.towards_stair), ("H1c", -design.side.towards_stair)):
        part = next(part for part in rail_parts(design) if part.place == place)
        (edge,) = rounded[place].edges
        middle = (edge[0] * part.width / 2, edge[1] * part.thickness / 2)
        at = part.frame.to_world((part.length / 2, *middle))
        assert at[1] * towards == pytest.approx(design.handrail.width / 2)
        assert at[2] == pytest.approx(design.handrail.top.at(at[0]), abs=1e-6)
        assert rounded[place].radius == design.handrail.round_over


@pytest.mark.parametrize(("units", "index"), CASES)
def test_the_openings_sheet_says_every_height_and_draws_the_worst_balls(units: str, index: int) -> None:
    solution = designs(units)[index]
    design, report = solution.design, solution.report
    show = style_of(solved(units)).show
    drawing = openings_drawing(design, report, show, 20.0)
    labels = [mark.text for mark in drawing.marks if isinstance(mark, Label)]
    for number, (u, z) in enumerate(design.flight.nosings, start=1):
        text = next(text for text in labels if text.startswith(f"N{number} "))
        height = design.handrail.top.z0 + design.handrail.top.slope * u - z
        shown = length_in(text.split("  ")[1].split(" ±")[0], units)
        assert shown == pytest.approx(height, abs=HALF_STEP[units] + 1e-6)
    look = Looker(design.side)
    discs = {(mark.centre, mark.radius) for mark in drawing.marks if isinstance(mark, Disc)}
    worst = worst_openings(report.openings)
    assert worst
    for opening in worst:
        assert (look.at(opening.ball.centre), opening.ball.diameter / 2) in discs
        alike = [o for o in report.openings if o.limit == opening.limit and o.kind is opening.kind]
        assert opening.ball.diameter == max(o.ball.diameter for o in alike)
    said = " ".join(mark.text for mark in drawing.marks if isinstance(mark, Leader))
    assert all(show(opening.ball.diameter) in said for opening in worst)


@pytest.mark.parametrize(("units", "index"), CASES)
def test_level_and_raking_gaps_are_named_and_fit_the_pitch(units: str, index: int) -> None:
    """Level = raking x cos(pitch) where the uprights stand plumb; square = level x cos(lean) always."""
    design = designs(units)[index].design
    pair = neighbours(design)
    assert pair is not None
    drawing = gap_drawing(design, pair, style_of(solved(units)).show, 5.0)
    said = {
        mark.text.split(" ")[0] + mark.text.rsplit(" ", 1)[1]: along(mark) for mark in dimensions(drawing)
    }
    lean, pitch = pair[0].lean, design.base_rail.top.angle
    assert said["centreslevel"] == pytest.approx(
        said["centresrake"] * math.cos(pitch) + _shift(design, said["centresrake"]), rel=1e-9
    )
    assert gap_square(*pair) == pytest.approx(said["gaplevel"] * math.cos(lean), rel=1e-9)
    assert gap_square(*pair) == pytest.approx(pair[0].gap_after, abs=1e-6)


def _shift(design: Design, raking: float) -> float:
    """What a rise along the rake shifts a leaning upright by at one level."""
    return -raking * math.sin(design.base_rail.top.angle) * math.tan(design.uprights[0].lean)


@pytest.mark.parametrize(("units", "index"), CASES)
def test_cards_show_every_end_angle_once(units: str, index: int) -> None:
    groups = groups_of(designs(units)[index])
    angles = distinct_angles(groups)
    card = bevel_card(angles, "card")
    drawn = [mark.to_deg - mark.from_deg for mark in card.marks if isinstance(mark, AngleMark)]
    for group in groups:
        for cut in (*group.part.start_cuts, *group.part.finish_cuts):
            reading = saw_reading(cut.normal)
            for angle in (abs(reading.mitre_deg), abs(reading.bevel_deg)):
                if angle >= LEAST_CARD_DEG:
                    assert min(abs(angle - known) for known in drawn) <= 0.05 + 1e-9


def test_a_packer_is_not_confused_with_the_rails() -> None:
    design = designs("mm")[1].design
    leaders = [m.text for m in elevation(design, str, 20.0).marks if isinstance(m, Leader)]
    for bar in design.bars:
        named = [text for text in leaders if text.startswith(f"{bar.id} {bar.role.value}, ")]
        assert len(named) == 1
        assert named[0].endswith(f"{math.degrees(math.atan(bar.top.slope)):.2f}° from level")
    assert {bar.role for bar in design.bars} == set(BarRole)


@pytest.mark.parametrize("turned_from", [-50.0, 100.0, 400.0, 5000.0])
def test_a_turned_upright_is_drawn_as_far_as_it_is_seen(turned_from: float) -> None:
    """Between its square ends it is as wide as its profile; a profile out of sight leaves it square."""
    square = designs("mm")[0].design.uprights[4]
    width = square.width
    profile = ((turned_from, width), (turned_from + 100.0, width / 2), (turned_from + 200.0, width))
    outline = upright_outline(replace(square, shape=Shape.TURNED, profile=profile))
    heights = [z - square.foot[1] for _, z in square.sight]
    assert min(z for _, z in outline) == pytest.approx(square.foot[1] + min(heights))
    assert max(z for _, z in outline) == pytest.approx(square.foot[1] + max(heights))
    assert max(u for u, _ in outline) - min(u for u, _ in outline) == pytest.approx(width)
    waist = [u for u, z in outline if abs(z - square.foot[1] - turned_from - 100.0) < 1e-6]
    seen = min(heights) < turned_from + 100.0 < max(heights)
    assert len(waist) >= 2 * seen
    if seen:
        assert max(waist) - min(waist) == pytest.approx(width / 2)
