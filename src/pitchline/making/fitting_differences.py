"""What stands beside what was planned: newels, fitted rails, fitted uprights, runs and rail lengths.

Lengths in mm, angles in degrees; uncertainties are expanded (k = 2). Before a newel is set its place is that of the
plan give or take how well newels are set by hand; after, it is as sure as the readings of it.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pitchline.design.as_built import MeasuredPost, Standing
from pitchline.design.as_built_layout import foot_edge
from pitchline.design.infill.uprights import Axes
from pitchline.design.model import Bar, Design, Post, PostRole, Upright
from pitchline.design.posts import twist_of
from pitchline.kit.tolerances import COVERAGE_FACTOR, LEAN_READ_DEG, NEWEL_SET, SETTING_OUT, TWIST_READ_DEG
from pitchline.parts.part import Part
from pitchline.stair.model import Flight, StandingPost, built_name
from pitchline.survey.equations import Unknown

Unit = Literal["mm", "deg"]


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing planned and as it was measured or comes out now; uncertainties None where none is known.

    ``where`` names the piece, ``what`` the quantity and from what it is measured. ``again``: it was measured at the
    survey already and is told by both, so that ``apart`` (standard uncertainty of the difference) is known.
    ``leg`` is the id of the leg it was told of; ``face``: it is the place of a newel's face.
    """

    where: str
    what: str
    planned: float
    measured: float
    before: float | None
    after: float | None
    unit: Unit = "mm"
    again: bool = False
    apart: float | None = None
    leg: str = ""
    face: bool = False

    @property
    def difference(self) -> float:
        """As built less as planned."""
        return self.measured - self.planned


Pair = tuple[Design, Design]
"""A leg as planned and as it is laid out around what stands."""


def differences(
    legs: Sequence[Pair], standing: Standing, parts: tuple[Mapping[str, Part], Mapping[str, Part]]
) -> tuple[Difference, ...]:
    """Every difference of one design, newels first; ``parts`` are the pieces of both plans by their places."""
    told = {(post.post, post.leg): post for post in standing.posts}
    measured = {rail.rail for rail in standing.rails}
    kinds: tuple[Callable[[Pair], Iterator[Difference]], ...] = (
        lambda pair: _posts(pair, told),
        lambda pair: _rails(pair, measured),
        _uprights,
        lambda pair: _lengths(pair, parts),
        _gaps,
    )
    return tuple(replace(one, leg=pair[1].id) for kind in kinds for pair in legs for one in kind(pair))


def _posts(pair: Pair, told: Mapping[tuple[str, str], MeasuredPost]) -> Iterator[Difference]:
    planned, built = pair
    before = {post.id: post for post in planned.posts}
    for post in built.posts:
        standing = built.flight.set_post(built.brief.balustrade, post.id)
        if post.measured and standing is not None and post.id in before:
            at_head = post.foot[0] > _middle(built)
            if post.station == standing.station:
                yield _face(pair, before[post.id], post, standing, at_head=at_head)
            read = told.get((post.id, built.leg)) or (None if post.shared else told.get((post.id, "")))
            yield from _leans(before[post.id], post, read)


def _middle(design: Design) -> float:
    return (design.bay.start.point[0] + design.bay.finish.point[0]) / 2


def _face(pair: Pair, before: Post, post: Post, standing: StandingPost, *, at_head: bool) -> Difference:
    """The face that looks at the leg, at the height where it was read, level from the first nosing."""
    planned, built = pair
    height = standing.face_z
    places = [
        one.face(towards_head=not at_head).meet_line((0.0, 0.0, height), (1.0, 0.0, 0.0))[0]
        for one in (before, post)
    ]
    again = before.role is PostRole.EXISTING
    surveyed = COVERAGE_FACTOR * planned.flight.sigma({before.station: 1.0})
    after = COVERAGE_FACTOR * built.flight.sigma({standing.station: 1.0})
    return Difference(
        post.id,
        f"{'lower' if at_head else 'upper'} face, level from N1 of {built.leg}",
        places[0],
        places[1],
        surveyed if again else math.hypot(surveyed, NEWEL_SET),
        after,
        again=again,
        face=True,
        apart=_apart(surveyed, after, same=before.station == standing.station) if again else None,
    )


def _apart(before: float, after: float, *, same: bool) -> float:
    """Standard uncertainty of the difference of two expanded ones.

    Where the later adjustment holds the readings of the earlier one, the variance of the difference is the difference
    of the variances; else their sum.
    """
    variance = before**2 - after**2 if same else before**2 + after**2
    return math.sqrt(max(variance, 0.0)) / COVERAGE_FACTOR


def _leans(before: Post, post: Post, told: MeasuredPost | None) -> Iterator[Difference]:
    """Lean and twist where they were read."""
    if told is None:
        return
    lean, twist = COVERAGE_FACTOR * LEAN_READ_DEG, COVERAGE_FACTOR * TWIST_READ_DEG
    for read, what, axis in (
        (told.lean_along, "lean along from plumb, + up the stair", 0),
        (told.lean_across, "lean across from plumb, + to the left going up", 1),
    ):
        if read is not None:
            angles = [math.degrees(math.atan2(one.axis[axis], one.axis[2])) for one in (before, post)]
            yield Difference(post.id, what, angles[0], angles[1], None, lean, "deg")
    if told.twist is not None:
        angles = [math.degrees(twist_of(one)) for one in (before, post)]
        what = "twist from square, + anticlockwise from above"
        yield Difference(post.id, what, angles[0], angles[1], None, twist, "deg")
    if told.top_height is not None:
        yield Difference(post.id, "top above the lower floor", before.top_z, post.top_z, None, None)


