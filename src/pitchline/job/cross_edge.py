"""What flights, floors and edges must say of each other: what stands on what, and how an edge runs over them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pitchline.job.cross_names import repeated, unknown
from pitchline.job.cross_points import places_along, station_slips
from pitchline.job.faults import Slip
from pitchline.job.model_edge import EdgeTurnTable, FloorTable, TurnWord
from pitchline.job.model_winders import WindersTable
from pitchline.job.pieces import EdgePieces, FlightPieces, Pieces
from pitchline.job.positions import Path
from pitchline.kit.tolerances import HALF_TURN_DEG
from pitchline.survey.readings import nosing_number

TURN_DEG: Mapping[TurnWord, float] = {TurnWord.LEFT: 90.0, TurnWord.RIGHT: -90.0, TurnWord.STRAIGHT_ON: 0.0}
"""What the words for a turn mean, degrees to the left of someone walking up."""


def angle_of(turn: EdgeTurnTable) -> float | None:
    """A turn's change of direction in degrees, + to the left; None where none is given."""
    return turn.angle_deg if turn.turn is None else TURN_DEG[turn.turn]


@dataclass(frozen=True, slots=True)
class Floor:
    """A height at which a leg begins or ends: that of a flight's nosing; the lowest floor has neither."""

    flight: str = ""
    nosing: int = 0


@dataclass(frozen=True, slots=True)
class Stack:
    """The flights, floors and winders of a job by id; ``whole`` tells that every one of them could be read."""

    flights: Mapping[str, FlightPieces]
    winders: Mapping[str, WindersTable]
    whole: bool

    @staticmethod
    def of(pieces: Pieces) -> "Stack":
        """Those that have an id; of two with one id the first."""
        flights = pieces.flights
        named = {piece.id: piece for piece in reversed(flights) if piece.id is not None}
        winders = {table.id: table for _, table in pieces.winders}
        return Stack(named, winders, len(named) == len(flights) and pieces.winders_whole)

    @property
    def names(self) -> list[str]:
        """The ids as the file has them."""
        return list(self.flights)[::-1]

    def floor(self, name: str) -> Floor | None:
        """Where a leg's own lower floor lies; None where that cannot be told."""
        seen: set[str] = set()
        while name in self.flights and name not in seen:
            seen.add(name)
            support = self.flights[name].stands_on
            if support is None:
                return Floor()
            if support.flight in self.winders:
                return Floor(support.flight, support.nosing or 0)
            under = self.flights.get(support.flight)
            if under is None or under.nosings is None:
                return None
            if not under.level:
                return Floor(support.flight, support.nosing or under.nosings)
            name = support.flight
        return None

    def head(self, name: str) -> Floor | None:
        """Where a leg ends: at the top nosing of a flight, level with its floor along the edge of one."""
        leg = self.flights.get(name)
        if leg is None or leg.nosings is None:
            return None
        return self.floor(name) if leg.level else Floor(name, leg.nosings)


def stack_slips(stack: Stack) -> Iterator[Slip]:
    """Legs that stand on nothing, on themselves, or on a floor of which they say something else."""
    for leg in stack.flights.values():
        support = leg.stands_on
        if support is None or leg.id is None:
            continue
        path = (*leg.path, "stands_on")
        if support.flight in stack.winders:
            yield from _on_winders(path, leg.id, stack.winders[support.flight], support.nosing)
            continue
        under = stack.flights.get(support.flight)
        if under is None:
            if stack.whole:
                problem = "the job has no flight or level of this id"
                yield unknown((*path, "flight"), problem, support.flight, [*stack.names, *stack.winders])
            continue
        if _stands_on_itself(leg.id, stack):
            yield Slip((*path, "flight"), "this leads round in a circle: it would stand on itself", leg.id)
            continue
        if under.nosings is not None and (support.nosing or 1) > under.nosings:
            what = f"{support.flight} has no {'point' if under.level else 'nosing'} {support.nosing}"
            yield Slip((*path, "nosing"), what, support.nosing, f"1 to {under.nosings}")
        elif under.whole and leg.whole:
            yield from _coverings(leg, under, support.nosing)


def _on_winders(path: Path, leg: str, winders: WindersTable, nosing: int | None) -> Iterator[Slip]:
    """On winders stands the flight above them, and it stands on the last of their treads."""
    if winders.upper != leg:
        problem = f"the flight above winders {winders.id!r} is {winders.upper!r}"
        yield Slip((*path, "flight"), problem, winders.id, remedy="name one of the two in both places")
    if nosing is not None:
        problem = "the flight above winders stands on the last of their treads, so nosing has no say"
        yield Slip((*path, "nosing"), problem, nosing, remedy="take it out")


def _stands_on_itself(name: str, stack: Stack) -> bool:
    at: str | None = name
    seen: set[str] = set()
    while at is not None and at in stack.flights and at not in seen:
        seen.add(at)
        support = stack.flights[at].stands_on
        at = None if support is None else support.flight
        if at is not None and at in stack.winders:
            at = stack.winders[at].lower
    return at == name


def _coverings(leg: FlightPieces, under: FlightPieces, nosing: int | None) -> Iterator[Slip]:
    """One floor gets one covering, whichever of the two legs tells of it."""
    own, other = _covering(leg, 0), _covering(under, nosing or under.nosings or 0)
    if own != other:
        key = "floor" if leg.level else "lower_floor"
        path = (*leg.path, "finishes", key) if leg.finishes is not None else leg.path
        problem = (
            f"the floor it stands on gets a covering of {leg.say(own)} here, but {leg.say(other)} "
            f"in {under.what} {under.id!r}"
        )
        yield Slip(path, problem, remedy="tell the same thickness in both")


