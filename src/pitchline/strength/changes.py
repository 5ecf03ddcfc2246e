"""What changes would do: a post or upright taken away, bases of another stiffness, wider rails, a newel between.

Sizes that would do are solved for, not guessed: each answer is the least size at which movement and utilisation hold,
found by halving, with the numbers it leads to.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.makings import Stacked
from pitchline.design.model import Design, Post, PostRole
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.frame.mechanism import MechanismError
from pitchline.strength.moves import worst_of
from pitchline.strength.report import StrengthReport
from pitchline.strength.settings import LIKELY, Scenario, StrengthSettings
from pitchline.strength.solved import DEFAULTS, bearing_of, code_for, solve_design
from pitchline.strength.uses import highest
from pitchline.strength.verdicts import moving_freely

MOST = 4.0
"""Sizes are looked for up to so many times what they are."""

STIFFEST = 100.0
"""Bases are looked for up to so many times as stiff as likely; beyond, they might as well not give at all."""

LAP = 150.0
"""How far a newel added between laps a string, mm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class State:
    """Movement (mm) and the highest utilisation of a design, likely values taken."""

    movement: float
    utilisation: float


@dataclass(frozen=True, slots=True)
class Consequence:
    """What happens without a piece: ``after`` is None where the rest would not stand at all."""

    piece: str
    before: State
    after: State | None
    sentence: str


@dataclass(frozen=True, slots=True)
class Change:
    """A change and where it leads: ``size`` in ``unit`` that would do, None where no size does."""

    what: str
    size: float | None
    unit: str
    after: State
    sentence: str


def state_of(
    design: Design, rules: RuleSet, settings: StrengthSettings = DEFAULTS, scenario: Scenario = LIKELY
) -> State:
    """Movement and utilisation in one scenario; MechanismError where the design would not stand."""
    solved = solve_design(design, rules, settings, scenario)
    bearing = bearing_of(design, rules, settings, solved, scenario.bases)
    worst = worst_of(solved.model, solved.solution, solved.imposed)
    used = highest(bearing, design, rules, settings, code_for(rules, settings))
    return State(worst.value, used)


def without(design: Design, piece: str, rules: RuleSet, settings: StrengthSettings = DEFAULTS) -> Consequence:
    """What happens without one post or upright, by its id or mark. InputError where there is none of that name."""
    posts = tuple(post for post in design.posts if post.id != piece)
    uprights = tuple(upright for upright in design.uprights if upright.mark != piece)
    if len(posts) == len(design.posts) and len(uprights) == len(design.uprights):
        known = ", ".join([*(post.id for post in design.posts), *(u.mark for u in design.uprights)])
        raise InputError([Fault("piece", "there is no such post or upright", piece, known)], "the strength")
    before = state_of(design, rules, settings)
    try:
        after = state_of(replace(design, posts=posts, uprights=uprights), rules, settings)
    except MechanismError as error:
        how = moving_freely(error.mechanisms)
        return Consequence(piece, before, None, f"without {piece} it does not stand: {how}")
    sentence = (
        f"without {piece} the guarding moves {after.movement:.0f} mm instead of {before.movement:.0f} mm and is used "
        f"to {100 * after.utilisation:.0f} % instead of {100 * before.utilisation:.0f} %"
    )
    return Consequence(piece, before, after, sentence)


def what_would_it_take(
    design: Design, rules: RuleSet, report: StrengthReport, settings: StrengthSettings = DEFAULTS
) -> tuple[Change, ...]:
    """Ways to make a design hold, each alone; empty where it holds already."""
    if report.movement.value <= report.limit.value and report.utilisation <= 1.0:
        return ()
    return tuple(_changes(design, rules, report, settings))


def _changes(
    design: Design, rules: RuleSet, report: StrengthReport, settings: StrengthSettings
) -> Iterator[Change]:
    limit = report.limit.value

    def bases(factor: float) -> State:
        return state_of(design, rules, settings, Scenario("mean", bases=factor))

    yield _solved("all bases so many times as stiff", "times", bases, (1.0, STIFFEST), limit)
    if isinstance(design.making, Stacked):
        yield _layers(design, design.making, rules, settings, limit)
    else:
        wide = design.handrail.width

        def rail(width: float) -> State:
            return state_of(replace(design, handrail=replace(design.handrail, width=width)), rules, settings)

        yield _solved("a handrail so wide", "mm", rail, (wide, MOST * wide), limit)
    made = [post for post in design.posts if post.role in {PostRole.NEW, PostRole.TURN, PostRole.HALF}]
    if made:
        side = min(min(post.along, post.across) for post in made)

        def newels(size: float) -> State:
            return state_of(_thicker(design, size), rules, settings)

        yield _solved("newels so thick", "mm", newels, (side, MOST * side), limit)
    between = newel_between(design)
    if between is not None:
        yield _between(design, between, rules, settings, limit)


