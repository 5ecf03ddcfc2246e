"""From the tables of a sound job file to what is asked of handrails along walls: mm and radians."""

import math
from collections.abc import Mapping

from pitchline.design.brief import RailBrief, Station
from pitchline.design.wall_brief import (
    BracketBrief,
    Stud,
    WallEnd,
    WallFace,
    WallRailBrief,
    WallReading,
    WallTurn,
)
from pitchline.job.cross_edge import TURN_DEG
from pitchline.job.model_wall import BracketsTable, WallEndTable, WallFaceTable, WallRailTable, WallTurnTable
from pitchline.stair.edge import Spot


def wall_rail_of(table: WallRailTable, nosings: Mapping[str, int]) -> WallRailBrief:
    """One rail along a wall; ``nosings`` counts those of every leg, by id."""
    rail = table.handrail
    return WallRailBrief(
        id=table.id,
        title=table.title,
        side=table.side,
        walls=tuple(_face(wall) for wall in table.walls),
        rail=RailBrief(rail.width, rail.depth, rail.height, rail.round_over, rail.material),
        turns=tuple(
            _turn(turn, nosings.get(wall.leg, 0))
            for turn, wall in zip(table.turns, table.walls[:-1], strict=True)
        ),
        clear=table.clear,
        is_round=table.is_round,
        bottom=_end(table.bottom),
        top=_end(table.top),
        brackets=_brackets(table.brackets),
        rail_trim=table.rail_trim,
    )


def _face(table: WallFaceTable) -> WallFace:
    return WallFace(
        leg=table.leg,
        backing=table.backing,
        studs=tuple(Stud(Station(stud.at, stud.offset), stud.half_width) for stud in table.studs),
        lining=table.lining,
        rough=table.rough,
        lean=0.0 if table.lean is None else table.lean.offset / table.lean.over,
        readings=tuple(WallReading(Station(read.at, read.offset), read.proud) for read in table.readings),
        outside=table.outside,
    )


def _turn(table: WallTurnTable, last: int) -> WallTurn:
    if table.winders is not None:
        return WallTurn(table.way, table.level, winders=table.winders)
    degrees = table.angle_deg if table.turn is None else TURN_DEG[table.turn]
    leaves = Spot(table.leaves or f"N{last}", table.leaves_offset)
    joins = Spot(table.joins or "N1", table.joins_offset)
    return WallTurn(table.way, table.level, math.radians(degrees or 0.0), leaves, joins)


def _end(table: WallEndTable | None) -> WallEnd:
    return WallEnd() if table is None else WallEnd(table.way, table.past, table.level)


def _brackets(table: BracketsTable | None) -> BracketBrief:
    if table is None:
        return BracketBrief()
    return BracketBrief(
        table.apart,
        table.first,
        table.rose,
        table.rose_height,
        table.drop,
        table.screws,
        table.screw_length,
        table.edge,
        table.what,
    )
