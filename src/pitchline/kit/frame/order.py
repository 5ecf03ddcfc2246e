"""The order in which nodes are worked through, so that the stiffness of a long frame is a narrow band.

Reverse Cuthill-McKee (E. Cuthill and J. McKee, 1969; A. George, 1971), begun at an end of the frame.
"""

from collections.abc import Sequence

from pitchline.kit.frame.model import IntArray


def band_order(count: int, ends: IntArray) -> list[int]:
    """Every node once, neighbours near each other; pieces of the frame that do not touch follow one another."""
    neighbours: list[set[int]] = [set() for _ in range(count)]
    for i, j in ends.tolist():
        neighbours[i].add(j)
        neighbours[j].add(i)
    beside = [sorted(near, key=lambda n: len(neighbours[n])) for near in neighbours]
    order: list[int] = []
    seen = [False] * count
    for node in sorted(range(count), key=lambda n: len(beside[n])):
        if not seen[node]:
            order += _layers(_far_end(node, beside), beside, seen)
    return order[::-1]


def _far_end(start: int, beside: Sequence[Sequence[int]]) -> int:
    """A node as far from the start as any, found in two steps."""
    for _ in range(2):
        start = _layers(start, beside, [False] * len(beside))[-1]
    return start


def _layers(start: int, beside: Sequence[Sequence[int]], seen: list[bool]) -> list[int]:
    reached = [start]
    seen[start] = True
    for node in reached:
        for near in beside[node]:
            if not seen[near]:
                seen[near] = True
                reached.append(near)
    return reached
