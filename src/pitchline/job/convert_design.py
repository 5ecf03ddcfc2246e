"""From the tables of a sound job file to the edges and briefs that the design step takes: mm and radians."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from pitchline.catalogue.moisture import Climate, Season, equilibrium_moisture
from pitchline.design.brief import (
    AtTurn,
    AtWall,
    BaseBrief,
    Brief,
    Eased,
    End,
    ExistingNewel,
    Foot,
    FreeEnd,
    HalfNewel,
    InfillBrief,
    Leaning,
    Mitred,
    NewelBetween,
    NewNewel,
    PanelsBrief,
    RailBrief,
    SpacingBrief,
    Station,
    StrandsBrief,
    TurnBrief,
    TurnNewel,
    TurnStanding,
    UprightsBrief,
)
from pitchline.job.convert_making import making_of
from pitchline.job.cross_edge import angle_of
from pitchline.job.cross_turns import bay_ids, leg_ids
from pitchline.job.model_design import AllowancesTable, BaseRailTable, DesignTable, LegTable, SeasonTable
from pitchline.job.model_edge import EdgeTable
from pitchline.job.model_ends import (
    EasedTable,
    EndTable,
    ExistingNewelEnd,
    HalfNewelEnd,
    NewelBetweenTable,
    NewNewelEnd,
    StandingNewelTable,
    TurnNewelTable,
    TurnTable,
    WallEnd,
)
from pitchline.job.model_infill import InfillTable, PanelsTable, StrandsTable, UprightsTable
from pitchline.job.patterns import pattern_of
from pitchline.stair.edge import Edge, EdgeTurn, Spot
from pitchline.stair.model import Side


def edge_of(table: EdgeTable, nosings: Mapping[str, int]) -> Edge:
    """One edge; ``nosings`` counts those of every leg, by id."""
    turns = []
    for before, turn in zip(table.legs[:-1], table.turns, strict=True):
        leaves = Spot(turn.leaves or f"N{nosings[before]}", turn.leaves_offset)
        angle = math.radians(angle_of(turn) or 0.0)
        turns.append(EdgeTurn(angle, leaves, Spot(turn.joins, turn.joins_offset)))
    return Edge(table.id, table.side, tuple(table.legs), tuple(turns))


def briefs_of(table: DesignTable, edges: Mapping[str, Edge], folder: Path) -> tuple[Brief, ...]:
    """One design: the brief of the one flight it guards, or of every leg of its edges, edge by edge.

    ``folder`` is that of the job, where drawings of patterns lie.
    """
    names = [table.edge] if table.edge is not None else table.edges or []
    if not names:
        if table.flight is None or table.side is None:
            raise ValueError(f"design {table.id} guards neither a flight nor an edge")
        whole = _brief(table, LegTable(leg=table.flight), table.side, folder)
        if not table.newels:
            return (whole,)
        return tuple(_bays([replace(whole, whole=table.id)], table.newels))
    guarded = [edges[name] for name in names]
    ids = leg_ids(table.id, [(edge.id, edge.legs) for edge in guarded])
    turns = iter(table.turns)
    briefs: list[Brief] = []
    for edge, called in zip(guarded, ids, strict=True):
        built = [_turn(next(turns)) for _ in edge.turns]
        along = list(_along(table, edge, built, called, folder))
        over = [edge for edge in guarded if edge.legs]
        briefs += _bays(along, [newel for newel in table.newels if _stands_in(newel, edge, over)])
    return tuple(briefs)


def _stands_in(newel: NewelBetweenTable, edge: Edge, guarded: Sequence[Edge]) -> bool:
    """Whether a newel between stands in an edge: the one it names, else the one that runs over its leg."""
    if newel.edge is not None:
        return newel.edge == edge.id
    return newel.leg in edge.legs if newel.leg is not None else len(guarded) == 1


def _bays(legs: Sequence[Brief], newels: Sequence[NewelBetweenTable]) -> Iterator[Brief]:
    """The legs of an edge, divided where newels stand between their ends; turns are counted anew."""
    found: list[Brief] = []
    for leg in legs:
        standing = [newel for newel in newels if newel.leg in (None, leg.flight)]
        between: list[TurnBrief] = [_between(newel) for newel in standing]
        names = bay_ids(leg.id, len(between))
        for number, name in enumerate(names):
            bay = replace(leg, id=name)
            if number:
                bay = replace(bay, bottom=AtTurn(0, between[number - 1]), run_on=True)
            if number < len(between):
                bay = replace(bay, top=AtTurn(0, between[number]))
            found.append(bay)
    for number, bay in enumerate(found):
        bottom = AtTurn(number, bay.bottom.turn) if isinstance(bay.bottom, AtTurn) else bay.bottom
        top = AtTurn(number + 1, bay.top.turn) if isinstance(bay.top, AtTurn) else bay.top
        yield replace(bay, bottom=bottom, top=top)


def _between(table: NewelBetweenTable) -> NewelBetween:
    return NewelBetween(
        Station(table.at, table.offset),
        table.along,
        table.across,
        table.above_rail,
        table.foot or Foot.TREAD,
        table.lap,
        table.under_rail,
        table.material,
    )


def _along(
    table: DesignTable, edge: Edge, turns: Sequence[TurnBrief], ids: Sequence[str], folder: Path
) -> Iterator[Brief]:
    """The brief of every leg of one edge."""
    changed = {change.leg: change for change in table.legs if change.edge in (None, edge.id)}
    for k, (leg, name) in enumerate(zip(edge.legs, ids, strict=True)):
        brief = _brief(table, changed.get(leg, LegTable(leg=leg)), edge.side, folder)
        brief = replace(brief, id=name, whole=table.id, edge=edge.id)
        if k:
            brief = replace(brief, bottom=AtTurn(k, turns[k - 1]))
        if k < len(turns):
            brief = replace(brief, top=AtTurn(k + 1, turns[k]))
        yield brief


def _brief(table: DesignTable, leg: LegTable, side: Side, folder: Path) -> Brief:
    """The brief of one leg, with what is different along it."""
    rail, base = leg.handrail or table.handrail, leg.base_rail or table.base_rail
    allowances = table.allowances or AllowancesTable()
    return Brief(
        id=table.id,
        title=table.title,
        flight=leg.leg,
        side=side,
        rail=RailBrief(rail.width, rail.depth, rail.height, rail.round_over, rail.material),
        base=_base(base) if isinstance(base, BaseRailTable) else None,
        bottom=_end(leg.bottom or table.bottom),
        top=_end(leg.top or table.top),
        infill=_infill(leg.infill or table.infill, folder),
        making=making_of(leg.making or table.making),
        build_tolerance=allowances.build_tolerance,
        rail_trim=allowances.rail_trim,
        member_trim=allowances.member_trim,
        season=None if table.season is None else _season(table.season),
        run_on=leg.run_on,
    )


def _base(table: BaseRailTable) -> BaseBrief:
    return BaseBrief(
        table.width,
        table.depth,
        table.seat,
        table.clearance,
        table.least_packing,
        table.round_over,
        table.material,
    )


def _turn(table: TurnTable) -> TurnBrief:
    match table:
        case TurnNewelTable():
            return TurnNewel(
                table.along,
                table.across,
                table.above_rail,
                table.foot,
                table.drop,
                table.under_rail,
                table.material,
            )
        case StandingNewelTable():
            return TurnStanding(table.post)
        case EasedTable():
            return Eased(table.radius)
        case _:
            return Mitred()


def _season(table: SeasonTable) -> Season:
    """A season: ``cross_design`` sees to it that the moisture when made, or the shop's air, is given."""
    made = table.made_at_percent
    if made is None and table.made_rh_percent is not None:
        made = equilibrium_moisture(table.made_rh_percent, table.made_temperature_c)
    if made is None:
        raise ValueError("a season needs to know how dry the wood is when it is made")
    return Season(
        made,
        dry=Climate(table.dry_rh_percent, table.dry_temperature_c),
        damp=Climate(table.damp_rh_percent, table.damp_temperature_c),
    )


