"""A job re-measured half-way: every new size against plain sums on a regular stair, by hand.

The stair: eight rises of 190 and goings of 225, so a pitch with tangent 190/225. The run between the newels' faces
is R; n plumb uprights w wide leave gaps g = (R - n w) / (n + 1); along the rake everything is longer by
1 / cos(pitch); a rail d deep with plumb ends is R / cos + d tan from longest point to longest point.
"""

import csv
import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitchline.app.cli import main
from pitchline.app.result import ResultDoc, result_document
from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit
from pitchline.story import solve

PLAN = """
schema = "pitchline-job/1"
[job]
title = "Invented: a regular stair, to be summed by hand"
place = "england-dwelling"
units = "mm"
[[flights]]
id = "main"
risers = 8
width = 860
rises = { values = [190, 190, 190, 190, 190, 190, 190, 190] }
goings = { values = [225, 225, 225, 225, 225, 225, 225] }
readings = [{ kind = "run", from = "N8", to = "top newel", value = 40 }]
[[flights.posts]]
id = "top newel"
station = "top newel"
face_height = 1900
along = 90
across = 90
[[designs]]
id = "A"
title = "Oak"
flight = "main"
side = "left"
[designs.handrail]
width = 62
depth = 52
material = "oak-european"
[designs.base_rail]
width = 62
depth = 34
seat = "clear"
clearance = 60
material = "oak-european"
[designs.bottom]
kind = "new newel"
at = "N1"
offset = -62
along = 90
across = 90
above_rail = 90
foot = "floor"
material = "oak-european"
[designs.top]
kind = "existing newel"
post = "top newel"
[designs.infill]
kind = "uprights"
shape = "rectangular"
width = 32
thickness = 32
lean = "plumb"
spread = "equal gaps"
material = "oak-european"
[designs.making]
kind = "grooved"
rail_groove = 10
base_groove = 8
fillet_thickness = 6
clearance = 0.3
end_play = 0.2
fillet_material = "oak-european"
[designs.allowances]
build_tolerance = 1
"""

PITCH = math.atan2(190.0, 225.0)
RUN = (7 * 225.0 + 40.0) - (-62.0 + 45.0)
WIDTH, COUNT = 32.0, 12
GAP = (RUN - COUNT * WIDTH) / (COUNT + 1)
RAKED = 1.0 / math.cos(PITCH)

NEWEL = """
[[as_built]]
design = "A"
gate = "newels set"
date = 2025-04-01
[[as_built.posts]]
post = "P1"
face_height = 900
readings = [{{ kind = "run", from = "face", to = "N1", value = {face} }}]
"""

FITTED = """
[[as_built]]
design = "A"
gate = "first uprights in"
date = 2025-04-02
[[as_built.pieces]]
marks = ["U01 to U03"]
state = "fitted"
[[as_built.pieces]]
marks = ["U04"]
state = "fitted"
edge = {edge}
[[as_built.pieces]]
marks = ["U05 to U12", "F01 to F13"]
state = "cut"
"""

OFF = 6.0
"""mm along the rake by which U04 was fitted above its mark."""

EDGE = (4 * GAP + 3 * WIDTH) * RAKED + OFF
"""Where its lower edge then lies, from the lower end of the base rail."""


def half_way(face: float) -> str:
    """The job with its lower newel set with its face so far before N1, and the first uprights in."""
    return PLAN + NEWEL.format(face=face) + FITTED.format(edge=EDGE)


def answer(text: str) -> ResultDoc:
    """The result document of a job."""
    return result_document(solve(load_text(text)))


def built(document: ResultDoc) -> Any:
    """What it says of the half-built design."""
    return document["designs"][0]["as_built"]


def length_of(document: ResultDoc, place: str) -> float:
    """Length of the piece of one place."""
    return next(part["length"] for part in document["designs"][0]["parts"] if place in part["places"])


def rail(run: float) -> float:
    """The handrail by hand."""
    return run * RAKED + 52.0 * math.tan(PITCH)


@pytest.fixture(scope="module")
def plan() -> ResultDoc:
    return answer(PLAN)


@pytest.fixture(scope="module")
def after() -> ResultDoc:
    """The newel stands 10 mm further down: the run is R + 10."""
    return answer(half_way(face=27.0))


def test_the_plan_is_the_sums_by_hand(plan: ResultDoc) -> None:
    design = plan["designs"][0]
    assert [one["gap_before"] for one in design["infill"]] == pytest.approx([GAP] * COUNT)
    assert length_of(plan, "H1") == pytest.approx(rail(RUN))
    assert design["as_built"] is None


