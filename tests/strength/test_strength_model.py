"""The frame of a finished design against sums by hand, and what is said of designs of every kind."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from tests.builders import ENGLAND, US_2021, HandBuilt, even, hand_built, without
from tests.strategies_stairs import HEAD_WALL, LIMITS, newel, plain_brief, regular_flight
from tests.strategies_treads import cut_flight, tread_brief

from pitchline.catalogue.rules import RuleSet, list_rule_sets, load_rule_set
from pitchline.catalogue.strength import fixing_type
from pitchline.design.brief import (
    AtWall,
    BaseBrief,
    BaseSeat,
    FreeEnd,
    HalfNewel,
    PanelKind,
    PanelsBrief,
    Station,
    StrandKind,
    StrandsBrief,
)
from pitchline.design.compose import compose
from pitchline.design.makings import BetweenPosts, Grooved, Stacked
from pitchline.design.model import Design, PostRole
from pitchline.kit.finding import Verdict
from pitchline.kit.frame.document import frame_text, read_frame
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.frame.solve import solve
from pitchline.kit.tolerances import SAME_PART
from pitchline.parts.part import Part
from pitchline.stair.facts import WallFacts
from pitchline.strength import changes
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import FaceFixed, PostEnd
from pitchline.strength.bases.pull import PullTest, post_movement
from pitchline.strength.framing import frame_of
from pitchline.strength.legs import by_itself
from pitchline.strength.loads import walking_line
from pitchline.strength.rails import RAIL_SLIP
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.run import strength_of
from pitchline.strength.settings import Code, PostBase, Scenario, StrengthSettings
from pitchline.strength.solved import code_for, solve_design
from pitchline.strength.standing import stand
from pitchline.strength.verdicts import bay_span
from pitchline.strength.woods import wood_of

FLIGHT = regular_flight()
SETTINGS = StrengthSettings()
AT_TOP = without(without(ENGLAND, "load.line.height"), "load.infill.point")


def report_of(
    design: Design, parts: tuple[Part, ...], rules: RuleSet, settings: StrengthSettings = SETTINGS
) -> StrengthReport:
    """The report of a design that stands."""
    found = strength_of(design, parts, rules, settings)
    assert isinstance(found, StrengthReport)
    return found


def bare(height: float = 900.0) -> Design:
    """Two newels of one height, a handrail and a base rail that hangs between them; nothing fills the bay."""
    design = hand_built(HandBuilt(even(20, 90.0)))
    model = frame_of(design, SETTINGS)
    posts = tuple(
        replace(s.post, foot=(s.post.foot[0], 0.0, s.post.foot[2] + s.height - height), length=height + 50.0)
        for s in model.posts
    )
    return replace(design, posts=posts, uprights=())


def plain(**changes_: object) -> Design:
    return compose(FLIGHT, plain_brief(FLIGHT, **changes_), LIMITS)


def test_a_bare_bay_by_hand() -> None:
    """Roark: 5wL4/384EI + wL2/8(kappa G A); half the load on each newel, its fixings and its base."""
    design = bare()
    solved = solve_design(design, AT_TOP, SETTINGS)
    model = solved.model
    u = (model.rail_nodes[0][1] + model.rail_nodes[-1][1]) / 2
    length = bay_span(model.legs[0], u)
    piece = next(piece for piece in model.pieces if piece.kind == "handrail")
    e, g, s = piece.wood.e, piece.wood.g, piece.cut.section
    w = ENGLAND.require("load.line").value
    beam = 5 * w * length**4 / (384 * e * s.iz) + w * length**2 / (8 * s.kappa_y * g * s.area)
    end = PostEnd(wood_of("pine-european"), 90.0, 90.0)
    base = stand(design.posts[0], design, SETTINGS)
    post = post_movement(w * length / 2, 900.0, base.across.mean, end, across=True)
    slip = w * length / 2 / RAIL_SLIP.mean
    row = solved.solution.case_index["line outward"]
    places = [model.frame.node_index[name] for name, _ in model.rail_nodes]
    moved = np.abs(solved.solution.movements[row, places, 1])
    heads = [abs(solved.solution.moved("line outward", p.head)[1]) for p in model.posts]
    assert heads == pytest.approx([post, post], rel=1e-6)
    assert moved.max() == pytest.approx(beam + slip + post, rel=2e-3)


def test_shares_of_that_movement_by_hand() -> None:
    """The base's share is V h2 / k at both newels, halved in the middle of the bay; all shares add up."""
    report = report_of(bare(), (), AT_TOP)
    base = report.posts[0].base
    w = ENGLAND.require("load.line").value
    length = bay_span(report.model.legs[0], report.movement.u)
    assert report.movement.shares["bases"] == pytest.approx(
        w * length / 2 * 900**2 / base.across.mean, rel=1e-6
    )
    assert sum(report.movement.shares.values()) == pytest.approx(report.movement.value, rel=1e-9)
    assert report.movement.low < report.movement.value < report.movement.high


