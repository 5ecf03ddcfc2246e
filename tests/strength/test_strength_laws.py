"""Laws that the strength of every design obeys: irregular stairs, every end, way of making and turn."""

from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.builders import ENGLAND, US_2021
from tests.strategies_edges import composed, edges
from tests.strategies_infill import KINDS
from tests.strategies_stairs import LIMITS, cases, flights
from tests.strategies_treads import tread_cases

from pitchline.catalogue.rules import RuleSet
from pitchline.design.brief import Brief
from pitchline.design.compose import compose
from pitchline.design.model import Design
from pitchline.kit.errors import ImpossibleDesignError
from pitchline.kit.tolerances import FALLS_OVER
from pitchline.stair.model import Flight
from pitchline.strength.report import StrengthReport, Unstable
from pitchline.strength.run import strength_of

RULES = {rules.id: rules for rules in (ENGLAND, US_2021)}
INFILL = {"infill point", "infill pressure"}
"""Cases that act on infill outside the frame."""
PLACES = st.sampled_from(sorted(RULES))
SOME = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def holds_together(design: Design, rules: RuleSet) -> None:
    """Either a sound report or a sentence that says what moves; never a number from what does not stand."""
    found = strength_of(design, (), rules)
    if isinstance(found, Unstable):
        told = found.findings[0].text
        assert "does not stand" in told or "Not judged" in told
        assert "node" in told or "nothing of it stands" in told
        return
    move = found.movement
    assert 0.0 < move.low <= move.value <= move.high
    assert sum(move.shares.values()) == pytest.approx(move.value, rel=1e-6)
    assert found.utilisations == tuple(sorted(found.utilisations, key=lambda use: -use.ratio))
    assert all(use.ratio >= 0.0 and use.worked for use in found.utilisations)
    assert move.value <= FALLS_OVER
    assert {load.id for load in found.cases} | INFILL >= {move.case, found.governing.case}
    assert all(finding.text.isprintable() for finding in found.findings)


@SOME
@given(cases(), PLACES)
def test_designs_of_one_flight(case: tuple[Flight, Brief], place: str) -> None:
    flight, brief = case
    try:
        design = compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        return
    holds_together(design, RULES[place])


@SOME
@given(tread_cases())
def test_uprights_on_treads(case: tuple[Flight, Brief]) -> None:
    flight, brief = case
    try:
        design = compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        return
    holds_together(design, ENGLAND)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(edges())
def test_legs_of_an_edge(case: object) -> None:
    assert isinstance(case, tuple)
    legs, angles, turns = case
    try:
        whole = composed(legs, angles, turns)
    except ImpossibleDesignError:
        return
    for design in whole.legs:
        holds_together(design, ENGLAND)


@SOME
@given(cases())
def test_twice_the_load_moves_it_twice_as_far(case: tuple[Flight, Brief]) -> None:
    """The model is linear: everything but the play of holes doubles with the load."""
    flight, brief = case
    try:
        design = compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        return
    figures = dict(ENGLAND.figures)
    for name in ("load.line", "load.infill.pressure", "load.infill.point"):
        figures[name] = replace(figures[name], value=2.0 * figures[name].value)
    twice = replace(ENGLAND, figures=MappingProxyType(figures))
    one, two = (strength_of(design, (), rules) for rules in (ENGLAND, twice))
    if isinstance(one, StrengthReport) and isinstance(two, StrengthReport):
        play = one.movement.shares.get("play of holes", 0.0)
        assert two.movement.value - play == pytest.approx(2.0 * (one.movement.value - play), rel=1e-6)


@pytest.mark.parametrize("kind", KINDS)
@settings(SOME, max_examples=6)
@given(data=st.data())
def test_every_kind_of_infill(kind: str, data: st.DataObject) -> None:
    flight = data.draw(flights(smallest=4, largest=12))
    brief = data.draw(KINDS[kind].briefs(flight))
    try:
        design = compose(flight, brief, LIMITS)
    except ImpossibleDesignError:
        return
    holds_together(design, RULES[data.draw(PLACES)])
