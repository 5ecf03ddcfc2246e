"""What the adjustment has to say about the readings: slips, how well they agree, what nothing checks."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.tolerances import BLUNDER_SUSPECTED, COVERAGE_FACTOR, WEAK_CHECK
from pitchline.kit.words import Show, Words, plain_mm
from pitchline.survey.adjust import Adjusted
from pitchline.survey.blunders import Blunder, find_blunders, names_of
from pitchline.survey.determined import listed
from pitchline.survey.instruments import Instrument
from pitchline.survey.next_reading import USUAL_TAPE, Suggestion, next_reading
from pitchline.survey.readings import ANGLES, Coordinate, Reading, in_words, nosing_number


@dataclass(frozen=True, slots=True)
class CheckedReading:
    """One line of the table of readings; mm, for a pitch degrees (``unit`` says which).

    ``residual`` is adjusted minus read, ``checked`` the redundancy number (0: nothing checks it, 1: fully
    checked), ``smallest_noticed`` the smallest slip that would be noticed and ``would_move`` how far it would
    move any point, mm; both are inf where nothing checks the reading.
    """

    reading: Reading
    unit: str
    read: float
    adjusted: float
    residual: float
    standardised: float
    checked: float
    smallest_noticed: float
    would_move: float


def reading_table(adjusted: Adjusted) -> tuple[CheckedReading, ...]:
    """Every reading with its residual and how well the others check it, in the order of the readings."""
    columns = (
        adjusted.residuals,
        adjusted.standardised,
        adjusted.redundancy_numbers,
        adjusted.smallest_blunders,
        adjusted.external_effect,
    )
    lines = []
    for row, reading in enumerate(adjusted.readings):
        residual, standardised, checked, smallest, moves = (float(column[row]) for column in columns)
        scale, unit = _scale(reading)
        line = CheckedReading(
            reading=reading,
            unit=unit,
            read=reading.value * scale,
            adjusted=(reading.value + residual) * scale,
            residual=residual * scale,
            standardised=standardised,
            checked=checked,
            smallest_noticed=smallest * scale,
            would_move=moves,
        )
        lines.append(line)
    return tuple(lines)


def _scale(reading: Reading) -> tuple[float, str]:
    return (math.degrees(1.0), "deg") if reading.kind in ANGLES else (1.0, "mm")


def review(
    adjusted: Adjusted,
    wanted: Mapping[Coordinate, float] | None = None,
    purpose: str | None = None,
    instrument: Instrument = USUAL_TAPE,
    show: Show = plain_mm,
) -> tuple[Finding, ...]:
    """Findings on the readings: agreement, slips, what is not checked, the reading to take next.

    ``wanted`` is the weighted sum of coordinates that the next reading should sharpen, ``purpose`` its name;
    without it, the least certain nosing coordinate. ``show`` writes a length in mm for the reader; a pitch
    stays in degrees.
    """
    words = Words(show)
    blunders, clean = find_blunders(adjusted)
    findings = [_agreement(adjusted)]
    findings += [_blunder(blunder, words) for blunder in blunders]
    if blunders:
        findings.append(_agreement(clean, "survey.without-blunders"))
    findings += _checks(adjusted, words)
    if wanted is None:
        wanted, purpose = _least_certain(adjusted)
    suggestion = next_reading(clean, wanted, None, instrument, purpose or "what is wanted", show)
    if suggestion is not None:
        findings.append(suggestion_finding(suggestion))
    return tuple(findings)


def _agreement(adjusted: Adjusted, code: str = "survey.global") -> Finding:
    """The chi-square test of all residuals together."""
    if adjusted.redundancy == 0:
        text = "There are just as many readings as needed, so nothing shows whether they agree."
        return Finding(code, Verdict.ADVICE, "all readings", text, unit="", remedy="take a few more")
    chi2, low, high = adjusted.chi2, adjusted.chi2_low, adjusted.chi2_high
    numbers = (
        f"chi-square {chi2:.1f}, expected {low:.1f} to {high:.1f}, {adjusted.redundancy} more than needed"
    )
    who = "all readings" if code == "survey.global" else "the other readings"
    if chi2 > high:
        text = f"The readings disagree more than their instruments explain ({numbers})."
        verdict, limit = Verdict.FAIL, high
        remedy: str | None = "read again what is named, or state a larger uncertainty for the instrument"
    elif chi2 < low:
        text = f"The readings agree better than their instruments promise ({numbers})."
        verdict, limit = Verdict.ADVICE, low
        remedy = "harmless if they were read independently; repeats written down from memory check nothing"
    else:
        text = f"The readings agree as well as their instruments allow ({numbers})."
        verdict, limit, remedy = Verdict.PASS, high, None
    return Finding(code, verdict, who, text, measured=chi2, limit=limit, unit="", remedy=remedy)


def _amount(value: float, unit: str, words: Words) -> str:
    """A reading or a slip with its unit; ``value`` is in the unit that :func:`_scale` gave."""
    return f"{value:.2f} deg" if unit == "deg" else words.mm(value)


def _blunder(blunder: Blunder, words: Words) -> Finding:
    reading = blunder.reading
    scale, unit = _scale(reading)
    slip, spread = blunder.slip * scale, COVERAGE_FACTOR * blunder.slip_sigma * scale
    value = reading.value * scale
    sense = "large" if slip > 0 else "small"
    text = (
        f"'{reading.id}' reads {_amount(value, unit, words)} where the other readings say "
        f"{_amount(value - slip, unit, words)}: about {_amount(abs(slip), unit, words)} too {sense}"
    )
    cause = blunder.likely_cause(words.unit)
    if cause is not None:
        text += f" ({cause}?)"
    text += "."
    if blunder.rivals:
        text += f" The slip could as well be in {listed(names_of(blunder.rivals), 'or')}; nothing tells them apart."
    return Finding(
        "survey.blunder",
        Verdict.FAIL,
        reading.id,
        text,
        measured=slip,
        expanded_uncertainty=spread,
        limit=BLUNDER_SUSPECTED * blunder.slip_sigma * scale,
        unit=unit,
        remedy=f"read {listed(names_of((reading, *blunder.rivals)))} again",
    )


def _checks(adjusted: Adjusted, words: Words) -> list[Finding]:
    """What nothing checks, what is hardly checked, and the largest slip that could pass among the rest."""
    numbers = adjusted.redundancy_numbers[: len(adjusted.readings)]
    findings = []
    unchecked = [r for r, n in zip(adjusted.readings, numbers, strict=True) if n == 0.0]
    if unchecked:
        named = listed(names_of(unchecked))
        text = f"Nothing checks {named}: a slip there would pass unnoticed into the work."
        remedy = "read them twice, or take sums across them"
        findings.append(
            Finding(
                "survey.unchecked",
                Verdict.ADVICE,
                "readings",
                text,
                float(len(unchecked)),
                unit="",
                remedy=remedy,
            )
        )
    weak = [line for line in reading_table(adjusted) if 0.0 < line.checked < WEAK_CHECK]
    if weak:
        named = listed([f"'{w.reading.id}' (from {_roughly(w, words)})" for w in weak])
        text = f"Hardly checked are {named}: only a slip of that size or more would be noticed."
        findings.append(
            Finding("survey.weakly-checked", Verdict.ADVICE, "readings", text, float(len(weak)), unit="")
        )
    checked = [line for line in reading_table(adjusted) if line.checked > 0.0]
    if checked:
        worst = max(checked, key=lambda line: line.would_move)
        slip = _amount(worst.smallest_noticed, worst.unit, words)
        text = (
            f"Of the readings that are checked, '{worst.reading.id}' could hide the most: a slip up to {slip} "
            f"may go unnoticed and move a point by {words.mm(worst.would_move)}."
        )
        findings.append(
            Finding("survey.hidden-slip", Verdict.REPORT, worst.reading.id, text, worst.would_move)
        )
    return findings


def _roughly(line: CheckedReading, words: Words) -> str:
    """The smallest slip that would be noticed, as far as its figures mean anything."""
    slip = line.smallest_noticed
    return f"{slip:.1f} deg" if line.unit == "deg" else words.about(slip)


def _least_certain(adjusted: Adjusted) -> tuple[Mapping[Coordinate, float], str]:
    nosings = [c for c in adjusted.coordinates if nosing_number(c[1]) is not None]
    if not nosings:
        return {}, ""
    spread = np.diag(adjusted.covariance_of(nosings))
    worst = nosings[int(np.argmax(spread))]
    return {worst: 1.0}, in_words(worst)


def suggestion_finding(suggestion: Suggestion) -> Finding:
    """The reading to take next, as a finding; the measured value is the uncertainty (k = 2) it would leave."""
    return Finding(
        "survey.next-reading",
        Verdict.ADVICE,
        suggestion.where,
        suggestion.sentence,
        measured=COVERAGE_FACTOR * suggestion.sigma_after,
        limit=COVERAGE_FACTOR * suggestion.sigma_before,
    )
