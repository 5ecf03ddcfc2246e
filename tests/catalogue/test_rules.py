"""Rule sets: each limit at its edge, figures complete, inches exact, ids known."""

import time
from fractions import Fraction

import pytest

from pitchline.catalogue.figures import SENSE_COMPARES
from pitchline.catalogue.load import data_text
from pitchline.catalogue.rules import (
    FIGURES,
    STATUSES,
    RuleSet,
    list_rule_sets,
    load_rule_set,
)
from pitchline.kit.errors import InputError
from pitchline.kit.finding import Verdict, judge
from pitchline.kit.units import Unit

ALL_SETS = list_rule_sets()
SILENT = {"france-nf-p01-012-2024"}
"""Sets whose text is not known, so that they state no figure."""
COMPANIONS = {"us-ada-2010"}
"""Sets that speak of handrails only."""
SPEAKING = [rules_id for rules_id in ALL_SETS if rules_id not in SILENT | COMPANIONS]
THOROUGH = ["england-dwelling", "us-irc-2021", "us-irc-2024"]
STEP = {"mm": 0.1, "deg": 0.1, "N": 1.0, "": 1e-4, "N/mm": 1e-3, "MPa": 1e-5, "mm2": 1.0}
"""A little each side of a limit, by unit: 0.1 mm for lengths."""

LIMITS = [
    (rules_id, figure_id)
    for rules_id in ALL_SETS
    for figure_id, figure in load_rule_set(rules_id).figures.items()
    if figure.value > STEP[figure.unit]
]


@pytest.mark.parametrize(("rules_id", "figure_id"), LIMITS)
def test_each_limit_at_its_edge(rules_id: str, figure_id: str) -> None:
    """lt and gt refuse the limit itself, le and ge take it; 0.1 mm decides on either side."""
    figure = load_rule_set(rules_id).require(figure_id)
    step = STEP[figure.unit]
    below, at, above = (
        judge(figure.value + d, 0.0, figure.value, figure.compare) for d in (-step, 0.0, step)
    )
    wanted = {
        "lt": (Verdict.PASS, Verdict.FAIL, Verdict.FAIL),
        "le": (Verdict.PASS, Verdict.PASS, Verdict.FAIL),
        "ge": (Verdict.FAIL, Verdict.PASS, Verdict.PASS),
        "gt": (Verdict.FAIL, Verdict.FAIL, Verdict.PASS),
    }
    assert (below, at, above) == wanted[figure.compare]


@pytest.mark.parametrize(
    ("rules_id", "figure_id", "measured", "verdict"),
    [
        # As the codes put it: guarding of 900 is enough, a ball of 100 (4 in) must not pass.
        ("england-dwelling", "guard.flight.height", 899.9, Verdict.FAIL),
        ("england-dwelling", "guard.flight.height", 900.0, Verdict.PASS),
        ("england-dwelling", "guard.landing.height", 899.9, Verdict.FAIL),
        ("england-dwelling", "guard.landing.height", 900.0, Verdict.PASS),
        ("england-dwelling", "handrail.height.max", 1000.0, Verdict.PASS),
        ("england-dwelling", "handrail.height.max", 1000.1, Verdict.FAIL),
        ("england-dwelling", "opening.general", 99.9, Verdict.PASS),
        ("england-dwelling", "opening.general", 100.0, Verdict.FAIL),
        ("england-dwelling", "opening.stair", 100.0, Verdict.FAIL),
        ("england-dwelling", "opening.triangle", 100.0, Verdict.FAIL),
        ("england-dwelling", "guard.needed.drop", 600.0, Verdict.FAIL),
        ("england-dwelling", "guard.needed.drop", 600.1, Verdict.PASS),
        ("england-dwelling", "stair.pitch.max", 42.0, Verdict.PASS),
        ("england-dwelling", "stair.rise.max", 220.1, Verdict.FAIL),
        ("england-dwelling", "deflection.any", 25.0, Verdict.PASS),
        ("us-irc-2021", "guard.flight.height", 34 * 25.4 - 0.1, Verdict.FAIL),
        ("us-irc-2021", "guard.flight.height", 34 * 254 / 10, Verdict.PASS),
        ("us-irc-2021", "guard.landing.height", 36 * 254 / 10, Verdict.PASS),
        ("us-irc-2021", "handrail.height.max", 38 * 254 / 10, Verdict.PASS),
        ("us-irc-2021", "handrail.height.max", 38 * 25.4 + 0.1, Verdict.FAIL),
        ("us-irc-2021", "opening.general", 101.6, Verdict.FAIL),
        ("us-irc-2021", "opening.general", 101.5, Verdict.PASS),
        ("us-irc-2021", "opening.stair", 111.125, Verdict.FAIL),
        ("us-irc-2021", "opening.stair", 111.0, Verdict.PASS),
        ("us-irc-2021", "opening.triangle", 152.4, Verdict.FAIL),
        ("us-irc-2021", "opening.triangle", 152.3, Verdict.PASS),
        ("us-irc-2021", "handrail.needed.risers", 3.0, Verdict.FAIL),
        ("us-irc-2021", "handrail.needed.risers", 4.0, Verdict.PASS),
        ("us-irc-2021", "handrail.clear.wall", 38.1, Verdict.PASS),
        ("us-irc-2021", "stair.rise.max", 196.85, Verdict.PASS),
        ("us-irc-2021", "stair.rise.max", 196.95, Verdict.FAIL),
    ],
)
def test_limits_as_the_codes_put_them(
    rules_id: str, figure_id: str, measured: float, verdict: Verdict
) -> None:
    figure = load_rule_set(rules_id).require(figure_id)
    assert judge(measured, 0.0, figure.value, figure.compare) is verdict


