"""The season in the gaps: uprights shrink in a heated winter and swell in a damp summer.

An upright is held on its centre line and the rails do not grow in length, so a gap between two uprights grows by
the whole shrinkage of one of them, and a gap beside a newel or wall by half of it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.load import STATUSES, Fact
from pitchline.catalogue.moisture import (
    HEATED_WINTER,
    Climate,
    Movement,
    Season,
    across_face,
    movement_between,
)
from pitchline.catalogue.timber import Timber, load_timber
from pitchline.design.brief import Brief, Shape, Spread
from pitchline.design.fits import Fit, tightest_fit
from pitchline.design.model import Bay
from pitchline.design.spacing import Layout
from pitchline.kit.finding import Compare, Finding, Verdict, judge
from pitchline.kit.tolerances import COVERAGE_FACTOR, SAME_POINT, STANDS_STILL
from pitchline.kit.units import MM_PER_INCH, Unit
from pitchline.kit.words import PLAIN, Words

MADE_UNTOLD = 12.0
"""Moisture content, %, at which joinery is taken to be made where nothing is said (common practice, no source:
kiln dried timber kept in an unheated store)."""

HEATED_HOUSE = (HEATED_WINTER, Climate(35.0, 21.0))
"""The dry end of the year in a heated house, where nothing is said (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Spaced:
    """Uprights spread over a bay, the limit on the openings between them, and the words for what is said."""

    brief: Brief
    bay: Bay
    layout: Layout
    limit: float
    compare: Compare = "lt"
    words: Words = PLAIN


@dataclass(frozen=True, slots=True)
class DryOpening:
    """The widest opening of the dry season, mm: as made, dried, and with its expanded uncertainty."""

    made: float
    dry: float
    expanded: float


def opening_allowed(brief: Brief, limit: float) -> float:
    """The widest opening between uprights to lay out with: the rule's limit, less build tolerance and season."""
    return limit - brief.build_tolerance - _growth(brief)


def end_allowed(brief: Brief, limit: float) -> float:
    """The same beside a newel or a wall, where only half an upright shrinks away."""
    return limit - brief.build_tolerance - _growth(brief) / 2


def _growth(brief: Brief) -> float:
    return (
        0.0
        if brief.season is None
        else max(0.0, shrinkage(brief, brief.season.made, brief.season.dry).change)
    )


def shrinkage(brief: Brief, made: float, dry: Climate) -> Movement:
    """How much narrower an upright becomes at its narrowest as it dries from ``made`` % to what the air gives."""
    fact = _coefficient(brief, load_timber(brief.uprights.material))
    moved = movement_between(brief.uprights.narrowest, fact, made, dry.moisture)
    return Movement(-moved.change, moved.sigma)


def _coefficient(brief: Brief, timber: Timber) -> Fact | None:
    return across_face(timber, in_plane=brief.uprights.shape is Shape.RECTANGULAR)


def dry_opening(spaced: Spaced, shrunk: Movement) -> DryOpening | None:
    """The opening that is widest once every upright is narrower by ``shrunk``; None where nothing is open."""
    infill, layout, bay = spaced.brief.uprights, spaced.layout, spaced.bay
    neck, growth, count = infill.width - infill.narrowest, max(0.0, shrunk.change), len(spaced.layout.centres)
    closed = int(bay.closed_start) + int(bay.closed_finish)
    wish = infill.spacing
    spread_over = count // wish.group if wish.spread is Spread.GROUPS else count
    of_gaps, of_ends = _shares(wish.spread, spread_over, closed)
    found = [(layout.widest, 1.0, of_gaps)] if count > 1 else []
    ends = ((bay.closed_start, layout.start_gap), (bay.closed_finish, layout.finish_gap))
    found += [(gap, 0.5, of_ends) for closed_there, gap in ends if closed_there]
    openings = [
        DryOpening(
            gap + sides * neck,
            gap + sides * (neck + growth),
            COVERAGE_FACTOR * math.hypot(of_run * bay.run_sigma, sides * shrunk.sigma),
        )
        for gap, sides, of_run in found
    ]
    return max(openings, key=lambda opening: opening.dry + opening.expanded, default=None)


def _shares(spread: Spread, count: int, closed: int) -> tuple[float, float]:
    """How much a gap between uprights, and one at an end, grows as the run grows by one."""
    if spread is Spread.MODULE:
        return 0.0, 1.0 / max(closed, 1)
    end = 0.5 if spread is Spread.HALF_ENDS else 1.0
    gaps = count - 1 + end * closed
    return (1.0 / gaps, end / gaps) if gaps else (0.0, 0.0)


def season_remarks(spaced: Spaced) -> Iterator[Finding]:
    """What the season does to the gaps and to the fits; with nothing said of it, what it would do."""
    if not spaced.layout.fits:
        return
    timber, season = load_timber(spaced.brief.uprights.material), spaced.brief.season
    fact = _coefficient(spaced.brief, timber)
    if season is None:
        yield from _untold(spaced, timber)
    elif fact is None:
        yield _unmoved(spaced, timber)
    else:
        yield from _gaps(spaced, timber, fact, season)
        yield from _fits(spaced, season)


def _untold(spaced: Spaced, timber: Timber) -> Iterator[Finding]:
    words, brief = spaced.words, spaced.brief
    most, least = (shrinkage(brief, MADE_UNTOLD, climate) for climate in HEATED_HOUSE)
    opening = dry_opening(spaced, most)
    if most.change < STANDS_STILL or opening is None:
        return
    dry, damper = HEATED_HOUSE
    keeps = judge(opening.dry, 0.0, spaced.limit, spaced.compare) is Verdict.PASS
    yield Finding(
        code="design.season",
        verdict=Verdict.ADVICE,
        where=f"{brief.id}: infill",
        text=f"Nothing is said of the season. Made at {MADE_UNTOLD:g} % moisture, uprights of {timber.name} "
        f"{words.mm(brief.uprights.narrowest)} wide shrink by {_fine(least.change, words)} or "
        f"{_fine(most.change, words)} in a house heated down to {damper.humidity:g} or {dry.humidity:g} % humidity "
        f"({damper.moisture:.1f} or {dry.moisture:.1f} % moisture), and the widest opening grows from "
        f"{_gap(opening.made, words)} to as much as {_gap(opening.dry, words)}, "
        f"{'inside' if keeps else 'no longer inside'} the limit of {_gap(spaced.limit, words)}.",
        measured=opening.dry,
        expanded_uncertainty=opening.expanded,
        limit=spaced.limit,
        remedy="say under [designs.season] at what moisture content you make it: the layout then keeps the shrinkage "
        "inside the limit",
    )


def _unmoved(spaced: Spaced, timber: Timber) -> Finding:
    metal = timber.kind == "metal"
    return Finding(
        code="design.season",
        verdict=Verdict.PASS if metal else Verdict.ADVICE,
        where=f"{spaced.brief.id}: infill",
        text=f"{timber.name} does not move with the moisture of the air, so no gap changes with the season."
        if metal
        else f"The catalogue has no movement for {timber.name}, so the season is left out of the gaps.",
        unit="",
    )


def _gaps(spaced: Spaced, timber: Timber, fact: Fact, season: Season) -> Iterator[Finding]:
    words, brief = spaced.words, spaced.brief
    shrunk = shrinkage(brief, season.made, season.dry)
    opening = dry_opening(spaced, shrunk)
    if opening is None:
        return
    verdict = judge(opening.dry, opening.expanded, spaced.limit, spaced.compare)
    growth = max(0.0, shrunk.change)
    how = (
        f"shrink by {_fine(growth, words)} as they dry to"
        if growth
        else "shrink no further in a season that brings"
    )
    yield Finding(
        code="design.season",
        verdict=verdict,
        where=f"{brief.id}: infill",
        text=f"Made at {season.made:.1f} % moisture, uprights of {timber.name} {words.mm(brief.uprights.narrowest)} "
        f"wide {how} {season.dry.moisture:.1f} % ({_air(season.dry, words)}). The limit of "
        f"{_gap(spaced.limit, words)} less {_fine(brief.build_tolerance, words)} for the build and "
        f"{_fine(growth, words)} for the season leaves {_gap(opening_allowed(brief, spaced.limit), words)}. The "
        f"widest opening, {_gap(opening.made, words)} as made, is {_gap(opening.dry, words)} ± "
        f"{_fine(opening.expanded, words)} when dry: {_KEEPS[verdict]}. Movement {fact.written}, {fact.source.title}"
        f" ({STATUSES[fact.status]}).",
        measured=opening.dry,
        expanded_uncertainty=opening.expanded,
        limit=spaced.limit,
        remedy=None if verdict is Verdict.PASS else _remedy(spaced),
    )


_KEEPS = {
    Verdict.PASS: "it keeps the limit",
    Verdict.FAIL: "it does not keep the limit",
    Verdict.UNSURE: "whether it keeps the limit is not sure",
}


def _remedy(spaced: Spaced) -> str:
    wish = spaced.brief.uprights.spacing
    if wish.spread is Spread.MODULE:
        return "choose a smaller module, or dry the wood further before it is cut"
    if wish.spread is Spread.PER_TREAD:
        return "let one upright more stand on each tread, or dry the wood further before it is cut"
    if wish.count is not None:
        return "ask for one upright more or leave the count out, or dry the wood further before it is cut"
    return "give the build a larger tolerance (build_tolerance), or dry the wood further before it is cut"


def _fits(spaced: Spaced, season: Season) -> Iterator[Finding]:
    words, brief = spaced.words, spaced.brief
    fit = tightest_fit(brief, season)
    if fit is None:
        return
    tight = fit.left < -SAME_POINT
    text = (
        f"In the damp season ({_air(season.damp, words)}, {season.damp.moisture:.1f} % moisture) the uprights swell "
        f"by {_fine(fit.swelling, words)} {fit.where}"
    )
    if tight:
        text += (
            f", {_fine(-fit.left, words)} more than they have room for: they will bind, and may split a rail."
        )
    else:
        text += f", and {_fine(fit.left, words)} of their {_fine(fit.play, words)} of play is left."
    yield Finding(
        code="design.season.fit",
        verdict=Verdict.ADVICE if tight else Verdict.PASS,
        where=f"{brief.id}: infill",
        text=text,
        measured=fit.left,
        expanded_uncertainty=COVERAGE_FACTOR * fit.sigma,
        limit=0.0,
        remedy=_ease(fit, words) if tight else None,
    )


def _ease(fit: Fit, words: Words) -> str:
    if not fit.key:
        return f"make the uprights {_fine(-fit.left, words)} thinner"
    return f"make {fit.key} {_fine(fit.play - fit.left, words)} or more, or make the uprights and keep them less dry"


def _air(climate: Climate, words: Words) -> str:
    """A climate in words; degrees Fahrenheit where lengths are in inches."""
    inches = words.unit is Unit.INCH
    warm = f"{climate.temperature * 1.8 + 32.0:.0f} °F" if inches else f"{climate.temperature:.0f} °C"
    return f"{climate.humidity:g} % humidity at {warm}"


def _gap(length: float, words: Words) -> str:
    """An opening: tenths of mm, or thousandths of an inch, for 32nds would swallow the season."""
    return f'{length / MM_PER_INCH:.3f}"' if words.unit is Unit.INCH else words.mm(length)


def _fine(length: float, words: Words) -> str:
    """A movement: hundredths of mm, or thousandths of an inch."""
    return f'{length / MM_PER_INCH:.3f}"' if words.unit is Unit.INCH else f"{length:.2f} mm"
