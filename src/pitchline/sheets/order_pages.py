"""The sheets of the order of work: in short, as bars, and step by step with pictures."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.kit.drawing.sheet import (
    Card,
    CardPage,
    DrawingPage,
    Page,
    Section,
    Table,
    TextPage,
    drawing_field,
    place_in_rows,
)
from pitchline.kit.drawing.svg import write_svg
from pitchline.making.order import Hangs, Step
from pitchline.making.order_plan import Planned
from pitchline.making.order_schedule import Slot
from pitchline.sheets.drawings import Drawn, Style
from pitchline.sheets.order_bars import bars
from pitchline.sheets.order_words import clock, lasting, listed, stretch
from pitchline.sheets.step_pictures import StepPictures


def order_pages(planned: Planned, pictures: StepPictures, style: Style) -> tuple[list[Page], Drawn]:
    """The sheets of one design, and the drawing of its schedule."""
    chart, drawn = _chart(planned, style)
    return [_short(planned, style), chart, _steps(planned, pictures, style)], drawn


def _short(planned: Planned, style: Style) -> TextPage:
    name = planned.work.design
    sections = [
        Section("In short", _in_short(planned)),
        *_gates(planned, style),
        *_remarks(planned),
        _cautions(planned),
    ]
    return TextPage(f"Design {name}: the work in short", tuple(sections), style.list_paper)


def _in_short(planned: Planned) -> tuple[str, ...]:
    work, schedule = planned.work, planned.schedule
    said = [
        f"About {planned.hours:.0f} hours of one person in {len(planned.order.steps)} steps, over {schedule.days} "
        f"working days of {work.shop.day_hours:g} hours; the last coat is hard on {clock(schedule.done)}.",
        "Hours are reckoned with the working times of the shop; your own go into the job, [shop.minutes].",
    ]
    said += [
        f"{leg}: the infill goes in {entry.way.value}, for {entry.why}."
        for leg, entry in work.entries.items()
    ]
    plan = work.finish
    if plan is None:
        said.append("Nothing is put on: the wood stays bare.")
    else:
        said.append(
            f"{plan.finish.name[0].upper()}{plan.finish.name[1:]}: {plan.at_bench} of {plan.coats} coats at the bench"
            f", where every face can be got at. {plan.finish.note}"
        )
    said.append(
        "A step says what must be done before it and why. A gate stops the work: what hangs on it is not cut before "
        "it has been measured."
    )
    return tuple(said)


def _gates(planned: Planned, style: Style) -> Iterator[Section]:
    rows = []
    for step in planned.order.steps:
        if step.gate is not None:
            number = planned.order.numbers[step.key]
            rows += [(str(number), hang.what, *_hanging(hang, style)) for hang in step.gate.hangs]
    if rows:
        yield Section(
            "What stops at the gates",
            (
                "A length is cut by the survey alone only where its expanded uncertainty (k = 2) is within what the "
                "joint forgives. The readings named decide most of it.",
            ),
            tables=(
                Table(
                    ("Step", "Length", "Sure to, plus or minus", "Forgiven", "So", "Hangs most on"),
                    tuple(rows),
                    align=("left", "left", "right", "right", "left", "left"),
                    widths=(9.0, None, 20.0, 16.0, 24.0, 42.0),
                ),
            ),
        )


def _hanging(hang: Hangs, style: Style) -> tuple[str, str, str, str]:
    blame = (
        ", ".join(f"{reading} ({100 * share:.0f} %)" for reading, share in hang.readings)
        or "how rails are set"
    )
    so = "do not cut yet" if hang.stops else "may be cut, measure all the same"
    return fine(hang.expanded, style), fine(hang.allowed, style), so, blame


def fine(mm: float, style: Style) -> str:
    """A small length, to a tenth of a mm or a hundredth of an inch."""
    return f"{mm / 25.4:.2f} in" if style.inches else f"{mm:.1f} mm"


def _remarks(planned: Planned) -> Iterator[Section]:
    if planned.order.remarks:
        yield Section(
            "What this shop lacks or a step cannot do", points=tuple(r.text for r in planned.order.remarks)
        )


def _cautions(planned: Planned) -> Section:
    """Each caution with the steps that raise it."""
    raised: dict[str, list[int]] = {}
    for step in planned.order.steps:
        for name in step.cautions:
            raised.setdefault(name, []).append(planned.order.numbers[step.key])
    rows = tuple(
        (planned.cautions[name].name, planned.cautions[name].text, _numbers(numbers))
        for name, numbers in raised.items()
    )
    table = Table(("Caution", "What to mind", "Steps"), rows, widths=(24.0, None, 30.0))
    return Section("Cautions, where they bite", tables=(table,))


def _numbers(numbers: Sequence[int]) -> str:
    return listed([str(number) for number in numbers], most=6)


CHART_NOTES = (
    "One person. Nights are left out; a bar is work, the thin line after it glue that sets or a coat that dries, "
    "nights included.",
    "Light bars are worked at the bench, darker ones at the stair; red ones are gates.",
)


def _chart(planned: Planned, style: Style) -> tuple[DrawingPage, Drawn]:
    field = drawing_field(style.paper, landscape=True, notes=CHART_NOTES)
    drawing = bars(planned, field.width - 4.0, field.height - 20.0)
    drawn = Drawn(drawing, write_svg(drawing))
    unscaled = replace(drawn.picture, extents=None, scale=None)
    views = place_in_rows(((unscaled, drawing.title, ""),), field)
    page = DrawingPage(f"Design {planned.work.design}: schedule", views, CHART_NOTES, style.paper)
    return page, drawn


def _steps(planned: Planned, pictures: StepPictures, style: Style) -> CardPage:
    slots = planned.schedule.of
    cards = tuple(_card(planned, step, slots[step.key], pictures) for step in planned.order.steps)
    return CardPage(f"Design {planned.work.design}: step by step", cards, INTRO, style.list_paper)


INTRO = ("Tinted: worked on in the step. Grey: stands already. Only lined: comes later.",)


def _card(planned: Planned, step: Step, slot: Slot, pictures: StepPictures) -> Card:
    numbers = planned.order.numbers
    wait = "" if step.wait is None else f"; then {step.wait.what} {lasting(step.wait.minutes)}"
    said = list(step.words)
    if step.gate is not None:
        said += [f"Measure {ask[0].lower()}{ask[1:]}" if ":" not in ask else ask for ask in step.gate.asks]
    return Card(
        number=str(numbers[step.key]),
        title=step.title,
        quiet=f"{step.at.value}, {lasting(step.minutes)}, {stretch(slot.start, slot.end)}{wait}",
        paragraphs=tuple(said),
        facts=tuple(_facts(planned, step)),
        picture=pictures.of(step),
        loud=step.gate is not None,
    )


def _facts(planned: Planned, step: Step) -> Iterator[tuple[str, str]]:
    if step.gate is not None:
        yield "stops", "; ".join(step.gate.stops)
    if step.parts:
        yield "pieces", listed(step.parts)
    if step.needs:
        yield "after", _needs(planned, step)
    if step.tools:
        yield "tools", ", ".join(step.tools)
    if step.uses:
        yield "uses", ", ".join(step.uses)
    if step.cautions:
        yield "mind", ", ".join(planned.cautions[name].name for name in step.cautions)


def _needs(planned: Planned, step: Step) -> str:
    """The steps before it, those of one reason together."""
    reasons: dict[str, list[int]] = {}
    for need in step.needs:
        reasons.setdefault(need.why, []).append(planned.order.numbers[need.step])
    said = (f"{_numbers(sorted(set(found)))} ({why})" for why, found in reasons.items())
    return "; ".join(said)