def _holds(state: State, limit: float) -> bool:
    return state.movement <= limit and state.utilisation <= 1.0


def _solved(
    what: str, unit: str, try_size: Callable[[float], State], sizes: tuple[float, float], limit: float
) -> Change:
    """The least size that holds, by halving to a hundredth; None where the largest does not."""
    low, high = sizes
    most = try_size(high)
    if not _holds(most, limit):
        return Change(what, None, unit, most, _not_alone(what, unit, try_size, sizes, limit, most))
    size, after = _least(try_size, (low, high), lambda state: _holds(state, limit), most)
    sentence = (
        f"{what} would do: {size:.3g} {unit} (it then moves {after.movement:.0f} mm and is used to "
        f"{100 * after.utilisation:.0f} %)"
    )
    return Change(what, size, unit, after, sentence)


def _least(
    try_size: Callable[[float], State],
    sizes: tuple[float, float],
    holds: Callable[[State], bool],
    after: State,
) -> tuple[float, State]:
    """The least size that holds to a hundredth, with its state; the largest holds with ``after``."""
    low, high = sizes
    while high - low > 0.01 * high:
        middle = math.sqrt(low * high)
        found = try_size(middle)
        if holds(found):
            high, after = middle, found
        else:
            low = middle
    return high, after


def _not_alone(
    what: str,
    unit: str,
    try_size: Callable[[float], State],
    sizes: tuple[float, float],
    limit: float,
    most: State,
) -> str:
    """Why a change would not do alone; the size at which at least the movement holds, where there is one."""
    if most.movement > limit or try_size(sizes[0]).movement <= limit:
        return (
            f"{what} would not do alone: at {sizes[1]:.0f} {unit} it moves {most.movement:.0f} mm and is used to "
            f"{100 * most.utilisation:.0f} %"
        )
    size, after = _least(try_size, sizes, lambda state: state.movement <= limit, most)
    return (
        f"{what} would not do alone: from {size:.3g} {unit} on it moves no more than {after.movement:.0f} mm, but is "
        f"still used to {100 * after.utilisation:.0f} %"
    )


def _layers(
    design: Design, making: Stacked, rules: RuleSet, settings: StrengthSettings, limit: float
) -> Change:
    """A stacked rail with more layers on both sides."""
    what = "stacked rails of so many layers"
    after = state_of(design, rules, settings)
    count = making.layers
    while count < MOST * making.layers:
        count += 2
        shift = (count - making.layers) // 2
        thicker = replace(making, layers=count, member_layers=tuple(n + shift for n in making.member_layers))
        after = state_of(replace(design, making=thicker), rules, settings)
        if _holds(after, limit):
            sentence = f"{what} would do: {count} (it then moves {after.movement:.0f} mm)"
            return Change(what, count, "layers", after, sentence)
    sentence = f"{what} would not do alone: with {count} it still moves {after.movement:.0f} mm"
    return Change(what, None, "layers", after, sentence)


def _thicker(design: Design, size: float) -> Design:
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
        id="between",
        role=PostRole.NEW,
        foot=(u, 0.0, foot),
        axis=(0.0, 0.0, 1.0),
        along_axis=(1.0, 0.0, 0.0),
        length=rail.top.at(u) - foot,
        stands=stands,
        laps_string=string is not None,
    )


def _between(design: Design, post: Post, rules: RuleSet, settings: StrengthSettings, limit: float) -> Change:
    what = "a newel in the middle of the handrail"
    after = state_of(replace(design, posts=(*design.posts, post)), rules, settings)
    holds = _holds(after, limit)
    sentence = (
        f"{what}, {post.stands}, {'would do' if holds else 'would not do alone'}: it then moves "
        f"{after.movement:.0f} mm and is used to {100 * after.utilisation:.0f} %"
    )
    return Change(what, post.foot[0] if holds else None, "mm along the edge", after, sentence)
