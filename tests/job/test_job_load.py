import math
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pitchline.design.brief import (
    AtWall,
    Bored,
    ExistingNewel,
    FreeEnd,
    Grooved,
    HalfNewel,
    Leaning,
    NewNewel,
    Shape,
    Spread,
    Stacked,
)
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.job.value import DATUM, Job
from pitchline.kit.units import Unit
from pitchline.stair.build import build_flight
from pitchline.stair.model import Side
from pitchline.survey.adjust import adjust
from pitchline.survey.instruments import Instrument, standard_uncertainty
from pitchline.survey.readings import Kind, Reading
from pitchline.survey.review import review

MM = starting_text("mm", Unit.MM)
INCHES = starting_text("in", Unit.INCH)


@pytest.fixture(scope="module")
def job() -> Job:
    return load_text(MM)


def reading(job: Job, name: str) -> Reading:
    return {entry.id: entry for entry in job.flights[0].readings}[name]


def test_the_head_and_what_follows_from_the_unit(job: Job) -> None:
    assert "Invented" in job.title
    assert (job.place, job.unit, job.paper, job.projection) == ("england-dwelling", Unit.MM, "A3", "first")
    assert (job.date, job.currency, job.path) == ("2025-03-14", "GBP", None)
    inches = load_text(INCHES.replace('paper = "Tabloid"\n', "").replace('projection = "third"\n', ""))
    assert (inches.unit, inches.paper, inches.projection) == (Unit.INCH, "Tabloid", "third")
    assert job.flights[0].fixed == DATUM


def test_a_job_is_a_value(job: Job) -> None:
    assert hash(job) == hash(load_text(MM))
    assert job == load_text(MM)
    assert job.flight("main") is job.flights[0]
    assert job.design("B") is job.designs[1]


def test_rises_and_goings_are_heights_and_runs_between_neighbours(job: Job) -> None:
    first, last = reading(job, "rise 1"), reading(job, "rise 13")
    assert (first.kind, first.start, first.end, first.value) == (Kind.HEIGHT, "floor", "N1", 187.5)
    assert (last.start, last.end) == ("N12", "N13")
    going = reading(job, "going 12")
    assert (going.kind, going.start, going.end, going.value) == (Kind.RUN, "N12", "N13", 228.0)


def test_further_readings_keep_their_kind_points_and_units(job: Job) -> None:
    straight = reading(job, "straight N1 to N5")
    assert (straight.kind, straight.value, straight.instrument) == (Kind.STRAIGHT, 1180.5, "tape")
    pitch = reading(job, "pitch N2 to N6")
    assert pitch.value == pytest.approx(math.radians(39.8))
    level = reading(job, "level laser 1 to floor")
    assert (level.kind, level.start, level.end, level.value) == (Kind.LEVEL, "laser 1", "floor", 2599.5)
    plumb = reading(job, "plumb plumb line to N1")
    assert (plumb.kind, plumb.start, plumb.value) == (Kind.PLUMB, "plumb line", -2689.5)
    margin = reading(job, "margin of string at N5")
    assert (margin.kind, margin.start, margin.end, margin.value) == (Kind.MARGIN, "string", "N5", 68.0)


def test_uncertainties_come_from_the_instrument_unless_given() -> None:
    text = MM.replace("value = 1476 }", "value = 1476, sigma = 0.4 }").replace(
        "value_deg = 39.8 }", "value_deg = 39.8, sigma_deg = 0.05 }"
    )
    spoken = load_text(text)
    assert reading(spoken, "straight N3 to N8").sigma == 0.4
    assert reading(spoken, "pitch N2 to N6").sigma == pytest.approx(math.radians(0.05))
    tape = Instrument("tape", "tape-ii")
    assert reading(spoken, "straight N1 to N5").sigma == standard_uncertainty(tape, Kind.STRAIGHT, 1180.5)


def test_an_instrument_of_ones_own_takes_the_place_of_the_usual_one() -> None:
    own = (
        '[[instruments]]\nid = "tape"\nkind = "tape-i"\nin_use = 0.3\n'
        '[[instruments]]\nid = "gauge"\nkind = "gauge"\nlimit_deg = 0.05\nin_use_deg = 0\n'
    )
    spoken = load_text(MM.replace("[[flights]]", own + "[[flights]]", 1))
    # EC tape classes: class I is +-(0.1 + 0.1 L) mm, L in whole metres rounded up; JCGM 100, 4.3.7: over root 3
    assert reading(spoken, "rise 1").sigma == pytest.approx(math.hypot(0.2, 0.3) / math.sqrt(3))
    assert reading(spoken, "pitch N2 to N6").sigma == pytest.approx(math.radians(0.05) / math.sqrt(3))


def test_a_reading_taken_twice_gets_a_name_of_its_own() -> None:
    again = (
        '  { kind = "straight", from = "N1", to = "N5", value = 1181 },\n'
        '  { kind = "rise", number = 2, value = 190.5 },\n  { kind = "going", number = 2, value = 222 },\n'
    )
    spoken = load_text(MM.replace("readings = [\n", "readings = [\n" + again))
    names = [entry.id for entry in spoken.flights[0].readings]
    assert len(set(names)) == len(names)
    assert {"straight N1 to N5 (2)", "rise 2 (2)", "going 2 (2)"} <= set(names)
    assert reading(spoken, "rise 2 (2)").start == "N1"


def test_rises_that_were_not_read_are_left_out() -> None:
    spoken = load_text(MM.replace("187.5, 190, 187,", '187.5, "-", 187,'))
    assert "rise 2" not in {entry.id for entry in spoken.flights[0].readings}