def _covering(leg: FlightPieces, nosing: int) -> float:
    """The covering to come on a flight's nosing (0: on its lower floor), or on a level."""
    told = leg.finishes
    if told is None:
        return 0.0
    if isinstance(told, FloorTable):
        return told.floor
    if nosing == 0:
        return told.lower_floor
    return told.upper_floor if nosing == leg.nosings else told.treads


def edge_slips(edge: EdgePieces, stack: Stack) -> Iterator[Slip]:
    """Every contradiction of one edge."""
    for path, turn in edge.turns:
        yield from _angle(path, turn)
    if edge.legs is None:
        return
    path, legs = (*edge.path, "legs"), edge.legs
    if not legs:
        yield Slip(path, "an edge runs over one leg or more", None, "one id or more")
        return
    for k, leg in enumerate(legs):
        if leg not in stack.flights and stack.whole:
            yield unknown((*path, k), "the job has no flight or level of this id", leg, stack.names)
    for slip in repeated("leg of this edge", [((*path, k), leg) for k, leg in enumerate(legs)]):
        yield slip._replace(path=slip.path[:-1], problem="the edge runs over this leg already", remedy=None)
    if edge.turn_count != len(legs) - 1:
        turns = f"{edge.turn_count or 'no'} turn{'' if edge.turn_count == 1 else 's'}"
        lie = f"between {len(legs)} legs lie {len(legs) - 1}" if len(legs) > 1 else "at a single leg lie no"
        problem = f"{lie} turns, but {turns} told"
        problem = problem.replace(" told", " is told" if edge.turn_count == 1 else " are told")
        remedy = 'add [[edges.turns]] for each, a leg that goes on in line has turn = "straight on"'
        yield Slip((*edge.path, "turns"), problem, None, f"{len(legs) - 1}", remedy)
        return
    for k in range(len(legs) - 1):
        yield from _climbs(edge, legs[k], legs[k + 1], k, stack)
    for turn_path, turn in edge.turns:
        at = turn_path[-1]
        if isinstance(at, int) and at + 1 < len(legs):
            beside = (stack.flights.get(legs[at]), stack.flights.get(legs[at + 1]))
            yield from _turn(turn_path, turn, beside)
    yield from _order(edge, legs, stack)


def _angle(path: Path, turn: EdgeTurnTable) -> Iterator[Slip]:
    if turn.turn is not None and turn.angle_deg is not None:
        problem = "turn and angle_deg both say how far the edge turns"
        yield Slip((*path, "angle_deg"), problem, turn.angle_deg, remedy="keep one of them")
    elif turn.turn is None and turn.angle_deg is None:
        allowed = 'turn = "left", "right" or "straight on", or angle_deg = ...'
        yield Slip(path, "it is not said how far the edge turns here", allowed=allowed)


def _turn(
    path: Path, turn: EdgeTurnTable, legs: tuple[FlightPieces | None, FlightPieces | None]
) -> Iterator[Slip]:
    before, after = legs
    if before is not None and turn.leaves is not None:
        yield from station_slips((*path, "leaves"), turn.leaves, before, places_along(before))
    if after is not None:
        yield from station_slips((*path, "joins"), turn.joins, after, places_along(after))
    angle = angle_of(turn)
    level = any(leg is not None and leg.level for leg in legs)
    if angle is not None and abs(angle) >= HALF_TURN_DEG and level:
        problem = "the edge of a floor cannot fold back along the leg beside it"
        remedy = "a well is turned twice: a quarter turn at each end of the level leg between the flights"
        yield Slip(
            (*path, "angle_deg"), problem, turn.angle_deg, f"less than {HALF_TURN_DEG:g} degrees", remedy
        )


def _climbs(edge: EdgePieces, before: str, after: str, k: int, stack: Stack) -> Iterator[Slip]:
    """The leg after begins at the height where the leg before ends."""
    head, floor = stack.head(before), stack.floor(after)
    if head is None or floor is None or head == floor or before == after:
        return
    winders = stack.winders.get(floor.flight)
    if winders is not None and winders.lower == before:
        return
    leg = stack.flights[after]
    nosing = "" if not head.flight else f", nosing = {head.nosing}"
    below = head.flight or "the lowest floor"
    ends = f"at nosing {head.nosing} of {head.flight!r}" if head.flight else "on the lowest floor"
    begins = f"at nosing {floor.nosing} of {floor.flight!r}" if floor.flight else "on the lowest floor"
    problem = f"the leg before, {before!r}, ends {ends}, but this one begins {begins}"
    remedy = (
        f"write stands_on = {{ flight = {below!r}{nosing} }} under [[{leg.path[0]}]] {after!r}, or name the legs in "
        "the order in which one walks up"
    ).replace("'", '"')
    yield Slip((*edge.path, "legs", k + 1), problem, after, remedy=remedy)


def _order(edge: EdgePieces, legs: tuple[str, ...], stack: Stack) -> Iterator[Slip]:
    """Along every leg between two turns the edge joins it before it leaves it."""
    turns = {path[-1]: (path, turn) for path, turn in edge.turns}
    for k in range(1, len(legs) - 1):
        if k - 1 not in turns or k not in turns or legs[k] not in stack.flights:
            continue
        joined, (path, left) = turns[k - 1][1], turns[k]
        last = stack.flights[legs[k]].nosings
        first, final = nosing_number(joined.joins), nosing_number(left.leaves or f"N{last}")
        if first is None or final is None or last is None:
            continue
        if final < first or (final == first and left.leaves_offset <= joined.joins_offset):
            problem = f"the edge leaves {legs[k]!r} no further up than where the turn before joins it"
            yield Slip((*path, "leaves"), problem, left.leaves, remedy="check both points and their offsets")