@pytest.mark.parametrize("face", [7.0, 27.0])
def test_a_newel_set_elsewhere_alone(plan: ResultDoc, face: float) -> None:
    document = answer(PLAN + NEWEL.format(face=face))
    run = RUN + (face - 17.0)
    gap = (run - COUNT * WIDTH) / (COUNT + 1)
    assert [one["gap_before"] for one in document["designs"][0]["infill"]] == pytest.approx([gap] * COUNT)
    assert length_of(document, "H1") == pytest.approx(rail(run))
    assert length_of(document, "U05") == pytest.approx(length_of(plan, "U05"))
    moved = built(document)["differences"][0]
    assert (moved["where"], moved["planned"], moved["measured"]) == (
        "P1",
        pytest.approx(-17.0),
        pytest.approx(-face),
    )


def test_the_rest_is_spread_between_what_stands(after: ResultDoc) -> None:
    """Above U04 eight uprights are left: (R + 10 - 4 g - 4 w - 6 cos - 8 w) / 9 between them."""
    infill = after["designs"][0]["infill"]
    level = OFF * math.cos(PITCH)
    rest = (RUN + 10.0 - 4 * GAP - 4 * WIDTH - level - 8 * WIDTH) / 9
    wanted = [GAP, GAP, GAP, GAP + level, *[rest] * 8]
    assert [one["gap_before"] for one in infill] == pytest.approx(wanted, abs=1e-6)
    assert infill[-1]["gap_after"] == pytest.approx(rest, abs=1e-6)


def test_pieces_that_are_cut_go_where_they_fit_and_the_others_are_told_by_how_much(after: ResultDoc) -> None:
    """The fillets were cut for g: three gaps are still g, one is 6 longer along the rake, nine are g' - g."""
    found = {one["place"]: one for one in built(after)["pieces"]}
    assert {found[f"U{k:02d}"]["fate"] for k in (1, 2, 3, 4)} == {"stands"}
    assert {found[f"U{k:02d}"]["fate"] for k in range(5, 13)} == {"fits as cut"}
    assert [found[f"F{k:02d}"]["fate"] for k in (1, 2, 3)] == ["fits as cut"] * 3
    rest = (RUN + 10.0 - 4 * GAP - 12 * WIDTH - OFF * math.cos(PITCH)) / 9
    short = {one["piece"]: one["short"] for one in built(after)["left_over"]}
    wanted = {f"F{k:02d}": (rest - GAP) * RAKED for k in range(5, 14)} | {"F04": OFF}
    assert short == pytest.approx(wanted, abs=1e-6)
    assert {found[f"F{k:02d}"]["fate"] for k in range(4, 14)} == {"make anew"}


def test_pieces_that_are_too_long_are_trimmed_by_what_the_gap_lost(plan: ResultDoc) -> None:
    """The newel stands 10 mm up: 13 gaps lose 10/13 each, along the rake 10 / (13 cos)."""
    cut = '[[as_built.pieces]]\nmarks = ["F02 to F12"]\nstate = "cut"\n'
    document = answer(PLAN + NEWEL.format(face=7.0) + cut)
    for one in built(document)["pieces"]:
        if one["place"] in {f"F{k:02d}" for k in range(2, 13)}:
            assert one["fate"] == "trim"
            assert one["trim_start"] + one["trim_finish"] == pytest.approx(10.0 / 13 * RAKED, abs=1e-6)
            assert one["piece"] == one["place"]


LEANING = """
[[as_built]]
design = "A"
gate = "newels set"
[[as_built.posts]]
post = "P1"
face_height = 900
readings = [{ kind = "run", from = "face", to = "N1", value = 20 }]
lean_along = { offset = -9, over = 900 }
"""


def test_the_irregular_example_with_a_leaning_newel() -> None:
    """A face that leans l and lies at f at 900 up meets the line z = a + b u at u = (f + l (a - 900)) / (1 - l b).

    The rail's top and underside are two such lines; its lower longest point is the one that lies lower along it.
    """
    text = starting_text("mm", Unit.MM)
    before, after = answer(text), answer(text + LEANING)
    old, new = (document["designs"][0]["rails"][0] for document in (before, after))
    slope = math.tan(math.radians(old["slope_deg"]))
    top = old["height_at_nosings"][0] + before["stairs"][0]["nosings"][0][1]
    lines = (top, top - 52.0 * math.hypot(1.0, slope))

    def lowest(face: float, lean: float) -> float:
        places = [((face + lean * (a - 900.0)) / (1.0 - lean * slope), a) for a in lines]
        return min((u + slope * (a + slope * u)) / math.hypot(1.0, slope) for u, a in places)

    assert new["slope_deg"] == pytest.approx(old["slope_deg"])
    gained = lowest(-17.0, 0.0) - lowest(-20.0, -0.01)
    assert new["length"] - old["length"] == pytest.approx(gained, abs=1e-4)


