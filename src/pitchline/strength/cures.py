"""What it would take: sizes and fixings at which movement and strength hold, solved for and not guessed.

Each cure is tried by itself over the whole edge; its answer is the least size in whole steps at which both hold with
likely values, found by halving, and the numbers it leads to.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import Bar, Design, Post, PostRole
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.kit.geometry.lines import Line
from pitchline.kit.units import Unit
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.bases.joints import Base, FaceFixed, OnPlate
from pitchline.strength.changes import State, state_of
from pitchline.strength.legs import StandingLeg
from pitchline.strength.report import StrengthReport
from pitchline.strength.settings import PostBase, Scenario, StrengthSettings
from pitchline.strength.solved import DEFAULTS, Study
from pitchline.strength.standing import how_it_stands
from pitchline.strength.uses import highest

MOST = 4.0
"""Sizes are looked for up to so many times what they are."""

STIFFEST = 100.0
"""Bases are looked for up to so many times as stiff as likely; beyond, they might as well not give at all."""

LAP = 150.0
"""How far a newel added between laps a string, mm (common practice, no source)."""

STEP, INCH_STEP = 5.0, 6.35
"""Sizes are told in whole steps, mm: 5 mm, or a quarter of an inch."""

MOST_FIXINGS = 4
"""A base is given up to so many times its fixings."""

FALLS = State(math.inf, math.inf)
"""What does not stand."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change and where it leads: ``size`` in ``unit`` that would do, None where no size does."""

    what: str
    size: float | None
    unit: str
    after: State
    sentence: str

    @property
    def holds(self) -> bool:
        """Whether it would do alone."""
        return self.size is not None


Try = Callable[[float], State]


@dataclass(frozen=True, slots=True)
class _Search:
    """What is tried on: the legs as they are, and how it is judged."""

    study: Study
    limit: float

    def state(
        self, legs: Sequence[StandingLeg] | None = None, settings: StrengthSettings | None = None
    ) -> State:
        """Movement and utilisation of changed legs or settings; all infinite where they do not stand."""
        study = Study(
            self.study.legs if legs is None else tuple(legs),
            self.study.rules,
            self.study.settings if settings is None else settings,
            self.study.words,
        )
        try:
            return state_of(study)
        except MechanismError:
            return FALLS

    def each(self, change: Callable[[Design], Design]) -> State:
        """With a change made to every leg."""
        return self.state([replace(leg, design=change(leg.design)) for leg in self.study.legs])

    def holds(self, state: State) -> bool:
        """Whether movement and strength hold."""
        return state.movement <= self.limit and state.utilisation <= 1.0

    @property
    def words(self) -> Words:
        """How lengths are written."""
        return self.study.words

    @property
    def step(self) -> float:
        """A whole step of a size, mm."""
        return INCH_STEP if self.words.unit is Unit.INCH else STEP


def what_would_it_take(
    legs: Sequence[StandingLeg],
    rules: RuleSet,
    report: StrengthReport,
    settings: StrengthSettings = DEFAULTS,
    words: Words = PLAIN,
) -> tuple[Change, ...]:
    """Ways to make an edge hold, each alone; empty where it holds already."""
    if report.holds:
        return ()
    search = _Search(Study(tuple(legs), rules, settings, words), report.limit.value)
    return tuple(_changes(search, report))


def _changes(search: _Search, report: StrengthReport) -> Iterator[Change]:
    yield _stiffer_bases(search)
    yield from _longer_laps(search)
    yield from _more_fixings(search)
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


def _stiffer_bases(search: _Search) -> Change:
    """All bases so many times as stiff: only springs change, so the frame is not drawn again."""
    study = search.study

    def bases(factor: float) -> State:
        try:
            solved = study.other(Scenario("mean", bases=factor))
            return State(solved.worst.value, highest(study, factor))
        except MechanismError:
            return FALLS

    sizes = [10 ** (n / 20.0) for n in range(1, 1 + round(20 * math.log10(STIFFEST)))]
    return _solved(search, "all bases so many times as stiff", "times", bases, sizes)


def _sized(search: _Search, what: str, size: float, try_size: Try) -> Change:
    """A size in whole steps above what it is."""
    first = math.floor(size / search.step) + 1
    sizes = [n * search.step for n in range(first, max(first + 1, math.ceil(MOST * size / search.step)))]
    return _solved(search, what, "mm", try_size, sizes)