def _end(table: EndTable) -> End:
    match table:
        case NewNewelEnd():
            at = Station(table.at, table.offset)
            return NewNewel(
                at, table.along, table.across, table.above_rail, table.foot, table.lap, table.material
            )
        case ExistingNewelEnd():
            return ExistingNewel(table.post)
        case HalfNewelEnd():
            return HalfNewel(
                table.wall, table.along, table.across, table.above_rail, table.foot, table.lap, table.material
            )
        case WallEnd():
            return AtWall(table.wall)
        case _:
            return FreeEnd(Station(table.at, table.offset), table.overhang)


def _infill(table: InfillTable, folder: Path) -> InfillBrief:
    match table:
        case StrandsTable():
            return _strands(table)
        case PanelsTable():
            return _panels(table, folder)
        case _:
            return _uprights(table)


def _strands(table: StrandsTable) -> StrandsBrief:
    return StrandsBrief(
        kind=table.strand,
        depth=table.depth,
        thickness=table.depth if table.thickness is None else table.thickness,
        spacing=SpacingBrief(table.spread, table.count, table.max_gap, table.module, table.centred),
        pull=table.pull_n,
        apart=table.apart,
        arris=table.arris,
        material=table.material,
        push=table.push_n,
        stretch=table.stretch_n,
    )


def _panels(table: PanelsTable, folder: Path) -> PanelsBrief:
    return PanelsBrief(
        kind=table.panel,
        thickness=table.thickness,
        edge_gap=table.edge_gap,
        widest=table.widest,
        joint=table.joint,
        slat=table.slat or 0.0,
        slot=table.slot or 0.0,
        pattern=None if table.pattern is None else pattern_of(table.pattern, folder),
        material=table.material,
    )


def _uprights(table: UprightsTable) -> UprightsBrief:
    lean = Leaning.PLUMB if table.lean is None else table.lean
    return UprightsBrief(
        shape=table.shape,
        width=table.width,
        thickness=table.width if table.thickness is None else table.thickness,
        lean=lean if table.lean_deg is None else math.radians(table.lean_deg),
        spacing=SpacingBrief(
            table.spread,
            table.count,
            table.max_gap,
            table.module,
            table.centred,
            table.group,
            table.inner_gap,
            table.per_tread,
            table.tread_place,
        ),
        profile=tuple((place.above, place.diameter) for place in table.profile),
        turned_from=table.turned_from,
        arris=table.arris,
        material=table.material,
    )
