"""What is said besides: nothing is approved, what is second hand is named, cautions fit the design."""

from dataclasses import replace

import pytest
from tests.builders import ENGLAND, US_2021, US_2024, HandBuilt, full_length, hand_built
from tests.strategies_stairs import regular_flight

from pitchline.catalogue.rules import RuleSet
from pitchline.checks.case import Case
from pitchline.checks.notices import check_notices, used_here
from pitchline.design.brief import BaseSeat
from pitchline.design.model import Design, PostRole
from pitchline.kit.finding import Finding, Verdict

FLIGHT = regular_flight(5, 200.0, 250.0, None)
DESIGN = hand_built(HandBuilt(full_length(90.0, 32.0, FLIGHT)), FLIGHT)


def found(design: Design, rules: RuleSet) -> list[Finding]:
    return list(check_notices(Case(design, rules)))


def topics(design: Design, rules: RuleSet) -> set[str]:
    return {f.where.removeprefix("A: ") for f in found(design, rules) if f.code == "notice.caution"}


@pytest.mark.parametrize("rules", [ENGLAND, US_2021, US_2024], ids=lambda rules: str(rules.id))
def test_notices_only_advise_and_approve_nothing(rules: RuleSet) -> None:
    said = found(DESIGN, rules)
    assert {f.verdict for f in said} == {Verdict.ADVICE}
    assert not [f for f in said if "approved" in f.text.lower() and "Approved Document" not in f.text]
    codes = [f.code for f in said]
    assert {"notice.scope", "notice.strength", "notice.open-edge", "notice.controlled"} <= set(codes)


def test_every_figure_not_read_in_print_is_named() -> None:
    named = next(f for f in found(DESIGN, ENGLAND) if f.code == "notice.figures").text
    for figure in ENGLAND.unverified:
        assert (figure.id in named) is used_here(figure.id)


def test_loads_are_not_used_here() -> None:
    assert used_here("guard.flight.height")
    assert not used_here("load.line")


def test_cautions_speak_of_what_is_there() -> None:
    here = topics(DESIGN, ENGLAND)
    assert "triangle" in here
    assert not {"level rails", "old newels", "wires"} & here
    closed = replace(
        DESIGN, brief=replace(DESIGN.brief, base=replace(DESIGN.brief.base_rail, seat=BaseSeat.STRING))
    )
    assert "triangle" not in topics(closed, ENGLAND)
    old = replace(DESIGN, posts=(replace(DESIGN.posts[0], role=PostRole.EXISTING), DESIGN.posts[1]))
    assert "old newels" in topics(old, ENGLAND)
    assert "notice.lead" in {f.code for f in found(old, ENGLAND)}
    assert "notice.lead" not in {f.code for f in found(DESIGN, ENGLAND)}


def test_inches_are_spoken_of_where_they_rule() -> None:
    assert "inches" in topics(DESIGN, US_2021)
    assert "newel post" in topics(DESIGN, US_2021)


def test_an_old_edition_is_named() -> None:
    old = replace(ENGLAND, status="superseded")
    assert "notice.edition" in {f.code for f in found(DESIGN, old)}
    assert "notice.edition" not in {f.code for f in found(DESIGN, ENGLAND)}
