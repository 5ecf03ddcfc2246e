"""What a place limits and the finished design does not tell: said plainly, never passed. Lengths in mm."""

from collections.abc import Iterator

from pitchline.checks.case import LIMIT_WORDS, Case
from pitchline.checks.floors import runs_on
from pitchline.kit.finding import Finding, Verdict, judge


def check_side_gap(case: Case) -> Iterator[Finding]:
    """The level space between the ends of the steps and the balustrade is not part of the model."""
    figure = case.rules.figure("opening.side")
    if figure is not None:
        limit = f"{LIMIT_WORDS[figure.compare]} {case.words.mm(figure.value_mm)}"
        text = (
            "The level space between the ends of the steps (or the string) and the balustrade is not measured here: "
            f"it must be {limit}, so measure it on site."
        )
        yield Finding(
            "opening.side",
            Verdict.REPORT,
            case.at("beside the steps"),
            text,
            limit=figure.value_mm,
            rule=case.rules.ref(figure.id),
        )


def check_underside(case: Case) -> Iterator[Finding]:
    """The clear height under the base rail over a closed string, and over the upper floor."""
    design = case.design
    lowest = design.packer or design.base
    if lowest is None:
        return
    under = lowest.bottom
    nosings = design.flight.nosings
    string, over_string = design.flight.string, case.rules.figure("opening.under.string")
    if string is not None and over_string is not None:
        places = (nosings[0][0], nosings[-1][0])
        clear = max(under.at(u) - string.top.at(u) for u in places)
        text = (
            f"Between the base rail and the string {case.words.mm(max(clear, 0.0))} are clear, plumb; "
            f"{LIMIT_WORDS[over_string.compare]} {case.words.mm(over_string.value_mm)} may be."
        )
        remedy = f"lower the base rail by {case.words.enough(max(0.0, clear - over_string.value_mm))}"
        yield case.compare(over_string, "under the base rail", text, max(clear, 0.0), remedy)
    over_floor, length = case.rules.figure("opening.under.landing"), runs_on(case)
    if over_floor is not None and length > 0.0:
        clear = max(under.at(nosings[-1][0] + length), under.at(nosings[-1][0])) - nosings[-1][1]
        expanded = design.flight.expanded({}, {design.flight.nosing_names[-1]: 1.0})
        verdict = judge(clear, expanded, over_floor.value_mm, over_floor.compare)
        text = (
            f"Where the balustrade runs on over the upper floor, {case.words.measured(clear, expanded)} are clear "
            f"under the base rail; {LIMIT_WORDS[over_floor.compare]} {case.words.mm(over_floor.value_mm)} may be."
        )
        by = case.words.enough(max(0.0, clear + expanded - over_floor.value_mm))
        remedies = {
            Verdict.FAIL: f"lower the base rail by {by}, or end the balustrade at the edge of the floor",
            Verdict.UNSURE: f"leave {by} more room, or measure the upper floor's height once more",
        }
        yield Finding(
            "opening.under.landing",
            verdict,
            case.at("under the base rail at the upper floor"),
            text,
            clear,
            expanded,
            over_floor.value_mm,
            rule=case.rules.ref(over_floor.id),
            remedy=remedies.get(verdict),
        )
