"""Laws of the order of work on irregular stairs: what a step needs is done before it, no step needs access that an
earlier step closed, every open face is sanded and coated, one person and the clamps suffice, and gates come first."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
import tomlkit
from hypothesis import HealthCheck, assume, given, settings
from tests.orders import Checker
from tests.strategies_jobs import Table, jobs

from pitchline.job.load import load_text
from pitchline.job.new import EXAMPLES, STAIRS, starting_text
from pitchline.kit.errors import InputError
from pitchline.kit.units import Unit
from pitchline.making.order import Act, Order, Place, Step
from pitchline.making.order_plan import Planned
from pitchline.making.order_rooms import BRUSH, SANDER, When
from pitchline.making.order_schedule import DAY, LUNCH, NOON, START
from pitchline.story import Solved, solve
from pitchline.story_making import planned_orders

FEW = settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))


def orders_of(table: Table) -> list[Planned]:
    """The orders of a job; what cannot be built is no matter of these laws."""
    try:
        return list(planned_orders(solve(load_text(tomlkit.dumps(table)))).values())
    except InputError:
        assume(False)
        raise


@cache
def example(name: str) -> Solved:
    return solve(load_text(starting_text(name, Unit.MM)))


@cache
def orders_of_example(name: str) -> tuple[Planned, ...]:
    return tuple(planned_orders(example(name)).values())


def keeps_the_laws(planned: Planned) -> None:
    needs_come_first(planned.order)
    every_face_is_done(planned)
    one_person_works(planned)
    gates_stop(planned.order)
    missed = Checker(planned).unreachable(planned.order)
    assert not missed, missed[:5]


def needs_come_first(order: Order) -> None:
    numbers = order.numbers
    assert len(numbers) == len(order.steps)
    for step in order.steps:
        for need in step.needs:
            assert numbers[need.step] < numbers[step.key], (step.key, need.step)
            assert need.why


def every_face_is_done(planned: Planned) -> None:
    """Each face of wood that stays a face is sanded and coated: all at the bench where no brush gets in later."""
    touched: dict[str, set[tuple[str, str]]] = {SANDER: set(), BRUSH: set()}
    last: set[tuple[str, str]] = set()
    for step in planned.order.steps:
        for touch in step.touches:
            touched[touch.tool].add((touch.place, touch.face))
            if touch.tool == BRUSH and step.at is Place.STAIR:
                last.add((touch.place, touch.face))
    work = planned.work
    packers = {unit.parts[0].place for unit in work.units if unit.family.value == "packers"}
    places = [part.place for part in work.parts if part.place not in packers]
    open_faces = {(room.face.place, room.face.name): room for room in work.open_faces(places)}
    assert open_faces.keys() <= touched[SANDER]
    if work.finish is not None and work.finish.at_bench:
        assert open_faces.keys() <= touched[BRUSH]
    if work.finish is not None and work.finish.in_place:
        assert {key for key, room in open_faces.items() if room.coat is When.LAST} <= last


def one_person_works(planned: Planned) -> None:
    """Work is within working hours, never two steps at once, never more clamps than there are; waits are kept."""
    slots, day = planned.schedule.slots, planned.work.shop.day_hours * 60.0
    steps = planned.order.by_key
    spans = sorted((span.start, span.end) for slot in slots for span in slot.spans)
    for (_, end), (start, _) in pairwise(spans):
        assert end <= start + 1e-6
    for start, end in spans:
        base = DAY * (start // DAY)
        assert base + START <= start + 1e-6
        assert end <= base + START + day + LUNCH + 1e-6
        assert end <= base + NOON + 1e-6 or start >= base + NOON + LUNCH - 1e-6
    have = sum(one.count for one in planned.work.shop.clamps)
    for slot in slots:
        assert sum(other.clamps for other in slots if other.start <= slot.start < other.free) <= have
        worked = sum(span.end - span.start for span in slot.spans)
        assert worked == pytest.approx(steps[slot.step].minutes)
        wait = steps[slot.step].wait
        assert slot.free == pytest.approx(slot.end + (0.0 if wait is None else wait.minutes))
    of = planned.schedule.of
    for slot in slots:
        for need in steps[slot.step].needs:
            assert slot.start >= (of[need.step].free if need.waits else of[need.step].end) - 1e-6


def gates_stop(order: Order) -> None:
    """Rails are not cut to length before the newels are measured, nor members before the rails are."""
    numbers = order.numbers
    gates = [step.key for step in order.steps if step.gate is not None]
    assert gates == ["measure newels", "measure rails"]
    for step in order.steps:
        if step.act is Act.TRIAL or step.key.startswith("base "):
            assert numbers[step.key] > numbers["measure newels"]
        if step.key.startswith("final ") or step.act is Act.FIT:
            assert numbers[step.key] > numbers["measure rails"]
        if step.gate is not None:
            assert step.gate.asks
            assert all(hang.expanded > 0.0 and hang.allowed > 0.0 for hang in step.gate.hangs)
            for hang in step.gate.hangs:
                assert sum(share for _, share in hang.readings) <= 1.0 + 1e-9


@FEW
@given(jobs(3, 6))
def test_every_order_keeps_the_laws(table: Table) -> None:
    for planned in orders_of(table):
        keeps_the_laws(planned)


@pytest.mark.parametrize("name", [*EXAMPLES, *STAIRS])
def test_the_orders_of_the_examples_keep_the_laws(name: str) -> None:
    for planned in orders_of_example(name):
        keeps_the_laws(planned)


def moved_to_the_end(order: Order, key: str) -> Order:
    """The order with one step done after all others, as no sorted order has it."""
    step: Step = order.by_key[key]
    return replace(order, steps=(*(one for one in order.steps if one.key != key), step))


@pytest.mark.parametrize("key", ["sand uprights", "sand fillets"])
def test_the_checker_finds_what_a_wrong_order_closes(key: str) -> None:
    planned = orders_of_example("mm")[0]
    missed = Checker(planned).unreachable(moved_to_the_end(planned.order, key))
    assert missed and {step for step, *_ in missed} == {key}


def test_the_checker_finds_a_glued_up_rail_that_was_sanded_too_late() -> None:
    planned = next(one for one in orders_of_example("leaning"))
    inside = [step.key for step in planned.order.steps if step.key.startswith("sand inside")]
    late = moved_to_the_end(planned.order, inside[0] if inside else "sand handrails")
    assert Checker(planned).unreachable(late)