AGAIN = """
[[as_built]]
design = "A"
gate = "newels set"
[[as_built.posts]]
post = "P2"
readings = [{{ kind = "run", from = "N12", to = "face", value = {value}, sigma = 1 }}]
"""


def test_a_newel_that_stands_elsewhere_than_it_was_surveyed_is_told() -> None:
    """The survey has its face 170 from N12; read again within a millimetre of that is no news, 12 mm off is."""
    text = starting_text("mm", Unit.MM)
    told = {value: answer(text + AGAIN.format(value=value))["designs"][0]["findings"] for value in (171, 182)}
    codes = {value: [f["code"] for f in findings] for value, findings in told.items()}
    assert "asbuilt.contradicts" not in codes[171]
    found = next(f for f in told[182] if f["code"] == "asbuilt.contradicts")
    assert found["verdict"] == "fail"
    assert "moved since" in str(found["remedy"])


def test_the_lists_of_the_pack_hold_the_sums(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(half_way(face=27.0), "utf-8")
    with pytest.raises(SystemExit) as ended:
        main(("build", str(job), "-o", str(tmp_path / "pack")))
    assert ended.value.code in (0, 1)
    pack = tmp_path / "pack"
    assert (pack / "as-built.pdf").read_bytes().startswith(b"%PDF")
    rows = list(
        csv.DictReader((pack / "lists" / "A-as-built-to-make.csv").read_text("utf-8-sig").splitlines())
    )
    now = {row["Places"]: row for row in rows}
    assert float(_number(now["H1"], "Now")) == pytest.approx(rail(RUN + 10.0), abs=0.06)
    assert float(_number(now["H1"], "Difference")) == pytest.approx(10.0 * RAKED, abs=0.06)
    document = json.loads((pack / "result.json").read_text("utf-8"))
    assert document["designs"][0]["as_built"]["gate"] == "first uprights in"


def _number(row: dict[str, str], heading: str) -> str:
    return next(value for key, value in row.items() if key.startswith(heading))


@pytest.mark.parametrize("sigma", [0.5, 1.0, 3.0])
def test_two_readings_of_a_face_leave_what_their_weighted_mean_leaves(plan: ResultDoc, sigma: float) -> None:
    """Weights 1/s^2 and the mean's variance 1 / sum of weights: any text on adjustment; from memory of them all.

    The face was read once from N8; read again it lies at the weighted mean, as surely as the weights say.
    """
    surveyed = answer(PLAN + TOP_AGAIN.format(value=41.0, sigma=sigma))
    found = built(surveyed)["differences"][0]
    first = _sigma_of_the_face()
    weights = (1.0 / first**2, 1.0 / sigma**2)
    shift = 1.0 * weights[1] / sum(weights)
    assert found["difference"] == pytest.approx(shift, rel=1e-6)
    going = 2.0 * _sigma_of_n8()
    for key, own in (("uncertainty_before", first), ("uncertainty_after", 1.0 / math.sqrt(sum(weights)))):
        assert found[key] == pytest.approx(math.hypot(going, 2.0 * own), rel=1e-6)


TOP_AGAIN = """
[[as_built]]
design = "A"
gate = "newels looked at"
[[as_built.posts]]
post = "P2"
readings = [{{ kind = "run", from = "N8", to = "face", value = {value}, sigma = {sigma} }}]
"""


def _sigma_of_the_face() -> float:
    """Standard uncertainty of the survey's reading of the face, as the job takes it from its instrument."""
    readings = load_text(PLAN).flights[0].readings
    return next(reading.sigma for reading in readings if reading.end == "top newel")


def _sigma_of_n8() -> float:
    """Standard uncertainty of where N8 lies from N1: seven goings, each read once."""
    readings = load_text(PLAN).flights[0].readings
    goings = [r.sigma for r in readings if r.kind.value == "run" and r.end != "top newel"]
    assert len(goings) == 7
    return math.hypot(*goings)
