"""Rails through changes of direction against handbooks of the trade and closed forms.

Every case of ``data/trade_turns.json`` bears its source and how its figure is known. Spacing, lengths, steel-square
tables and plain mitres stand in ``data/trade_spacing.json`` and ``data/trade_checks.json``, each with its own test.
Handbooks: R. G. Hatfield, *American House Carpenter*; *Cyclopedia of Architecture, Carpentry and Building*;
F. T. Hodgson, *ABC of the Steel Square*; W. H. Wood, *Practical Stair Building and Handrailing* (1894).
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitchline.kit.geometry.bevels import direction_of, rail_frame
from pitchline.kit.geometry.easings import PitchBoard, easing_of_tangent
from pitchline.kit.geometry.frames import ORIGIN
from pitchline.kit.geometry.lines import Line
from pitchline.kit.geometry.meetings import Meeting, meeting_of, shares_of_rise
from pitchline.kit.geometry.meetings_space import chain, end_cut, post_face
from pitchline.kit.geometry.meetings_ways import Turn, level_way, plumb_way, post_ways
from pitchline.kit.geometry.wreath import Wreath, cross_slope, enclosing_plank, radius_of_straight_fall

CASES = json.loads((Path(__file__).parent / "data" / "trade_turns.json").read_text(encoding="utf-8"))


def named(*starts: str) -> list[Any]:
    return [pytest.param(case, id=case["id"]) for case in CASES if case["id"].startswith(starts)]


def one(name: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    (case,) = (case for case in CASES if case["id"] == name)
    return case["inputs"], case["expected"], case["tol"]


def met(first: Line, second: Line) -> Meeting:
    found = meeting_of(first, second)
    assert found is not None
    return found


def rake(given: dict[str, Any]) -> Line:
    """The line of a rake through the top nosing's height, h1 above it, the nosing at u = 0."""
    return Line(given.get("h1", 0.0), given["rise"] / given["going"])


def test_every_case_names_its_source_and_how_well_it_is_known() -> None:
    for case in CASES:
        assert case["source"]
        assert case["mark"].split(",")[0] in {
            "printed",
            "derived",
            "rule printed",
            "list printed",
            "property printed",
            "inputs printed",
            "construction printed",
        }


@pytest.mark.parametrize("case", named("level-rake"))
def test_a_rake_meets_a_level_behind_the_top_nosing(case: dict[str, Any]) -> None:
    given = case["inputs"]
    found = met(rake(given), Line(given["h2"], 0.0))
    assert found.beyond(0.0) == pytest.approx(case["expected"]["behind"], abs=case["tol"])


@pytest.mark.parametrize("case", named("mitre-"))
def test_each_of_two_rails_takes_half_of_a_change_of_pitch(case: dict[str, Any]) -> None:
    found = met(rake(case["inputs"]), Line(0.0, 0.0))
    assert abs(found.mitre_deg) == pytest.approx(case["expected"]["mitre"], abs=case["tol"])
    pitch = math.degrees(rake(case["inputs"]).angle)
    (joint,) = chain((direction_of(0.0, pitch), direction_of(0.0, 0.0)))
    assert abs(joint.first.bevel_deg) == pytest.approx(case["expected"]["mitre"], abs=case["tol"])


def test_the_cuts_of_one_stair_angle() -> None:
    given, expected, tol = one("fitter-37.5")
    pitch = given["pitch"]
    turn = Turn(pitch, 0.0, 0.0, 60.0, 60.0)
    plumb = end_cut(rail_frame(direction_of(0.0, pitch)), post_face(ORIGIN, 0.0), 60.0, 60.0).reading
    assert abs(plumb.bevel_deg) == pytest.approx(expected["plumb_cut"], abs=tol)
    (post,) = post_ways(turn)
    assert post.first == plumb
    assert PitchBoard(math.tan(math.radians(pitch)), 1.0).level_cut_deg == pytest.approx(
        expected["level_cut"]
    )
    level = level_way(turn).joints[0]
    assert abs(level.first.bevel_deg) == pytest.approx(expected["level_mitre"], abs=tol)
    upright = plumb_way(turn, upwards=True).joints[0]
    assert abs(upright.first.bevel_deg) == pytest.approx(expected["plumb_mitre"], abs=tol)


@pytest.mark.parametrize("case", named("two-per-tread", "three-per-tread"))
def test_members_of_one_tread_differ_by_shares_of_the_rise(case: dict[str, Any]) -> None:
    found = shares_of_rise(case["inputs"]["rise"], case["inputs"]["count"])
    assert found == pytest.approx(case["expected"]["longer"], abs=case["tol"])


