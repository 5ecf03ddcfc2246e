"""Saw angles against printed tables and vector geometry; the source of each case stands in the data file."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitchline.kit.geometry.bevels import SawReading, angle_of_slope, direction_of, joint_between, slope_per
from pitchline.kit.units import Unit, read_length, show_length

CASES = json.loads((Path(__file__).parent / "data" / "trade_checks.json").read_text(encoding="utf-8"))


def named(*starts: str) -> list[Any]:
    return [pytest.param(case, id=case["id"]) for case in CASES if case["id"].startswith(starts)]


@pytest.mark.parametrize("case", named("square-"))
def test_the_steel_square_table(case: dict[str, Any]) -> None:
    """Building-Trades Pocketbook, 'Laying out angles': tongue for 12 on the blade, printed to 1/32 in.

    Its entry for 10 degrees is 0.022 in low; the others are within 1/64 in of 12 tan(angle).
    """
    degrees = case["inputs"]["deg"]
    tongue = SawReading(degrees, 0.0).rise_per_12
    assert tongue == pytest.approx(case["expected"]["exact"], abs=1e-4)
    printed = read_length(f"{case['expected']['printed']} in", Unit.MM) / 25.4
    assert tongue == pytest.approx(printed, abs=0.023 if degrees == 10 else 1.0 / 64.0)
    if degrees != 10:
        assert abs(read_length(show_length(tongue * 25.4, Unit.INCH), Unit.MM) / 25.4 - printed) <= 1.0 / 32.0


@pytest.mark.parametrize(
    ("degrees", "minutes", "tongue"), [(18, 25, 4), (26, 33, 6), (33, 42, 8), (53, 7, 16)]
)
def test_whole_inches_on_the_tongue(degrees: int, minutes: int, tongue: int) -> None:
    """Building-Trades Pocketbook, same table: angles printed to the minute, with 12 on the blade."""
    assert angle_of_slope(tongue, 12.0) == pytest.approx(degrees + minutes / 60.0, abs=1.1 / 60.0)


def test_octagon_and_hexagon_on_the_square() -> None:
    """Hodgson, ABC of the Steel Square, p. 16: 12 and 4 31/32, 12 and 6 15/16 (to 1/64)."""
    assert slope_per(22.5, 12.0) == pytest.approx(4 + 31 / 32, abs=1 / 64)
    assert slope_per(30.0, 12.0) == pytest.approx(6 + 15 / 16, abs=1 / 64)


@pytest.mark.parametrize("case", named("pitch-"))
def test_a_printed_pitch(case: dict[str, Any]) -> None:
    pitch = angle_of_slope(case["inputs"]["rise"], case["inputs"]["going"])
    assert pitch == pytest.approx(case["expected"]["pitch"], abs=case["tol"])
    assert SawReading(pitch, 0.0).from_edge_deg == pytest.approx(
        case["expected"]["complement"], abs=case["tol"]
    )


@pytest.mark.parametrize("case", named("joint-", "table-"))
def test_two_rails_round_a_corner(case: dict[str, Any]) -> None:
    given, expected = case["inputs"], case["expected"]
    joint = joint_between(direction_of(0.0, given["p1"]), direction_of(given["plan"], given["p2"]))
    assert joint.turn_deg == pytest.approx(expected["turn"], abs=case["tol"])
    assert abs(joint.first.mitre_deg) == pytest.approx(expected["mitre"], abs=case["tol"])
    assert abs(joint.first.bevel_deg) == pytest.approx(expected["bevel"], abs=case["tol"])
    assert abs(joint.roll_deg) == pytest.approx(expected["roll"], abs=max(case["tol"], 0.051))


def test_picture_frame_and_hopper_formulas() -> None:
    """A square hopper with sides sloping at p from level: mitre atan(cos p), bevel asin(sin p / sqrt 2).

    Common workshop formulas for compound mitres, also derived in many handbooks of roof framing (from
    memory). Here: four level boards lie tilted by the roll, so the wide face slopes at p.
    """
    p = 35.0
    joint = joint_between(direction_of(0.0, 0.0), direction_of(90.0, 0.0), p)
    slope = math.radians(p)
    assert abs(joint.first.mitre_deg) == pytest.approx(math.degrees(math.atan(math.cos(slope))))
    assert abs(joint.first.bevel_deg) == pytest.approx(
        math.degrees(math.asin(math.sin(slope) / math.sqrt(2.0)))
    )
