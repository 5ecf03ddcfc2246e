"""What the second engine is asked, what is made of its answers, and that nothing it does can hurt."""

import sys

import pytest

from pitchline.kit.cutting import sheets_second
from pitchline.kit.cutting.patterns import UNITS_PER_MM, Sort, Stock, Task, fits
from pitchline.kit.cutting.sheets_second import proposed_cuts, question, start_second


def mm(length: float) -> int:
    return round(length * UNITS_PER_MM)


def task_of(stages: int = 3) -> Task:
    """Grown pieces of 400 x 300 (as they lie) and 330 x 200 (turnable) on 1000 x 600."""
    sorts = (
        Sort((mm(400.0), mm(300.0)), None, 2),
        Sort((mm(330.0), mm(200.0)), (mm(200.0), mm(330.0)), 3),
    )
    return Task(sorts, (Stock(mm(1000.0), mm(600.0), 5.0),), 3 if stages == 3 else 2)


def test_pieces_are_rounded_up_and_sheets_down_to_hundredths() -> None:
    task = Task((Sort((mm(100.0) + 1, mm(50.0)), None, 4),), (Stock(mm(700.0) - 1, mm(300.0), 2.0, 3),))
    asked = question(task, 1.5)
    assert asked["sorts"] == [[10001, 5000, 4, True]]
    assert asked["stocks"] == [[69999, 30000, 2.0, 3]]


def test_rectangles_become_a_pattern_again() -> None:
    """Two of 400 x 300 side by side, over them three of 200 x 330 turned would stand too high: one stands beside."""
    pieces = [
        [0, 0, 0, False],
        [0, 40000, 0, False],
        [1, 80000, 0, True],
        [1, 0, 30000, False],
        [1, 33000, 30000, False],
    ]
    cuts = proposed_cuts(task_of(), [{"stock": 0, "copies": 1, "pieces": pieces}])
    assert len(cuts) == 1
    assert cuts[0].counts == (2, 3)
    assert fits(task_of(), cuts[0])


@pytest.mark.parametrize(
    "pieces",
    [
        [[0, 0, 0, True]],
        [[0, 0, 0, False], [0, 10000, 10000, False]],
        [[0, 0, 0, False], [0, 70000, 0, False]] * 2,
        [[1, 0, 0, False]] * 5,
    ],
)
def test_nonsense_is_no_plan(pieces: list[list[int]]) -> None:
    """Across its grain, overlapping, over the edge, all on one spot: nothing of it overfills a sheet."""
    for cuts in [proposed_cuts(task_of(), [{"stock": 0, "copies": 1, "pieces": pieces}])]:
        assert all(fits(task_of(), pattern) for pattern in cuts)


def test_without_a_build_our_own_search_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pieces of 0.24 m2 and 0.198 m2 in all on sheets of 0.6 m2: one sheet."""
    monkeypatch.setattr(sheets_second, "LIBRARY", "a_library_that_is_not_there")
    second = start_second(task_of(), 1.0, 3)
    cuts, _ = second.proposal(30.0)
    second.stop()
    assert [pattern.counts for pattern in cuts] == [(2, 3)]


@pytest.mark.parametrize("child", ["a_module_that_is_not_there", "this", "calendar"])
def test_a_child_that_dies_or_babbles_costs_its_proposal_only(
    monkeypatch: pytest.MonkeyPatch, child: str
) -> None:
    monkeypatch.setattr(sheets_second, "LIBRARY", "json")
    monkeypatch.setattr(sheets_second, "CHILD", child)
    second = start_second(task_of(), 1.0)
    assert second.proposal(10.0)[0] == ()
    second.stop()


def test_a_child_that_hangs_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets_second, "LIBRARY", "json")
    monkeypatch.setattr(sheets_second, "CHILD", "code")
    second = start_second(task_of(), 1.0)
    second.stop()
    assert second.process.poll() is not None
    assert sys.executable in second.process.args  # type: ignore[operator]  # a list here, but typed as any command