def test_a_pitch_board() -> None:
    given, expected, tol = one("pitch-board")
    board = PitchBoard(given["rise"], given["going"])
    assert board.rake == pytest.approx(expected["rake"], abs=tol)
    assert board.pitch_deg == pytest.approx(expected["pitch"], abs=tol)


def test_a_ramp_is_set_out_by_equal_tangents_and_perpendiculars() -> None:
    """International Correspondence Schools, *Building Construction*, vol. 3, art. 39 (rule printed).

    Equal lengths are set off on both lines from where they meet; lines square to them there meet in the centre.
    """
    first, second = Line(0.0, 0.7), Line(0.0, 0.0)
    easing = easing_of_tangent(first, second, 10.0)
    off = (-10.0 * math.cos(first.angle), -10.0 * math.sin(first.angle))
    square = Line(off[1] + off[0] / 0.7, -1.0 / 0.7)
    centre = square.meet((10.0, 0.0), (0.0, 1.0))
    assert easing.arc.centre == pytest.approx(centre)
    assert easing.radius == pytest.approx(abs(centre[1]))


@pytest.mark.parametrize("case", named("half-turn-"))
def test_a_well_of_a_half_turn(case: dict[str, Any]) -> None:
    """The springings are one rise apart where the riser faces stand in line across the well."""
    given = case["inputs"]
    radius = given["diameter_in_goings"] * given["going"] / 2.0
    slope = cross_slope(given["rise"], given["rise"] / given["going"], radius)
    assert slope == pytest.approx(case["expected"]["slope"], abs=case["tol"])


@pytest.mark.parametrize("case", named("wreath-"))
def test_a_wreath_by_the_tangent_method(case: dict[str, Any]) -> None:
    given, expected = case["inputs"], case["expected"]
    wreath = Wreath(given["r"], given["plan"], given["ha"], given["hb"])
    found = {
        "len_a": wreath.first.tangent,
        "len_b": wreath.second.tangent,
        "chord": wreath.chord,
        "ang": wreath.angle_deg,
        "plank": wreath.plank_pitch_deg,
        "bevel_a": wreath.first.bevel_deg,
        "bevel_b": wreath.second.bevel_deg,
        "semi_major": wreath.semi_axes[1],
    }
    assert set(expected) <= set(found)
    for name, figure in expected.items():
        assert found[name] == pytest.approx(figure, abs=case["tol"]), name
    assert wreath.semi_axes[0] == given["r"]


@pytest.mark.parametrize("pitch", [20.0, 34.992, 41.634])
def test_bevels_of_the_handbooks_as_formulas(pitch: float) -> None:
    """Level to rake: 90 less the pitch. Rake to rake: tan(bevel) = 1 / sin(pitch), plank tan = sqrt 2 tan(pitch)."""
    p = math.radians(pitch)
    level = Wreath(100.0, 90.0, 0.0, 100.0 * math.tan(p))
    assert (level.first.bevel_deg, level.second.bevel_deg) == pytest.approx((90.0 - pitch, 90.0))
    assert level.angle_deg == pytest.approx(90.0)
    equal = Wreath(100.0, 90.0, 100.0 * math.tan(p), 100.0 * math.tan(p))
    assert math.tan(math.radians(equal.first.bevel_deg)) == pytest.approx(1.0 / math.sin(p))
    assert math.tan(math.radians(equal.plank_pitch_deg)) == pytest.approx(math.sqrt(2.0) * math.tan(p))
    assert math.cos(math.radians(equal.angle_deg)) == pytest.approx(-(math.sin(p) ** 2))


def test_a_straight_fall_round_a_quarter_by_wood_and_by_rectification() -> None:
    given, expected, tol = one("wood-rect")
    going = given["going"]
    from_below = Line(0.0, math.tan(math.radians(45.0)))
    from_above = Line(going * math.tan(math.radians(60.0)), -math.tan(math.radians(60.0)))
    built = met(from_below, from_above).z
    assert built == pytest.approx(expected["r"], abs=tol)
    exact = radius_of_straight_fall(going)
    assert exact == pytest.approx(expected["exact_2_over_pi"], abs=tol)
    assert built / exact == pytest.approx(1.0, abs=0.0042)


def test_a_plank_for_any_wreath() -> None:
    given, expected, tol = one("stock-F")
    assert enclosing_plank(given["width"], given["depth"]) == pytest.approx(expected["plank"], abs=tol)
