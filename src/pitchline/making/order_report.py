"""The order of work as plain values: what the result document tells, and designs are compared by."""

from typing import Any

from pitchline.making.finishing import Amounts, Reach, hours_by_act
from pitchline.making.order import Gate, Step
from pitchline.making.order_plan import Planned
from pitchline.making.order_schedule import DAY, Slot


def order_chapter(planned: Planned, amounts: Amounts) -> dict[str, Any]:
    """Plain values: hours, days, every step with its reasons and times, gates, and what finishing takes.

    Hours are those of one person; ``day`` counts from 1, ``starts`` and ``ends`` are minutes after its midnight.
    """
    slots = planned.schedule.of
    return {
        "hours": planned.hours,
        "days": planned.schedule.days,
        "hours_by_act": hours_by_act(planned),
        "infill_goes_in": {
            leg: {"when": entry.way.value, "why": entry.why} for leg, entry in planned.work.entries.items()
        },
        "steps": [
            _step(number, step, slots[step.key]) for number, step in enumerate(planned.order.steps, start=1)
        ],
        "remarks": [remark.text for remark in planned.order.remarks],
        "finishing": _finishing(amounts),
    }


def _step(number: int, step: Step, slot: Slot) -> dict[str, Any]:
    return {
        "number": number,
        "key": step.key,
        "act": step.act.value,
        "where": step.at.value,
        "title": step.title,
        "parts": list(step.parts),
        "minutes": step.minutes,
        "needs": [{"step": need.step, "why": need.why} for need in step.needs],
        "starts": _clock(slot.start),
        "ends": _clock(slot.end),
        "waits_minutes": 0.0 if step.wait is None else step.wait.minutes,
        "clamps": slot.clamps,
        "cautions": list(step.cautions),
        "gate": None if step.gate is None else _gate(step.gate),
    }


def _clock(minutes: float) -> dict[str, float]:
    day, rest = divmod(minutes, DAY)
    return {"day": day + 1, "minute": rest}


def _gate(gate: Gate) -> dict[str, Any]:
    return {
        "measure": list(gate.asks),
        "stops": list(gate.stops),
        "hangs": [
            {
                "what": hang.what,
                "expanded_uncertainty": hang.expanded,
                "allowed": hang.allowed,
                "stops": hang.stops,
                "readings": [{"reading": reading, "share": share} for reading, share in hang.readings],
            }
            for hang in gate.hangs
        ],
    }


def _finishing(amounts: Amounts) -> dict[str, Any]:
    plan = amounts.plan
    return {
        "kind": None if plan is None else plan.finish.id,
        "coats": 0 if plan is None else plan.coats,
        "coats_at_bench": 0 if plan is None else plan.at_bench,
        "area_m2": amounts.area,
        "kept_bare_m2": amounts.bare,
        "litres": None if amounts.litres is None else _reach(amounts.litres),
        "glue_area_m2": amounts.glue_area,
        "glue_g": _reach(amounts.glue),
        "abrasive_sheets": {str(grit): _reach(sheets) for grit, sheets in amounts.sheets.items()},
    }


def _reach(span: Reach) -> dict[str, float]:
    return {"low": span.low, "high": span.high}
