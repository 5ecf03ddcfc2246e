"""Limits on movement by the rules, and what is to be said of an edge's strength: findings, each one sentence."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.catalogue.rules import RuleSet
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.force_words import ForceWords
from pitchline.kit.frame.mechanism import Mechanism
from pitchline.kit.words import PLAIN, Words
from pitchline.strength.model import LegModel, Model
from pitchline.strength.places import free_ends, place_of, way_of
from pitchline.strength.rail_uses import hold_of
from pitchline.strength.report import DeflectionLimit, Movement, Utilisation, WallDemand
from pitchline.strength.settings import Code
from pitchline.strength.solved import Study
from pitchline.strength.spacings import too_near
from pitchline.strength.standing import how_it_stands, post_end

USUAL_LIMIT = 25.0
"""mm: what is advised where the rules set no limit on movement (common practice, after BS 6180)."""

FEELS_SOLID = 15.0
"""mm: up to here a guarding feels solid (common practice, no source)."""

PLAY_TOLD = 5.0
"""mm at the rail from which the play of bolt holes is told of (project choice)."""

PULL_TRIED = 200.0
"""N: a force that one person hangs or pulls by a spring balance (common practice, no source)."""

MOST_TOLD = 5
"""So many overused pieces and joints are told one by one; of the rest their number."""


def deflection_limit(rules: RuleSet, model: Model, movement: Movement) -> DeflectionLimit:
    """The limit that holds at the place that moves most.

    Of a set that states a height or span share (ASTM E985) the newel's or the rail's; these advise only.
    """
    plain = rules.figure("deflection.any")
    if plain is not None:
        return DeflectionLimit(plain.value, "any point", rules.ref("deflection.any"), binds=True)
    leg = model.leg_of(movement.node)
    heads = {head.node: model.by_post[head.post] for head in leg.heads}
    height = max((standing.height for standing in heads.values()), default=0.0)
    post = rules.figure("deflection.post.height")
    rail, span = rules.figure("deflection.rail.height"), rules.figure("deflection.rail.span")
    if movement.node in heads and post is not None:
        value = post.value * heads[movement.node].height
        return DeflectionLimit(value, "head of a newel", rules.ref("deflection.post.height"), binds=False)
    if rail is not None and span is not None:
        long = bay_span(leg, movement.u - leg.leg.place.du)
        value = rail.value * height + span.value * long
        return DeflectionLimit(value, "rail between newels", rules.ref("deflection.rail.span"), binds=False)
    return DeflectionLimit(USUAL_LIMIT, "any point", None, binds=False)


def bay_span(leg: LegModel, u: float) -> float:
    """Length of a leg's rail between the newels (or ends) on both sides of a place, mm."""
    places = sorted(head.u for head in leg.heads)
    ends = [leg.rail_nodes[0][1], *places, leg.rail_nodes[-1][1]]
    before = max((v for v in ends if v <= u), default=ends[0])
    behind = min((v for v in ends if v > u), default=ends[-1])
    return (behind - before) / math.cos(leg.rail_line.angle)


def findings_of(
    study: Study,
    movement: Movement,
    limit: DeflectionLimit,
    uses: Sequence[Utilisation],
    walls: Sequence[WallDemand],
) -> tuple[Finding, ...]:
    """What is to be said: movement, what is used most, play, bases and walls not known, legs that lean on others."""
    model = study.structure.model
    judged = (_movement(study, movement, limit), *_used(study, uses))
    if model.leaning:
        judged = tuple(_softened(finding) for finding in judged)
    return (
        *judged,
        *_play(study, movement),
        *_unknown(study),
        *_walls(study, walls),
        *_leaning(study),
        *spacing_findings(study),
    )


def moving_freely(model: Model, mechanisms: Sequence[Mechanism], words: Words = PLAIN) -> str:
    """What moves freely and which way, in a maker's words."""
    told = []
    for m in mechanisms:
        leg = next(
            (leg for leg in model.legs if any(m.node == name for name, _ in leg.rail_nodes)), model.legs[0]
        )
        what = "turns" if m.turns else "moves"
        place = place_of(model, m.node, words)
        named = "" if place == m.node else f", {place},"
        told.append(f"node {m.node}{named} {what} {way_of(m, leg.leg)} {m.resists}")
    return "; ".join(told) or "nothing of it stands on anything"


