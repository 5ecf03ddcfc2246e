"""Spacing, lengths and saw angles against figures printed in handbooks and trade pages.

Every case of ``data/trade_spacing.json`` bears its source and how its figure is known: *printed* there, or
*derived* by the closed form named. Where a case speaks of a stair, it is carried through the whole chain:
readings, adjustment, stair, layout, parts; and the figure is read off the part that would be cut.
"""

import json
import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from tests.strategies_stairs import (
    FOOT_POST,
    FOOT_WALL,
    HEAD_POST,
    HEAD_WALL,
    LIMITS,
    PLAIN_UPRIGHTS,
    flight_of,
    newel,
    plain_brief,
    regular,
    regular_flight,
)

from pitchline.design.brief import (
    AtWall,
    BaseBrief,
    BaseSeat,
    Brief,
    Centred,
    ExistingNewel,
    Grooved,
    Leaning,
    RailBrief,
    Shape,
    SpacingBrief,
    Spread,
    UprightsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.limits import Limits
from pitchline.design.model import Design
from pitchline.design.spacing import Run, lay_out
from pitchline.kit.geometry.bevels import direction_of, joint_between, saw_reading
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.tolerances import TILING
from pitchline.parts.explode import explode
from pitchline.parts.part import Part, Role
from pitchline.stair.facts import PostFacts, WallFacts
from pitchline.stair.model import Flight
from pitchline.stair.pitch import fitted_line, pitch_deg, support_line

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case
    for case in json.loads((Path(__file__).parent / "data" / "trade_spacing.json").read_text())
}
INCH = 25.4


