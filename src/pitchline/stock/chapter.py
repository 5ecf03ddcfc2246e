"""The cutting plan as the result document and the findings tell it."""

from collections.abc import Iterable
from typing import Any

from pitchline.kit.cutting.report import answer
from pitchline.kit.finding import Finding, Verdict
from pitchline.stock.plan import Alternative, Cutting
from pitchline.stock.taking import rest_value


def cutting_chapter(cutting: Cutting, others: Iterable[Alternative] = ()) -> dict[str, Any]:
    """Plain values for ``designs[].cutting``: the plan, its bound, what is bought, what is left, other ways.

    Lengths in mm, money in ``currency`` (None where the rack names none). Nothing in it hangs on the clock.
    """
    told = answer(cutting.plan)
    for key in ("schema", "seconds", "late", "stopped"):
        del told[key]
    share, work = cutting.balance, cutting.work
    return {
        **told,
        "currency": cutting.rack.currency,
        "kept_value": kept_value(cutting),
        "bought": [
            {
                "stock": one.stock.id,
                "quantity": one.quantity,
                "from_rack": one.stock.offcut,
                "price": one.stock.price,
                "cost": one.cost,
            }
            for one in cutting.bought
        ],
        "share": {"parts": share.parts, "kept": share.kept, "waste": share.waste},
        "work": {"settings": work.settings, "stops": work.stops, "cuts": work.cuts, "minutes": work.minutes},
        "others": [{"what": one.what, "cost": one.cost, "minutes": one.minutes} for one in others],
    }


def kept_value(cutting: Cutting) -> float:
    """What the rests that are kept are reckoned at."""
    share = cutting.rack.habits.rest_value
    sheets = {stock.id: stock for stock in cutting.need.sheets}
    bars = {stock.id: stock for stock in cutting.need.bars}
    worth = 0.0
    for sheet in cutting.plan.sheets:
        worth += sum(rest_value(sheets[sheet.stock], rest.area, share) for rest in sheet.rests)
    for bar in cutting.plan.bars:
        if bar.rest is not None:
            stock = bars[bar.stock]
            worth += rest_value(stock, (bar.rest[1] - bar.rest[0]) * stock.width, share)
    return worth


def cutting_findings(design: str, cutting: Cutting) -> tuple[Finding, ...]:
    """The cost with its bound as a report, and a piece of advice for every part that finds no stock."""
    plan = cutting.plan
    unit = f" {cutting.rack.currency}" if cutting.rack.currency else ""
    short = tuple(
        Finding(
            "cutting.short",
            Verdict.ADVICE,
            design,
            f"{one.quantity} x {one.part} cannot be cut: {one.why}.",
            measured=float(one.quantity),
            unit="",
        )
        for one in plan.unplaced
    )
    if plan.unplaced:
        text = (
            f"What the rack holds can be cut for {plan.cost:.2f}{unit}; it does not suffice for every part."
        )
    elif plan.gap <= 1e-9:
        text = f"Stock for {plan.cost:.2f}{unit}; no plan of it can cost less."
    else:
        text = (
            f"Stock for {plan.cost:.2f}{unit}; no plan of it can cost less than {plan.lower_bound:.2f}{unit}."
        )
    share = cutting.balance
    text += (
        f" {100.0 * share.waste:.1f} % of it is waste, about {cutting.work.minutes:.0f} minutes of sawing."
    )
    cost = Finding("cutting.cost", Verdict.REPORT, design, text, measured=plan.cost, unit="")
    return (cost, *short)
