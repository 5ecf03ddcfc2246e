"""A job half built: what was measured joins the survey, what stands joins the briefs, the rest is solved again.

The plan is the job without what was measured. Names of newels, rails and pieces are those that the plan gave them.
"""

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from pitchline.design.as_built import (
    BuiltUprights,
    FittedUpright,
    MadePiece,
    MeasuredPost,
    MeasuredRail,
    Standing,
    State,
    latest,
)
from pitchline.design.as_built_layout import foot_edge
from pitchline.design.infill.uprights import Axes
from pitchline.design.model import Bar, Design, Post, PostRole, Upright
from pitchline.design.posts import twist_of
from pitchline.job.value import FlightInput, Job
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.words import Words, show_in
from pitchline.making.fitting_report import AsBuilt, as_built
from pitchline.parts.part import Part
from pitchline.stair.facts import PostFacts
from pitchline.stair.model import built_name
from pitchline.survey.readings import SET_UP_KINDS, Kind, Reading


@dataclass(frozen=True, eq=False)
class Plan:
    """One design as planned: its legs, in the order of the job's briefs, and its pieces."""

    id: str
    legs: tuple[Design, ...]
    parts: tuple[Part, ...]


def measured_designs(job: Job) -> tuple[str, ...]:
    """The designs of which something was measured, each once."""
    return tuple(dict.fromkeys(told.design for told in job.as_built))


def built_job(job: Job, plans: Mapping[str, Plan]) -> Job:
    """The job with what was measured put into its flights and briefs.

    InputError with every newel, rail or piece that the plan does not have.
    """
    standings = [_named(latest(name, job.as_built), plans[name]) for name in measured_designs(job)]
    flights = {given.facts.id: given for given in job.flights}
    briefs = {brief.id: brief for brief in job.designs}
    for standing in standings:
        plan = plans[standing.design]
        for leg, posts in _by_leg(standing, plan).items():
            flights[leg] = _with_posts(flights[leg], posts, plan)
        for rail in standing.rails:
            design = _leg_of_rail(rail, plan)
            flights[design.leg] = _with_rail(flights[design.leg], rail)
        for design in plan.legs:
            built = _uprights(design, standing.pieces)
            briefs[design.id] = replace(briefs[design.id], built=built)
    return replace(
        job,
        flights=tuple(flights[given.facts.id] for given in job.flights),
        designs=tuple(briefs[brief.id] for brief in job.designs),
        as_built=(),
    )


def as_built_of(job: Job, plan: Plan, built: Plan) -> AsBuilt:
    """What is built of one design beside what was planned."""
    standing = _named(latest(plan.id, job.as_built), plan)
    legs = tuple(zip(plan.legs, built.legs, strict=True))
    return as_built(standing, legs, (plan.parts, built.parts), Words(show_in(job.unit)))


def _named(standing: Standing, plan: Plan) -> Standing:
    """The same with marks of groups replaced by those of their places; InputError for names that the plan lacks."""
    faults = [*_post_faults(standing, plan), *_rail_faults(standing, plan)]
    groups: dict[str, list[str]] = {}
    for part in plan.parts:
        groups.setdefault(part.mark, []).append(part.place)
    places = {part.place for part in plan.parts}
    pieces: dict[str, MadePiece] = {}
    strange = [piece for piece in standing.pieces if piece.mark not in places and piece.mark not in groups]
    for piece in standing.pieces:
        for place in [piece.mark] if piece.mark in places else groups.get(piece.mark, ()):
            pieces[place] = replace(piece, mark=place)
    faults += _no_pieces(strange, plan)
    if faults:
        raise InputError(faults, "the job")
    return replace(standing, pieces=tuple(pieces.values()))


def _post_faults(standing: Standing, plan: Plan) -> Iterator[Fault]:
    known = {post.id: post for leg in plan.legs for post in leg.posts}
    for told in standing.posts:
        if told.post not in known:
            problem = f"design {plan.id} has no newel of this mark"
            yield Fault(f"{told.where}.post", problem, f'"{told.post}"', _listed(known))
            continue
        legs = {leg.leg: leg for leg in plan.legs if any(post.id == told.post for post in leg.posts)}
        if told.leg and told.leg not in legs:
            yield Fault(
                f"{told.where}.leg", f"{told.post} does not stand on this leg", f'"{told.leg}"', _listed(legs)
            )
        elif told.face_height is None and known[told.post].role is not PostRole.EXISTING:
            remedy = "say how high above the lower floor the face was read"
            yield Fault(f"{told.where}", "face_height is missing", remedy=remedy)
        leg = legs[told.leg] if told.leg in legs else next(iter(legs.values()))
        yield from _point_faults(told, leg, {post.station for post in standing.posts})


