"""Laws of a job half built, on irregular stairs: what is built as planned changes nothing; what is built elsewhere
changes what geometry says; whatever stands, the pieces fill the run and no gap passes the limit that need not."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
import tomlkit
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.built import at_head, round_of, tables_of
from tests.restating import differences, in_unit, mirrored
from tests.strategies_jobs import Table, jobs

from pitchline.app.result import result_document
from pitchline.design.as_built_layout import foot_edge
from pitchline.design.infill.uprights import Axes
from pitchline.design.model import Design, Post, PostRole, Upright
from pitchline.job.load import load_text
from pitchline.job.value import Job
from pitchline.kit.errors import InputError
from pitchline.kit.geometry.frames import dot
from pitchline.kit.units import Unit
from pitchline.making.fitting_match import Fate
from pitchline.making.fitting_report import AsBuilt
from pitchline.story import Solved, SolvedBalustrade, solve

SAME = 1e-5
"""mm: two adjustments of the same readings stop within 1e-6 of each other's nosings; over a rail that adds up."""


def planned(table: Table) -> tuple[Job, Solved]:
    """A job and its plan; what cannot be built is no matter of these laws."""
    try:
        job = load_text(tomlkit.dumps(table))
        return job, solve(job)
    except InputError:
        assume(False)
        raise


def told_of(whole: SolvedBalustrade) -> AsBuilt:
    """What is told of the half-built design."""
    assert whole.as_built is not None
    return whole.as_built


def uprights(solved: Solved) -> list[str]:
    """The marks of the uprights of the first design."""
    return [upright.mark for leg in solved.balustrades[0].designs for upright in leg.uprights]


def rails(solved: Solved) -> list[str]:
    """The marks of its handrails and base rails."""
    return [bar.id for leg in solved.balustrades[0].designs for bar in leg.bars if bar.id[0] in "HB"]


@st.composite
def half_built(draw: st.DrawFn) -> tuple[Job, Solved, Job]:
    """A job, its plan, and the job with some of it built exactly as planned."""
    job, plan = planned(draw(jobs()))
    whole = plan.balustrades[0]
    places = [part.place for part in whole.parts]
    held = [mark for mark in rails(plan) if draw(st.booleans())]
    fitted = [mark for mark in uprights(plan) if draw(st.booleans())]
    cut = [place for place in places if place not in (*held, *fitted) and draw(st.booleans())]
    rounds = round_of(plan, rails=held, fitted=fitted, cut=cut, existing=draw(st.booleans()))
    return job, plan, replace(job, as_built=rounds)


@settings(max_examples=30, deadline=None)
@given(half_built())
def test_what_is_built_as_planned_changes_no_piece_and_is_only_surer(case: tuple[Job, Solved, Job]) -> None:
    _, plan, told = case
    before, after = plan.balustrades[0], solve(told).balustrades[0]
    built = told_of(after)
    assert [part.place for part in after.parts] == [part.place for part in before.parts]
    assert [part.length for part in after.parts] == pytest.approx(
        [part.length for part in before.parts], abs=SAME
    )
    assert {one.fate for one in built.match.placed} <= {Fate.FITTED, Fate.FITS, Fate.SAME}
    assert not built.match.left_over
    assert not built.match.gone
    assert [finding.code for finding in built.findings] == ["asbuilt.round"]
    for one in built.differences:
        assert one.difference == pytest.approx(0.0, abs=SAME), one
        if one.before is not None and one.after is not None:
            assert one.after <= one.before + SAME, one


@settings(max_examples=20, deadline=None)
@given(jobs(), st.floats(-8.0, 8.0))
def test_a_newel_set_elsewhere_changes_the_rail_by_what_geometry_says(table: Table, by: float) -> None:
    """A face of normal n that moves level by d moves along a rail of direction r by d n_x / (n . r)."""
    job, plan = planned(table)
    leg = plan.balustrades[0].designs[0]
    new = [post for post in leg.posts if post.role is not PostRole.EXISTING]
    assume(new)
    told = replace(job, as_built=round_of(plan, lambda post: by if post is new[0] else 0.0))
    after = solve(told).balustrades[0].designs[0]
    assert _along_the_top(after) - _along_the_top(leg) == pytest.approx(_gained(leg, new[0], by), abs=SAME)


def _gained(leg: Design, post: Post, by: float) -> float:
    """What the rail gains in length when a newel at one of its ends moves up the stair."""
    normal = post.face(towards_head=not at_head(leg, post)).normal
    rise = leg.handrail.top.angle
    along = (math.cos(rise), 0.0, math.sin(rise))
    step = by * normal[0] / dot(normal, along)
    return step if at_head(leg, post) else -step


def _along_the_top(leg: Design) -> float:
    """Length of the middle of a handrail's top, from end plane to end plane."""
    rail = leg.handrail
    ends = [
        plane.meet_line((0.0, 0.0, rail.top.z0), (1.0, 0.0, rail.top.slope))
        for plane in (rail.start, rail.finish)
    ]
    return math.dist(*ends)


