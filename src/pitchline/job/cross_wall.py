"""What a handrail along a wall must say of the flights and floors that it runs along."""

from collections.abc import Iterator

from pitchline.catalogue.timber import list_timbers
from pitchline.design.wall_brief import Backing, CornerWay
from pitchline.job.cross_edge import Stack
from pitchline.job.cross_names import unknown
from pitchline.job.cross_points import places_along, station_slips
from pitchline.job.faults import Slip
from pitchline.job.model_wall import WallFaceTable, WallRailTable, WallTurnTable
from pitchline.job.positions import Path


def wall_rail_slips(path: Path, rail: WallRailTable, stack: Stack) -> Iterator[Slip]:
    """Every contradiction of one rail along a wall."""
    if not rail.walls:
        yield Slip(
            (*path, "walls"), "it is not said along which wall it runs", remedy="add [[wall_rails.walls]]"
        )
    for k, wall in enumerate(rail.walls):
        yield from _wall((*path, "walls", k), wall, stack)
    if rail.walls and len(rail.turns) != len(rail.walls) - 1:
        problem = f"between {len(rail.walls)} walls lie {len(rail.walls) - 1} corners, but {len(rail.turns)} are told"
        remedy = "add or take out [[wall_rails.turns]]"
        yield Slip((*path, "turns"), problem, None, f"{len(rail.walls) - 1}", remedy)
    else:
        for k, turn in enumerate(rail.turns):
            yield from _turn((*path, "turns", k), turn, (rail.walls[k].leg, rail.walls[k + 1].leg), stack)
    known = list(list_timbers())
    if rail.handrail.material not in known:
        place = (*path, "handrail", "material")
        yield unknown(place, "the catalogue has no such material", rail.handrail.material, known)
    if rail.is_round and rail.handrail.depth != rail.handrail.width:
        problem = "a round rail is as deep as it is wide"
        yield Slip((*path, "handrail", "depth"), problem, rail.handrail.depth, remedy="write the width again")


def _wall(path: Path, wall: WallFaceTable, stack: Stack) -> Iterator[Slip]:
    leg = stack.flights.get(wall.leg)
    if leg is None and wall.leg not in stack.winders and stack.whole:
        names = [*stack.names, *stack.winders]
        yield unknown((*path, "leg"), "the job has no flight, level or winders of this id", wall.leg, names)
    if wall.backing is Backing.STUDS and not wall.studs:
        remedy = "add [[wall_rails.walls.studs]] where they were found, or name another backing"
        yield Slip((*path, "studs"), "no stud was found to screw brackets into", remedy=remedy)
    if wall.backing is not Backing.STUDS and wall.studs:
        word = f'backing = "{Backing.STUDS.value}"'
        yield Slip(
            (*path, "studs"),
            f"studs only mean something with {word}",
            remedy=f"take them out, or write {word}",
        )
    if leg is not None:
        along = places_along(leg)
        told = [("studs", k, stud.at) for k, stud in enumerate(wall.studs)]
        told += [("readings", k, reading.at) for k, reading in enumerate(wall.readings)]
        for name, k, point in told:
            yield from station_slips((*path, name, k, "at"), point, leg, along)


def _turn(path: Path, turn: WallTurnTable, legs: tuple[str, str], stack: Stack) -> Iterator[Slip]:
    ways = [key for key in ("winders", "turn", "angle_deg") if getattr(turn, key) is not None]
    if len(ways) != 1:
        problem = (
            f"{' and '.join(ways)} all say how the wall turns"
            if ways
            else "it is not said how the wall turns"
        )
        yield Slip(
            path,
            problem.replace("all say", "both say" if len(ways) == 2 else "all say"),
            None,
            'one of winders = "...", turn = "..." or angle_deg = ...',
        )
    if turn.winders is not None:
        if turn.winders not in stack.winders and stack.whole:
            problem = "the job has no winders of this id"
            yield unknown((*path, "winders"), problem, turn.winders, list(stack.winders))
        for key in ("leaves", "leaves_offset", "joins", "joins_offset"):
            if key in turn.model_fields_set:
                problem = f"the winders say where the faces meet, so {key} has no say"
                yield Slip((*path, key), problem, getattr(turn, key), remedy="take it out")
    else:
        for key, point, name in (("leaves", turn.leaves, legs[0]), ("joins", turn.joins, legs[1])):
            leg = stack.flights.get(name)
            if point is not None and leg is not None:
                yield from station_slips((*path, key), point, leg, places_along(leg))
    if "level" in turn.model_fields_set and turn.way is not CornerWay.LEVELLED:
        word = f'way = "{CornerWay.LEVELLED.value}"'
        problem = f"level only means something with {word}"
        yield Slip((*path, "level"), problem, turn.level, remedy=f"take it out, or write {word}")
