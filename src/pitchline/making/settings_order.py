"""The order of settings in which as few scales and blocks as possible are changed, beginning with saws at square."""

from collections.abc import Sequence

from pitchline.kit.tolerances import SAME_PART_DEG
from pitchline.making.settings import Setting

EXACT_UP_TO = 11
"""So many settings of one saw are put in the best of all orders; more take the nearest next, one after another."""


def moves_between(before: Setting | None, after: Setting) -> int:
    """How many things are changed from one setting of a saw to the next; from none, from square without a block."""
    was = (0.0, 0.0, 0.0) if before is None else (before.mitre_deg, before.tilt_deg, before.block_deg)
    now = (after.mitre_deg, after.tilt_deg, after.block_deg)
    return sum(abs(a - b) > SAME_PART_DEG for a, b in zip(was, now, strict=True))


def ordered(settings: Sequence[Setting]) -> tuple[tuple[Setting, ...], int]:
    """The settings saw by saw, each saw's in an order of fewest changes, and how many changes that makes in all."""
    saws = list(dict.fromkeys(one.saw for one in settings))
    whole: list[Setting] = []
    moves = 0
    for saw in saws:
        mine = sorted(
            (one for one in settings if one.saw == saw),
            key=lambda one: (
                one.block_deg,
                abs(one.tilt_deg),
                abs(one.mitre_deg),
                one.tilt_deg,
                one.mitre_deg,
            ),
        )
        run = _best(mine) if len(mine) <= EXACT_UP_TO else _nearest(mine)
        moves += sum(moves_between(a, b) for a, b in zip([None, *run], run, strict=False))
        whole += run
    return tuple(whole), moves


def _best(settings: Sequence[Setting]) -> list[Setting]:
    """Held and Karp's recursion over the sets already done and the last of them."""
    count = len(settings)
    reached: dict[tuple[int, int], tuple[int, tuple[int, ...]]] = {
        (1 << k, k): (moves_between(None, settings[k]), (k,)) for k in range(count)
    }
    for _ in range(count - 1):
        further: dict[tuple[int, int], tuple[int, tuple[int, ...]]] = {}
        for (done, last), (moves, path) in reached.items():
            for k in range(count):
                if done & (1 << k):
                    continue
                entry = (moves + moves_between(settings[last], settings[k]), (*path, k))
                key = (done | (1 << k), k)
                if key not in further or entry < further[key]:
                    further[key] = entry
        reached = further
    return [settings[k] for k in min(reached.values())[1]]


def _nearest(settings: Sequence[Setting]) -> list[Setting]:
    left, run = list(settings), list[Setting]()
    while left:
        before = run[-1] if run else None
        following = min(left, key=lambda one: moves_between(before, one))
        left.remove(following)
        run.append(following)
    return run