def not_standing(study: Study, mechanisms: Sequence[Mechanism]) -> Finding:
    """What is said of an edge that moves freely: where and which way; only reported where it leans on another leg."""
    model = study.structure.model
    how = moving_freely(model, mechanisms, study.words)
    free = tuple(name for _, name in free_ends(model))
    where = study.at(free[0] if free else "balustrade")
    if model.leaning:
        text = f"Not judged: an end of the handrail is {model.leaning[0]}, and without that leg {how}."
        remedy = "judge both legs together, or ask an engineer to"
        return Finding("strength.leaning", Verdict.REPORT, where, text, remedy=remedy)
    remedy = "give it a newel or a wall at each end, or rails and uprights whose joints resist turning"
    if free:
        remedy = f"put a newel under the {' and the '.join(free)}, or fix that end to a wall"
    text = f"This does not stand by itself: {how}. No movement or strength can be told."
    return Finding("strength.unstable", Verdict.FAIL, where, text, remedy=remedy)


def _movement(study: Study, movement: Movement, limit: DeflectionLimit) -> Finding:
    words = study.words
    unsure = max(movement.high - movement.value, movement.value - movement.low)
    if math.isinf(unsure):
        span = f"{words.about(movement.low)} at best; if no joint resists turning it does not stand at all"
    else:
        span = f"{words.about(movement.low)} to {words.about(movement.high)} as bases and joints turn out"
    main = max(movement.shares.items(), key=lambda pair: pair[1]) if movement.shares else ("", 0.0)
    text = (
        f"The {movement.where} moves {words.about(movement.value)} under the {study.load_named(movement.case)} "
        f"({span}); "
        f"{words.about(limit.value)} {'are allowed' if limit.binds else 'are advised at most'}. "
        f"The largest share is {OF_SHARE.get(main[0], main[0])}: {words.about(main[1])}."
    )
    verdict = _verdict(movement, limit)
    remedy = None if verdict is Verdict.PASS else _stiffer(main[0])
    return Finding(
        "strength.movement",
        verdict,
        study.at(movement.rail),
        text,
        movement.value,
        None if math.isinf(unsure) else unsure,
        limit.value,
        "mm",
        limit.rule,
        remedy,
    )


OF_SHARE = {
    "bases": "that of the newels' bases",
    "newels": "that of the newels, which bend",
    "handrail": "that of the handrail, which bends",
    "base rail": "that of the base rail",
    "uprights": "that of the uprights, which bend",
    "joints": "that of the joints of rails and uprights",
    "play of holes": "the play of bolts in their holes",
    "fixings to string and wall": "that of the fixings to string and wall",
}
"""What a movement is made of, in words."""


def _verdict(movement: Movement, limit: DeflectionLimit) -> Verdict:
    if movement.high <= limit.value:
        return Verdict.PASS
    if not limit.binds:
        return Verdict.ADVICE
    return Verdict.FAIL if movement.low > limit.value else Verdict.UNSURE


def _softened(finding: Finding) -> Finding:
    """A leg that leans on another may hold with it: what fails alone is not known."""
    return replace(finding, verdict=Verdict.UNSURE) if finding.verdict is Verdict.FAIL else finding


def _stiffer(share: str) -> str:
    return {
        "bases": "pull at the newels to know their bases, stand them stiffer, or add a newel between",
        "handrail": "a wider handrail or a newel between",
        "newels": "thicker newels",
        "play of holes": "holes that fit the bolts, or screws beside them",
        "joints": "joints housed deeper or glued",
    }.get(share, "a newel between, or stiffer fixings")


def _used(study: Study, uses: Sequence[Utilisation]) -> Iterator[Finding]:
    """The most used thing always; every further one that fails."""
    failing, forces = sum(use.ratio > 1.0 for use in uses), ForceWords(study.words.unit)
    for n, use in enumerate(uses[: max(1, min(failing, MOST_TOLD))]):
        fails = use.ratio > 1.0
        code = str(study.code)
        rule = RuleRef(code, use.clause.removeprefix(f"{code} "), "V-S")
        if math.isinf(use.ratio):
            text = f"{_capital(use.what)}: {use.worked}."
        else:
            text = (
                f"{_capital(use.what)}: used to {100 * use.ratio:.0f} % under the {study.load_named(use.case)}: "
                f"{forces.of(use.acts, use.unit)} of {forces.of(use.bears, use.unit)}."
            )
        if n == MOST_TOLD - 1 and failing > MOST_TOLD:
            text += f" {failing - MOST_TOLD} more are used above what they bear."
        verdict = Verdict.FAIL if fails else Verdict.PASS
        measured = None if math.isinf(use.ratio) else use.ratio
        remedy = _stronger(use) if fails else None
        where = study.at(use.piece)
        yield Finding("strength.used", verdict, where, text, measured, None, 1.0, "", rule, remedy)


