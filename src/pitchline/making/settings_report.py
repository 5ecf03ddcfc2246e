"""The sawing as plain values: what the result document tells, and designs are compared by."""

from typing import Any

from pitchline.making.settings import Holding, SawWork, SetCut
from pitchline.making.shop import Shop


def sawing_chapter(work: SawWork, shop: Shop) -> dict[str, Any]:
    """Plain values: how many settings and changes of scale, the minutes that takes, and every setting with its cuts.

    Angles in degrees from square, lengths in mm.
    """
    return {
        "settings": work.settings,
        "scales_moved": work.moves,
        "setting_minutes": work.settings * shop.minutes("setting"),
        "blocks_deg": list(work.blocks_deg),
        "cuts": work.cuts,
        "not_held_by_hand": sum(
            one.cut.quantity for one in (*work.of(Holding.STICK), *work.of(Holding.CARRIER))
        ),
        "sawing": [
            {
                "saw": batch.setting.saw.id,
                "mitre_deg": batch.setting.mitre_deg,
                "tilt_deg": batch.setting.tilt_deg,
                "block_deg": batch.setting.block_deg,
                "cuts": [_cut(one) for one in batch.cuts],
            }
            for batch in work.batches
        ],
        "otherwise": [{"mark": one.cut.mark, "end": one.cut.end, "why": one.why.value} for one in work.unset],
    }


def _cut(one: SetCut) -> dict[str, Any]:
    return {
        "mark": one.cut.mark,
        "quantity": one.cut.quantity,
        "end": one.cut.end,
        "kind": one.cut.kind.value,
        "down": one.lay.down.value,
        "fence": one.lay.fence.value,
        "piece_on": "right" if one.on_right else "left",
        "stop": one.stop,
        "opens": one.opens,
        "held": one.holding.value,
    }