def given(case: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    """Inputs, expected figures and tolerance of a case."""
    entry = CASES[case]
    return entry["inputs"], entry["expected"], entry["tol"]


def made(design: Design) -> dict[str, Part]:
    return {part.place: part for part in explode(design)}


def of_role(parts: dict[str, Part], role: Role) -> list[Part]:
    return [part for part in parts.values() if part.role is role]


def edge(part: Part) -> float:
    """The length of a long edge: what a rule laid on the piece reads from corner to corner."""
    lengths = part.body.long_edge_lengths
    assert max(lengths) - min(lengths) <= TILING
    return lengths[0]


def mitre(planes: Sequence[Plane]) -> float:
    """The end cut's angle on the elevation, from square, whichever way the piece lies."""
    assert len(planes) == 1
    return math.degrees(math.acos(abs(planes[0].normal[0])))


def between_walls(length: float, rise: float = 180.0, going: float = 250.0) -> tuple[Flight, Brief]:
    """A regular stair between two plumb walls ``length`` apart on the level."""
    steps = math.ceil(length / going)
    sizes = replace(regular(steps + 1, rise, going), foot=0.0, head=length - steps * going)
    walls = (WallFacts("foot", FOOT_WALL, 700.0), WallFacts("head", HEAD_WALL, 700.0))
    flight = flight_of(sizes, walls=walls)
    return flight, plain_brief(flight, bottom=AtWall("foot"), top=AtWall("head"))


def with_spacing(brief: Brief, spacing: SpacingBrief, width: float = 41.0) -> Brief:
    return replace(brief, infill=UprightsBrief(Shape.RECTANGULAR, width, width, Leaning.PLUMB, spacing))


def test_every_case_names_its_source_and_how_well_it_is_known() -> None:
    for case in CASES.values():
        assert case["source"]
        assert case["mark"].split(",")[0] in {"printed", "derived", "rule printed", "list printed"}


def test_pitch_of_a_stair() -> None:
    inputs, expected, tol = given("pitch-jlc")
    flight = regular_flight(12, inputs["rise"] * INCH, inputs["going"] * INCH)
    for line in (fitted_line(flight.nosings), support_line(flight.nosings)):
        assert pitch_deg(line) == pytest.approx(expected["pitch"], abs=tol)
        assert 90.0 - pitch_deg(line) == pytest.approx(expected["complement"], abs=tol)


def test_raking_length_of_twelve_steps() -> None:
    """A rail cut between plumb walls at the first and the thirteenth nosing."""
    inputs, expected, tol = given("hyp-metric")
    flight, brief = between_walls(inputs["n"] * inputs["going"], inputs["rise"], inputs["going"])
    part = made(compose(flight, brief, LIMITS))["H1"]
    assert edge(part) == pytest.approx(expected["length"], abs=tol)


def test_rises_of_a_divided_height() -> None:
    inputs, expected, tol = given("risers-king")
    for risers, rise in expected.items():
        flight = regular_flight(int(risers), inputs["total"] * INCH / int(risers), 250.0)
        assert max(flight.rises) == pytest.approx(min(flight.rises), abs=1e-6)
        assert flight.rises[0] / INCH == pytest.approx(rise, abs=tol)


def test_rises_and_treads_of_a_divided_landing() -> None:
    inputs, expected, _ = given("risers-cyc")
    flight = regular_flight(12, inputs["total_rise"] * INCH / 12, inputs["run"] * INCH / 11)
    assert flight.rises[5] / INCH == pytest.approx(expected["rise"], abs=1e-7)
    assert flight.goings[5] / INCH == pytest.approx(expected["tread"], abs=1e-7)


def two_to_a_step(rise: float, going: float) -> Design:
    flight = regular_flight(12, rise * INCH, going * INCH)
    spacing = SpacingBrief(Spread.MODULE, module=going * INCH / 2)
    return compose(flight, with_spacing(plain_brief(flight), spacing, 32.0), LIMITS)


def test_baluster_spacing_on_the_rake_is_half_a_step() -> None:
    """The distance from baluster to baluster under the rail: fillet and baluster measured along the rail."""
    inputs, expected, tol = given("rail-spacing-hatfield")
    parts = made(two_to_a_step(inputs["rise"], inputs["going"]))
    pitch = math.atan2(inputs["rise"], inputs["going"])
    fillet = of_role(parts, Role.RAIL_FILLET)[1]
    assert (edge(fillet) + 32.0 / math.cos(pitch)) / INCH == pytest.approx(expected["spacing"], abs=tol)


def test_long_baluster_less_short_baluster() -> None:
    """Two to a step end half a rise apart under the rail: their difference when they stand on one tread."""
    inputs, expected, _ = given("baluster-diff-hatfield")
    design = two_to_a_step(inputs["rise"], 10.0)
    tops = [max(z for _, z in piece.sight) for piece in design.uprights]
    for low, high in pairwise(tops):
        assert (high - low) / INCH == pytest.approx(expected["diff"], abs=1e-7)


@pytest.mark.parametrize("case", ["gap-72-13", "gap-1000-9", "gap-1000-8"])
def test_equal_gaps_with_the_ends(case: str) -> None:
    inputs, expected, tol = given(case)
    unit = INCH if case == "gap-72-13" else 1.0
    flight, brief = between_walls(inputs["L"] * unit)
    design = compose(
        flight,
        with_spacing(brief, SpacingBrief(count=inputs["n"]), inputs["w"] * unit),
        Limits(900.0, 1000.0, 110.0),
    )
    assert len(design.uprights) == inputs["n"]
    for piece in design.uprights:
        assert piece.gap_before / unit == pytest.approx(expected["gap"], abs=tol)
        assert piece.gap_after / unit == pytest.approx(expected["gap"], abs=tol)


def test_half_a_centre_distance_at_the_ends() -> None:
    inputs, expected, tol = given("half-centres-jlc")
    flight, brief = between_walls(inputs["L"] * INCH)
    design = compose(
        flight, with_spacing(brief, SpacingBrief(Spread.HALF_ENDS, count=inputs["n"]), 25.0), LIMITS
    )
    centres = [piece.foot[0] for piece in design.uprights]
    for a, b in pairwise(centres):
        assert (b - a) / INCH == pytest.approx(expected["centres"], abs=tol)
    assert (centres[0] - 0.0) / INCH == pytest.approx(expected["centres"] / 2, abs=tol)


def test_three_to_a_tread() -> None:
    """One tread is a run with half gaps at both ends: what happens on it repeats on the next."""
    inputs, expected, _ = given("three-per-tread")
    layout = lay_out(
        Run(inputs["going"], inputs["neck"], inputs["neck"]), inputs["limit"], SpacingBrief(Spread.HALF_ENDS)
    )
    assert len(layout.centres) == expected["per_tread"]
    assert layout.centres[1] - layout.centres[0] == pytest.approx(expected["oc"], abs=1e-9)


def test_the_rule_of_thumb_keeps_gaps_of_eighty() -> None:
    """The run over (width + 80), rounded up, is never fewer than gaps of 80 need, nor more than one over."""
    inputs, expected, _ = given("thumb")
    for width, divisor in zip(inputs["w"], expected["div"], strict=True):
        for length in range(1000, 4000, 37):
            count = len(lay_out(Run(float(length), width, width), 99.0, SpacingBrief(max_gap=80.0)).centres)
            assert 0 <= math.ceil(length / divisor) - count <= 1


class TestReferenceFlight:
    """Twelve goings of 225, rise 200, newels of 90 on the first and the last riser, uprights of 41."""

    inputs, expected, tol = given("ref-example")

    def design(self, count: int | None = None) -> Design:
        flight = regular_flight(13, self.inputs["rise"], self.inputs["going"])
        brief = with_spacing(plain_brief(flight), SpacingBrief(count=count), self.inputs["w"])
        return compose(flight, brief, LIMITS)

    def test_run_and_rake(self) -> None:
        design = self.design()
        assert design.bay.run == pytest.approx(self.inputs["L"], abs=1e-6)
        assert math.degrees(design.handrail.top.angle) == pytest.approx(self.expected["pitch"], abs=1e-4)
        assert edge(made(design)["H1"]) == pytest.approx(self.expected["rake"], abs=self.tol)

    def test_fewest_uprights(self) -> None:
        design = self.design()
        assert len(design.uprights) == self.expected["n_min"]
        assert design.uprights[0].gap_before == pytest.approx(self.expected["gap18"], abs=self.tol)

    def test_fillets_and_uprights_add_up_to_the_rail(self) -> None:
        design = self.design(19)
        assert design.uprights[4].gap_after == pytest.approx(self.expected["gap19"], abs=0.005)
        parts = made(design)
        fillets = of_role(parts, Role.RAIL_FILLET)
        assert len(fillets) == 20
        for fillet in fillets:
            assert edge(fillet) == pytest.approx(self.expected["fillet19"], abs=self.tol)
        feet = [piece.outline.edge("base") for piece in design.uprights]
        on_rake = [math.dist(*foot) for foot in feet if foot is not None]
        assert on_rake == pytest.approx([self.expected["spindle_on_rake"]] * 19, abs=self.tol)
        total = sum(edge(fillet) for fillet in fillets) + sum(on_rake)
        assert total == pytest.approx(self.expected["rake"], abs=self.tol)

    def test_rise_across_an_upright(self) -> None:
        part = of_role(made(self.design(19)), Role.UPRIGHT)[7]
        assert part.length - edge(part) == pytest.approx(self.expected["rise_across_spindle"], abs=self.tol)


def test_length_of_an_upright_between_grooves() -> None:
    inputs, expected, tol = given("edge-length")
    flight = regular_flight(13, inputs["rise"], inputs["going"], inputs["margin_vert"])
    groove = inputs["rail_groove"]
    brief = plain_brief(
        flight,
        rail=RailBrief(70.0, inputs["rail_depth"], inputs["rail_top"]),
        base=BaseBrief(70.0, inputs["base_to_groove"] + 10.0),
        making=Grooved(groove, 10.0, 6.0),
    )
    for part in of_role(made(compose(flight, brief, LIMITS)), Role.UPRIGHT):
        assert edge(part) == pytest.approx(expected["edge"], abs=tol)
        assert part.length == pytest.approx(expected["blank"], abs=tol)


def test_saw_angles_of_one_stair() -> None:
    """The plumb cut of the rail and the uprights, the level cut beside it, the two mitres that bisect them."""
    inputs, expected, tol = given("cheat-sheet-37.5")
    pitch = inputs["pitch"]
    flight = regular_flight(12, 240.0 * math.tan(math.radians(pitch)), 240.0)
    parts = made(compose(flight, plain_brief(flight), LIMITS))
    for part in (parts["H1"], parts["B1"], *of_role(parts, Role.UPRIGHT), *of_role(parts, Role.RAIL_FILLET)):
        for cuts in (part.start_cuts, part.finish_cuts):
            assert mitre(cuts) == pytest.approx(expected["plumb_cut"], abs=tol)
    rail = parts["H1"].frame
    level = saw_reading(rail.direction_to_local((0.0, 0.0, 1.0)))
    assert abs(level.mitre_deg) + abs(level.bevel_deg) == pytest.approx(expected["level_cut"], abs=tol)
    rake = rail.x
    for other, figure in (((1.0, 0.0, 0.0), "level_mitre"), (direction_of(0.0, 90.0), "plumb_mitre")):
        joint = joint_between(rake, other)
        reading = abs(joint.first.mitre_deg) + abs(joint.first.bevel_deg)
        assert reading == pytest.approx(expected[figure], abs=tol)


@pytest.mark.parametrize("sense", [-1.0, 1.0])
def test_end_cuts_at_leaning_posts(sense: float) -> None:
    """A post whose top leans up the stair opens the angle at its upper face and closes it at its lower one."""
    inputs, expected, tol = given("leaning-post")
    out = sense * inputs["out_per_metre"] / 1000.0
    lean = sense * expected["lean_deg"]
    posts = (
        PostFacts("foot", FOOT_POST, 900.0, 90.0, 90.0, lean_along=out),
        PostFacts("head", HEAD_POST, 3000.0, 90.0, 90.0, lean_along=out),
    )
    flight = regular_flight(13, inputs["rise"], inputs["going"], posts=posts)
    pitch = math.degrees(math.atan2(inputs["rise"], inputs["going"]))
    brief = plain_brief(flight, bottom=ExistingNewel("foot"), top=ExistingNewel("head"))
    parts = made(compose(flight, brief, LIMITS))
    for part in (parts["H1"], parts["B1"]):
        assert mitre(part.start_cuts) == pytest.approx(pitch + lean, abs=tol)
        assert mitre(part.finish_cuts) == pytest.approx(pitch + lean, abs=tol)
        readings = (saw_reading(part.start_cuts[0].normal), saw_reading(part.finish_cuts[0].normal))
        assert readings[0].mitre_deg == pytest.approx(readings[1].mitre_deg, abs=1e-9)


@pytest.mark.parametrize(("lean_out", "twist_deg"), [(0.01, 0.0), (0.0, 3.0), (0.008, -2.0)])
def test_compound_cuts_at_posts_out_both_ways(lean_out: float, twist_deg: float) -> None:
    """The normal of the post's face, turned into the rail's axes by hand, gives mitre and bevel.

    Derived: with the rail's unit vectors r along, n square to it in the elevation and y across, a face of
    normal f reads atan2 and asin of its parts along r, n and y.
    """
    twist = math.radians(twist_deg)
    post = PostFacts("foot", FOOT_POST, 900.0, 90.0, 90.0, lean_across=lean_out, twist=twist)
    flight = regular_flight(posts=(post,))
    design = compose(flight, plain_brief(flight, bottom=ExistingNewel("foot")), LIMITS)
    towards = design.side.towards_stair
    size = math.hypot(lean_out, 1.0)
    axis = (0.0, lean_out * towards / size, 1.0 / size)
    plan = (math.cos(twist), math.sin(twist), 0.0)
    off = plan[1] * axis[1]
    face = [plan[k] - off * axis[k] for k in range(3)]
    scale = math.sqrt(sum(part * part for part in face))
    theta = design.handrail.top.angle
    along = (face[0] * math.cos(theta) + face[2] * math.sin(theta)) / scale
    square = (-face[0] * math.sin(theta) + face[2] * math.cos(theta)) / scale
    across = face[1] / scale
    part = made(design)["H1"]
    reading = saw_reading(part.start_cuts[0].normal)
    wide_is_across = part.width == pytest.approx(design.handrail.width)
    y, z = (across, square) if wide_is_across else (square, across)
    assert abs(reading.mitre_deg) == pytest.approx(abs(math.degrees(math.atan2(y, along))), abs=1e-9)
    assert abs(reading.bevel_deg) == pytest.approx(abs(math.degrees(math.asin(z))), abs=1e-9)


def test_two_a_tread_as_the_trade_counts_them() -> None:
    """Treads times two less two is a trade rule (common practice, no source): it never opens a legal stair."""
    flight = regular_flight(13)
    count = 2 * 12 - 2
    brief = with_spacing(plain_brief(flight), SpacingBrief(count=count))
    design = compose(flight, brief, LIMITS)
    assert design.uprights[0].gap_before == pytest.approx((2610.0 - count * 41.0) / (count + 1), abs=1e-6)
    assert design.uprights[0].gap_before < LIMITS.gap


def test_a_gap_on_the_middle_or_an_upright_on_the_middle() -> None:
    """Fixed module, equal odd ends (daveosborne.com, how to install stair spindles: either may be centred)."""
    flight = regular_flight(13)
    middle = 12 * 225.0 / 2
    for centred in Centred:
        spacing = SpacingBrief(Spread.MODULE, module=130.0, centred=centred)
        design = compose(flight, with_spacing(plain_brief(flight), spacing), LIMITS)
        nearest = min(abs(piece.foot[0] - middle) for piece in design.uprights)
        assert nearest == pytest.approx(0.0 if centred is Centred.MEMBER else 65.0, abs=1e-6)


def test_turned_necks_decide() -> None:
    """A page on baluster spacing: 1 1/4 in. at the base, 5/8 in. at the top; legal below, too wide above.

    finehomebuilding.com forum, stairway baluster spacing: going 9 7/8 in., two a tread, 3.69 in. at the base
    and 4.31 in. at the top against a 4 in. ball (printed).
    """
    going, base, top = 9.875, 1.25, 0.625
    wish = SpacingBrief(Spread.HALF_ENDS)
    two = lay_out(Run(going, base, base), 4.0, wish)
    assert len(two.centres) == 2
    assert two.gap == pytest.approx(3.69, abs=0.005)
    assert two.gap + base - top == pytest.approx(4.31, abs=0.005)
    assert len(lay_out(Run(going, base, top), 4.0, wish).centres) == 3


def test_clear_base_rail_over_the_proud_nosings() -> None:
    flight = regular_flight(13, margin=None)
    base = BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=50.0)
    design = compose(
        flight, plain_brief(flight, base=base, bottom=newel("N1"), infill=PLAIN_UPRIGHTS), LIMITS
    )
    assert [design.base_rail.bottom.at(u) - z for u, z in flight.nosings] == pytest.approx(
        [50.0] * 13, abs=1e-6
    )
