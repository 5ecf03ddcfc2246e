"""What every check is given: verdicts in order, comparisons with figures, the reading to ask for."""

from tests.builders import ENGLAND, HandBuilt, even, hand_built
from tests.strategies_stairs import regular_flight

from pitchline.checks.case import Case, severity, worst_first
from pitchline.kit.finding import Finding, Verdict
from pitchline.survey.readings import Coordinate

DESIGN = hand_built(HandBuilt(even(3, 90.0)), regular_flight(5, 200.0, 250.0, None))
CASE = Case(DESIGN, ENGLAND)


def test_fails_come_first_and_the_order_is_kept_otherwise() -> None:
    given = [Verdict.PASS, Verdict.ADVICE, Verdict.FAIL, Verdict.PASS, Verdict.UNSURE, Verdict.FAIL]
    findings = [Finding(str(k), verdict, "", "") for k, verdict in enumerate(given)]
    assert [f.code for f in worst_first(findings)] == ["2", "5", "4", "1", "0", "3"]
    assert severity(Verdict.FAIL) == 0


def test_a_remedy_is_kept_only_where_something_fails() -> None:
    figure = ENGLAND.require("handrail.both_sides.width")
    below, above = (CASE.compare(figure, "stair", "Text.", width, "do this") for width in (900.0, 1100.0))
    assert (below.verdict, below.remedy) == (Verdict.FAIL, "do this")
    assert (above.verdict, above.remedy) == (Verdict.PASS, None)
    assert above.where == "A: stair"
    assert above.rule == ENGLAND.ref(figure.id)
    assert CASE.compare(figure, "stair", "Text.", 1.0, "", code="other").code == "other"


def test_advice_carries_its_rule_where_it_has_one() -> None:
    assert CASE.advise("code", "place", "Text.").rule is None
    assert CASE.advise("code", "place", "Text.", "climb.mode").rule == ENGLAND.ref("climb.mode")


def test_the_reading_to_take_is_asked_of_the_survey() -> None:
    sentence = CASE.reading_wanted({("z", "N3"): 1.0}, "the height of N3")
    assert "the height of N3" in sentence
    assert not sentence.endswith(".")


def test_where_no_reading_helps_room_is_asked_for() -> None:
    fixed_by_agreement: dict[Coordinate, float] = {("x", "N1"): 1.0}
    for wanted in ({}, fixed_by_agreement):
        assert CASE.reading_wanted(wanted, "nothing").startswith("no further reading")
