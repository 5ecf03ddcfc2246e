"""What laying out a wall rail has to say: heights not kept, corners its section cannot turn, studs too far apart.

The checks measure the finished rail afresh; these remarks speak of choices and of ways out. Lengths in mm.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.wall_brief import Backing, CornerWay
from pitchline.design.wall_model import BracketRun, PieceKind, RailPiece, WallJoint, WallLeg, WallRail
from pitchline.design.wall_rules import bracket_limits
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.meetings_space import Symmetry
from pitchline.kit.geometry.meetings_ways import LevelWay, Turn, level_way, mitre_way
from pitchline.kit.tolerances import LEAST_PACKER, ROLL_SHOWS
from pitchline.kit.words import Words


def wall_remarks(rail: WallRail, rules: RuleSet, words: Words) -> Iterator[Finding]:
    """Every remark on a wall rail: its line, its corners, its brackets."""
    for number in range(len(rail.legs)):
        yield from _height(rail, number, words)
        yield from _bends(rail, number)
    for joint in rail.joints:
        yield from _roll(rail, joint, words)
    yield from _level_pieces(rail, words)
    for number, run in enumerate(rail.bracket_runs):
        yield from _brackets(rail, number, run, rules, words)
    yield from _packing(rail, words)


def _place(rail: WallRail, leg: WallLeg) -> str:
    return f"{rail.id}: wall beside {leg.id}"


def _height(rail: WallRail, number: int, words: Words) -> Iterator[Finding]:
    """A line that misses its window, and what would help."""
    kept, leg = rail.heights[number], rail.legs[number]
    if kept.margin >= -1e-6:
        return
    ways = ["leave its height open" if rail.brief.rail.height is not None else "let it bend once more"]
    if rail.corners:
        ways.append("let the rails end at the corner and begin again behind it")
    text = (
        f"The rail misses its window by {words.mm(-kept.margin)} at {kept.tightest}. "
        f"Ways out: {'; '.join(ways)}."
    )
    yield Finding(
        "design.wall.height", Verdict.FAIL, _place(rail, leg), text, kept.margin, None, 0.0, remedy=ways[0]
    )


def _bends(rail: WallRail, number: int) -> Iterator[Finding]:
    """Where the rail is bent so that its height holds."""
    leg = rail.legs[number]
    bends = [joint for joint in rail.joints if joint.words == f"bend beside {leg.id}"]
    if not bends:
        return
    turns = ", ".join(f"{joint.turn_deg:.1f}" for joint in bends)
    times = "once" if len(bends) == 1 else f"{len(bends)} times"
    text = (
        f"Beside {leg.id} the rail changes its pitch {times}, by {turns} degrees: each a mitre cut square through "
        "the rail's depth, nothing rolls."
    )
    yield Finding("design.wall.bends", Verdict.REPORT, _place(rail, leg), text, unit="")


def _roll(rail: WallRail, joint: WallJoint, words: Words) -> Iterator[Finding]:
    """A corner round which the section cannot run, with the ways that can."""
    if rail.brief.is_round or abs(joint.roll_deg) <= ROLL_SHOWS:
        return
    turn = _turn(rail, joint)
    misses = mitre_way(turn).misses
    level = level_way(turn)
    ways = [
        f"level pieces at least {words.rounded_up(max(level.before, level.behind))} long on either side",
        f"a round rail of {words.mm(min(rail.width, rail.depth))}",
        "two rails that end before the corner, each returned to its wall",
    ]
    text = (
        f"At the {joint.words} the section of the second piece would have to roll by {abs(joint.roll_deg):.1f} "
        f"degrees: in a plain mitre its corners miss each other by {words.mm(misses)}. Ways round: {'; '.join(ways)}."
    )
    yield Finding(
        "design.wall.roll", Verdict.ADVICE, f"{rail.id}: {joint.words}", text, abs(joint.roll_deg), unit="deg"
    )


def _turn(rail: WallRail, joint: WallJoint) -> Turn:
    """The turn between two pieces as the geometry of meetings wants it."""
    pieces = {piece.id: piece for piece in rail.pieces}
    first, second = pieces[joint.first], pieces[joint.second]
    plan = math.degrees(_bearing(second) - _bearing(first))
    symmetry = Symmetry.ROUND if rail.brief.is_round else Symmetry.MOULDED
    plan = (plan + 180.0) % 360.0 - 180.0
    return Turn(_pitch(first), _pitch(second), plan, rail.width, rail.depth, symmetry)


def _bearing(piece: RailPiece) -> float:
    return math.atan2(piece.direction[1], piece.direction[0])


def _pitch(piece: RailPiece) -> float:
    return math.degrees(math.asin(piece.direction[2]))


def _level_pieces(rail: WallRail, words: Words) -> Iterator[Finding]:
    """Level pieces at a corner that are shorter than their two mitres need."""
    for number, way in enumerate(rail.corners):
        if way is not CornerWay.LEVELLED:
            continue
        before, after = rail.legs[number], rail.legs[number + 1]
        wanted = rail.brief.turns[number].level
        needed = _level_needed(rail, number)
        if needed is not None and wanted < max(needed.before, needed.behind):
            least = words.rounded_up(max(needed.before, needed.behind))
            text = (
                f"The level pieces at the corner from {before.id} to {after.id} are {words.mm(wanted)} long; their "
                f"mitres meet on the short side unless they are at least {least}."
            )
            yield Finding(
                "design.wall.level",
                Verdict.FAIL,
                f"{rail.id}: corner from {before.id} to {after.id}",
                text,
                wanted,
                0.0,
                max(needed.before, needed.behind),
                remedy=f"make them {least} long",
            )


def _level_needed(rail: WallRail, number: int) -> LevelWay | None:
    """The least level pieces round a corner, from the raking pieces before and after it."""
    before = [p for p in rail.pieces if p.leg == number and p.kind is PieceKind.RAKING]
    after = [p for p in rail.pieces if p.leg == number + 1 and p.kind is PieceKind.RAKING]
    if not before and not after:
        return None
    plan = math.degrees(_leg_bearing(rail.legs[number + 1]) - _leg_bearing(rail.legs[number]))
    plan = (plan + 180.0) % 360.0 - 180.0
    first = _pitch(before[-1]) if before else 0.0
    second = _pitch(after[0]) if after else 0.0
    return level_way(Turn(first, second, plan, rail.width, rail.depth))


def _leg_bearing(leg: WallLeg) -> float:
    return math.atan2(leg.frame.x[1], leg.frame.x[0])


def _brackets(
    rail: WallRail, number: int, run: BracketRun, rules: RuleSet, words: Words
) -> Iterator[Finding]:
    """What the studs do not allow, and what would."""
    leg, limits = rail.legs[number], bracket_limits(rail.brief, rules)
    for a, b, limit in run.shortfalls:
        ends = a in run.ends or b in run.ends
        ruled = limits.first_ruled if ends else limits.apart_ruled
        between = _between(rail, number, run, a, b)
        what = "the studs leave" if leg.face.backing is Backing.STUDS else "the rail's joints leave"
        text = (
            f"Between {between} {what} {words.mm(b - a)} without a bracket; at most {words.mm(limit)} "
            f"{'may' if ruled else 'should'} be. A backing board fixed to the studs on both sides, or noggins "
            "between them behind the lining, would take a bracket there."
        )
        finding = Finding(
            "design.wall.brackets",
            Verdict.FAIL,
            _place(rail, leg),
            text,
            b - a,
            0.0,
            limit,
            remedy="fix a backing board or noggins there, and tell the wall as a backing board",
        )
        yield finding if ruled else replace(finding, verdict=Verdict.ADVICE)


def _between(rail: WallRail, number: int, run: BracketRun, a: float, b: float) -> str:
    """A stretch of the rail by what bounds it."""
    named = {bracket.u: f"bracket {bracket.id}" for bracket in rail.brackets if bracket.leg == number}
    first = "the rail's lower end" if a == run.ends[0] else named.get(a, "a bracket")
    last = "its upper end" if b == run.ends[1] else named.get(b, "a bracket")
    return f"{first} and {last}"


def _packing(rail: WallRail, words: Words) -> Iterator[Finding]:
    """Packing behind the brackets where the wall is hollow, and wedges where it is out of plumb."""
    thick = [bracket for bracket in rail.brackets if bracket.packing > LEAST_PACKER]
    if thick:
        told = ", ".join(f"{bracket.id} {words.mm(bracket.packing)}" for bracket in thick)
        text = f"The wall is hollow behind {len(thick)} of the brackets; pack them out: {told}."
        most = max(bracket.packing for bracket in thick)
        yield Finding("design.wall.packing", Verdict.REPORT, f"{rail.id}: brackets", text, most)
    leaning = [bracket for bracket in rail.brackets if abs(bracket.wedge) > LEAST_PACKER]
    if leaning:
        worst = max(leaning, key=lambda bracket: abs(bracket.wedge))
        edge = "lower" if worst.wedge > 0.0 else "upper"
        text = (
            f"The wall is out of plumb: wedge the {edge} edges of the plates out by up to "
            f"{words.mm(abs(worst.wedge))}, or the arms tilt the rail."
        )
        yield Finding("design.wall.plumb", Verdict.REPORT, f"{rail.id}: brackets", text, abs(worst.wedge))
