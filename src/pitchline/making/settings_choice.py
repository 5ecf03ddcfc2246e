"""As few settings as possible for a set of cuts, and each cut given the one that suits it best.

A whole-number programme: every cut takes one setting, a setting that any cut takes counts as one, and among all
choices with the fewest settings the one is taken in which pieces lie best.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from pitchline.kit.tolerances import SETTING_OPENS
from pitchline.making.settings import Cut, Setting
from pitchline.making.settings_ways import Way, on_right

COST_SHARE = 1e-3
"""What the cost of a way counts beside a setting: a thousand pieces that lie badly are worth one more setting."""

GAPING = 0.3
"""What a joint that gapes as far as may be counts beside a piece that lies badly."""
APART = 1.0
"""What it counts when the cuts of one piece are made at different settings though one would serve."""

TURNED = 0.5
"""What it counts when a short piece must be turned between its cuts, and so cannot come off a long stick."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A cut, the setting it is made at, the way its piece lies there, and how far its joint gapes by that."""

    cut: Cut
    setting: Setting
    way: Way
    opens: float


def chosen_settings(choices: Sequence[tuple[Cut, tuple[Way, ...]]]) -> tuple[Chosen, ...]:
    """A setting for every cut, in the order they came; each cut must have at least one way.

    A setting is always exactly what one of its cuts asks for; the others come within ``SETTING_OPENS`` of it.
    """
    kinds = _kinds(choices)
    settings = _distinct([way.setting for cut, found in kinds for way in found])
    taken = _least([_served(cut, found, settings) for cut, found in kinds], len(settings))
    kept = [settings[number] for number in sorted(set(taken))]
    pieces: dict[str, list[int]] = {}
    for number, (cut, _) in enumerate(choices):
        pieces.setdefault(cut.mark, []).append(number)
    chosen: dict[int, Chosen] = {}
    for numbers in pieces.values():
        chosen.update(zip(numbers, _of_a_piece([choices[n] for n in numbers], kept), strict=True))
    return tuple(chosen[number] for number in range(len(choices)))


def _of_a_piece(
    choices: Sequence[tuple[Cut, tuple[Way, ...]]], settings: Sequence[Setting]
) -> tuple[Chosen, ...]:
    """The cuts of one piece at the settings that are there, all at one setting if that serves them."""
    short = len(choices) == 2 and any(_too_short(cut, found[0].setting) for cut, found in choices)
    options = [
        [one for setting in settings for one in _fitting(cut, found, setting, only_best=not short)]
        for cut, found in choices
    ]

    def cost(whole: tuple[Chosen, ...]) -> float:
        own = sum(_cost(one.way, one.opens) for one in whole)
        turned = 0.0 if _off_a_stick(whole) else TURNED
        return own + turned + APART * (len({id(one.setting) for one in whole}) - 1)

    return min(product(*options), key=cost)


def _off_a_stick(whole: Sequence[Chosen]) -> bool:
    """Whether a piece too short to hold comes off a stick that is only pushed along; longer ones are not asked."""
    if len(whole) != 2 or not any(_too_short(one.cut, one.setting) for one in whole):
        return True
    one, other = whole
    sides = {on_right(each.cut, each.way.lay, each.setting.saw.kind) for each in whole}
    return one.way.lay == other.way.lay and len(sides) == 2


def _too_short(cut: Cut, setting: Setting) -> bool:
    return cut.part.blank_length < setting.saw.shortest


def _key(cut: Cut, found: tuple[Way, ...]) -> tuple[object, ...]:
    """What makes two cuts one for choosing: their section and every way there is."""
    ways = tuple(
        (way.lay, way.setting.saw.id, round(way.exact.mitre_deg, 9), round(way.exact.bevel_deg, 9), way.cost)
        for way in found
    )
    return (cut.part.width, cut.part.thickness, ways)


def _kinds(choices: Sequence[tuple[Cut, tuple[Way, ...]]]) -> list[tuple[Cut, tuple[Way, ...]]]:
    return list({_key(cut, found): (cut, found) for cut, found in choices}.values())


def _distinct(settings: list[Setting]) -> list[Setting]:
    kept: dict[tuple[object, ...], Setting] = {}
    for one in settings:
        key = (one.saw.id, one.block_deg, round(one.mitre_deg, 9), round(one.tilt_deg, 9))
        kept.setdefault(key, one)
    return list(kept.values())


def _fitting(
    cut: Cut, found: tuple[Way, ...], setting: Setting, *, only_best: bool = True
) -> tuple[Chosen, ...]:
    """The ways to make a cut at a setting, the best of them alone or all."""
    near = (Chosen(cut, setting, way, way.opens(cut.part, setting)) for way in found)
    fits = [one for one in near if one.opens <= SETTING_OPENS]
    if only_best and fits:
        return (min(fits, key=lambda one: _cost(one.way, one.opens)),)
    return tuple(fits)


def _cost(way: Way, opens: float) -> float:
    return way.cost + GAPING * opens / SETTING_OPENS


def _served(cut: Cut, found: tuple[Way, ...], settings: list[Setting]) -> dict[int, float]:
    """The settings that make a cut, each with the cost of its best way."""
    served: dict[int, float] = {}
    for number, setting in enumerate(settings):
        for best in _fitting(cut, found, setting):
            served[number] = _cost(best.way, best.opens)
    return served


def _least(served: list[dict[int, float]], count: int) -> list[int]:
    """For each cut the setting it takes."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # slow to load, and only a pack needs it
    from scipy.sparse import csr_array

    pairs = [(row, setting, cost) for row, one in enumerate(served) for setting, cost in one.items()]
    width = count + len(pairs)
    objective = np.ones(width)
    objective[count:] = [COST_SHARE * cost for _, _, cost in pairs]
    one_each = csr_array(
        (np.ones(len(pairs)), ([row for row, _, _ in pairs], range(count, width))), shape=(len(served), width)
    )
    rows = np.repeat(np.arange(len(pairs)), 2)
    columns = [column for number, (_, setting, _) in enumerate(pairs) for column in (count + number, setting)]
    only_taken = csr_array((np.tile([1.0, -1.0], len(pairs)), (rows, columns)), shape=(len(pairs), width))
    found = milp(
        objective,
        integrality=np.ones(width, dtype=np.int64),
        bounds=Bounds(0.0, 1.0),
        constraints=[LinearConstraint(one_each, 1.0, 1.0), LinearConstraint(only_taken, -np.inf, 0.0)],
    )
    if found.x is None:
        raise RuntimeError(f"no settings were found: {found.message}")
    taken = [-1] * len(served)
    for (row, setting, _), share in zip(pairs, found.x[count:], strict=True):
        if share > 0.5:
            taken[row] = setting
    return taken
