"""Several changes at once that make an edge hold: at each step what governs is mended; what was not needed is undone.

That is how a maker goes about it: whatever gives most is made stiffer, whatever is used most is made stronger.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from pitchline.design.makings import Stacked
from pitchline.design.model import Post
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.strength.bases.joints import Base
from pitchline.strength.bases.supports import Support
from pitchline.strength.changes import State
from pitchline.strength.cure_search import FALLS, Change, Search
from pitchline.strength.ladders import Rung, ladder
from pitchline.strength.legs import StandingLeg
from pitchline.strength.moves import shares_of
from pitchline.strength.plans import SEATS, Plan, planned_design, planned_seat, planned_settings, thickened
from pitchline.strength.rebuilt import (
    bases_of,
    near_words,
    newels_between,
    station_near,
    with_bases,
)
from pitchline.strength.report import Utilisation
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.solved import Study
from pitchline.strength.standing import post_end
from pitchline.strength.uses import utilisations

MOST_STEPS = 32
LEAST_BAY = 600.0
"""mm of handrail between two newels, level: nobody stands them nearer (common practice, no source)."""

WIDEST, THICKEST = 95.0, 120.0
"""mm: a handrail or upright is not made wider, a newel not thicker than that here (common practice, no source)."""

GROWS = 10.0
MOST_ENDS, MOST_BOLTS = 4, 3


@dataclass(frozen=True, eq=False)
class Built:
    """A plan carried out: what is then judged, and the rungs that every base has above it."""

    plan: Plan
    study: Study
    rungs: Mapping[str, tuple[Rung, ...]]
    added: Mapping[int, tuple[Post, ...]]


@dataclass(frozen=True, eq=False)
class Seen:
    """What a plan leads to: its state, the largest share of its movement, the rail that moves, what is most used."""

    state: State
    share: str
    rail: str
    uses: tuple[Utilisation, ...]


def together(search: Search) -> Change:
    """The changes that together would do, or how far they lead."""
    built, seen = built_together(search)
    holds = search.holds(seen.state)
    told = "; ".join(_told(search, built))
    if math.isinf(seen.state.movement):
        sentence = "nothing that was tried makes it stand: ask an engineer"
    elif holds:
        sentence = f"all of this together would do: {told} ({search.leads_to(seen.state)})"
    else:
        left = f", {seen.uses[0].where} most of all" if seen.uses else ""
        sentence = (
            f"not even this together would do: {told or 'nothing helped'} ({search.leads_to(seen.state)}{left}): "
            "ask an engineer"
        )
    return Change("several changes together", 1.0 if holds else None, "set", seen.state, sentence)


def built_together(search: Search) -> tuple[Built, Seen]:
    """What is built with all changes, and what that leads to."""
    plan, seen = _mended(search)
    if search.holds(seen.state):
        plan, seen = _pruned(search, plan, seen)
    return _build(search, plan), seen


def _mended(search: Search) -> tuple[Plan, Seen]:
    """Mend what governs, step by step, until it holds or nothing more can be done."""
    plan = Plan()
    built = _build(search, plan)
    seen = _see(built)
    for _ in range(MOST_STEPS):
        if search.holds(seen.state):
            break
        following = next(iter(_next(search, built, seen)), None)
        if following is None:
            break
        plan, built = following, _build(search, following)
        seen = _see(built)
    return plan, seen


def _pruned(search: Search, plan: Plan, seen: Seen) -> tuple[Plan, Seen]:
    """The plan without what was not needed after all."""
    for name in ("width", "base_width", "thick", "upright", "layers", "seat", "ends", "bolts"):
        if getattr(plan, name):
            plan, seen = _if_holds(search, replace(plan, **{name: getattr(Plan(), name)}), plan, seen)
    for post in plan.bases:
        fewer = {name: level for name, level in plan.bases.items() if name != post}
        plan, seen = _if_holds(search, replace(plan, bases=fewer), plan, seen)
    return plan, seen


def _if_holds(search: Search, less: Plan, plan: Plan, seen: Seen) -> tuple[Plan, Seen]:
    found = _see(_build(search, less))
    return (less, found) if search.holds(found.state) else (plan, seen)


def _build(search: Search, plan: Plan) -> Built:
    """Legs and settings with the plan carried out."""
    added: dict[int, tuple[Post, ...]] = {}
    legs = []
    for number, leg in enumerate(search.study.legs):
        design = planned_design(leg.design, plan)
        count = plan.newels.get(number, 0)
        if count:
            added[number] = tuple(thickened(post, plan) for post in newels_between(leg.design, count))
            design = replace(design, posts=(*design.posts, *added[number]))
        legs.append(replace(leg, design=design))
    settings = planned_settings(search.study.settings, plan)
    rungs = _rungs(search, legs, settings)
    bases: dict[str, tuple[Base, Support]] = {}
    for name, level in plan.bases.items():
        rung = rungs[name][level - 1]
        bases[name] = (rung.base, rung.support)
    return Built(plan, search.changed(legs, with_bases(settings, bases)), rungs, added)


def _rungs(
    search: Search, legs: list[StandingLeg], settings: StrengthSettings
) -> dict[str, tuple[Rung, ...]]:
    return {
        post.id: ladder(base, post_end(post, settings), support, search.words)
        for post, _, base, support in bases_of(legs, settings)
    }


def _see(built: Built) -> Seen:
    study = built.study
    try:
        likely = study.likely
    except MechanismError:
        return Seen(FALLS, "", study.legs[0].design.handrail.id, ())
    worst = likely.worst
    shares = shares_of(likely.model, likely.factored, likely.solution, worst)
    uses = utilisations(study).uses
    share = max(shares, key=lambda name: shares[name])
    rail = likely.model.leg_of(worst.node).handrail
    return Seen(State(worst.value, uses[0].ratio), share, rail, uses)


def _next(search: Search, built: Built, seen: Seen) -> Iterator[Plan]:
    """What to do next, the best first."""
    if seen.state.movement > search.limit:
        yield from _stiffer(built, seen)
    else:
        yield from _all_stronger(built, seen.uses)


def _all_stronger(built: Built, uses: Sequence[Utilisation]) -> Iterator[Plan]:
    """Mend all that is used too far at once, up to the first newel more; nothing where the worst cannot be mended."""
    plan = built.plan
    for n, use in enumerate(use for use in uses if use.ratio > 1.0):
        following = next(iter(_stronger(replace(built, plan=plan), use)), None)
        if following is None and n == 0:
            return
        if following is not None and (n == 0 or following.newels == plan.newels):
            more = following.newels != plan.newels
            plan = following
            if more:
                break
    if plan != built.plan:
        yield plan


def _stiffer(built: Built, seen: Seen) -> Iterator[Plan]:
    """Against movement: what its largest share asks for, then one newel more, then whatever else is left."""
    number = _number(built, seen.rail)
    match seen.share:
        case "bases" | "play of holes":
            yield from _up_all(built)
        case "newels":
            yield from _thicker(built)
        case "fixings to string and wall":
            yield from _closer(built)
        case "joints":
            yield from _more_ends(built)
        case _:
            pass
    yield from _newel(built, number)
    yield from _wider(built)
    yield from _up_all(built)
    yield from _thicker(built)


def _number(built: Built, rail: str) -> int:
    return next((n for n, leg in enumerate(built.study.legs) if leg.design.handrail.id == rail), 0)


def _stronger(built: Built, use: Utilisation) -> Iterator[Plan]:
    """Against breaking: what is used most."""
    plan, what = built.plan, use.what
    if what.startswith("base ") or what == "notch":
        yield from _up(built, use.piece)
        yield from _thicker(built)
    elif what == "screws to its seat":
        yield from _closer(built)
    elif what.startswith("end at "):
        yield from _more_ends(built)
    elif what.startswith("joint with "):
        count = plan.bolts or built.study.settings.rail_joint.count
        if count < MOST_BOLTS:
            yield replace(plan, bolts=count + 1)
    else:
        yield from _stouter(built, use.piece)


def _stouter(built: Built, piece: str) -> Iterator[Plan]:
    """A piece of wood that is used too far."""
    plan = built.plan
    kind = (
        built.study.structure.model.by_name[piece].kind
        if piece in built.study.structure.model.by_name
        else ""
    )
    if kind == "newel":
        yield from _thicker(built)
    elif kind == "upright":
        size = plan.upright or min(u.thickness for leg in built.study.legs for u in leg.design.uprights)
        if size + GROWS / 2.0 <= WIDEST:
            yield replace(plan, upright=size + GROWS / 2.0)
    elif kind == "base rail":
        size = plan.base_width or min(leg.design.base.width for leg in built.study.legs if leg.design.base)
        if size + GROWS <= WIDEST:
            yield replace(plan, base_width=size + GROWS)
        yield from _newel(built, 0)
    elif kind in ("handrail", "easing"):
        yield from _newel(built, _number(built, piece))
        yield from _wider(built)


def _newel(built: Built, number: int) -> Iterator[Plan]:
    plan, design = built.plan, built.study.legs[number].design
    count = plan.newels.get(number, 0) + 1
    long = design.handrail.finish.point[0] - design.handrail.start.point[0]
    if long / (count + 1) > LEAST_BAY and newels_between(design, count):
        names = {post.id for posts in built.added.values() for post in posts}
        bases = {name: level for name, level in plan.bases.items() if name not in names}
        yield replace(plan, newels={**plan.newels, number: count}, bases=bases)


def _wider(built: Built) -> Iterator[Plan]:
    plan = built.plan
    layered = [leg.design.making for leg in built.study.legs if isinstance(leg.design.making, Stacked)]
    if layered:
        count = max(plan.layers, *(making.layers for making in layered)) + 2
        if count * layered[0].layer_thickness <= 1.5 * WIDEST:
            yield replace(plan, layers=count)
        return
    size = plan.width or min(leg.design.handrail.width for leg in built.study.legs)
    if size + GROWS <= WIDEST:
        yield replace(plan, width=size + GROWS)


def _thicker(built: Built) -> Iterator[Plan]:
    posts = [post for leg in built.study.legs for post in leg.design.posts]
    size = built.plan.thick or min((min(post.along, post.across) for post in posts), default=THICKEST)
    if size + GROWS <= THICKEST:
        yield replace(built.plan, thick=size + GROWS)


def _closer(built: Built) -> Iterator[Plan]:
    if built.plan.seat < len(SEATS):
        yield replace(built.plan, seat=built.plan.seat + 1)


def _more_ends(built: Built) -> Iterator[Plan]:
    count = built.plan.ends or built.study.settings.rail_fixing.count
    if count < MOST_ENDS:
        yield replace(built.plan, ends=count + 1)


def _up(built: Built, post: str) -> Iterator[Plan]:
    level = built.plan.bases.get(post, 0)
    if level < len(built.rungs.get(post, ())):
        yield replace(built.plan, bases={**built.plan.bases, post: level + 1})


def _up_all(built: Built) -> Iterator[Plan]:
    levels = {
        name: min(len(rungs), built.plan.bases.get(name, 0) + 1)
        for name, rungs in built.rungs.items()
        if rungs
    }
    if any(level > built.plan.bases.get(name, 0) for name, level in levels.items()):
        yield replace(built.plan, bases={**built.plan.bases, **levels})


def _told(search: Search, built: Built) -> Iterator[str]:
    """The plan in words."""
    plan, words = built.plan, search.words
    for number, posts in built.added.items():
        design = search.study.legs[number].design
        for post in posts:
            near = station_near(design, post.foot[0])
            where = post.stands if near is None else near_words(near, words)
            yield f"a newel {where} ({post.id})"
    if plan.width:
        yield f"handrails {words.about(plan.width)} wide"
    if plan.layers:
        yield f"rails of {plan.layers} layers"
    if plan.base_width:
        yield f"base rails {words.about(plan.base_width)} wide"
    if plan.thick:
        yield f"newels {words.about(plan.thick)} thick"
    if plan.upright:
        yield f"uprights {words.about(plan.upright)} thick"
    for name, level in plan.bases.items():
        yield f"{name} on {built.rungs[name][level - 1].words}"
    if plan.seat:
        seat = planned_seat(built.study.settings, plan)
        yield f"base rails on {seat.fixing.name} {words.about(seat.apart)} apart"
    if plan.ends:
        yield f"{plan.ends} x {built.study.settings.rail_fixing.fixing.name} at ends of rails"
    if plan.bolts:
        yield f"{plan.bolts} x {built.study.settings.rail_joint.fixing.name} where rails are joined"
