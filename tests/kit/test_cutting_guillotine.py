"""One sheet: what a beam fills it with, what it can be worth at most, and how patterns lie as rectangles."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.kit.cutting.guillotine_beam import Beam, fill_sheet
from pitchline.kit.cutting.guillotine_prices import Pricer, grids
from pitchline.kit.cutting.patterns import Pattern, Sort, Stock, Task, fits, spots, tidied, without


def task_of(
    sides: list[tuple[int, int, int]],
    sheet: tuple[int, int],
    stages: int = 3,
    turn: bool = True,
    exact: bool = False,
) -> Task:
    sorts = tuple(Sort((a, b), (b, a) if turn else None, n) for a, b, n in sides)
    return Task(sorts, (Stock(*sheet, cost=1.0),), 3 if stages == 3 else 2, exact=exact)


@st.composite
def tasks(draw: st.DrawFn) -> Task:
    sides = st.tuples(st.integers(2, 14), st.integers(2, 14), st.integers(1, 4))
    found = draw(st.lists(sides, min_size=1, max_size=5))
    sheet = draw(st.tuples(st.integers(14, 30), st.integers(14, 30)))
    return task_of(found, sheet, draw(st.sampled_from([2, 3])), draw(st.booleans()), draw(st.booleans()))


def filled(task: Task, lying: bool, breadth: int = 40) -> Pattern | None:
    values = np.array([float(sort.area) for sort in task.sorts])
    fills, _ = fill_sheet(task, 0, lying, task.demand, values, Beam(breadth), np.random.default_rng(0))
    return fills[0].pattern if fills else None


@pytest.mark.parametrize(("along", "across"), [(3, 4), (6, 2), (5, 5)])
def test_tiles_fill_the_sheet_that_they_tile(along: int, across: int) -> None:
    """along x across tiles of 7 x 11 on a sheet of exactly their size, by counting."""
    task = task_of([(7, 11, along * across)], (7 * along, 11 * across), turn=False)
    pattern = filled(task, lying=False)
    assert pattern is not None
    assert pattern.counts == (along * across,)
    assert all(spot.sort is not None for spot in spots(task, pattern))


def test_a_third_stage_holds_what_two_cannot() -> None:
    """10 x 10 cut into 4 x 10 and a column of 6 x 4 and, side by side, two of 3 x 6: full in three stages only."""
    sides = [(4, 10, 1), (6, 4, 1), (3, 6, 2)]
    areas = np.array([40.0, 24.0, 18.0])
    three, two = (task_of(sides, (10, 10), stages, turn=False) for stages in (3, 2))

    def most(task: Task) -> float:
        return max(Pricer(task, 1).worth(0, lying, areas).value for lying in (False, True))

    assert most(three) == pytest.approx(100.0, rel=1e-5)
    assert most(two) < 100.0 - 1.0
    assert filled(three, lying=False) is not None


@settings(deadline=None, max_examples=60)
@given(tasks())
def test_pieces_and_rests_tile_the_sheet(task: Task) -> None:
    for lying in task.ways:
        pattern = filled(task, lying)
        if pattern is None:
            continue
        assert fits(task, pattern)
        for one in (pattern, tidied(task, pattern)):
            found = list(spots(task, one))
            assert sum(spot.length * spot.width for spot in found) == task.stocks[0].area
            for a, b in combinations(found, 2):
                assert min(a.x + a.length, b.x + b.length) <= max(a.x, b.x) or min(
                    a.y + a.width, b.y + b.width
                ) <= max(a.y, b.y)
            assert all(
                spot.x >= 0 and spot.x + spot.length <= task.stocks[0].length and spot.y >= 0
                for spot in found
            )


@settings(deadline=None, max_examples=60)
@given(tasks(), st.data())
def test_no_filling_is_worth_more_than_the_bound_and_coarser_grids_bound_less_tightly(
    task: Task, data: st.DataObject
) -> None:
    values = np.array([data.draw(st.integers(1, 200)) / 7.0 for _ in task.sorts])
    for lying in task.ways:
        fills, _ = fill_sheet(task, 0, lying, task.demand, values, Beam(30), np.random.default_rng(1))
        exact = Pricer(task, 1).worth(0, lying, values)
        coarse = Pricer(task, 2).worth(0, lying, values)
        assert (fills[0].value if fills else 0.0) <= exact.value * (1.0 + 1e-9)
        assert exact.value <= coarse.value * (1.0 + 1e-5)
        if exact.pattern is not None:
            assert exact.sound
            yields = float(np.array(exact.pattern.counts) @ values)
            assert yields == pytest.approx(exact.value, rel=1e-5)


def test_leaving_pieces_out_leaves_the_rest_where_it_fits() -> None:
    task = task_of([(5, 5, 9)], (15, 15))
    pattern = filled(task, lying=False)
    assert pattern is not None
    surplus = [4]
    left = without(task, pattern, surplus)
    assert left.counts == (5,)
    assert surplus == [0]
    assert fits(task, left)


def test_strips_without_trimming_hold_pieces_of_one_width_only() -> None:
    """Two of 4 x 4 and two of 4 x 3 on 8 x 7: exact strips hold them in pairs; on 16 x 4 only those of 4 x 4 and
    one pair of the others find a place when trimming is allowed, and none of the others when it is not."""
    sides = [(4, 4, 2), (4, 3, 2)]
    paired = filled(task_of(sides, (8, 7), 2, turn=False, exact=True), lying=False)
    assert paired is not None
    assert paired.counts == (2, 2)
    trimmed = filled(task_of(sides, (16, 4), 2, turn=False), lying=False)
    exact = filled(task_of(sides, (16, 4), 2, turn=False, exact=True), lying=False)
    assert trimmed is not None
    assert exact is not None
    assert trimmed.counts == (2, 2)
    assert exact.counts == (2, 0)


def test_the_last_grid_is_exact_where_that_is_cheap() -> None:
    task = task_of([(40, 60, 3), (100, 20, 2)], (2000, 1000))
    assert grids(task, (50, 400))[-1] == 20
