"""All the jigs that a design needs, from its parts, its legs and its sawing."""

from collections.abc import Sequence
from typing import Any

from pitchline.design.model import Design
from pitchline.kit.words import PLAIN, Words
from pitchline.making.jigs import Jig, numbered
from pitchline.making.jigs_infill import infill_jigs
from pitchline.making.jigs_rails import rail_jigs
from pitchline.making.jigs_saw import saw_jigs
from pitchline.making.settings import SawWork
from pitchline.making.shop import Shop
from pitchline.parts.explode import Group


def jigs_of(
    designs: Sequence[Design], groups: Sequence[Group], work: SawWork, shop: Shop, words: Words = PLAIN
) -> tuple[Jig, ...]:
    """The jigs of a design (of a wall rail where ``designs`` is empty), and only those it needs."""
    found = (
        *saw_jigs(groups, work, shop, words),
        *infill_jigs(designs, groups, words),
        *rail_jigs(designs, groups, words),
    )
    return numbered(found)


def jigs_chapter(jigs: Sequence[Jig]) -> list[dict[str, Any]]:
    """Plain values: every jig with what it is for."""
    return [
        {
            "id": jig.id,
            "kind": jig.kind.value,
            "title": jig.title,
            "quantity": jig.quantity,
            "for": list(jig.for_marks),
        }
        for jig in jigs
    ]