def _wider(search: _Search) -> Change:
    wide = min(leg.design.handrail.width for leg in search.study.legs)

    def rail(width: float) -> State:
        return search.each(
            lambda d: replace(d, handrail=replace(d.handrail, width=max(width, d.handrail.width)))
        )

    return _sized(search, "a handrail so wide", wide, rail)


def _deeper(search: _Search) -> Change:
    deep = min(leg.design.handrail.depth for leg in search.study.legs)

    def rail(depth: float) -> State:
        return search.each(lambda d: replace(d, handrail=deepened(d.handrail, depth)))

    return _sized(search, "a handrail so deep", deep, rail)


def deepened(bar: Bar, depth: float) -> Bar:
    """A rail so deep square to its top, which stays; never shallower than it is."""
    bottom = Line(bar.top.z0, bar.top.slope).offset(-max(depth, bar.depth))
    return replace(bar, bottom=bottom)


def _solved(search: _Search, what: str, unit: str, try_size: Try, sizes: Sequence[float]) -> Change:
    """The least of some rising sizes that holds, by halving; None where the largest does not."""
    most = try_size(sizes[-1])
    if not search.holds(most):
        return Change(what, None, unit, most, _not_alone(search, what, unit, try_size, sizes, most))
    place, after = _least(try_size, sizes, search.holds, most)
    size = sizes[place]
    sentence = f"{what} would do: {_told(search, size, unit)} ({_leads_to(search, after)})"
    return Change(what, size, unit, after, sentence)


def _told(search: _Search, size: float, unit: str) -> str:
    return search.words.about(size) if unit == "mm" else f"{size:.3g} {unit}"


def _leads_to(search: _Search, after: State) -> str:
    return (
        f"it then moves {search.words.about(after.movement)} and is used to {100 * after.utilisation:.0f} %"
    )


def _least(
    try_size: Try, sizes: Sequence[float], holds: Callable[[State], bool], after: State
) -> tuple[int, State]:
    """The first of some rising sizes that holds, with its state; the last holds with ``after``."""
    low, high = -1, len(sizes) - 1
    while high - low > 1:
        middle = (low + high) // 2
        found = try_size(sizes[middle])
        if holds(found):
            high, after = middle, found
        else:
            low = middle
    return high, after


def _not_alone(
    search: _Search, what: str, unit: str, try_size: Try, sizes: Sequence[float], most: State
) -> str:
    """Why a change would not do alone; the size at which at least the movement holds, where there is one."""
    if math.isinf(most.movement):
        return f"{what} would not do alone: it still does not stand"
    if most.movement > search.limit:
        return (
            f"{what} would not do alone: at {_told(search, sizes[-1], unit)} it still moves "
            f"{search.words.about(most.movement)} and is used to {100 * most.utilisation:.0f} %"
        )
    place, after = _least(try_size, sizes, lambda state: state.movement <= search.limit, most)
    return (
        f"{what} would not do alone: from {_told(search, sizes[place], unit)} on it moves no more than "
        f"{search.words.about(after.movement)}, but is still used to {100 * after.utilisation:.0f} %"
    )


def _with_bases(search: _Search, change: Callable[[Base], Base]) -> StrengthSettings:
    """The settings with every new newel's base changed."""
    settings = search.study.settings
    bases = dict(settings.bases)
    for leg in search.study.legs:
        for post in leg.design.posts:
            if post.role is not PostRole.HALF and not post.shared:
                base, support = how_it_stands(post, leg.design, settings)
                stated = bases.get(post.id, PostBase())
                bases[post.id] = PostBase(change(base), stated.support or support, stated.pulls)
    return replace(settings, bases=bases)


def _bases_of(search: _Search) -> list[Base]:
    settings = search.study.settings
    return [
        how_it_stands(post, leg.design, settings)[0]
        for leg in search.study.legs
        for post in leg.design.posts
        if post.role is not PostRole.HALF and not post.shared
    ]