def _point_faults(told: MeasuredPost, leg: Design, stations: set[str]) -> Iterator[Fault]:
    """Readings to points that the survey of the leg does not know."""
    survey = leg.flight.survey
    for number, reading in enumerate(told.readings):
        ends = [reading.end] if reading.kind in SET_UP_KINDS else [reading.start, reading.end]
        for point in ends:
            if point not in stations and not (survey.has(("x", point)) or survey.has(("z", point))):
                problem = f"the survey of {leg.leg} has no point of this name"
                remedy = "read to a nosing, or to another point of the survey"
                where = f"{told.where}.readings[{number}]"
                yield Fault(where, problem, f'"{point}"', _from_to(leg.flight.nosing_names), remedy)


def _from_to(nosings: Sequence[str]) -> str:
    return f'"{nosings[0]}" to "{nosings[-1]}"'


def _rail_faults(standing: Standing, plan: Plan) -> Iterator[Fault]:
    known = {bar.id: bar for leg in plan.legs for bar in leg.bars if bar.id[0] in "HB"}
    for told in standing.rails:
        if told.rail not in known:
            problem = f"design {plan.id} has no rail of this mark"
            yield Fault(f"{told.where}.rail", problem, f'"{told.rail}"', _listed(known))
            continue
        leg = _leg_of_rail(told, plan)
        nosings = leg.flight.nosing_names
        heights = (reading for reading in told.readings if reading.kind is Kind.MARGIN)
        for number, reading in enumerate(heights):
            if reading.end not in nosings:
                where = f"{told.where}.heights[{number}].at"
                yield Fault(
                    where, f"{leg.leg} has no nosing of this name", f'"{reading.end}"', _from_to(nosings)
                )


def _no_pieces(strange: Sequence[MadePiece], plan: Plan) -> Iterator[Fault]:
    """Marks that the plan does not have, those of one table and kind in one fault."""
    for (where, prefix), run in groupby(strange, key=lambda piece: (piece.where, _prefix(piece.mark))):
        marks = [piece.mark for piece in run]
        like = [part.place for part in plan.parts if _prefix(part.place) == prefix]
        allowed = f'"{like[0]}" to "{like[-1]}"' if like else "the marks of the cut list"
        found = f'"{marks[0]}"' if len(marks) == 1 else f'"{marks[0]}" to "{marks[-1]}"'
        problem = f"design {plan.id} has no piece of {'this mark' if len(marks) == 1 else 'these marks'}"
        remedy = "take marks from the cut list of the plan, as it was before anything was measured"
        yield Fault(where, problem, found, allowed, remedy)


def _prefix(mark: str) -> str:
    return mark.rstrip("0123456789-")


def _listed(names: Mapping[str, object]) -> str:
    return ", ".join(f'"{name}"' for name in names) or "none"


def _by_leg(standing: Standing, plan: Plan) -> dict[str, list[MeasuredPost]]:
    """The measured newels by the flight or level that their readings belong to."""
    found: dict[str, list[MeasuredPost]] = {}
    for told in standing.posts:
        own = next(
            leg for leg in plan.legs if any(post.id == told.post and not post.shared for post in leg.posts)
        )
        found.setdefault(told.leg or own.leg, []).append(told)
    return found


def _leg_of_rail(told: MeasuredRail, plan: Plan) -> Design:
    return next(leg for leg in plan.legs if any(bar.id == told.rail for bar in leg.bars))


def _with_posts(given: FlightInput, posts: Sequence[MeasuredPost], plan: Plan) -> FlightInput:
    """A leg with its measured newels: their readings among its own, their facts beside those of what stood before."""
    facts: list[PostFacts] = []
    renames: dict[str, str] = {}
    readings: list[Reading] = []
    for told in posts:
        own = _facts_of(told, given, plan)
        facts.append(own)
        renames[told.station] = own.station
        readings += told.readings
    spoken = [_renamed(reading, renames) for reading in readings]
    spoken += _heights([*given.readings, *spoken], posts, facts)
    return replace(
        given,
        facts=replace(given.facts, set_posts=(*given.facts.set_posts, *facts)),
        readings=(*given.readings, *_unlike(spoken, given.readings)),
    )


def _facts_of(told: MeasuredPost, given: FlightInput, plan: Plan) -> PostFacts:
    """A measured newel; what was not read is as planned, of an existing newel as it was surveyed."""
    leg, post = next(
        (leg, post)
        for leg in plan.legs
        for post in leg.posts
        if post.id == told.post and leg.leg == given.facts.id
    )
    known = _surveyed(post, given)
    if known is None:
        known = _planned(post, leg, told, given.facts.finishes.lower_floor)
    again = post.role is PostRole.EXISTING and told.face_height is None
    return PostFacts(
        id=built_name(plan.id, told.post),
        station=known.station if again else told.station,
        face_height=known.face_height if told.face_height is None else told.face_height,
        along=known.along if told.along is None else told.along,
        across=known.across if told.across is None else told.across,
        lean_along=known.lean_along if told.lean_along is None else told.lean_along,
        lean_across=known.lean_across if told.lean_across is None else told.lean_across,
        twist=known.twist if told.twist is None else told.twist,
        top_height=told.top_height if told.top_height is not None else known.top_height,
    )


