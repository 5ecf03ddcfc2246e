"""Strength in short, for the command line: one line an edge."""

import math
from collections.abc import Iterator

from pitchline.kit.words import Words, show_in
from pitchline.story import Solved
from pitchline.story_strength import EdgeStrength


def strength_lines(solved: Solved) -> Iterator[str]:
    """How far every edge moves, against what, and what is used most; or that it does not stand."""
    words = Words(show_in(solved.job.unit))
    for whole in solved.balustrades:
        for edge in whole.strength:
            yield f"Design {edge.name} {_in_short(edge, words)}"


def _in_short(edge: EdgeStrength, words: Words) -> str:
    report = edge.report
    if report is None:
        return "does not stand"
    moves, allowed = words.about(report.movement.value), words.about(report.limit.value)
    used = "bears nothing" if math.isinf(report.utilisation) else f"{100.0 * report.utilisation:.0f} %"
    limit = "limit" if report.limit.binds else "advised"
    return f"moves {moves} under a push ({limit} {allowed}); most used: {report.governing.where}, {used}"
