"""Fixings of rails and half newels: to walls, to seats, to each other, against statics and the slip of screws."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.builders import ENGLAND
from tests.strategies_edges import QUARTER
from tests.strategies_stairs import HEAD_WALL, LIMITS, plain_brief, regular_flight
from tests.strength.test_strength_edge import MITRED, gallery
from tests.strength.test_strength_model import AT_TOP, KINDS, plain, report_of

from pitchline.catalogue.strength import fixing_type
from pitchline.design.brief import AtWall, HalfNewel
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.finding import Verdict
from pitchline.kit.frame.solve import solve
from pitchline.stair.facts import WallFacts
from pitchline.strength.edge import strength_of_edge
from pitchline.strength.rail_uses import ARM
from pitchline.strength.rails import RAIL_SLIP, rail_slip
from pitchline.strength.report import StrengthReport
from pitchline.strength.seats import SEAT_ACROSS, seat_springs
from pitchline.strength.settings import JointFixing, RailFixing, SeatFixing, StrengthSettings, WallHold
from pitchline.strength.solved import Study

WALLED = regular_flight(walls=(WallFacts("head", HEAD_WALL, 3000.0),))


def on_wall() -> Design:
    """A handrail alone, from a newel to a wall."""
    design = compose(WALLED, plain_brief(WALLED, top=AtWall("head")), LIMITS)
    return replace(design, base=None, packer=None, uprights=())


def on_half_newel(**changes: object) -> Design:
    return compose(WALLED, plain_brief(WALLED, top=HalfNewel("head", 45.0, 90.0, 100.0), **changes), LIMITS)


def test_a_wall_takes_half_of_a_rail_that_ends_on_it() -> None:
    """Hinged at the newel and free to turn on the wall: w L / 2 across and half its weight, both factored."""
    report = report_of(on_wall(), (), AT_TOP)
    (demand,) = report.walls
    rail = report.model.by_name["H1"]
    long = sum(report.model.length_of(name) for name in rail.members)
    level = 1.5 * AT_TOP.require("load.line").value * long / 2
    weight = 1.35 * rail.wood.rho_mean * 1e-9 * 9.81 * rail.cut.section.area * long / 2
    assert demand.piece == "H1"
    assert demand.places == 1
    slope = report.model.legs[0].rail_line.angle
    assert demand.shear == pytest.approx(math.hypot(level, weight * math.cos(slope)), rel=0.02)
    assert demand.case in ("line outward", "line inward")


def test_what_a_wall_must_bear_is_told_until_its_fixings_are_stated() -> None:
    design = on_wall()
    open_question = report_of(design, (), AT_TOP)
    told = next(finding for finding in open_question.findings if finding.code == "strength.wall")
    assert told.verdict is Verdict.REPORT
    assert told.where == "A: H1"
    assert "not stated and not judged" in told.text
    settings = StrengthSettings(walls={"": WallHold(900.0, 600.0, 2)})
    judged = report_of(design, (), AT_TOP, settings)
    assert not any(finding.code == "strength.wall" for finding in judged.findings)
    use = next(use for use in judged.utilisations if use.what == "fixings in the wall")
    (demand,) = judged.walls
    assert use.ratio == pytest.approx((demand.pull / 900 + demand.shear / 600) / 2)
    other = StrengthSettings(walls={"B9": WallHold(900.0, 600.0, 2)})
    assert any(f.code == "strength.wall" for f in report_of(design, (), AT_TOP, other).findings)


def test_a_half_newel_hangs_on_its_wall_over_its_height() -> None:
    """A fixing every 300 mm or so; what the rails do not strut of the cables' pull, the wall holds (statics)."""
    report = report_of(on_half_newel(**KINDS["cables"]), (), ENGLAND)
    end = next(end for end in report.model.wall_ends if end.kind == "half newel")
    index = report.model.frame.node_index
    heights = sorted(report.model.frame.nodes[index[name]].at[2] for name in end.nodes)
    assert max(b - a for a, b in pairwise(heights)) <= 400.0
    assert len(heights) >= 4
    weight = solve(report.model.frame, [report.cases[0].case])
    standing = report.model.by_post[end.piece]
    held = sum(weight.reaction("weight", name)[0] for name in (*end.nodes, standing.foot))
    names = {*end.nodes, standing.foot}
    others = sum(weight.reaction("weight", n.id)[0] for n in report.model.frame.nodes if n.id not in names)
    pulls = sum(s.pull * s.line.direction[0] for s in report.model.legs[0].leg.design.strands if s.pull)
    assert held == pytest.approx(-others, rel=1e-6)
    assert 0.2 * pulls < held < pulls
    assert not any(use.piece == end.piece and use.what.startswith("base") for use in report.utilisations)


def test_more_and_thicker_fixings_give_less() -> None:
    """K_ser grows with the diameter (EN 1995-1-1 table 7.1), and springs side by side add."""
    six = RailFixing(fixing_type("screw-6"), 2)
    assert rail_slip(six) == RAIL_SLIP
    assert rail_slip(replace(six, count=3)).mean == pytest.approx(1.5 * RAIL_SLIP.mean)
    assert rail_slip(replace(six, fixing=fixing_type("screw-8"))).mean == pytest.approx(
        8 / 6 * RAIL_SLIP.mean
    )
    usual, closer = SeatFixing(), SeatFixing(fixing_type("screw-6"), 150.0, 50.0)
    before, after = (seat_springs(200.0, 0, seat)[1] for seat in (usual, closer))
    assert before == SEAT_ACROSS.times(200.0)
    assert after == SEAT_ACROSS.times(200.0 * 2 * 6 / 5)


def test_screws_of_a_base_rail_share_what_its_seat_takes() -> None:
    """Twice as many screws bear about half each; all of them together hold what the seat pushes back (statics)."""
    design = plain()
    ratios = []
    for apart in (300.0, 150.0):
        report = report_of(design, (), ENGLAND, StrengthSettings(seat_fixing=SeatFixing(apart=apart)))
        use = next(use for use in report.utilisations if use.what == "screws to its seat")
        ratios.append(use.ratio)
        assert f"{apart:g} mm apart" in use.worked
    assert ratios[1] == pytest.approx(ratios[0] / 2, rel=0.3)


def test_a_rail_bolt_where_rails_are_joined() -> None:
    """Axial pull and bending over two fifths of the rail's sides, recomputed from the forces at the joint."""
    legs = gallery(QUARTER, MITRED)
    report = strength_of_edge(legs, AT_TOP)
    assert isinstance(report, StrengthReport)
    use = next(use for use in report.utilisations if use.what.startswith("joint with ") and use.piece == "H1")
    joint = next(joint for joint in report.model.rail_joints if joint.piece == "H1")
    assert use.ratio > 0.0
    solution = Study(legs, AT_TOP, StrengthSettings()).bearing().solution
    forces = solution.member_end_forces(use.case, joint.member)[6:]
    weight = solution.member_end_forces("weight", joint.member)[6:]
    rows = forces * 1.5 + weight * 1.35
    cut = report.model.by_name["H1"].cut
    pull = max(0.0, rows[0]) + abs(rows[5]) / (ARM * cut.side_y) + abs(rows[4]) / (ARM * cut.side_z)
    assert f"{pull:.0f} N on 1 x bolt M8" in use.worked
    twice = strength_of_edge(legs, AT_TOP, StrengthSettings(rail_joint=JointFixing(count=2)))
    assert isinstance(twice, StrengthReport)
    again = next(u for u in twice.utilisations if u.what.startswith("joint with ") and u.piece == "H1")
    assert again.ratio == pytest.approx(use.ratio / 2, rel=0.05)
