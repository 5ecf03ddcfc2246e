"""What a design looks like, in one sentence of the reader's language."""

from collections.abc import Iterator, Sequence

from pitchline.app.web.words import Words
from pitchline.catalogue.timber import load_timber
from pitchline.design.model import Design, Upright
from pitchline.kit.errors import PitchlineError
from pitchline.kit.words import Words as Lengths
from pitchline.story import SolvedBalustrade


def looks_of(whole: SolvedBalustrade, t: Words, lengths: Lengths) -> str:
    """The handrail, what fills the bays, and how it stands."""
    return " ".join(_sentences(whole.designs, t, lengths))


def _sentences(legs: Sequence[Design], t: Words, lengths: Lengths) -> Iterator[str]:
    rail = legs[0].handrail
    size = _section(rail.width, rail.depth, lengths)
    yield t("looks.rail", size=size, wood=wood_of(rail.material, t))
    uprights = [upright for leg in legs for upright in leg.uprights]
    if uprights:
        yield from _uprights(uprights, t, lengths)
    strands = [strand for leg in legs for strand in leg.strands]
    if strands:
        first = strands[0]
        yield t(
            f"looks.{_key(first.kind.value)}",
            count=len(strands),
            size=lengths.about(first.depth),
            wood=wood_of(first.material, t),
            gap=lengths.rounded_up(max(max(one.gap_below, one.gap_above) for one in strands)),
        )
    panels = [panel for leg in legs for panel in leg.panels]
    if panels:
        one = panels[0]
        size = lengths.about(one.thickness)
        yield t(f"looks.{_key(one.kind.value)}", count=len(panels), size=size, wood=wood_of(one.material, t))
    heights = [height for leg in legs for height in leg.rail_line.heights]
    if heights:
        low, high = lengths.about(min(heights)), lengths.about(max(heights))
        low_only = low.removesuffix(" mm")
        yield t("looks.high", range=high if low == high else t("looks.range", low=low_only, high=high))


def _uprights(uprights: Sequence[Upright], t: Words, lengths: Lengths) -> Iterator[str]:
    first = uprights[0]
    flat = first.shape.value == "rectangular" and abs(first.thickness - first.width) > 1.0
    shape = "flat" if flat else first.shape.value
    size = _section(first.width, first.thickness, lengths) if flat else lengths.about(first.width)
    gap = lengths.rounded_up(max(max(one.gap_before, one.gap_after) for one in uprights))
    wood = wood_of(first.material, t)
    yield t(f"looks.{_key(shape)}", count=len(uprights), size=size, wood=wood, gap=gap)
    if abs(first.lean) > LEANS:
        yield t("looks.lean_up" if first.lean > 0.0 else "looks.lean_down")


def _section(width: float, depth: float, lengths: Lengths) -> str:
    """A section as two sizes, the unit said once."""
    wide, deep = lengths.about(width), lengths.about(depth)
    return f"{wide.removesuffix(' mm')} × {deep}"


LEANS = 0.02
"""rad from plumb (1.1 degrees) from where on an eye sees uprights lean; common experience, no source."""


def _key(kind: str) -> str:
    return kind.replace(" ", "_")


def wood_of(material: str, t: Words) -> str:
    """The name of a material: in the reader's words where the catalogue of words has it, else its own."""
    try:
        name = load_timber(material).name
    except PitchlineError:
        name = material
    return t.maybe(f"wood.{material}", name)