def test_moment_at_the_base_by_statics() -> None:
    """A push on the head of one newel alone: the moments and forces at all feet balance it."""
    design = bare()
    solved = solve_design(design, US_2021, SETTINGS)
    force = US_2021.require("load.top.point").value
    case = next(load for load in solved.cases if load.kind == "point" and "outward" in load.id)
    reactions = solved.solution.reactions[solved.solution.case_index[case.id]]
    assert reactions[:, 1].sum() == pytest.approx(force * design.side.towards_stair, rel=1e-9)
    assert abs(reactions[:, 3].sum()) == pytest.approx(force * 900.0, rel=0.2)


def test_a_load_above_the_rail_turns_the_newels() -> None:
    """1100 mm above the nosings: the moments at the feet grow by w L times what the rail's axis lies lower."""
    design = bare()
    low, high = (
        solve_design(design, rules, SETTINGS) for rules in (AT_TOP, without(ENGLAND, "load.infill.point"))
    )
    w = ENGLAND.require("load.line").value
    length = bay_span(low.model.legs[0], 1000.0)
    sums = [abs(s.solution.reactions[s.solution.case_index["line outward"], :, 3].sum()) for s in (low, high)]
    leg = high.model.legs[0]
    lower = [1100 - (leg.rail_line.at(head.u) - walking_line(leg).at(head.u)) for head in leg.heads]
    assert sums[1] - sums[0] == pytest.approx(w * length * sum(lower) / 2, rel=1e-6)


def test_utilisation_of_a_bare_rail_by_hand() -> None:
    """1.5 w L2/8 over the section modulus against k_mod k_h f_m,k / 1.3 (EN 1995-1-1)."""
    report = report_of(bare(), (), AT_TOP)
    rail = next(u for u in report.utilisations if u.piece == "handrail" and u.what == "bending")
    piece = next(piece for piece in report.model.pieces if piece.kind == "handrail")
    length = bay_span(report.model.legs[0], report.movement.u)
    moment = 1.5 * ENGLAND.require("load.line").value * length**2 / 8
    strength = 16.0 * min(1.3, (150 / 60) ** 0.2) * 0.9 / 1.3
    assert rail.ratio == pytest.approx(moment / piece.cut.w_z / strength, rel=0.02)
    assert rail.case == "line outward"


def test_an_upright_under_its_single_load_by_hand() -> None:
    """Low stiffness, hinged ends: P L / 4 times 1.5 over the modulus."""
    design = hand_built(HandBuilt(even(20, 90.0)))
    solved = solve_design(design, ENGLAND, SETTINGS, Scenario("low"))
    longest = max(upright.length for upright in solved.model.uprights)
    held = next(upright for upright in solved.model.uprights if upright.length >= longest - SAME_PART)
    middle = solved.solution.inside("infill point", held.member, np.array([held.length / 2 - 1e-6]))
    assert abs(middle.moment_z[0]) == pytest.approx(250.0 * held.length / 4, rel=1e-4)


