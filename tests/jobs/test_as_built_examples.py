"""Every invented example half built: as planned nothing changes; off their marks all pieces have a fate."""

from dataclasses import replace
from functools import cache

import pytest
from tests.built import round_of

from pitchline.job.load import load_text
from pitchline.job.new import EXAMPLES, STAIRS, starting_text
from pitchline.kit.units import Unit
from pitchline.making.fitting_match import Fate
from pitchline.sheets.as_built_chapter import as_built_chapters
from pitchline.sheets.drawings import Style
from pitchline.story import Solved, solve

SAME = 1e-5
"""mm: two adjustments of the same readings stop within 1e-6 of each other's nosings; over a rail that adds up."""

OFF = 3.0
"""mm up the leg that every newel is set off its mark."""

NAMES = (*EXAMPLES, *STAIRS)


@cache
def plan_of(example: str) -> Solved:
    """An example as planned."""
    return solve(load_text(starting_text(example, STAIRS.get(example, Unit.MM))))


def marks_of(plan: Solved) -> tuple[list[str], list[str], list[str]]:
    """Uprights, rails, and the places of all other pieces of the first design."""
    whole = plan.balustrades[0]
    uprights = [upright.mark for leg in whole.designs for upright in leg.uprights]
    rails = [bar.id for leg in whole.designs for bar in leg.bars if bar.id[0] in "HB"]
    return uprights, rails, [part.place for part in whole.parts if part.place not in (*uprights, *rails)]


@pytest.mark.parametrize("example", NAMES)
def test_an_example_built_as_planned_stays_as_it_was(example: str) -> None:
    plan = plan_of(example)
    uprights, rails, others = marks_of(plan)
    rounds = round_of(plan, rails=rails, fitted=uprights[::2], cut=[*uprights[1::2], *others])
    before, after = plan.balustrades[0], solve(replace(plan.job, as_built=rounds)).balustrades[0]
    assert [part.place for part in after.parts] == [part.place for part in before.parts]
    assert [part.length for part in after.parts] == pytest.approx(
        [part.length for part in before.parts], abs=SAME
    )
    built = after.as_built
    assert built is not None
    assert [finding.code for finding in built.findings] == ["asbuilt.round"]
    assert {one.fate for one in built.match.placed} <= {Fate.FITTED, Fate.FITS, Fate.SAME}
    assert all(abs(one.difference) < SAME for one in built.differences)


@pytest.mark.parametrize("example", NAMES)
def test_newels_off_their_marks_leave_every_place_a_fate(example: str) -> None:
    plan = plan_of(example)
    uprights, _, others = marks_of(plan)
    rounds = round_of(plan, lambda _: OFF, fitted=uprights[:1], cut=[*uprights[1:], *others])
    solved = solve(replace(plan.job, as_built=rounds))
    after = solved.balustrades[0]
    built = after.as_built
    assert built is not None
    assert [one.place for one in built.match.placed] == [part.place for part in after.parts]
    pieces = [one.piece for one in built.match.placed if one.piece]
    assert len(pieces) == len(set(pieces))
    told = {*pieces, *(one.piece for one in built.match.left_over)}
    assert told >= {*uprights, *others}
    chapters = list(as_built_chapters(solved, Style(solved.job.unit, solved.job.paper, True)))
    assert len(chapters) == 1