def _rails(pair: Pair, measured: set[str]) -> Iterator[Difference]:
    """Slope and heights of fitted rails, plumb above the nosings."""
    planned, built = pair
    for old, bar in zip(planned.bars, built.bars, strict=False):
        if bar.id not in measured or old.id != bar.id:
            continue
        name = built_name(built.brief.balustrade, bar.id)
        slope_sigma = math.degrees(
            _line_sigma(built.flight, {("slope", name): 1.0 / (1.0 + bar.top.slope**2)})
        )
        yield Difference(
            bar.id,
            "slope from level",
            math.degrees(old.top.angle),
            math.degrees(bar.top.angle),
            None,
            COVERAGE_FACTOR * slope_sigma,
            "deg",
        )
        for number in _read_at(built.flight, name):
            yield _height(pair, (old, bar), name, number)


def _read_at(flight: Flight, line: str) -> list[int]:
    """Numbers of the nosings at which a rail was read, lowest and highest."""
    names = flight.nosing_names
    read = [names.index(r.end) + 1 for r in flight.survey.readings if r.start == line and r.end in names]
    return sorted({min(read), max(read)}) if read else []


def _height(pair: Pair, bars: tuple[Bar, Bar], line: str, number: int) -> Difference:
    planned, built = pair
    old, bar = bars
    point = f"N{number}"
    (u, z), (u_before, z_before) = built.flight.nosings[number - 1], planned.flight.nosings[number - 1]
    slope = bar.top.slope
    wanted: dict[Unknown, float] = {
        ("string", line): 1.0, ("slope", line): u, ("x", point): slope, ("z", point): -1.0,
    }  # fmt: skip
    surveyed = planned.flight.expanded({point: old.top.slope}, {point: 1.0})
    return Difference(
        bar.id,
        f"top above {point}, plumb",
        old.top.at(u_before) - z_before,
        bar.top.at(u) - z,
        math.hypot(surveyed, SETTING_OUT),
        COVERAGE_FACTOR * _line_sigma(built.flight, wanted),
    )


def _line_sigma(flight: Flight, weights: Mapping[Unknown, float]) -> float:
    """Standard uncertainty of a weighted sum of what the survey knows of a line and points."""
    known = [name for name in weights if flight.survey.has(name)]
    vector = [weights[name] for name in known]
    covariance = flight.survey.covariance_of(known)
    return math.sqrt(max(0.0, float(vector @ covariance @ vector))) if known else 0.0


def _uprights(pair: Pair) -> Iterator[Difference]:
    """Fitted uprights: their foot-side edge along the rail from the datum of the running marks."""
    planned, built = pair
    given = built.brief.built
    if given is None or not given.fitted:
        return
    bars = [design.base or design.handrail for design in pair]
    was = {upright.mark: upright for upright in planned.uprights}
    for mark, upright in fitted_uprights(pair).items():
        edges = [
            foot_edge(_place(one), one.lean, one.width, bar)
            for one, bar in zip((was[mark], upright), bars, strict=True)
        ]
        yield Difference(
            mark, f"lower edge along {bars[1].id} from the datum", edges[0], edges[1], SETTING_OUT, None
        )


def _place(upright: Upright) -> float:
    return Axes.of(upright.lean).s(upright.foot)


NEAR = 0.5
"""mm within which an upright of the new plan stands where a fitted one was measured: it is laid out exactly there."""


def fitted_uprights(pair: Pair) -> dict[str, Upright]:
    """The uprights of the new plan that stand already, by the marks that the old plan gave them."""
    planned, built = pair
    given = built.brief.built
    if given is None:
        return {}
    bar = built.base or built.handrail
    found: dict[str, Upright] = {}
    for one in given.fitted:
        near = [
            upright
            for upright in built.uprights
            if abs(foot_edge(_place(upright), upright.lean, upright.width, bar) - one.edge) < NEAR
        ]
        number = one.number - 1 - given.lead
        if near and 0 <= number < len(planned.uprights):
            found[planned.uprights[number].mark] = near[0]
    return found


def _lengths(pair: Pair, parts: tuple[Mapping[str, Part], Mapping[str, Part]]) -> Iterator[Difference]:
    """The clear run of the bay and the lengths of its rails, which follow from the newels."""
    planned, built = pair
    sets = [NEWEL_SET for post in planned.posts if post.role is not PostRole.EXISTING]
    sigmas = [COVERAGE_FACTOR * design.bay.run_sigma for design in pair]
    still = [NEWEL_SET for post in built.posts if post.role is not PostRole.EXISTING and not post.measured]
    spread = (math.hypot(sigmas[0], *sets), math.hypot(sigmas[1], *still))
    yield Difference(
        f"bay of {built.id}", "clear run, square to its members", planned.bay.run, built.bay.run, *spread
    )
    for bar in built.bars:
        old, new = (known.get(bar.id) for known in parts)
        if old is not None and new is not None:
            rake = math.cos(bar.top.angle)
            yield Difference(
                bar.id,
                "longest point to longest point",
                old.length,
                new.length,
                spread[0] / rake,
                spread[1] / rake,
            )


def _gaps(pair: Pair) -> Iterator[Difference]:
    """The widest and the narrowest clear gap between uprights, or between one and an end."""
    gaps = [[gap for one in leg.uprights for gap in (one.gap_before, one.gap_after)] for leg in pair]
    if all(gaps):
        for name, pick in (("widest", max), ("narrowest", min)):
            what = f"{name} clear gap, square to its members"
            yield Difference(f"bay of {pair[1].id}", what, pick(gaps[0]), pick(gaps[1]), None, None)
