"""Which coordinates the readings leave open, in words, and what would fix them."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from pitchline.kit.errors import PitchlineError
from pitchline.kit.tolerances import OPEN_DIRECTION
from pitchline.kit.words import PLAIN, Words
from pitchline.survey.equations import Equations, FloatArray, Unknown
from pitchline.survey.readings import in_words


class UndeterminedError(PitchlineError):
    """Some coordinates are not tied to the rest; ``groups`` lists those that move together."""

    def __init__(self, groups: Sequence[tuple[Unknown, ...]], sentences: Sequence[str]) -> None:
        self.groups = tuple(groups)
        self.coordinates = tuple(unknown for group in groups for unknown in group)
        self._sentences = tuple(sentences)
        super().__init__("\n".join(sentences))

    def sentences(self, words: Words = PLAIN) -> tuple[str, ...]:
        """What is open and what would fix it, a sentence a group, lengths in the user's unit."""
        return self._sentences


class HardlyFixedError(UndeterminedError):
    """Unknowns whose standard uncertainty (``spread``, mm) is so large that they are as good as open."""

    def __init__(self, spread: Mapping[Unknown, float]) -> None:
        self.spread = dict(spread)
        super().__init__([tuple(spread)], self.sentences())

    def sentences(self, words: Words = PLAIN) -> tuple[str, ...]:
        """The one sentence, with the worst uncertainty in the user's unit."""
        worst = max(self.spread.values())
        lost = worst >= LOST
        size = "points lie in one line" if lost else f"standard uncertainty up to {words.about(worst)}"
        named = listed([in_words(unknown) for unknown in self.spread])
        return (f"The readings hardly fix {named} ({size}); take {_ways(tuple(self.spread))}.",)


LOST = 10_000.0
"""A standard uncertainty (mm) beyond any flight says no more than that its points lie in one line."""


def undetermined(equations: Equations, values: FloatArray, *, shake: bool) -> UndeterminedError | None:
    """The error that names what the readings leave open around ``values``; None if they fix everything.

    With ``shake`` the values are moved a little first, so that points that only happen to lie in one line do
    not count as open.
    """
    count = equations.count
    if shake:
        # the fractional parts of multiples of the golden ratio: spread out, and the same every time
        spread = np.array([math.fmod(k * 0.6180339887498949, 1.0) - 0.5 for k in range(1, count + 1)])
        values = values + 20.0 * spread * np.where(np.abs(values) < 10.0, 0.02, 1.0)
    _, design = equations.misfit(values)
    rows = np.max(np.abs(design), axis=1, keepdims=True)
    design = design / np.where(rows > 0, rows, 1.0)
    lengths = np.linalg.norm(design, axis=0)
    design = design / np.where(lengths > 0, lengths, 1.0)
    _, sizes, directions = np.linalg.svd(np.vstack((design, np.zeros((count, count)))))
    open_ones = directions[sizes < OPEN_DIRECTION]
    if not len(open_ones):
        return None
    groups, lacking = _groups(equations.unknowns, open_ones.T @ open_ones)
    return UndeterminedError(groups, [_sentence(g, n) for g, n in zip(groups, lacking, strict=True)])


def _groups(
    unknowns: Sequence[Unknown], projector: FloatArray
) -> tuple[list[tuple[Unknown, ...]], list[int]]:
    """Open unknowns sorted into sets that are free of each other, with the number of readings each lacks."""
    left = [k for k in range(len(unknowns)) if projector[k, k] > OPEN_DIRECTION]
    groups, lacking = [], []
    while left:
        group, frontier = [], [left[0]]
        while frontier:
            k = frontier.pop()
            if k in left:
                left.remove(k)
                group.append(k)
                frontier += [j for j in left if abs(projector[k, j]) > OPEN_DIRECTION]
        group.sort()
        groups.append(tuple(unknowns[k] for k in group))
        lacking.append(round(float(sum(projector[k, k] for k in group))))
    return groups, lacking


def _sentence(group: tuple[Unknown, ...], lacking: int) -> str:
    named = listed([in_words(unknown) for unknown in group])
    ways = _ways(group)
    if len(group) == 1:
        return f"The readings do not fix {named}; take {ways}."
    number = "one more reading" if lacking == 1 else f"{lacking} more readings"
    return f"The readings do not tie {named} to the rest; {number} would: {ways}."


def _ways(group: tuple[Unknown, ...]) -> str:
    axes = dict.fromkeys(axis for axis, _ in group)
    return listed([_REMEDIES[axis] for axis in axes], "or")


_REMEDIES = {
    "x": "a run (going) or a straight distance to a point that is fixed, or a plumb-line reading",
    "z": "a height to a point that is fixed, or a level reading",
    "level": "a level reading on a point whose height is known",
    "plumb": "a plumb-line reading on a point whose place is known",
    "string": "a margin of the string above a nosing that is known",
    "slope": "margins of the string above two nosings that are known",
}


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words as a list in a sentence: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