@settings(max_examples=10, deadline=None)
@given(jobs(), st.floats(-6.0, 6.0), st.booleans())
def test_side_and_unit_change_no_size_of_what_is_built_or_left_to_make(
    table: Table, by: float, newels_only: bool
) -> None:
    _, plan = planned(table)
    marks = uprights(plan)
    if newels_only:
        rounds = round_of(plan, lambda _: by)
    else:
        rounds = round_of(plan, lambda _: by, fitted=marks[::3], cut=marks[1::3], rails=rails(plan))
    told = table | {"as_built": tables_of(rounds)}
    try:
        here = result_document(solve(load_text(tomlkit.dumps(told))))
        there = result_document(solve(load_text(tomlkit.dumps(mirrored(told)))))
        inches = result_document(solve(load_text(tomlkit.dumps(in_unit(told, Unit.INCH)))))
    except InputError:
        assume(False)
        raise
    first, other = (document["designs"][0] for document in (here, there))
    assert first["as_built"] is not None and other["as_built"] is not None
    assert differences(first["as_built"]["pieces"], other["as_built"]["pieces"], SAME) == []
    assert differences(first["as_built"], inches["designs"][0]["as_built"], SAME) == []
    assert differences(first["parts"], inches["designs"][0]["parts"], SAME) == []


@given(jobs(), st.floats(-6.0, 6.0))
@settings(max_examples=10, deadline=None)
def test_a_round_in_the_job_file_is_the_round_that_was_meant(table: Table, by: float) -> None:
    _, plan = planned(table)
    meant = round_of(plan, lambda _: by, rails=rails(plan), fitted=uprights(plan)[:2], cut=uprights(plan)[2:])
    read = load_text(tomlkit.dumps(table | {"as_built": tables_of(meant)})).as_built
    for one, other in zip(meant[0].posts, read[0].posts, strict=True):
        assert (other.post, other.station, other.leg) == (one.post, one.station, one.leg)
        assert [(r.kind, r.start, r.end, r.value, r.sigma) for r in other.readings] == [
            (r.kind, r.start, r.end, r.value, r.sigma) for r in one.readings
        ]
        assert (other.face_height, other.along) == (one.face_height, one.along)
        assert (other.lean_along, other.lean_across, other.twist) == pytest.approx(
            (one.lean_along, one.lean_across, one.twist)
        )
    assert [(piece.mark, piece.state) for piece in read[0].pieces] == [
        (piece.mark, piece.state) for piece in meant[0].pieces
    ]
    assert [[(r.end, r.value) for r in rail.readings] for rail in read[0].rails] == [
        [(r.end, r.value) for r in rail.readings] for rail in meant[0].rails
    ]


OF_SPREADS = frozenset({"spread", "count", "module", "centred", "group", "inner_gap", "max_gap", "per_tread"})
"""Keys of an infill that tell how its uprights are spread."""


@st.composite
def off_their_marks(draw: st.DrawFn) -> tuple[Solved, Solved, list[float]]:
    """A plan with equal gaps, and the same with a newel off its place and some uprights fitted off their marks."""
    table = draw(jobs())
    infill = table["designs"][0]["infill"]
    told = {key: value for key, value in infill.items() if key not in OF_SPREADS}
    table["designs"][0]["infill"] = told | {"spread": "equal gaps"}
    job, plan = planned(table)
    leg = plan.balustrades[0].designs[0]
    first = draw(st.sampled_from(leg.uprights))
    fitted = [upright for upright in leg.uprights if upright is first or draw(st.booleans())]
    bar = leg.base or leg.handrail
    edges = {
        one.mark: foot_edge(Axes.of(one.lean).s(one.foot), one.lean, one.width, bar)
        + draw(st.floats(-4.0, 4.0))
        for one in fitted
    }
    off = draw(st.floats(-12.0, 12.0))
    rounds = round_of(plan, lambda _: off, fitted=edges, edges=edges)
    try:
        return plan, solve(replace(job, as_built=rounds)), list(edges.values())
    except InputError:
        assume(False)
        raise


@settings(max_examples=15, deadline=None)
@given(off_their_marks())
def test_whatever_stands_the_rest_fills_the_run_and_only_fixed_things_leave_wide_gaps(
    case: tuple[Solved, Solved, list[float]],
) -> None:
    _, solved, edges = case
    leg = solved.balustrades[0].designs[0]
    gaps = [*(one.gap_before for one in leg.uprights), leg.uprights[-1].gap_after]
    widths = [one.width for one in leg.uprights]
    assert sum(gaps) + sum(widths) == pytest.approx(leg.bay.run, abs=SAME)
    assert [one.gap_after for one in leg.uprights[:-1]] == pytest.approx(gaps[1:-1], abs=SAME)
    assert leg.bay.opening is not None
    infill = leg.brief.uprights
    limit = leg.bay.opening - (infill.width - infill.narrowest)
    standing = [True, *(_stands(leg, upright, edges) for upright in leg.uprights), True]
    assert sum(standing) == len(edges) + 2
    said = [f.measured for f in told_of(solved.balustrades[0]).findings if f.code == "asbuilt.gap"]
    for gap, both in zip(gaps, pairwise(standing), strict=True):
        if gap > limit + SAME:
            assert all(both), (gap, limit)
            assert gap < limit + 0.1 or any(told == pytest.approx(gap) for told in said)


def _stands(leg: Design, upright: Upright, edges: Sequence[float]) -> bool:
    """Whether an upright has its edge where one was fitted."""
    bar = leg.base or leg.handrail
    edge = foot_edge(Axes.of(upright.lean).s(upright.foot), upright.lean, upright.width, bar)
    return any(abs(edge - one) < SAME for one in edges)