def test_the_post_leans_by_so_much_over_so_much(job: Job) -> None:
    (post,) = job.flights[0].facts.posts
    assert (post.lean_along, post.lean_across) == (5 / 900, 3 / 900)
    assert post.twist == pytest.approx(math.radians(0.8))
    assert (post.station, post.face_height, post.top_height) == ("top newel", 2760, 3560)


def test_inches_are_25_4_mm_exactly() -> None:
    """International yard and pound agreement of 1959."""
    job = load_text(INCHES)
    assert reading(job, "rise 1").value == pytest.approx(7.5 * 25.4, abs=1e-9)
    assert reading(job, "plumb line 1 to N1").value == pytest.approx(-(112 + 23 / 32) * 25.4, abs=1e-9)
    assert job.flights[0].facts.width == pytest.approx(37 * 25.4)
    bottom = job.designs[0].bottom
    assert isinstance(bottom, NewNewel)
    assert bottom.at.offset == pytest.approx(-2.5 * 25.4)


def test_the_designs_of_the_example(job: Job) -> None:
    first, second = job.designs
    assert first.side is Side.LEFT
    assert isinstance(first.top, ExistingNewel)
    assert isinstance(first.making, Grooved)
    assert (first.uprights.shape, first.uprights.width, first.uprights.thickness) == (
        Shape.RECTANGULAR,
        32,
        32,
    )
    assert isinstance(second.making, Stacked)
    assert second.making.member_layers == (2,)
    assert second.uprights.lean is Leaning.SQUARE
    assert second.uprights.spacing.spread is Spread.HALF_ENDS
    assert second.build_tolerance == 1.0


def test_the_other_kinds_of_ends_and_makings() -> None:
    wall = (
        '[[flights.walls]]\nid = "end wall"\nstation = "top newel"\nface_height = 2700\n'
        "lean_along = { offset = -2, over = 1000 }\nskew_deg = 1\n"
    )
    head, designs = MM.split('[[designs]]\nid = "A"')
    first = designs.split("[[designs]]")[0]
    top = 'kind = "existing newel"\npost = "top newel"\n'
    half = 'kind = "half newel"\nwall = "end wall"\nalong = 45\nacross = 90\nabove_rail = 60\nlap = 40\n'
    bottom = first[first.index("[designs.bottom]") : first.index("[designs.top]")]
    free = '[designs.bottom]\nkind = "free end"\nat = "N2"\noffset = -20\noverhang = 30\n'
    making = first[first.index("[designs.making]") : first.index("[designs.allowances]")]
    bored = '[designs.making]\nkind = "bored"\nrail_depth = 20\nbase_depth = 15\n'
    infill = first[first.index("[designs.infill]") : first.index("[designs.making]")]
    rods = (
        '[designs.infill]\nkind = "uprights"\nshape = "round"\nwidth = 16\nlean_deg = -10\n'
        'spread = "fixed module"\nmodule = 110\ncentred = "gap"\nmaterial = "steel"\n'
    )
    changed = first.replace(top, half).replace(bottom, free).replace(making, bored).replace(infill, rods)
    brief = load_text(head + wall + '[[designs]]\nid = "A"' + changed).designs[0]
    assert isinstance(brief.top, HalfNewel)
    assert brief.top.lap == 40
    assert isinstance(brief.bottom, FreeEnd)
    assert (brief.bottom.at.point, brief.bottom.overhang) == ("N2", 30)
    assert brief.making == Bored(20, 15, 0.0)
    assert brief.uprights.lean == pytest.approx(math.radians(-10))
    assert brief.uprights.thickness == 16
    assert brief.uprights.spacing.module == 110
    against = first.replace(top, 'kind = "wall"\nwall = "end wall"\n')
    job = load_text(head + wall + '[[designs]]\nid = "A"' + against)
    assert job.designs[0].top == AtWall("end wall")
    (told,) = job.flights[0].facts.walls
    assert told.lean_along == -2 / 1000
    assert told.skew == pytest.approx(math.radians(1))


@pytest.mark.parametrize("text", [MM, INCHES], ids=["mm", "in"])
def test_the_readings_of_the_examples_agree_with_each_other(text: str) -> None:
    """The invented readings were drawn at tape accuracy from one stair, so nothing may be suspected."""
    flight = load_text(text).flights[0]
    adjusted = adjust(flight.readings, flight.fixed)
    assert adjusted.redundancy >= 10
    codes = {finding.code: finding.verdict.value for finding in review(adjusted)}
    assert codes["survey.global"] == "pass"
    assert "survey.blunder" not in codes
    built = build_flight(adjusted, flight.facts)
    assert max(built.rises) - min(built.rises) > 4


def test_loading_is_quick_once_warm() -> None:
    load_text(MM)
    best = min(_seconds() for _ in range(5))
    assert best < 0.040


def _seconds() -> float:
    start = time.perf_counter()
    load_text(MM)
    return time.perf_counter() - start


def test_loading_brings_in_nothing_heavy() -> None:
    script = "import sys, pitchline.job.load; print(*sys.modules)"
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    heavy = {"tomlkit", "scipy.stats", "shapely", "ezdxf", "typst", "manifold3d", "typer", "rich"}
    assert not heavy & set(found.stdout.split())


def test_a_job_keeps_the_path_it_came_from(tmp_path: Path) -> None:
    from_disk = tmp_path / "stair.toml"
    assert load_text(MM, path=from_disk).path == from_disk
