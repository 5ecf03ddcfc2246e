"""The schedule by hand: one person, waits by the clock, clamps, what is not broken off; what cannot be sorted."""

import pytest

from pitchline.making.order import Act, Need, Order, Place, Step, Wait
from pitchline.making.order_schedule import DAY, START, scheduled, sorted_steps

DAY_MINUTES = 480.0


def step(
    key: str,
    minutes: float,
    *needs: Need | str,
    wait: Wait | None = None,
    whole: bool = False,
) -> Step:
    told = tuple(need if isinstance(need, Need) else Need(need, "it comes first") for need in needs)
    return Step(key, Act.CUT, Place.BENCH, key, (), minutes, needs=told, wait=wait, whole=whole)


def order(*steps: Step) -> Order:
    return Order("A", steps, {}, ())


def times(*steps: Step, clamps: int = 10) -> dict[str, tuple[float, float]]:
    """From when to when each step is worked at, hours since the first midnight."""
    plan = scheduled(order(*steps), DAY_MINUTES, clamps)
    return {slot.step: (slot.start / 60.0, slot.end / 60.0) for slot in plan.slots}


def test_one_person_does_one_thing_after_the_other() -> None:
    assert times(step("a", 60.0), step("b", 30.0, "a")) == {"a": (8.0, 9.0), "b": (9.0, 9.5)}


def test_glue_sets_while_other_work_goes_on() -> None:
    glue = step("glue", 30.0, wait=Wait(60.0, "glue sets"))
    found = times(glue, step("next", 10.0, "glue"), step("other", 20.0))
    assert found == {
        "glue": (8.0, 8.5),
        "other": (8.5, pytest.approx(8.8333, abs=1e-3)),
        "next": (9.5, pytest.approx(9.6667, abs=1e-3)),
    }


def test_a_need_that_does_not_wait_goes_on_before_the_coat_is_dry() -> None:
    coat = step("coat", 30.0, wait=Wait(DAY, "coat dries"))
    assert times(coat, step("guard", 60.0, Need("coat", "all is made", waits=False)))["guard"] == (8.5, 9.5)


def test_a_coat_dries_over_night() -> None:
    coat = step("coat", 30.0, wait=Wait(12 * 60.0, "coat dries"))
    assert times(coat, step("next", 60.0, "coat"))["next"] == (32.0, 33.0)


def test_work_goes_round_noon_and_the_night() -> None:
    """480 minutes from 8: four hours, half an hour's break, then to half past four; one more is the next day's."""
    assert times(step("a", 480.0)) == {"a": (8.0, 16.5)}
    assert times(step("a", 481.0))["a"][1] == pytest.approx(24.0 + 8.0 + 1.0 / 60.0)


def test_what_must_not_be_broken_off_waits_for_the_room_it_needs() -> None:
    found = times(step("a", 200.0), step("glue", 60.0, "a", whole=True))
    assert found["glue"] == (12.5, 13.5)


def test_clamps_are_shared() -> None:
    one = step("one", 10.0, wait=Wait(60.0, "sets", clamps=6))
    two = step("two", 10.0, wait=Wait(60.0, "sets", clamps=6))
    assert times(one, two)["two"][0] == pytest.approx(8.0 + 70.0 / 60.0)
    assert times(one, two, clamps=12)["two"][0] == pytest.approx(8.0 + 10.0 / 60.0)


def test_the_longest_way_to_the_end_goes_first() -> None:
    long = step("long", 10.0, wait=Wait(300.0, "dries"))
    found = times(step("short", 10.0), long, step("after", 10.0, "long"))
    assert found["long"][0] == START / 60.0


def test_steps_that_wait_for_each_other_or_for_none_are_refused() -> None:
    with pytest.raises(ValueError, match="wait for each other"):
        sorted_steps((step("a", 1.0, "b"), step("b", 1.0, "a")))
    with pytest.raises(ValueError, match="not there: c"):
        sorted_steps((step("a", 1.0, "c"),))