@pytest.fixture(params=ALL_SETS)
def rules(request: pytest.FixtureRequest) -> RuleSet:
    return load_rule_set(str(request.param))


def test_every_figure_is_complete(rules: RuleSet) -> None:
    for figure in rules.figures.values():
        assert figure.clause and figure.written and figure.edition
        assert figure.source == rules.sources[figure.source.id]
        assert figure.source.title and figure.source.seen
        assert figure.status in STATUSES
        assert figure.value > 0.0
        assert figure.compare in SENSE_COMPARES[FIGURES[figure.id].sense]
        assert figure.verified is (figure.status == "V-P")
        assert figure.meaning == FIGURES[figure.id].meaning
    for choice in rules.choices.values():
        assert choice.clause and choice.source.title and choice.status in STATUSES
        assert choice.word in FIGURES[choice.id].words
        assert choice.verified is (choice.status == "V-P")
        assert choice.meaning
    for note in (*rules.notes, *rules.cautions):
        assert note.topic and note.text.endswith((".", "?")) and note.source.title


@pytest.mark.parametrize("rules_id", SPEAKING)
def test_what_every_set_must_answer(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    for wanted in ("guard.flight.height", "guard.landing.height", "opening.general"):
        assert rules.figure(wanted) is not None, wanted
    for topic in ("ends", "continuity", "existing stair", "glass"):
        assert rules.notes_on(topic), topic
    assert {note.topic for note in rules.cautions} >= {"spacing on the rake", "ends of a run"}
    if rules.figure("load.line") is None and rules.figure("load.top.point") is None:
        assert rules.notes_on("loads"), "loads that are not known are told"
    if rules.choice("opening.triangle.mode") is None:
        assert rules.notes_on("triangle"), "a triangle that is not known is told"
    if rules.word("opening.triangle.mode", "same") == "exempt_if_rail_within":
        assert rules.figure("opening.triangle.rail_within") is not None
    if rules.word("opening.triangle.mode", "same") in ("sphere", "cube"):
        assert rules.figure("opening.triangle") is not None
    if rules.word("climb.mode", "none") == "zone":
        assert rules.figure("climb.zone.from") is not None and rules.figure("climb.zone.to") is not None


@pytest.mark.parametrize("rules_id", THOROUGH)
def test_what_the_thorough_sets_answer_too(rules_id: str) -> None:
    rules = load_rule_set(rules_id)
    for wanted in (
        "guard.needed.drop",
        "handrail.height.min",
        "handrail.height.max",
        "handrail.needed.risers",
        "opening.stair",
        "opening.triangle",
        "stair.rise.max",
        "stair.going.min",
        "stair.headroom.min",
        "load.infill.point",
    ):
        assert rules.figure(wanted) is not None, wanted
    for wanted in (
        "opening.triangle.mode",
        "climb.mode",
        "handrail.grip.duty",
        "load.combine",
        "load.line.at",
    ):
        assert rules.choice(wanted) is not None, wanted


def test_every_set_says_who_decides(rules: RuleSet) -> None:
    assert rules.notes_on("controlled work")
    assert {note.topic for note in rules.cautions} >= {"authority", "plumb height", "uneven steps"}


def test_what_is_from_memory_is_told_in_a_caution(rules: RuleSet) -> None:
    """A set whose figures are mostly not read says so in words, and sends the reader to the text."""
    unread = [figure for figure in rules.figures.values() if figure.status == "M"]
    if len(unread) >= 3 and rules.id not in {"england-dwelling", "england-common-parts", "england-other"}:
        told = " ".join(note.text for note in rules.cautions)
        assert "from memory" in told, rules.id


def test_the_set_without_figures_refuses_to_judge() -> None:
    for rules_id in SILENT:
        rules = load_rule_set(rules_id)
        assert (rules.status, dict(rules.figures)) == ("unknown", {})
        with pytest.raises(InputError, match="no such figure is stated"):
            rules.require("opening.general")


def test_nothing_claims_approval(rules: RuleSet) -> None:
    words = ("approved by", "certified", "complies", "compliant", "guarantee", "legal advice")
    texts = [note.text for note in (*rules.notes, *rules.cautions)]
    texts += [figure.note for figure in rules.figures.values()]
    for text in texts:
        assert not any(word in text.lower() for word in words), text
    authority = next(note.text for note in rules.cautions if note.topic == "authority")
    assert "not a judgement" in authority and "engineer" in authority and "building" in authority
    (controlled,) = rules.notes_on("controlled work")
    assert "not advice on the law" in controlled.text and "ask" in controlled.text


def test_windows_are_not_empty(rules: RuleSet) -> None:
    """Wherever a least and a most of one thing are stated, something lies between."""
    for low_id, low in rules.figures.items():
        high = rules.figures.get(low_id.removesuffix(".min") + ".max") if low_id.endswith(".min") else None
        if high is not None:
            assert low.value < high.value, low_id
    least, most = rules.figure("guard.flight.height"), rules.figure("handrail.height.max")
    if least is not None and most is not None and rules.word("guard.top.as_handrail", "yes") == "yes":
        assert least.value_mm <= most.value_mm
    zone = [rules.figure(f"climb.{name}") for name in ("zone.from", "zone.to", "upper.from", "upper.to")]
    heights = [figure.value_mm for figure in zone if figure is not None]
    assert heights == sorted(heights)


def test_bands_only_raise_and_follow_one_another(rules: RuleSet) -> None:
    first, second = (rules.figure(f"guard.drop_band.{number}.above") for number in (1, 2))
    for part in ("flight", "landing", "balcony"):
        plain = rules.figure(f"guard.{part}.height")
        raised = rules.figure(f"guard.drop_band.1.{part}")
        if raised is not None:
            assert plain is not None and first is not None
            assert raised.value_mm > plain.value_mm
    if second is not None:
        assert first is not None and second.value_mm > first.value_mm


@pytest.mark.parametrize("rules_id", ALL_SETS)
def test_parents_resolve_and_children_only_restate(rules_id: str) -> None:
    """Every figure of a parent stands in its child, unless the child leaves it out on purpose."""
    child = load_rule_set(rules_id)
    if child.parent is None:
        return
    parent = load_rule_set(child.parent)
    assert set(parent.sources) <= set(child.sources)
    assert child.units is parent.units
    left_out = (set(parent.figures) | set(parent.choices)) - set(child.figures) - set(child.choices)
    text = data_text("rules", f"{rules_id}.toml")
    assert all(f'"{figure_id}",' in text for figure_id in left_out)


@pytest.mark.parametrize("rules_id", [each for each in ALL_SETS if each.startswith("us-")])
def test_inches_are_masters_and_exact(rules_id: str) -> None:
    """mm = inches x 25.4 in exact rational arithmetic, then rounded once to a double."""
    rules = load_rule_set(rules_id)
    assert rules.units is Unit.INCH
    lengths = [figure for figure in rules.figures.values() if figure.unit == "mm"]
    assert len(lengths) >= 15
    for figure in lengths:
        number, unit = figure.written.rsplit(" ", 1)
        assert unit == "in"
        inches = sum((Fraction(piece) for piece in number.split()), Fraction(0))
        assert figure.value_mm == float(inches * Fraction(254, 10))


def test_the_child_moves_clauses_and_keeps_numbers() -> None:
    old, new = load_rule_set("us-irc-2021"), load_rule_set("us-irc-2024")
    assert (new.parent, old.parent) == ("us-irc-2021", None)
    for figure_id, figure in old.figures.items():
        moved = new.require(figure_id)
        assert moved.value == figure.value and moved.compare == figure.compare
        if figure.source.id == "irc-2021":
            assert moved.edition == "2024"
            assert not moved.clause.startswith(("R311", "R312", "R308"))
    assert set(new.figures) - set(old.figures) == {"handrail.return.gap"}
    assert (old.word("handrail.ends", "any"), new.word("handrail.ends", "any")) == (
        "returned or post",
        "returned",
    )
    assert len(new.notes_on("ends")) == 1
    assert "newel" in new.notes_on("ends")[0].text


def test_references_for_findings() -> None:
    rules = load_rule_set("england-dwelling")
    ref = rules.ref("guard.flight.height")
    assert (ref.id, ref.clause, ref.status) == ("england-dwelling", "AD K Diagram 3.1", "V-P")
    assert rules.ref("climb.mode").status == "V-P"
    with pytest.raises(InputError):
        rules.ref("stair.rise.variation")


def test_what_a_place_does_not_limit() -> None:
    rules = load_rule_set("us-irc-2021")
    assert rules.figure("stair.pitch.max") is None
    assert rules.figure("stair.two_rise_going.max") is None
    assert rules.word("handrail.newel", "anywhere") == "turn, landing or lowest tread"
    assert load_rule_set("england-dwelling").word("handrail.newel", "anywhere") == "anywhere"
    with pytest.raises(InputError, match=r"figures\.stair\.pitch\.max: no such figure is stated"):
        rules.require("stair.pitch.max")


def test_misspelt_ids_are_refused_with_the_nearest() -> None:
    rules = load_rule_set("us-irc-2021")
    with pytest.raises(KeyError, match=r"did you mean guard\.flight\.height"):
        rules.figure("guard.flight.hight")
    with pytest.raises(KeyError, match=r"did you mean climb\.mode"):
        rules.choice("climb.mod")
    with pytest.raises(InputError, match="did you mean england-dwelling"):
        load_rule_set("england-dweling")
    with pytest.raises(InputError, match="name one of these"):
        load_rule_set("zzz")


def test_only_lengths_are_in_mm() -> None:
    with pytest.raises(TypeError, match="not a length"):
        _ = load_rule_set("england-dwelling").require("load.line").value_mm


def test_figures_that_are_not_read_in_the_text_are_told_apart() -> None:
    rules = load_rule_set("england-dwelling")
    unverified = {figure.id for figure in rules.unverified}
    assert {"load.factor", "handrail.height.min", "stair.headroom.min"} <= unverified
    assert not {"guard.flight.height", "opening.general", "load.line"} & unverified


def test_sets_are_values() -> None:
    assert load_rule_set("us-irc-2021") is load_rule_set("us-irc-2021")
    assert len({load_rule_set(rules_id) for rules_id in ALL_SETS}) == len(ALL_SETS)
    figures = load_rule_set("us-irc-2021").figures
    with pytest.raises(TypeError):
        figures["x"] = figures["opening.stair"]  # type: ignore[index]  # the point of the test


@pytest.mark.parametrize("rules_id", ALL_SETS)
def test_loading_is_quick(rules_id: str) -> None:
    best = min(_seconds_to_load(rules_id) for _ in range(5))
    assert best < 0.05, "up to 6 ms alone on a desk machine; wide for a shared one"


def _seconds_to_load(rules_id: str) -> float:
    start = time.perf_counter()
    load_rule_set.__wrapped__(rules_id)
    return time.perf_counter() - start
