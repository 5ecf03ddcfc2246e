"""Openings at a turn where no newel stands: they belong to two legs and are measured with both, unrolled.

In the unrolled elevation a ball passes between the last member of one leg and the first of the next as it would in
one plane. Round a corner of the plan the straight way between the two is shorter, so a ball that passes the real
opening is no larger: what is measured lies on the safe side. Lengths in mm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon

from pitchline.catalogue.rules import Figure, RuleSet
from pitchline.checks.opening_limits import Opening, OpeningKind, judged_against, limit_figure
from pitchline.checks.openings import joint_pieces
from pitchline.checks.silhouettes import ends_of
from pitchline.design.model import Design
from pitchline.kit.geometry.balls import largest_balls
from pitchline.kit.geometry.outlines import difference, from_shapely
from pitchline.kit.tolerances import COVERAGE_FACTOR, SEAM


@dataclass(frozen=True, eq=False)
class Following:
    """The leg after: its (u, z) lie ``du`` and ``dz`` further on in the elevation of the leg before."""

    design: Design
    du: float
    dz: float


def joint_openings(design: Design, following: Following | None, rules: RuleSet) -> tuple[Opening, ...]:
    """The openings that a leg shares with the leg after it; none where something stands between them."""
    if following is None or not ends_of(design)[1].is_joint:
        return ()
    before = joint_pieces(design, rules, at_head=True)
    after = [
        translate(piece, following.du, following.dz)
        for piece in joint_pieces(following.design, rules, at_head=False)
    ]
    return tuple(_openings(design, following, rules, _joined(before, after)))


def _joined(before: list[Polygon], after: list[Polygon]) -> list[Polygon]:
    """Pieces of two legs that touch become one; a seam's width closes what the joint plane cut."""
    grown = [shapely.buffer(piece, 2 * SEAM, join_style="mitre") for piece in (*before, *after)]
    return difference(shapely.union_all(grown), []) if grown else []


def _openings(
    design: Design, following: Following, rules: RuleSet, outlines: list[Polygon]
) -> Iterator[Opening]:
    if not outlines:
        return
    sigma = max(design.bay.run_sigma, following.design.bay.run_sigma)
    expanded = COVERAGE_FACTOR * sigma / max(len(design.uprights) + 1, 1)
    for outline, ball in zip(outlines, largest_balls(outlines), strict=True):
        kind, figure = _judged_as(design, following, rules, ball.centre)
        name = "under the rails" if kind is OpeningKind.UNDER else "between the last member and the first"
        yield Opening(
            where=f"{name} at the turn into {following.design.leg}",
            kind=kind,
            outline=from_shapely(outline),
            ball=ball,
            expanded=expanded,
            limit=None if figure is None else figure.value_mm,
            verdict=judged_against(ball.diameter, expanded, figure),
            rule="opening.general" if figure is None else figure.id,
            at_turn=True,
        )


def _judged_as(
    design: Design, following: Following, rules: RuleSet, centre: tuple[float, float]
) -> tuple[OpeningKind, Figure | None]:
    """The kind of an opening at a turn, and the stricter of the two legs' figures."""
    u, z = centre
    base = design.base
    under = base is not None and z < base.top.at(u)
    legs = (design, following.design)
    if under:
        figures = [limit_figure(rules, OpeningKind.UNDER, over_floor=leg.flight.is_level) for leg in legs]
        return OpeningKind.UNDER, _stricter(figures)
    kinds = [OpeningKind.LANDING if leg.flight.is_level else OpeningKind.INFILL for leg in legs]
    return kinds[0], _stricter([limit_figure(rules, kind) for kind in kinds])


def _stricter(figures: list[Figure | None]) -> Figure | None:
    stated = [figure for figure in figures if figure is not None]
    return min(stated, key=lambda figure: figure.value_mm, default=None)
