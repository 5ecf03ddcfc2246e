"""Finished balustrades put together by hand, part by part, so that a check can be measured against plain sums.

Nothing here goes through the step that lays designs out.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from tests.strategies_stairs import (
    PLAIN_BASE,
    PLAIN_GROOVES,
    PLAIN_RAIL,
    PLAIN_UPRIGHTS,
    newel,
    regular_flight,
)

from pitchline.catalogue.rules import RuleSet, load_rule_set
from pitchline.design.brief import BaseSeat, Brief, Shape, UprightsBrief
from pitchline.design.model import Bar, BarRole, Bay, Design, Post, PostRole, RailLine, Upright
from pitchline.kit.geometry.frames import Plane
from pitchline.kit.geometry.lines import Line, Point2
from pitchline.kit.geometry.outlines import Outline
from pitchline.stair.model import Flight, Side

ENGLAND = load_rule_set("england-dwelling")
US_2021 = load_rule_set("us-irc-2021")
US_2024 = load_rule_set("us-irc-2024")


def with_figure(rules: RuleSet, figure_id: str, value: float) -> RuleSet:
    """The rules with one figure set to another value."""
    figures = dict(rules.figures)
    figures[figure_id] = replace(rules.require(figure_id), value=value)
    return replace(rules, figures=MappingProxyType(figures))


def with_word(rules: RuleSet, choice_id: str, word: str) -> RuleSet:
    """The rules with one choice set to another word."""
    choices = dict(rules.choices)
    choices[choice_id] = replace(rules.choices[choice_id], word=word)
    return replace(rules, choices=MappingProxyType(choices))


def without(rules: RuleSet, figure_id: str) -> RuleSet:
    """The rules without one figure or choice."""
    figures = {key: figure for key, figure in rules.figures.items() if key != figure_id}
    choices = {key: choice for key, choice in rules.choices.items() if key != figure_id}
    return replace(rules, figures=MappingProxyType(figures), choices=MappingProxyType(choices))


@dataclass(frozen=True)
class HandBuilt:
    """Sizes of a balustrade to be put together by hand.

    The rails are parallel to the line through the first and the last nosing: the handrail's top stands ``height``
    plumb above it, the base rail's underside ``lift``. Uprights ``width`` wide stand plumb between clear ``gaps``,
    the first of which begins at ``start``. Depths are plumb.
    """

    gaps: Sequence[float]
    width: float = 32.0
    height: float = 950.0
    lift: float = 30.0
    rail_depth: float = 60.0
    base_depth: float = 40.0
    start: float = -10.0
    run_sigma: float = 0.0
    rail_width: float = 60.0
    round_over: float = 8.0
    profile: tuple[tuple[float, float], ...] = ()


def hand_built(sizes: HandBuilt, flight: Flight | None = None, side: Side = Side.LEFT) -> Design:
    """The balustrade of these sizes between two newels 90 mm square."""
    flight = flight or regular_flight(margin=None)
    nosings = Line.through(flight.nosings[0], flight.nosings[-1])
    finish = sizes.start + sum(sizes.gaps) + sizes.width * (len(sizes.gaps) - 1)
    top, base_bottom = nosings.raised(sizes.height), nosings.raised(sizes.lift)
    rail_face, base_face = top.raised(-sizes.rail_depth), base_bottom.raised(sizes.base_depth)
    uprights = tuple(_uprights(sizes, base_face, rail_face))
    last = len(flight.nosings)
    brief = Brief(
        id="A",
        title="invented",
        flight=flight.id,
        side=side,
        rail=PLAIN_RAIL,
        base=replace(PLAIN_BASE, seat=BaseSeat.CLEAR),
        bottom=newel("N1", offset=sizes.start - 45.0),
        top=newel(f"N{last}", offset=finish + 45.0 - flight.nosings[-1][0]),
        infill=replace(PLAIN_UPRIGHTS, width=sizes.width, thickness=sizes.width),
        making=PLAIN_GROOVES,
    )
    sight = _between(sizes.start, finish, base_face, rail_face)
    return Design(
        id="A",
        title="invented",
        side=side,
        flight=flight,
        brief=brief,
        rail_line=RailLine(900.0, 1000.0, 0.0, (), 1, None),
        handrail=_bar(BarRole.HANDRAIL, top, rail_face, sizes, finish),
        base=_bar(BarRole.BASE, base_face, base_bottom, sizes, finish),
        packer=None,
        posts=(
            _post("P1", sizes.start - 45.0, "N1", 0.0, top),
            _post("P2", finish + 45.0, f"N{last}", flight.nosings[-1][1], top),
        ),
        bay=Bay(
            sight=sight.points,
            full=sight,
            start=_face(sizes.start, 1.0),
            finish=_face(finish, -1.0),
            run=finish - sizes.start,
            run_sigma=sizes.run_sigma,
            spacing_note="",
            closed_start=True,
            closed_finish=True,
        ),
        uprights=uprights,
        making=PLAIN_GROOVES,
        findings=(),
    )


def _face(u: float, sense: float) -> Plane:
    return Plane((u, 0.0, 0.0), (sense, 0.0, 0.0))


def _bar(role: BarRole, top: Line, bottom: Line, sizes: HandBuilt, finish: float) -> Bar:
    return Bar(
        id=role.value,
        role=role,
        top=top,
        bottom=bottom,
        width=sizes.rail_width,
        y=0.0,
        start=_face(sizes.start, -1.0),
        finish=_face(finish, 1.0),
        seat=None,
        round_over=sizes.round_over,
        material="pine-european",
        start_at="new newel P1",
        finish_at="new newel P2",
    )


def _post(name: str, u: float, station: str, foot: float, top: Line) -> Post:
    return Post(
        id=name,
        role=PostRole.NEW,
        foot=(u, 0.0, foot),
        axis=(0.0, 0.0, 1.0),
        along_axis=(1.0, 0.0, 0.0),
        along=90.0,
        across=90.0,
        length=top.at(u) + 100.0 - foot,
        station=station,
        material="pine-european",
        stands="on a floor",
    )


def _between(left: float, right: float, base: Line, rail: Line) -> Outline:
    corners = (base.point(left), base.point(right), rail.point(right), rail.point(left))
    return Outline(corners, ("base", "right", "rail", "left"))


def _uprights(sizes: HandBuilt, base: Line, rail: Line) -> list[Upright]:
    made = []
    left = sizes.start + sizes.gaps[0]
    for number, after in enumerate(sizes.gaps[1:], start=1):
        outline = _between(left, left + sizes.width, base, rail)
        middle = left + sizes.width / 2
        made.append(
            Upright(
                mark=f"U{number:02d}",
                u=middle,
                lean=0.0,
                width=sizes.width,
                thickness=sizes.width,
                y=0.0,
                shape=Shape.TURNED if sizes.profile else Shape.RECTANGULAR,
                outline=outline,
                sight=outline.points,
                foot=(middle, min(z for _, z in outline.points)),
                gap_before=sizes.gaps[number - 1],
                gap_after=after,
                profile=sizes.profile,
                narrowest=min([sizes.width, *(diameter for _, diameter in sizes.profile)]),
                arris=0.0,
                material="pine-european",
            )
        )
        left += sizes.width + after
    return made


def handrail_moved(design: Design, plumb: float) -> Design:
    """The same design with its handrail a plumb distance higher; nothing else moves."""
    rail = design.handrail
    return replace(
        design, handrail=replace(rail, top=rail.top.raised(plumb), bottom=rail.bottom.raised(plumb))
    )


def changed_infill(design: Design, change: Callable[[UprightsBrief], UprightsBrief]) -> Design:
    """The same design with another wish for its infill noted in its brief."""
    return replace(design, brief=replace(design.brief, infill=change(design.brief.uprights)))


def even(count: int, gap: float) -> tuple[float, ...]:
    """The gaps of ``count`` uprights spread evenly."""
    return (gap,) * (count + 1)


def full_length(gap: float, width: float, flight: Flight, start: float = -10.0) -> tuple[float, ...]:
    """As many even gaps as carry the balustrade to the last nosing."""
    reach = flight.nosings[-1][0] - start - gap
    return even(max(1, round(reach / (gap + width))), gap)


def corners(points: Sequence[Point2]) -> tuple[float, float, float, float]:
    """Least and largest u and z of an outline."""
    us, zs = zip(*points, strict=True)
    return min(us), max(us), min(zs), max(zs)
