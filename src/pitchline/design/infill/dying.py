"""Uprights that die into something overhead, and rails that would run into it. Lengths in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.design.infill.overhead import rail_under_soffits, under_soffits
from pitchline.design.model import Bar, Upright
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.outlines import Outline
from pitchline.kit.tolerances import HAND_OVER_RAIL, LEAST_PIECE, SAME_POINT
from pitchline.kit.words import Words
from pitchline.stair.model import Flight, Soffit


def die_into_soffits(upright: Upright, soffits: Sequence[Soffit]) -> Upright | None:
    """An upright cut by what is overhead, with an end cut of its own; None where nothing worth making is left."""
    if not soffits:
        return upright
    whole = under_soffits(upright.outline, soffits)
    if whole == upright.outline:
        return upright
    seen = under_soffits(Outline.of(upright.sight), soffits)
    heights = [z for _, z in seen.points]
    if len(whole.points) < 3 or not heights or max(heights) - min(heights) < LEAST_PIECE:
        return None
    return replace(upright, outline=whole, sight=seen.points)


def soffit_remark(design: str, flight: Flight, rail: Bar, words: Words) -> Iterator[Finding]:
    """A handrail that runs where no hand passes over it, and the stretch that is left of it."""
    ends = (rail.start.point[0], rail.finish.point[0])
    free = rail_under_soffits(rail.top, ends, flight.soffits, HAND_OVER_RAIL)
    if free is not None and free[0] - ends[0] <= SAME_POINT and ends[1] - free[1] <= SAME_POINT:
        return
    names = ", ".join(soffit.id for soffit in flight.soffits)
    where = f"{design}: {rail.id} under {names}"
    room = f"less than {words.mm(HAND_OVER_RAIL)} over its top for a hand"
    if free is None:
        text = f"The whole handrail has {room}: lower it, or guard this leg by a wall up to what is overhead."
    else:
        text = (
            f"The handrail runs on where there is {room}: end it at a wall or newel {words.mm(free[0])} to "
            f"{words.mm(free[1])} along the leg from N1, and let the members beyond die into what is overhead."
        )
    whole = rail_under_soffits(rail.top, ends, flight.soffits, 0.0)
    verdict = Verdict.ADVICE if whole == ends else Verdict.FAIL
    yield Finding("design.rail.soffit", verdict, where, text)