@pytest.mark.parametrize("rules_id", list_rule_sets())
def test_every_set_of_rules_gives_loads_and_a_verdict(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    report = report_of(plain(), (), rules)
    assert report.movement.value > 0.0
    assert report.utilisation > 0.0
    assert any(finding.code == "strength.movement" for finding in report.findings)
    assert report.code is (Code.NDS_2018 if rules_id.startswith("us-") else Code.EC5_2004)
    if not rules.figures.keys() & {"load.line", "load.top.point"}:
        assert any("rules name no load" in text for text in report.assumptions)


KINDS: dict[str, dict[str, object]] = {
    "cables": {
        "infill": StrandsBrief(StrandKind.CABLE, 5.0, 5.0, pull=1000.0, material="steel"),
        "making": BetweenPosts(),
    },
    "bars": {"infill": StrandsBrief(StrandKind.BAR, 20.0, 25.0), "making": BetweenPosts()},
    "panels": {
        "infill": PanelsBrief(PanelKind.SOLID, 12.0, edge_gap=4.0, widest=900.0, joint=6.0),
        "making": Grooved(12.0, 10.0, 6.0, 0.5),
    },
    "clear base": {"base": BaseBrief(70.0, 30.0, BaseSeat.CLEAR, clearance=40.0)},
}


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("rules", [ENGLAND, US_2021], ids=["england", "us"])
def test_every_kind_of_infill_and_end(kind: str, rules: RuleSet) -> None:
    report = report_of(plain(**KINDS[kind]), (), rules)
    assert 0.0 < report.movement.low <= report.movement.value <= report.movement.high
    assert all(use.ratio >= 0.0 for use in report.utilisations)
    frame, cases = read_frame(json.loads(frame_text(report.model.frame, [c.case for c in report.cases])))
    again = solve(frame, cases)
    worst = again.moved(
        report.movement.case, next(n for n, u in report.model.rail_nodes if u == report.movement.u)
    )
    assert math.hypot(worst[0], worst[1]) == pytest.approx(report.movement.value, rel=1e-6)


def test_cables_pull_their_newels_together() -> None:
    """The permanent case: nothing level is left over at the feet, and the heads lean towards each other."""
    design = plain(**KINDS["cables"])
    solved = solve_design(design, ENGLAND, SETTINGS)
    along = solved.solution.reactions[0, :, 0]
    pull = sum(s.pull * s.line.direction[0] for s in design.strands if s.pull)
    assert abs(along.sum()) < 1e-3 * pull
    heads = [solved.solution.moved("weight", p.head)[0] for p in solved.model.posts]
    assert heads[0] > heads[1]


def test_uprights_on_treads_and_walls() -> None:
    flight = cut_flight()
    report = report_of(compose(flight, tread_brief(flight), LIMITS), (), ENGLAND)
    assert report.model.base_nodes == ()
    assert any(" foot" in node.id and node.id.startswith("U") for node in report.model.frame.nodes)
    walled = regular_flight(walls=(WallFacts("head", HEAD_WALL, 3000.0),))
    at_wall = compose(walled, plain_brief(walled, top=AtWall("head")), LIMITS)
    held = report_of(at_wall, (), ENGLAND)
    assert len(held.posts) == 1
    half = compose(walled, plain_brief(walled, top=HalfNewel("head", 45.0, 90.0, 100.0)), LIMITS)
    assert [p.base.name for p in report_of(half, (), ENGLAND).posts][1] == "on a wall"


def test_a_newel_left_out_is_told() -> None:
    """Without its top newel the rail swings free; with nothing at all it does not stand, and says where."""
    design = bare()
    gone = changes.without((by_itself(design),), "P2", AT_TOP)
    assert gone.before is not None
    assert gone.after is None or gone.after.movement > 5 * gone.before.movement
    text = gone.sentence
    assert text.startswith("without P2")
    free = replace(design, posts=design.posts[:1], base=None)
    with pytest.raises(MechanismError, match="without resistance"):
        solve_design(free, AT_TOP, SETTINGS)
    told = strength_of(free, (), AT_TOP)
    assert isinstance(told, Unstable)
    assert told.findings[0].verdict is Verdict.FAIL
    assert "does not stand by itself: node " in told.findings[0].text


def test_a_rail_with_one_newel_and_a_free_end_falls_over() -> None:
    told = strength_of(plain(top=FreeEnd(Station("N13"), 60.0)), (), ENGLAND)
    assert isinstance(told, Unstable)
    assert told.mechanisms[0].way == "y"
    assert "This does not stand by itself: node H1" in told.findings[0].text


def test_an_upright_left_out_is_told_and_strangers_are_refused() -> None:
    design = plain()
    gone = changes.without((by_itself(design),), "U03", ENGLAND)
    assert gone.after is not None
    assert "without U03 the guarding moves" in gone.sentence
    with pytest.raises(ValueError, match="no such newel, upright or base rail"):
        changes.without((by_itself(design),), "U99", ENGLAND)


def test_the_play_of_bolt_holes_adds_to_a_push_along_the_rail() -> None:
    """1 mm over 120 mm at each newel, 900 mm below the rail: about 7.5 mm more than with tight holes."""
    design = bare()
    moved = []
    for tight in (False, True):
        base = PostBase(FaceFixed(fixing_type("bolt-m12"), tight_holes=tight), supports.solid())
        bases = {post.id: base for post in design.posts}
        report = report_of(design, (), US_2021, StrengthSettings(bases=bases))
        moved.append(next(m for m in report.by_case if "along the rail" in m.case))
        again = solve(report.model.frame, [load.case for load in report.cases])
        place = again.case_index[report.movement.case]
        assert float(np.hypot(*again.movements[place, :, :2].T).max()) >= report.movement.value - 1e-6
    loose, fitted = moved
    assert loose.shares["play of holes"] == pytest.approx(900 / 120, rel=0.05)
    assert loose.value == pytest.approx(fitted.value + 900 / 120, rel=0.05)
    assert "play of holes" not in fitted.shares


def test_softer_bases_move_more() -> None:
    report = report_of(plain(), (), ENGLAND)
    half, double = report.sensitivity
    assert (half.factor, double.factor) == (0.5, 2.0)
    assert half.movement > report.movement.value > double.movement


def test_a_pull_test_narrows_the_range() -> None:
    """A stiff reading at both newels takes the place of the estimate: less movement, and no wider a range."""
    design = plain()
    before = report_of(design, (), ENGLAND)
    pulled = {
        post.id: PostBase(pulls=(PullTest(200.0, 900.0, 3.0, moved_sigma=0.1),)) for post in design.posts
    }
    after = report_of(design, (), ENGLAND, StrengthSettings(bases=pulled))
    assert after.movement.value < before.movement.value
    assert "pulled at" in after.posts[0].base.name
    shares = after.movement.shares
    assert shares["bases"] < before.movement.shares["bases"]


def test_the_verdict_is_unsure_between_low_and_high() -> None:
    """The limit set between the softest and the stiffest answer can be neither passed nor failed."""
    design = plain()
    seen = report_of(design, (), ENGLAND).movement
    for value, verdict in (
        (seen.low - 1.0, Verdict.FAIL),
        ((seen.low + seen.high) / 2, Verdict.UNSURE),
        (seen.high + 1.0, Verdict.PASS),
    ):
        figures = dict(ENGLAND.figures)
        figures["deflection.any"] = replace(figures["deflection.any"], value=value)
        report = report_of(design, (), replace(ENGLAND, figures=figures))
        assert report.findings[0].verdict is verdict


def test_glue_counts_for_stiffness_and_not_for_strength() -> None:
    flight = FLIGHT
    making = Stacked(3, 17.6, (2,), 40.0, 30.0)
    brief = plain_brief(flight, making=making)
    infill = replace(brief.uprights, width=40.0, thickness=17.6, material="birch-plywood")
    rail = replace(brief.rail, width=52.8, material="birch-plywood")
    base = replace(brief.base_rail, width=52.8, material="birch-plywood")
    design = compose(flight, replace(brief, infill=infill, rail=rail, base=base), LIMITS)
    report = report_of(design, (), ENGLAND)
    assert report.unglued is not None
    assert report.unglued > report.movement.value
    assert any("never for strength" in text for text in report.assumptions)
    rail_use = next(u for u in report.utilisations if u.piece == "H1" and u.what == "bending")
    assert rail_use.ratio > 0.0


@pytest.mark.parametrize("code", list(Code))
def test_all_codes_judge_the_same_frame(code: Code) -> None:
    report = report_of(plain(), (), ENGLAND, StrengthSettings(code=code))
    assert report.code is code
    assert code_for(US_2021, StrengthSettings(code=code)) is code
    assert all(math.isfinite(use.ratio) for use in report.utilisations)
    assert str(code) in report.governing.clause or code is Code.NDS_2018


def test_every_assumption_is_told_once() -> None:
    report = report_of(plain(), (), ENGLAND)
    assert len(set(report.assumptions)) == len(report.assumptions)
    told = " | ".join(report.assumptions)
    for words in (
        "judged by EN 1995-1-1:2004",
        "taken as class C16",
        "plate on 4",
        "1100 mm up",
        "ends of rails",
    ):
        assert words in told


def test_an_existing_newel_is_asked_to_be_pulled_at() -> None:
    design = hand_built(HandBuilt(even(20, 90.0)))
    posts = tuple(
        replace(post, role=PostRole.EXISTING, material="as found") if post.id == "P2" else post
        for post in design.posts
    )
    report = report_of(replace(design, posts=posts), (), ENGLAND)
    finding = next(f for f in report.findings if f.code == "strength.base")
    assert finding.where == "A: P2"
    assert finding.remedy is not None
    assert "200 N" in finding.remedy
    pulled = StrengthSettings(bases={"P2": PostBase(pulls=(PullTest(200.0, 900.0, 4.0),))})
    report = report_of(replace(design, posts=posts), (), ENGLAND, pulled)
    finding = next(f for f in report.findings if f.code == "strength.base")
    assert "not what it bears" in finding.text
    assert not any(use.piece == "P2" and use.what.startswith("base") for use in report.utilisations)
    assert newel("N1").along == 90.0
