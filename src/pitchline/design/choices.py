"""The few sensible ways to spread the uprights of a bay where that is left to the program, and what each costs.

A layout costs pieces to make, and of these odd ones that are cut unlike the rest. Lengths in mm.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitchline.design.brief import (
    AtTurn,
    Brief,
    Centred,
    Eased,
    End,
    Mitred,
    SpacingBrief,
    Spread,
    UprightsBrief,
)
from pitchline.design.makings import Grooved, Making, OnTreads, Stacked
from pitchline.design.model import Bay
from pitchline.design.spacing import Layout, Run, lay_out, widest_gap
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import SAME_PART
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.kit.words import Words

STEPS = {Unit.MM: 5.0, Unit.INCH: MM_PER_INCH / 4.0}
"""What a round module is a whole number of, by the maker's unit: 5 mm or 1/4 in (common practice, no source)."""


FEWEST = 3
"""Uprights below which there is nothing to choose: one stands in the middle, two at the thirds."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to spread the uprights: ``gap`` between neighbours, gaps at the two ends, ``module`` centre to centre.

    ``pieces`` counts uprights and the fillets or blocks between them, ``odd`` those of them cut unlike the rest.
    """

    spread: Spread
    count: int
    gap: float
    start_gap: float
    finish_gap: float
    module: float
    pieces: int
    odd: int
    why: str
    preferred: bool = False

    @property
    def cost(self) -> int:
        """What it costs to make: an odd piece counts twice, for it takes a setting of its own."""
        return self.pieces + self.odd


def choices_of(bay: Bay, brief: Brief, unit: Unit = Unit.MM) -> tuple[Choice, ...]:
    """The layouts worth choosing from, that which is laid out first; none where the brief settles the spacing.

    Laid out are equal gaps with the fewest uprights, for they look alike all along; the others follow by their cost.
    """
    infill = brief.infill
    if not isinstance(infill, UprightsBrief) or bay.opening is None or not _left_open(brief, infill.spacing):
        return ()
    run = Run(bay.run, infill.width, infill.narrowest, bay.closed_start, bay.closed_finish)
    found = _distinct(_offered(run, bay.opening, brief.making, STEPS[unit]))
    return tuple(_ranked(tuple(found)))


def _ranked(found: Sequence[Choice]) -> Iterator[Choice]:
    if not found:
        return
    laid, others = found[0], sorted(found[1:], key=lambda choice: choice.cost)
    yield replace(laid, preferred=True)
    for other in others:
        cheaper = other.cost < laid.cost
        yield replace(other, why=f"{other.why}, and it costs less") if cheaper else other


def _left_open(brief: Brief, wish: SpacingBrief) -> bool:
    """Whether count, gaps and ends are left to the program, in a bay that no mitre shares with another."""
    ends: tuple[End, ...] = (brief.bottom, brief.top)
    shared = any(isinstance(end, AtTurn) and isinstance(end.turn, Mitred | Eased) for end in ends)
    settled = wish.count is not None or wish.max_gap is not None or wish.spread is not Spread.EQUAL
    return not settled and not shared and not brief.run_on


def _offered(run: Run, limit: float, making: Making, step: float) -> Iterator[Choice]:
    fewest = lay_out(run, limit, SpacingBrief())
    count = len(fewest.centres)
    if not fewest.fits or count < FEWEST:
        return
    yield _choice(Spread.EQUAL, fewest, run, making, "every gap alike, with as few uprights as that allows")
    closer = lay_out(run, limit, SpacingBrief(count=count + 1))
    if closer.fits:
        yield _choice(
            Spread.EQUAL, closer, run, making, "one upright more, and so much more room in every gap"
        )
    halved = lay_out(run, limit, SpacingBrief(Spread.HALF_ENDS))
    if halved.fits and run.closed_ends:
        yield _choice(Spread.HALF_ENDS, halved, run, making, "half a gap beside each end, as on a longer run")
    best = _round_module(run, limit, step)
    if best is not None:
        yield _choice(
            Spread.MODULE, best, run, making, "marked out at whole steps; the odd ends take the rest"
        )


def _round_module(run: Run, limit: float, step: float) -> Layout | None:
    """The widest round module whose odd ends look meant: within the limit, and at least a third of a gap."""
    widest = widest_gap(run, limit, SpacingBrief()) + run.width
    for steps in range(math.floor(widest / step), math.floor(run.width / step), -1):
        for centred in Centred:
            wish = SpacingBrief(Spread.MODULE, module=steps * step, centred=centred)
            layout = lay_out(run, limit, wish)
            ends = _end_gaps(layout, run)
            if layout.fits and all(layout.gap / 3.0 <= gap <= widest - run.width for gap in ends):
                return layout
    return None


def _choice(spread: Spread, layout: Layout, run: Run, making: Making, why: str) -> Choice:
    count = len(layout.centres)
    ends = _end_gaps(layout, run)
    strips = strips_between(making)
    odd = sum(abs(gap - layout.gap) > SAME_PART for gap in ends) if count > 1 else 0
    return Choice(
        spread=spread,
        count=count,
        gap=layout.gap,
        start_gap=layout.start_gap,
        finish_gap=layout.finish_gap,
        module=layout.gap + run.width,
        pieces=count + strips * (count - 1 + len(ends)),
        odd=strips * odd,
        why=why,
    )


def _end_gaps(layout: Layout, run: Run) -> list[float]:
    ends = ((layout.start_gap, run.closed_start), (layout.finish_gap, run.closed_finish))
    return [gap for gap, closed in ends if closed]


def strips_between(making: Making) -> int:
    """How many rows of fillets or blocks lie between the uprights, in all rails together."""
    match making:
        case Grooved():
            return 2
        case Stacked(member_layers=layers):
            return 2 * len(layers)
        case OnTreads(head=Grooved()):
            return 1
        case _:
            return 0


def _distinct(choices: Iterable[Choice]) -> Iterator[Choice]:
    """Each layout once, by how it is first told."""
    seen: set[tuple[int, int, int]] = set()
    for choice in choices:
        key = (choice.count, round(choice.gap / SAME_PART), round(choice.start_gap / SAME_PART))
        if key not in seen:
            seen.add(key)
            yield choice


def choice_remark(name: str, choices: tuple[Choice, ...], words: Words) -> Iterator[Finding]:
    """Why it is laid out so, and what else could be asked for; nothing where there is no choice."""
    if len(choices) < 2:
        return
    first, *others = choices
    told = "; ".join(f"{_words(choice, words)}: {choice.why} ({_costs(choice)})" for choice in others)
    yield Finding(
        code="design.choices",
        verdict=Verdict.REPORT,
        where=f"{name}: infill",
        text=f"Laid out: {_words(first, words)}, {first.why} ({_costs(first)}). Also possible: {told}.",
        measured=first.gap,
    )


def _words(choice: Choice, words: Words) -> str:
    ends = "" if choice.spread is Spread.EQUAL else f", {words.mm(choice.start_gap)} at the ends"
    apart = f"{words.mm(choice.module)} centre to centre"
    return f"{choice.count} uprights, gaps of {words.mm(choice.gap)}{ends}, {apart}"


def _costs(choice: Choice) -> str:
    odd = f", {choice.odd} of them odd" if choice.odd else ""
    return f"{choice.pieces} pieces{odd}"
