"""What it would take: whatever is said to do does when it is built so, alone or together."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND
from tests.strength.test_strength_model import AT_TOP, bare, plain, report_of

from pitchline.catalogue.rules import RuleSet
from pitchline.catalogue.strength import fixing_type
from pitchline.design.model import Design
from pitchline.strength import cures
from pitchline.strength.bases import supports
from pitchline.strength.bases.joints import (
    Base,
    Dowelled,
    FaceFixed,
    InSocket,
    OnPlate,
    PostEnd,
    base_stiffness,
)
from pitchline.strength.cure_search import Change, Search
from pitchline.strength.fixed import Actions, base_strength
from pitchline.strength.ladders import ladder
from pitchline.strength.legs import by_itself
from pitchline.strength.rebuilt import deepened, newels_between, thicker, widened
from pitchline.strength.report import StrengthReport
from pitchline.strength.run import strength_of_study
from pitchline.strength.settings import Code, PostBase, StrengthSettings
from pitchline.strength.solved import Study
from pitchline.strength.spacings import too_near
from pitchline.strength.together import built_together
from pitchline.strength.woods import Graded, wood_of

SETTINGS = StrengthSettings()
C24 = wood_of("pine-european", Graded({"pine-european": "C24"}, {}))
POST = PostEnd(C24, 90.0, 90.0)


def limited(rules: RuleSet, limit: float) -> RuleSet:
    figures = dict(rules.figures)
    figures["deflection.any"] = replace(figures["deflection.any"], value=limit)
    return replace(rules, figures=figures)


FIRM = StrengthSettings(bases={name: PostBase(InSocket(300.0), supports.solid(C24)) for name in ("P1", "P2")})


def found_for(design: Design, rules: RuleSet, settings: StrengthSettings = SETTINGS) -> tuple[Change, ...]:
    report = report_of(design, (), rules, settings)
    return cures.what_would_it_take((by_itself(design),), rules, report, settings)


@pytest.mark.parametrize("limit", [30.0, 45.0])
def test_a_size_said_to_do_does(limit: float) -> None:
    """Built so it holds, and 5 mm less does not: the answer is the least in whole steps."""
    design, rules = bare(), limited(AT_TOP, limit)
    built = {
        "a handrail so wide": lambda d, size: replace(d, handrail=widened(d.handrail, size)),
        "a handrail so deep": lambda d, size: replace(d, handrail=deepened(d.handrail, size)),
        "newels so thick": thicker,
    }
    tried = 0
    for change in found_for(design, rules, FIRM):
        assert ("would do" in change.sentence) is change.holds
        if change.size is None or change.what not in built:
            continue
        tried += 1
        own = report_of(built[change.what](design, change.size), (), rules, FIRM)
        assert own.holds
        assert own.movement.value == pytest.approx(change.after.movement)
        assert not report_of(built[change.what](design, change.size - 5.0), (), rules, FIRM).holds
    assert tried


def test_an_edge_that_holds_needs_nothing() -> None:
    design, rules = plain(), limited(AT_TOP, 500.0)
    stout = replace(design, handrail=widened(design.handrail, 90.0))
    report = report_of(stout, (), rules, FIRM)
    assert report.holds
    assert cures.what_would_it_take((by_itself(stout),), rules, report, FIRM) == ()


@pytest.mark.parametrize("rules", [ENGLAND, AT_TOP], ids=["at its own height", "at the top"])
def test_changes_together_hold(rules: RuleSet) -> None:
    """The set is judged afresh as a whole and holds."""
    design = plain()
    report = report_of(design, (), rules)
    search = Search(Study((by_itself(design),), rules, SETTINGS), report.limit.value)
    built, seen = built_together(search)
    again = strength_of_study(built.study)
    assert isinstance(again, StrengthReport)
    assert again.movement.value == pytest.approx(seen.state.movement)
    assert again.utilisation == pytest.approx(seen.state.utilisation)
    assert again.holds == search.holds(seen.state)
    assert again.holds
    told = found_for(design, rules)[-1]
    assert told.what == "several changes together"
    assert told.holds
    assert told.sentence.count(";") >= 1


LADDERS: dict[str, tuple[Base, supports.Support]] = {
    "bolts": (FaceFixed(fixing_type("bolt-m10")), supports.string(C24, 32.0, 230.0, 250.0)),
    "screws": (FaceFixed(fixing_type("screw-8")), supports.beam(C24, 45.0, 195.0, 1200.0)),
    "plate": (OnPlate(fixing_type("screw-8"), 4, 90.0, 90.0), supports.floor(C24)),
    "dowel": (Dowelled(38.0, 100.0), supports.floor(C24)),
    "socket": (InSocket(120.0), supports.solid(C24)),
}


@pytest.mark.parametrize("name", LADDERS)
def test_every_rung_is_stronger_and_stands_no_nearer(name: str) -> None:
    base, support = LADDERS[name]
    push = Actions(600e3, 0.0, 700.0, 0.0, 0.0)
    before = {near.what for near in too_near(base, POST, support)}
    stiff = [base_stiffness(base, POST, support).across.mean]
    ratios = []
    rungs = ladder(base, POST, support)
    assert len({rung.words for rung in rungs}) == len(rungs) > 0
    for rung in (None, *rungs):
        own = base if rung is None else rung.base
        judge = base_strength(own, POST, support, SETTINGS, Code.EC5_2004).judge
        assert judge is not None
        ratios.append(judge(push))
        if rung is not None:
            stiff.append(base_stiffness(rung.base, POST, rung.support).across.mean)
            assert {near.what for near in too_near(rung.base, POST, support)} <= before
    assert ratios[-1] < ratios[0]
    assert stiff[-1] > stiff[0]
    same_kind = [
        r
        for own, r in zip((base, *(rung.base for rung in rungs)), ratios, strict=True)
        if type(own) is type(base)
    ]
    assert same_kind == sorted(same_kind, reverse=True)


def test_newels_between_part_the_rail_evenly() -> None:
    design = plain()
    start, finish = design.handrail.start.point[0], design.handrail.finish.point[0]
    posts = newels_between(design, 2)
    assert [post.foot[0] for post in posts] == pytest.approx(
        [start + (finish - start) * n / 3 for n in (1, 2)]
    )
    assert len({post.id for post in posts}) == 2
