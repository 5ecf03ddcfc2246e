"""From the tables of sound winders to what the stair step takes: mm and radians."""

import math
from dataclasses import replace

from pitchline.job.model_winders import WindersTable
from pitchline.stair.winder_facts import WinderFacts, WinderNosing


def winder_facts(table: WindersTable, top: int) -> WinderFacts:
    """One set of winders; ``top`` is the number of the top nosing of the flight below."""
    plain = WinderFacts(
        id=table.id,
        side=table.side,
        lower=table.lower,
        leaves=table.leaves or top,
        upper=table.upper,
        turns=tuple(map(math.radians, table.turns_deg)),
        widths=tuple(table.widths),
        nosings=tuple(
            WinderNosing(nosing.inner, nosing.outer, nosing.rise or 0.0, nosing.corner)
            for nosing in table.nosings
        ),
        newel=table.newel,
        place_sigma=table.place_sigma,
        rise_sigma=table.rise_sigma,
        width_sigma=table.width_sigma,
    )
    if table.turn_sigma_deg is None:
        return plain
    return replace(plain, turn_sigma=math.radians(table.turn_sigma_deg))
