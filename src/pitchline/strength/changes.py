"""What happens without one piece: a newel, an upright or a base rail taken away, over the whole edge."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.kit.errors import Fault, InputError
from pitchline.kit.frame.mechanism import Mechanism, MechanismError
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.legs import StandingLeg
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.solved import DEFAULTS, Study
from pitchline.strength.uses import highest
from pitchline.strength.verdicts import moving_freely


@dataclass(frozen=True, slots=True)
class State:
    """Movement (mm) and the highest utilisation of an edge, likely values taken."""

    movement: float
    utilisation: float

    @property
    def used(self) -> str:
        """The highest utilisation in words: a piece or fixing that bears nothing is used beyond any measure."""
        if math.isinf(self.utilisation):
            return "no measure at all, for something bears nothing"
        return f"{100 * self.utilisation:.0f} %"


@dataclass(frozen=True, slots=True)
class Consequence:
    """What happens without a piece: ``after`` is None where the rest would not stand, ``mechanisms`` then says how.

    ``before`` is None where it did not stand with the piece either.
    """

    piece: str
    before: State | None
    after: State | None
    sentence: str
    mechanisms: tuple[Mechanism, ...] = ()


def state_of(study: Study) -> State:
    """Movement and utilisation with likely values; MechanismError where the edge would not stand."""
    return State(study.likely.worst.value, highest(study))


def removable(legs: Sequence[StandingLeg]) -> tuple[str, ...]:
    """Ids and marks of everything that :func:`without` can leave out, in the order of the edge."""
    return tuple(dict.fromkeys(name for leg in legs for name in _names(leg.design)))


def _names(design: Design) -> Iterator[str]:
    yield from (post.id for post in design.posts)
    yield from (upright.mark for upright in design.uprights)
    if design.base is not None:
        yield design.base.id


def without(
    legs: Sequence[StandingLeg],
    piece: str,
    rules: RuleSet,
    settings: StrengthSettings = DEFAULTS,
    words: Words = PLAIN,
) -> Consequence:
    """What happens without one newel, upright or base rail, by its id or mark. InputError where there is none."""
    known = removable(legs)
    if piece not in known:
        problem = "there is no such newel, upright or base rail"
        raise InputError([Fault("piece", problem, piece, ", ".join(known))], "the strength")
    before = _known_state(Study(tuple(legs), rules, settings, words))
    rest = tuple(replace(leg, design=_left_out(leg.design, piece)) for leg in legs)
    try:
        after = state_of(Study(rest, rules, settings, words))
    except MechanismError as error:
        how = moving_freely(Study(rest, rules, settings).structure.model, error.mechanisms, words)
        sentence = f"without {piece} it does not stand: {how}"
        return Consequence(piece, before, None, sentence, error.mechanisms)
    if before is None:
        sentence = (
            f"without {piece} the guarding moves {words.about(after.movement)}; with it, it does not stand"
        )
        return Consequence(piece, None, after, sentence)
    sentence = (
        f"without {piece} the guarding moves {words.about(after.movement)} instead of "
        f"{words.about(before.movement)} and is used to {after.used} instead of "
        f"{before.used}"
    )
    return Consequence(piece, before, after, sentence)


def _known_state(study: Study) -> State | None:
    try:
        return state_of(study)
    except MechanismError:
        return None


def _left_out(design: Design, piece: str) -> Design:
    """A leg without a piece; uprights hang from the handrail alone and carry nothing without their base rail."""
    if design.base is not None and design.base.id == piece:
        return replace(design, base=None, packer=None, uprights=())
    return replace(
        design,
        posts=tuple(post for post in design.posts if post.id != piece),
        uprights=tuple(upright for upright in design.uprights if upright.mark != piece),
    )
