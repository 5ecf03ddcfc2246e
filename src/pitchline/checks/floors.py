"""Where the rail runs on over the upper floor: the height asked there, and the dip between the two. Lengths in mm."""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.rules import Figure
from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.drops import guard_figure
from pitchline.checks.extent import drop_of
from pitchline.checks.heights import HeightAt, judged, spare
from pitchline.checks.silhouettes import middle_y, place_at
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import FLIGHT_RUNS_ON


def runs_on(case: Case) -> float:
    """How far the rail runs on over the upper floor beyond its edge, mm; 0 where it does not."""
    rail = case.design.handrail
    edge = case.design.flight.nosings[-1][0]
    return max(0.0, place_at(rail.finish, middle_y(case.design), rail.top.at(edge)) - edge)


def check_upper_floor(case: Case, heights: Sequence[HeightAt]) -> Iterator[Finding]:
    """The rail's height over the upper floor against what is asked of guarding and handrails there."""
    length, last = runs_on(case), heights[-1]
    if length <= 0.0 or case.design.flight.is_level:
        return
    guard = guard_figure(case.rules, "landing", *drop_of(case.design))
    if guard is not None:
        yield _guarding(case, guard, last, length)
    for end in ("min", "max"):
        figure = case.rules.figure(f"handrail.landing.{end}")
        if figure is not None:
            yield _handrail(case, figure, _at(case, last, length if end == "max" else 0.0))


def _at(case: Case, last: HeightAt, beyond: float) -> HeightAt:
    """The height above the floor, which grows as the rail rises on."""
    return HeightAt(last.nosing, last.height + beyond * case.design.handrail.top.slope, last.expanded)


def _guarding(case: Case, figure: Figure, last: HeightAt, length: float) -> Finding:
    verdict = judged(last, figure)
    words, limit = case.words, case.words.mm(figure.value_mm)
    text = (
        f"The rail runs on over the upper floor by {words.mm(length)} and stands "
        f"{words.measured(last.height, last.expanded)} above its edge; guarding of the floor itself must be "
        f"{LIMIT_WORDS[figure.compare]} {limit}"
    )
    remedy = None
    if verdict is not Verdict.PASS:
        allowed, dip = _dip(case)
        raised = (
            f"raise the rail by {words.enough(-spare(last, figure))}, or end it within {words.mm(allowed)}"
        )
        if length <= allowed:
            verdict = Verdict.ADVICE
            text += f", so the higher guarding must begin at the edge or the rail rise to it ({dip})"
        else:
            text += f" ({dip})"
            remedy = f"{raised} and let the floor's own guarding begin there"
    return Finding(
        "height.landing",
        verdict,
        case.at("the upper floor"),
        text + ".",
        measured=last.height,
        expanded_uncertainty=last.expanded,
        limit=figure.value_mm,
        rule=case.rules.ref(figure.id),
        remedy=remedy,
    )


def _dip(case: Case) -> tuple[float, str]:
    """How far the flight's lower rail may reach along the floor, and why."""
    run = case.rules.figure("guard.transition.run")
    if case.rules.word("guard.transition", "no") == "no":
        return FLIGHT_RUNS_ON, "this place names no dip between the two"
    if run is None:
        return FLIGHT_RUNS_ON, "the two may be joined by a dip here; no length is stated"
    return run.value_mm, f"the dip between the two may be {case.words.mm(run.value_mm)} long here"


def _handrail(case: Case, figure: Figure, height: HeightAt) -> Finding:
    """The handrail over a floor; a raking rail that runs on a little is the flight's, so this is advice."""
    verdict = judged(height, figure)
    text = (
        f"Over the upper floor the handrail's top stands {case.words.measured(height.height, height.expanded)} high; "
        f"above a floor it should be {LIMIT_WORDS[figure.compare]} {case.words.mm(figure.value_mm)}"
    )
    if verdict is not Verdict.PASS:
        verdict = Verdict.ADVICE
        text += ", so end the raking rail at the edge or level it off"
    code = "height.floor.least" if figure.id.endswith("min") else "height.floor.most"
    rule = case.rules.ref(figure.id)
    place = case.at("the upper floor")
    measured = (height.height, height.expanded, figure.value_mm)
    return Finding(code, verdict, place, text + ".", *measured, rule=rule)
