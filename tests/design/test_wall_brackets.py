"""Brackets on studs and on masonry: distances kept, fewest first, and what is told where they cannot be."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.design.wall_brackets import Holds, Placed, Wanted, on_studs, spaced


def every(first: float, apart: float, count: int) -> list[Holds]:
    return [Holds(f"s{k}", first + k * apart - 9.0, first + k * apart + 9.0) for k in range(count)]


def distances(placed: Placed, wanted: Wanted) -> tuple[float, list[float], float]:
    inner = [b - a for a, b in pairwise(placed.places)]
    return placed.places[0] - wanted.start, inner, wanted.finish - placed.places[-1]


def test_sixteen_inch_studs_and_a_rail_of_ten_feet() -> None:
    """Studs 16 in apart: two bays are 32 in, three are 48 in; at most 48 in may be between brackets.

    NBC 9.8.7.7: 1200 mm, 300 mm from the end; by hand, studs at 8, 24, ... 120 in with the first and the last within
    300 mm of the ends need three steps of at most 48 in: 8, 56, 104, no fewer.
    """
    inch = 25.4
    wanted = Wanted(0.0, 112.0 * inch, 1219.2, 300.0)
    placed = on_studs(wanted, every(8.0 * inch, 16.0 * inch, 7))
    assert [place / inch for place in placed.places] == pytest.approx([8.0, 56.0, 104.0])
    assert placed.shortfalls == ()


def test_studs_too_far_apart_are_told_with_the_distance() -> None:
    placed = on_studs(Wanted(0.0, 2000.0, 1000.0, 300.0), every(200.0, 1500.0, 2))
    assert placed.places == (200.0, 1700.0)
    assert placed.shortfalls == ((200.0, 1700.0, 1000.0),)


def test_no_stud_at_all_leaves_the_whole_rail() -> None:
    placed = on_studs(Wanted(0.0, 2000.0, 1000.0, 300.0), [])
    assert placed.places == ()
    assert placed.shortfalls == ((0.0, 2000.0, 1000.0),)


def test_a_bracket_moves_on_its_stud_to_clear_a_mitre() -> None:
    stud = Holds("s", 280.0, 320.0)
    wanted = Wanted(0.0, 600.0, 1000.0, 400.0, (310.0,), clear=25.0)
    assert on_studs(wanted, [stud]).places == (285.0,)
    narrow = Holds("s", 300.0, 320.0)
    assert on_studs(wanted, [narrow]).places == ()


def test_masonry_shares_the_length_evenly() -> None:
    """3000 long, 300 from the ends, at most 1000 apart: 2400 in three steps of 800."""
    placed = spaced(Wanted(0.0, 3000.0, 1000.0, 300.0), "masonry")
    assert placed.places == pytest.approx((300.0, 1100.0, 1900.0, 2700.0))
    assert set(placed.on) == {"masonry"}


def test_a_short_rail_still_has_two_brackets() -> None:
    placed = spaced(Wanted(0.0, 500.0, 1000.0, 300.0), "masonry")
    assert placed.places == pytest.approx((125.0, 375.0))


@given(
    st.lists(st.floats(0.0, 4000.0), min_size=1, max_size=9, unique=True),
    st.floats(1500.0, 4000.0),
    st.floats(500.0, 1300.0),
    st.floats(150.0, 400.0),
)
def test_no_other_choice_of_studs_does_better(
    places: list[float], length: float, apart: float, first: float
) -> None:
    """Against every choice there is, tried one by one: what is too much in all, then the number of brackets."""
    wanted = Wanted(0.0, length, apart, first, clear=0.0)
    studs = [Holds(f"{place}", place, place) for place in places]
    placed = on_studs(wanted, studs)
    usable = sorted(place for place in places if place <= length)
    if not usable:
        assert placed.places == ()
        return

    def cost(chosen: tuple[float, ...]) -> tuple[float, int]:
        over = [max(0.0, chosen[0] - first), max(0.0, length - chosen[-1] - first)]
        over += [max(0.0, b - a - apart) for a, b in pairwise(chosen)]
        return sum(over), len(chosen)

    least = 2 if len(usable) > 1 else 1
    best = min(cost(chosen) for n in range(least, len(usable) + 1) for chosen in combinations(usable, n))
    found = cost(placed.places)
    assert found[0] == pytest.approx(best[0], abs=1e-5)
    if found[0] < 1e-6:
        assert found[1] == best[1]


@given(st.floats(400.0, 6000.0), st.floats(400.0, 1300.0), st.floats(100.0, 400.0))
def test_masonry_keeps_every_distance(length: float, apart: float, first: float) -> None:
    wanted = Wanted(100.0, 100.0 + length, apart, first)
    placed = spaced(wanted, "masonry")
    start, inner, end = distances(placed, wanted)
    assert placed.shortfalls == ()
    assert max(start, end) <= first + 1e-6
    assert max(inner) <= apart + 1e-6