def _surveyed(post: Post, given: FlightInput) -> PostFacts | None:
    """An existing newel as the survey has it."""
    if post.role is not PostRole.EXISTING:
        return None
    return next((known for known in given.facts.posts if known.station == post.station), None)


def _planned(post: Post, leg: Design, told: MeasuredPost, drop: float) -> PostFacts:
    """A newel of the work as it was planned, seen as if it had been surveyed; it is as long as it was cut.

    ``drop`` is what is still to be laid on the lower floor, from which heights are then counted.
    """
    up = post.axis[2]
    leans = (post.axis[0] / up, post.axis[1] / up * leg.side.towards_stair)
    stands = [
        lean if read is None else read
        for lean, read in zip(leans, (told.lean_along, told.lean_across), strict=True)
    ]
    return PostFacts(
        id=post.id,
        station=told.station,
        face_height=0.0,
        along=post.along,
        across=post.across,
        lean_along=leans[0],
        lean_across=leans[1],
        twist=twist_of(post),
        top_height=post.foot[2] + drop + post.length / math.hypot(1.0, *stands),
    )


def _renamed(reading: Reading, names: Mapping[str, str]) -> Reading:
    return replace(
        reading, start=names.get(reading.start, reading.start), end=names.get(reading.end, reading.end)
    )


def _heights(
    readings: Sequence[Reading], posts: Sequence[MeasuredPost], facts: Sequence[PostFacts]
) -> Iterator[Reading]:
    """The height at which a face was read, where a straight distance to it asks for that and nothing tells it yet."""
    told = {point for r in readings if r.kind in _TELLS_HEIGHT for point in (r.start, r.end)}
    asked = {point for r in readings if r.kind is Kind.STRAIGHT for point in (r.start, r.end)}
    for post, known in zip(posts, facts, strict=True):
        if known.station in asked - told:
            words = f"height of {post.post} as built"
            yield Reading(
                words, Kind.HEIGHT, "floor", known.station, known.face_height, post.height_sigma, "tape"
            )


_TELLS_HEIGHT = frozenset({Kind.HEIGHT, Kind.LEVEL})


def _unlike(readings: Sequence[Reading], others: Sequence[Reading]) -> Iterator[Reading]:
    """The readings with names that no other has."""
    used: Counter[str] = Counter(reading.id for reading in others)
    for reading in readings:
        name, again = reading.id, 1
        while used[name]:
            again += 1
            name = f"{reading.id} ({again})"
        used[name] += 1
        yield replace(reading, id=name)


def _with_rail(given: FlightInput, told: MeasuredRail) -> FlightInput:
    facts = replace(given.facts, fitted_rails=(*given.facts.fitted_rails, told.line))
    return replace(given, facts=facts, readings=(*given.readings, *_unlike(told.readings, given.readings)))


def _uprights(design: Design, pieces: Sequence[MadePiece]) -> BuiltUprights | None:
    """The uprights of one leg that are at hand; None where none is."""
    numbers = {upright.mark: number for number, upright in enumerate(design.uprights, start=1)}
    own = [piece for piece in pieces if piece.mark in numbers]
    if not own:
        return None
    lead, tail = _dropped(design)
    bar = design.base or design.handrail
    fitted = [
        FittedUpright(
            numbers[piece.mark] + lead,
            _edge(design.uprights[numbers[piece.mark] - 1], bar) if piece.edge is None else piece.edge,
        )
        for piece in own
        if piece.state is State.FITTED
    ]
    return BuiltUprights(len(numbers) + lead + tail, True, tuple(fitted), lead)


def _edge(upright: Upright, bar: Bar) -> float:
    """Where an upright of the plan has its foot-side edge, along the rail from the datum."""
    return foot_edge(Axes.of(upright.lean).s(upright.foot), upright.lean, upright.width, bar)


def _dropped(design: Design) -> tuple[int, int]:
    """How many places of the layout left no piece worth making, at the start and at the finish."""
    uprights = design.uprights
    if len(uprights) < 2:
        return 0, 0
    width, gap = uprights[0].width, uprights[0].gap_after
    ends = (uprights[0].gap_before, uprights[-1].gap_after)
    lead, tail = (max(0, round((end - gap) / (gap + width))) for end in ends)
    return lead, tail