def _longer_laps(search: _Search) -> Iterator[Change]:
    """Newels that lap string or joist further: rows of fixings further apart, as far as the timber is deep."""
    faces = [base for base in _bases_of(search) if isinstance(base, FaceFixed) and base.rows > 1]
    if not faces:
        return
    pitch = min(base.pitch for base in faces)

    def laps(wanted: float) -> State:
        def longer(base: Base) -> Base:
            return replace(base, pitch=max(base.pitch, wanted)) if isinstance(base, FaceFixed) else base

        return search.state(settings=_with_bases(search, longer))

    yield _sized(search, "a longer lap with rows of fixings so far apart", pitch, laps)


def _more_fixings(search: _Search) -> Iterator[Change]:
    """More bolts or screws at every base: columns beside each other at a face, more screws through a plate."""
    bases = _bases_of(search)
    if not any(isinstance(base, FaceFixed | OnPlate) for base in bases):
        return

    def more(times: float) -> State:
        def added(base: Base) -> Base:
            if isinstance(base, FaceFixed):
                spread = base.spread or 4.0 * base.fixing.d
                return replace(base, columns=round(base.columns * times), spread=spread)
            return replace(base, count=round(base.count * times)) if isinstance(base, OnPlate) else base

        return search.state(settings=_with_bases(search, added))

    sizes = [float(n) for n in range(2, MOST_FIXINGS + 1)]
    yield _solved(search, "so many times the fixings at every base", "times", more, sizes)


def _layers(search: _Search) -> Change:
    """Stacked rails with more layers on both sides."""
    most = max(
        leg.design.making.layers for leg in search.study.legs if isinstance(leg.design.making, Stacked)
    )

    def layers(count: float) -> State:
        return search.each(lambda d: with_layers(d, round(count)))

    sizes = [float(most + 2 * n) for n in range(1, 1 + round(MOST * most / 2))]
    return _solved(search, "stacked rails of so many layers", "layers", layers, sizes)


def with_layers(design: Design, count: int) -> Design:
    """A stacked design with so many layers, its members' layers kept in the middle."""
    making = design.making
    if not isinstance(making, Stacked):
        return design
    shift = (count - making.layers) // 2
    thicker_making = replace(
        making, layers=count, member_layers=tuple(n + shift for n in making.member_layers)
    )
    return replace(design, making=thicker_making)


def thicker(design: Design, size: float) -> Design:
    """A design with newels at least so thick each way; those that stand already stay as they are."""
    posts = tuple(
        post
        if post.role is PostRole.EXISTING
        else replace(post, along=max(size, post.along), across=max(size, post.across))
        for post in design.posts
    )
    return replace(design, posts=posts)


def newel_between(design: Design) -> Post | None:
    """A newel like the others in the middle of the handrail, on string or tread; None where none is to be made."""
    pattern = next((post for post in design.posts if post.role is not PostRole.EXISTING), None)
    if pattern is None:
        return None
    rail = design.handrail
    u = (rail.start.point[0] + rail.finish.point[0]) / 2.0
    string = design.flight.string
    if string is not None:
        foot, stands = string.top.at(u) - LAP, "lapped on the string"
    else:
        below = [z for at, z in design.flight.nosings if at <= u]
        foot, stands = max(below, default=0.0), "on the tread there"
    return replace(
        pattern,
        id=f"between {rail.id}",
        role=PostRole.NEW,
        foot=(u, 0.0, foot),
        axis=(0.0, 0.0, 1.0),
        along_axis=(1.0, 0.0, 0.0),
        length=rail.top.at(u) - foot,
        stands=stands,
        laps_string=string is not None,
        shared=False,
    )


def _between(search: _Search, report: StrengthReport) -> Iterator[Change]:
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
            rail = leg.design.handrail
            posts = (*leg.design.posts, post) if n == number else leg.design.posts
            wider = replace(rail, width=max(width, rail.width))
            changed.append(replace(leg, design=replace(leg.design, posts=posts, handrail=wider)))
        return search.state(changed)

    after = built(0.0)
    holds = search.holds(after)
    sentence = (
        f"{what}, {post.stands}, {'would do' if holds else 'would not do alone'}: {_leads_to(search, after)}"
    )
    yield Change(what, post.foot[0] if holds else None, "mm along the edge", after, sentence)
    if not holds and not isinstance(legs[number].design.making, Stacked):
        wide = min(leg.design.handrail.width for leg in legs)
        yield _sized(search, f"{what} and a handrail so wide", wide, built)
