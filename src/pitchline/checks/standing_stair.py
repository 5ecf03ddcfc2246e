"""The stair as it stands, reported: of a flight its steps, of the edge of a floor how it lies. Lengths in mm."""

from collections.abc import Iterator

from pitchline.checks.case import Case
from pitchline.checks.existing import Step, check_existing, report
from pitchline.checks.step_rules import check_step_rules
from pitchline.checks.uneven import check_uneven
from pitchline.kit.finding import Finding


def check_standing_stair(case: Case) -> Iterator[Finding]:
    """Everything reported of the leg that stands."""
    if case.design.flight.is_level:
        yield _out_of_level(case)
        return
    yield from check_existing(case)
    yield from check_step_rules(case)
    yield from check_uneven(case)


def _out_of_level(case: Case) -> Finding:
    """How far the edge of a floor departs from the level."""
    flight, words = case.design.flight, case.words
    heights = [z for _, z in flight.nosings]
    high, low = (flight.nosing_names[heights.index(end(heights))] for end in (max, min))
    out = max(heights) - min(heights)
    expanded = 0.0 if high == low else flight.expanded({}, {high: 1.0, low: -1.0})
    text = f"The edge of the floor lies level within {words.measured(out, expanded)}"
    text += f" ({high} is highest, {low} lowest)." if out > expanded else "."
    return report(case, "stair.level", flight.id, text, Step("level", out, expanded))
