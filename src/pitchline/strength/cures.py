"""What it would take for the strength to hold, solved for and not guessed.

Each cure is tried by itself over the whole edge; its answer is the least size in whole steps at which both movement
and strength hold with likely values, found by halving, and the numbers it leads to. The last one puts several
together.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import PostRole
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.bases.joints import Base, FaceFixed
from pitchline.strength.bases.supports import Support
from pitchline.strength.changes import State
from pitchline.strength.cure_search import FALLS, Change, Search, Try, least_of
from pitchline.strength.ladders import ladder, room_for_rows
from pitchline.strength.legs import StandingLeg
from pitchline.strength.rebuilt import (
    bases_of,
    deepened,
    near_words,
    newel_between,
    station_near,
    thicker,
    widened,
    with_bases,
    with_layers,
)
from pitchline.strength.report import StrengthReport
from pitchline.strength.settings import Scenario, StrengthSettings
from pitchline.strength.solved import DEFAULTS, Study
from pitchline.strength.standing import post_end
from pitchline.strength.together import together
from pitchline.strength.uses import highest

__all__ = ["Change", "what_would_it_take"]

MOST = 2.5
"""Sizes are looked for up to so many times what they are: beyond, nobody would call it the same piece."""

STIFFEST = 100.0
"""Bases are looked for up to so many times as stiff as likely; beyond, they might as well not give at all."""


def what_would_it_take(
    legs: Sequence[StandingLeg],
    rules: RuleSet,
    report: StrengthReport,
    settings: StrengthSettings = DEFAULTS,
    words: Words = PLAIN,
) -> tuple[Change, ...]:
    """Ways to make an edge hold, each alone and at last several together; empty where it holds already."""
    if report.holds:
        return ()
    limit = report.limit.value
    search = Search(Study(tuple(legs), rules, settings, words), limit, report.movement.value > limit)
    found = tuple(_changes(search, report))
    return (*found, together(search))


def _changes(search: Search, report: StrengthReport) -> Iterator[Change]:
    yield _stiffer_bases(search)
    yield from _longer_laps(search)
    yield from _stronger_bases(search)
    designs = [leg.design for leg in search.study.legs]
    if all(isinstance(design.making, Stacked) for design in designs):
        yield _layers(search)
    else:
        yield _wider(search)
        yield _deeper(search)
    made = [post for design in designs for post in design.posts if post.role is not PostRole.EXISTING]
    if made:
        side = min(min(post.along, post.across) for post in made)
        yield _sized(search, "newels so thick", side, lambda size: search.each(lambda d: thicker(d, size)))
    yield from _between(search, report)


def _stiffer_bases(search: Search) -> Change:
    """All bases so many times as stiff: only springs change, so the frame is not drawn again."""
    study = search.study

    def bases(factor: float) -> State:
        try:
            solved = study.other(Scenario("mean", bases=factor))
            return State(solved.worst.value, highest(study, factor))
        except MechanismError:
            return FALLS

    sizes = [10 ** (n / 20.0) for n in range(1, 1 + round(20 * math.log10(STIFFEST)))]
    return least_of(search, "all bases so many times as stiff", "times", bases, sizes)


def _sized(search: Search, what: str, size: float, try_size: Try) -> Change:
    """A size in whole steps above what it is."""
    first = math.floor(size / search.step) + 1
    sizes = [n * search.step for n in range(first, max(first + 1, math.ceil(MOST * size / search.step)))]
    return least_of(search, what, "mm", try_size, sizes)


def _wider(search: Search) -> Change:
    wide = min(leg.design.handrail.width for leg in search.study.legs)

    def rail(width: float) -> State:
        return search.each(lambda d: replace(d, handrail=widened(d.handrail, width)))

    return _sized(search, "a handrail so wide", wide, rail)


def _deeper(search: Search) -> Change:
    deep = min(leg.design.handrail.depth for leg in search.study.legs)

    def rail(depth: float) -> State:
        return search.each(lambda d: replace(d, handrail=deepened(d.handrail, depth)))

    return _sized(search, "a handrail so deep", deep, rail)


def _longer_laps(search: Search) -> Iterator[Change]:
    """Newels that lap string or joist further: rows of fixings further apart, as far as the timber is deep."""
    faces = [
        (post.id, base, support)
        for post, _, base, support in bases_of(search.study.legs, search.study.settings)
        if isinstance(base, FaceFixed) and base.rows > 1
    ]
    pitches = [base.pitch for _, base, _ in faces]
    most = [room_for_rows(base, support) / (base.rows - 1) for _, base, support in faces]
    if not faces or max(most) < min(pitches) + search.step:
        return

    def laps(wanted: float) -> State:
        longer: dict[str, tuple[Base, Support]] = {
            name: (replace(base, pitch=max(base.pitch, min(wanted, room))), support)
            for (name, base, support), room in zip(faces, most, strict=True)
        }
        return search.state(settings=with_bases(search.study.settings, longer))

    first, last = (math.floor(pitch / search.step) for pitch in (min(pitches), max(most)))
    sizes = [n * search.step for n in range(first + 1, last + 1)]
    yield least_of(search, "longer laps with rows of fixings so far apart", "mm", laps, sizes)


def _stronger_bases(search: Search) -> Iterator[Change]:
    """Every base some steps up its ladder."""
    settings = search.study.settings
    ladders = {
        post.id: ladder(base, post_end(post, settings), support, search.words)
        for post, _, base, support in bases_of(search.study.legs, settings)
    }
    most = max(map(len, ladders.values()), default=0)
    if not most:
        return

    def at(level: int) -> dict[str, tuple[Base, Support]]:
        return {
            name: (rung.base, rung.support)
            for name, rungs in ladders.items()
            if rungs
            for rung in (rungs[min(level, len(rungs)) - 1],)
        }

    def stronger(level: float) -> State:
        return search.state(settings=with_bases(settings, at(round(level))))

    found = least_of(search, "stronger bases", "steps", stronger, [float(n) for n in range(1, most + 1)])
    level = most if found.size is None else round(found.size)
    told = "; ".join(
        f"{name} {rungs[min(level, len(rungs)) - 1].words}" for name, rungs in ladders.items() if rungs
    )
    how = "would do" if found.holds else "would not do alone"
    yield replace(found, sentence=f"stronger bases {how}: {told} ({search.leads_to(found.after)})")


def _layers(search: Search) -> Change:
    """Stacked rails with more layers on both sides."""
    most = max(
        leg.design.making.layers for leg in search.study.legs if isinstance(leg.design.making, Stacked)
    )

    def layers(count: float) -> State:
        return search.each(lambda d: with_layers(d, round(count)))

    sizes = [float(most + 2 * n) for n in range(1, 1 + round(MOST * most / 2))]
    return least_of(search, "stacked rails of so many layers", "layers", layers, sizes)


def _between(search: Search, report: StrengthReport) -> Iterator[Change]:
    """A newel in the middle of the handrail that moves most, and with it a handrail so wide."""
    legs = search.study.legs
    number = next((n for n, leg in enumerate(legs) if leg.design.handrail.id == report.movement.rail), 0)
    post = newel_between(legs[number].design)
    if post is None:
        return
    of = "" if len(legs) == 1 else f" {report.movement.rail}"
    what = f"a newel in the middle of the handrail{of}"

    def built(width: float) -> State:
        changed = []
        for n, leg in enumerate(legs):
            posts = (*leg.design.posts, post) if n == number else leg.design.posts
            design = replace(leg.design, posts=posts, handrail=widened(leg.design.handrail, width))
            changed.append(replace(leg, design=design))
        return search.state(changed)

    after = built(0.0)
    holds = search.holds(after)
    near = station_near(legs[number].design, post.foot[0])
    where = post.stands if near is None else f"{post.stands}, {near_words(near, search.words)}"
    sentence = f"{what}, {where}, {'would do' if holds else 'would not do alone'}: {search.leads_to(after)}"
    yield Change(what, post.foot[0] if holds else None, "mm along the edge", after, sentence)
    if not holds and not isinstance(legs[number].design.making, Stacked):
        wide = min(leg.design.handrail.width for leg in legs)
        yield _sized(search, f"{what} and a handrail so wide", wide, built)