def _stronger(use: Utilisation) -> str:
    """What helps against one thing that is used too far."""
    if use.what.startswith("base "):
        return "more or thicker fixings at its foot, a longer lap, a socket, or a newel between to share the push"
    if use.what == "screws to its seat":
        return "more or thicker screws through the base rail, or newels whose own bases bear the push"
    if use.what.startswith(("end at ", "joint with ")):
        return "more or thicker fixings there"
    if use.what == "notch":
        return "a shallower notch, or a thicker newel"
    if use.what == "fixings in the wall":
        return "more fixings, or ones that bear more in that wall"
    return "a larger section, or a newel between"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _play(study: Study, movement: Movement) -> Iterator[Finding]:
    words = study.words
    play = movement.shares.get("play of holes", 0.0)
    if play > PLAY_TOLD:
        text = f"The play of bolts in their holes alone moves this by {words.about(play)}."
        remedy = "bore the holes to the bolt's size, or add screws"
        where = study.at(movement.rail)
        yield Finding("strength.play", Verdict.ADVICE, where, text, play, None, PLAY_TOLD, "mm", None, remedy)


def _unknown(study: Study) -> Iterator[Finding]:
    forces = ForceWords(study.words.unit)
    for standing in study.structure.model.posts:
        base, where = standing.base, study.at(standing.post.id)
        if base.name == "as found":
            text = (
                f"Nothing is known of the base of {standing.post.id}: {forces.turning(base.across.low)} to "
                f"{forces.turning(base.across.high)} are taken for it, and its strength is not judged."
            )
            remedy = (
                f"hang {forces.force(PULL_TRIED)} at rail height, read how far it moves, and state force, height "
                "and reading"
            )
            yield Finding("strength.base", Verdict.REPORT, where, text, remedy=remedy)
        elif base.name.startswith("as found"):
            text = (
                f"How the base of {standing.post.id} is made is not known: a pull has shown how far it gives, not "
                "what it bears, so its strength is not judged."
            )
            remedy = "open it up and state how it is fixed, or let an engineer test what it bears"
            yield Finding("strength.base", Verdict.REPORT, where, text, remedy=remedy)


def _walls(study: Study, walls: Sequence[WallDemand]) -> Iterator[Finding]:
    """What walls must bear where nothing is stated of them."""
    forces = ForceWords(study.words.unit)
    for demand in walls:
        if hold_of(study.settings, demand.piece) is not None:
            continue
        pull, shear = forces.force(demand.pull), forces.force(demand.shear)
        each = "" if demand.places == 1 else f" at the worst of {demand.places} heights"
        text = (
            f"Its wall must bear {pull} out of it and {shear} along it{each} under the "
            f"{study.load_named(demand.case)}, factors included; what its fixings bear is not stated and not judged."
        )
        remedy = "choose fixings for that wall that bear both together, and state what each bears"
        where = study.at(demand.piece)
        yield Finding("strength.wall", Verdict.REPORT, where, text, demand.pull, unit="N", remedy=remedy)


def spacing_findings(study: Study) -> Iterator[Finding]:
    """Fixings of bases that stand too near to each other or to an edge."""
    words = study.words
    for standing in study.structure.model.posts:
        post, design = standing.post, study.legs[standing.leg].design
        base, support = how_it_stands(post, design, study.settings)
        for near in too_near(base, post_end(post, study.settings), support):
            text = f"Base: {near.what} {words.about(near.have)}; {words.about(near.need)} are needed."
            rule = RuleRef(str(Code.EC5_2004), f"table {near.clause}", "V-S")
            remedy = "set them further apart, or take thinner ones"
            where = study.at(post.id)
            yield Finding(
                "strength.spacing", Verdict.FAIL, where, text, near.have, None, near.need, "mm", rule, remedy
            )


def _leaning(study: Study) -> Iterator[Finding]:
    for name in study.structure.model.leaning:
        text = f"An end of the handrail is {name}; here it counts as free, on the safe side."
        yield Finding("strength.leaning", Verdict.REPORT, study.at("handrail"), text)
