"""What the handrail takes of the stair's width, and how far outside the steps it stands. Lengths in mm.

The clear width that is left is reported: the stair's width is what it is.
"""

from collections.abc import Iterator

from pitchline.checks.case import Case
from pitchline.checks.existing import Step, beside, report
from pitchline.design.model import Design
from pitchline.kit.finding import Finding


def check_widths(case: Case) -> Iterator[Finding]:
    """Reach into the stair, place beside the steps, clear width left."""
    yield from _reach(case)
    yield from _outside(case)
    yield from _clear_width(case)


def reach_into_stair(design: Design) -> float:
    """How far the handrail reaches into the stair beyond the inner face of the string (or the edge), mm."""
    sense = design.side.towards_stair
    string = design.flight.string
    inner = string.thickness / 2 if string is not None else 0.0
    return max(0.0, design.handrail.y * sense + design.handrail.width / 2 - inner)


def _reach(case: Case) -> Iterator[Finding]:
    """What the handrail takes of the width."""
    taken, words = reach_into_stair(case.design), case.words
    figure = case.rules.figure("handrail.projection")
    if figure is not None:
        text = (
            f"The handrail reaches {words.mm(taken)} into the stair; at most {words.mm(figure.value_mm)} may be "
            "taken from one side."
        )
        by = words.enough(max(0.0, taken - figure.value_mm))
        yield case.compare(
            figure, "handrail", text, taken, f"set the rail {by} further out or make it narrower"
        )


def _outside(case: Case) -> Iterator[Finding]:
    """A rail that stands outside the steps must still be near enough to take hold of."""
    figure, design = case.rules.figure("handrail.outside_edge"), case.design
    if figure is None:
        return
    string = design.flight.string
    edge = string.thickness / 2 if string is not None else 0.0
    inner = design.handrail.y * design.side.towards_stair + design.handrail.width / 2
    outside = max(0.0, edge - inner)
    text = (
        f"The handrail stands {case.words.mm(outside)} outside the edge of the steps; at most "
        f"{case.words.mm(figure.value_mm)} are allowed."
    )
    by = case.words.enough(max(0.0, outside - figure.value_mm))
    yield case.compare(figure, "handrail", text, outside, f"set the rail {by} further in")


def _clear_width(case: Case) -> Iterator[Finding]:
    """The clear width that this handrail leaves, beside the figures for one handrail and for two."""
    width, words = case.design.flight.width, case.words
    if width is None:
        return
    left = width - reach_into_stair(case.design)
    step = Step("clear width", left, 0.0)
    text = f"With this handrail {words.mm(left)} of the stair's {words.mm(width)} stay clear"
    one, two = (case.rules.figure(f"stair.width.{name}") for name in ("one_rail", "two_rails"))
    if one is None and two is None:
        yield report(case, "handrail.width", "the stair", f"{text}; no least width is stated here.", step)
    if one is not None:
        compared = beside(left, 0.0, one, words.mm(one.value_mm))
        yield report(case, "handrail.width", "the stair", f"{text}, {compared}.", step, one)
    if two is not None:
        compared = beside(left, 0.0, two, words.mm(two.value_mm))
        text += f"; between handrails on both sides: {compared}, before the other rail takes its share"
        yield report(case, "handrail.width.two", "the stair", text + ".", step, two)
