"""Openings between two neighbours of the infill while a push spreads them: uprights, bars and rods that bend.

The push acts in the middle of both, square to them, in the plane of the balustrade; each is a simple beam between
what holds it (its joints may be hinges), so nothing is made better than it is. Cables are no beams: the checks have
them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitchline.catalogue.rules import RuleSet
from pitchline.design.brief import StrandKind, StrandsBrief
from pitchline.design.model import Design, Strand, Upright
from pitchline.kit.geometry.lines import Point2
from pitchline.strength.infill import strand_cut, strand_span
from pitchline.strength.sections import Cut
from pitchline.strength.settings import StrengthSettings
from pitchline.strength.uprights import upright_cut
from pitchline.strength.woods import wood_of


@dataclass(frozen=True, slots=True)
class Opened:
    """A gap that is pushed open: what is beside it, its width at rest and then, mm, and the push on each side, N.

    ``beside`` are the marks on both sides; "" for a rail or post, which does not give. ``span`` is the longer free
    length of what bends, mm.
    """

    beside: tuple[str, str]
    rest: float
    opening: float
    push: float
    span: float

    @property
    def where(self) -> str:
        """The gap in words."""
        first, second = self.beside
        if first and second:
            return f"between {first} and {second}"
        return f"beside {first or second}"


def push_asked(design: Design, rules: RuleSet) -> float | None:
    """The push that the job or the rules name, N; None where nobody does."""
    infill, figure = design.brief.infill, rules.figure("opening.flex.force")
    if isinstance(infill, StrandsBrief) and infill.push is not None:
        return infill.push
    return None if figure is None else figure.value


def opening_under_load(design: Design, push: float, settings: StrengthSettings) -> tuple[Opened, ...]:
    """Every gap beside an upright, bar or rod under a push, N, the widest first. ValueError for a negative push."""
    if push < 0.0:
        raise ValueError("a push is not negative")
    found = (*_between_uprights(design, push, settings), *_between_strands(design, push, settings))
    return tuple(sorted(found, key=lambda gap: -gap.opening))


@dataclass(frozen=True, slots=True)
class _Bends:
    mark: str
    aside: float
    span: float


def _between_uprights(design: Design, push: float, settings: StrengthSettings) -> Iterator[Opened]:
    bends = [_upright(upright, push, settings) for upright in design.uprights]
    rests = [upright.gap_before for upright in design.uprights]
    rests += [upright.gap_after for upright in design.uprights[-1:]]
    yield from _gaps(bends, rests, push)


def _between_strands(design: Design, push: float, settings: StrengthSettings) -> Iterator[Opened]:
    strands = [strand for strand in design.strands if strand.kind is not StrandKind.CABLE]
    bends = [_strand(strand, push, settings) for strand in strands]
    rests = [strand.gap_below for strand in strands] + [strand.gap_above for strand in strands[-1:]]
    yield from _gaps(bends, rests, push)


def _gaps(bends: list[_Bends], rests: list[float], push: float) -> Iterator[Opened]:
    """The gaps before the first, between neighbours and behind the last."""
    still = _Bends("", 0.0, 0.0)
    for (first, second), rest in zip(pairwise([still, *bends, still]), rests, strict=False):
        opening = rest + first.aside + second.aside
        yield Opened((first.mark, second.mark), rest, opening, push, max(first.span, second.span))


def _upright(upright: Upright, push: float, settings: StrengthSettings) -> _Bends:
    """Bending along the balustrade: about the section's y."""
    span = _height(upright.sight)
    wood = wood_of(upright.material, settings.graded, upright.thickness)
    return _Bends(upright.mark, _aside(push, span, wood.e * upright_cut(upright).section.iy), span)


def _height(sight: tuple[Point2, ...]) -> float:
    """What is seen of an upright from rail to rail, plumb."""
    return max(z for _, z in sight) - min(z for _, z in sight)


def _strand(strand: Strand, push: float, settings: StrengthSettings) -> _Bends:
    """Bending square to the strand in the plane of the balustrade."""
    span, cut = strand_span(strand), strand_cut(strand)
    return _Bends(strand.mark, _aside(push, span, _stiffness(strand, cut, settings)), span)


def _stiffness(strand: Strand, cut: Cut, settings: StrengthSettings) -> float:
    return wood_of(strand.material, settings.graded).e * cut.section.iy


def _aside(push: float, span: float, stiffness: float) -> float:
    """P L3 / 48 E I."""
    aside: float = push * span**3 / (48.0 * stiffness)
    return aside
