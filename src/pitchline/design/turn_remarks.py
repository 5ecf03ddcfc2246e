"""What there is to say of the turns of an edge: how the handrail goes on there, and its cuts."""

import math
from collections.abc import Iterator, Sequence

from pitchline.design.brief import NewelBetween
from pitchline.design.model import Design, Easement
from pitchline.design.turns import BuiltTurn
from pitchline.kit.finding import Finding, Verdict
from pitchline.kit.geometry.bevels import Joint
from pitchline.kit.geometry.easings_stock import least_blank
from pitchline.kit.geometry.meetings_ways import (
    DepthWay,
    LevelWay,
    PlumbWay,
    PostWay,
    RoundWay,
    Turn,
    Way,
    mitre_way,
    ways_round,
)
from pitchline.kit.tolerances import RAILS_MEET, ROLL_SHOWS
from pitchline.kit.words import Words
from pitchline.stair.edge import turn_words


def turn_remarks(
    balustrade: str, turns: Sequence[BuiltTurn], legs: Sequence[Design], words: Words
) -> tuple[Finding, ...]:
    """Remarks on every turn, from the foot up."""
    found: list[Finding] = []
    for turn, before, after in zip(turns, legs[:-1], legs[1:], strict=True):
        if isinstance(turn.brief, NewelBetween):
            found.append(_between(turn, turn.brief, balustrade, words))
            continue
        where = f"{balustrade}: turn {turn.number}, {before.leg} to {after.leg}"
        found += _step(turn, where, words)
        if turn.easement is not None:
            found.append(_easing(turn.easement, where, words))
        if turn.joint is not None:
            found += _joint(turn, turn.joint, before, after, where, words)
    return tuple(found)


def _between(turn: BuiltTurn, brief: NewelBetween, balustrade: str, words: Words) -> Finding:
    """A newel between two bays: where it stands and how the rails pass it."""
    post = turn.post
    if post is None:
        raise TypeError("a newel between stands")
    text = (
        f"{post.id} stands {post.stands} between the ends, {words.mm(post.foot[0])} level from N1, and divides the "
        "run into two bays, each laid out by itself. "
    )
    if brief.under_rail:
        text += "The handrail passes over it: screw it down from below, and put a joint only over its middle."
    else:
        text += "The rails are cut between newels; where the place asks for a handrail that runs on unbroken, let it "
        text += "pass over the newel (under_rail)."
    return Finding("design.newel.between", Verdict.REPORT, f"{balustrade}: {post.id}", text)


def _step(turn: BuiltTurn, where: str, words: Words) -> Iterator[Finding]:
    """How the handrails stand to each other on a newel."""
    post = turn.post
    if post is None or turn.joint is not None:
        return
    if abs(turn.step) <= RAILS_MEET:
        text = f"Both handrails run into {post.id} at one height ({turn_words(turn.angle)})."
    else:
        way = "above" if turn.step > 0 else "below"
        text = (
            f"On the axis of {post.id} the upper leg's handrail stands {words.mm(abs(turn.step))} {way} the lower "
            f"leg's ({turn_words(turn.angle)}): the hand changes height there. A longer newel takes both; rails that "
            "are to run on unbroken need their heights left open and a mitred turn."
        )
    yield Finding("design.turn.step", Verdict.REPORT, where, text, turn.step, unit="mm")


def _easing(piece: Easement, where: str, words: Words) -> Finding:
    """The bent piece: its radius, tangents and stock."""
    easing = piece.easing
    blank = least_blank(piece.outline)
    bend = "down" if easing.turn < 0.0 else "up"
    text = (
        f"The handrail bends {bend} by {math.degrees(abs(easing.turn)):.2f} degrees on a radius of "
        f"{words.mm(easing.radius)} at its top; the arc begins and ends {words.mm(easing.tangent)} from where "
        f"the two rails would meet, and is {words.mm(easing.arc.length)} long. Saw it from stuff "
        f"{words.mm(blank.width)} wide and {words.mm(blank.length)} long, or glue it up from strips side by side "
        "with their joints staggered."
    )
    return Finding("design.turn.easing", Verdict.REPORT, where, text, easing.radius)


def _joint(
    turn: BuiltTurn, joint: Joint, before: Design, after: Design, where: str, words: Words
) -> Iterator[Finding]:
    """The mitre of joined handrails, and what the section makes of it."""
    first, second = joint.first, joint.second
    text = (
        f"The handrails are joined by a mitre of {joint.turn_deg:.2f} degrees in all ({turn_words(turn.angle)}). "
        f"Read from a square cut with the rail lying on its underside: {before.handrail.id} mitre "
        f"{abs(first.mitre_deg):.2f}, bevel {abs(first.bevel_deg):.2f}; {after.handrail.id} mitre "
        f"{abs(second.mitre_deg):.2f}, bevel {abs(second.bevel_deg):.2f} degrees."
    )
    yield Finding("design.turn.mitre", Verdict.REPORT, where, text, joint.turn_deg, unit="deg")
    if abs(joint.roll_deg) > ROLL_SHOWS:
        yield _roll(turn, joint, before, after, where, words)


def _roll(turn: BuiltTurn, joint: Joint, before: Design, after: Design, where: str, words: Words) -> Finding:
    """A section that cannot run round: how far it misses, and the ways that can, each with its numbers."""
    rail = before.handrail
    round_the_turn = Turn(
        math.degrees(rail.top.angle),
        math.degrees(after.handrail.top.angle),
        math.degrees(turn.angle),
        rail.width,
        rail.depth,
    )
    off = mitre_way(round_the_turn).misses
    ways = [words_of for way in ways_round(round_the_turn) if (words_of := _way_words(way, words))]
    text = (
        f"Pitch and plan change together here, so the two sections would have to be rolled "
        f"{abs(joint.roll_deg):.1f} degrees to run on: with both rails upright corner misses corner by about "
        f"{words.about(off)} at the mitre. Ways out: {'; '.join(ways)}."
    )
    return Finding("design.turn.roll", Verdict.ADVICE, where, text, abs(joint.roll_deg), unit="deg")


def _way_words(way: Way, words: Words) -> str:
    """One way round a turn, with what a maker needs to weigh it."""
    match way:
        case RoundWay(_, diameter):
            return f"a round rail of up to {words.mm(diameter)}, mitred as told"
        case LevelWay(_, level_before, level_behind):
            pieces = [
                f"{words.mm(length)} {place} the corner"
                for length, place in ((level_before, "before"), (level_behind, "behind"))
                if length > 0.0
            ]
            return f"level pieces of at least {' and '.join(pieces)}, so that the turn is made on the level"
        case PlumbWay(_, height, roll):
            rest = "" if abs(roll) <= ROLL_SHOWS else ", whose section still has to be turned with the plan"
            return f"a plumb piece of at least {words.mm(height)} between the two{rest}"
        case PostWay(twist):
            turned = "" if abs(twist) <= ROLL_SHOWS else f" turned {abs(twist):.1f} degrees in plan"
            return f"a newel{turned} that both rails run into"
        case DepthWay(depth, _, _, part):
            rest = "" if part <= RAILS_MEET else f" (long edges part by {words.mm(part)})"
            return f"plumb cuts on both, the upper rail made {words.mm(depth)} deep to match{rest}"
        case _:
            return ""
