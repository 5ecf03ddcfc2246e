"""Limits on movement by the rules, and what is to be said of an edge's strength: findings, each one sentence."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.catalogue.rules import RuleSet
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.frame.mechanism import Mechanism
from pitchline.kit.words import Words
from pitchline.strength.model import LegModel, Model
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
    model, title, words = study.structure.model, study.title, study.words
    judged = (_movement(title, movement, limit, words), *_used(study, uses))
    if model.leaning:
        judged = tuple(_softened(finding) for finding in judged)
    return (
        *judged,
        *_play(title, movement, words),
        *_unknown(model),
        *_walls(study, walls),
        *_leaning(title, model),
        *spacing_findings(study),
    )


_WAYS = {"x": "along the balustrade", "y": "across the balustrade", "z": "up and down"}


def moving_freely(mechanisms: Sequence[Mechanism]) -> str:
    """What moves freely and which way, in a maker's words."""
    told = [
        f"node {m.node} {'turns' if m.turns else 'moves'} "
        f"{'about ' + m.way if m.turns else _WAYS.get(m.way, 'along ' + m.way)} {m.resists}"
        for m in mechanisms
    ]
    return "; ".join(told) or "nothing of it stands on anything"


def not_standing(study: Study, mechanisms: Sequence[Mechanism]) -> Finding:
    """What is said of an edge that moves freely: where and which way; only reported where it leans on another leg."""
    how = moving_freely(mechanisms)
    text = f"this does not stand by itself: {how}"
    remedy = "give it a newel or a wall at each end, or rails and uprights whose joints resist turning"
    leaning = study.structure.model.leaning
    if leaning:
        text = f"not judged: an end of the handrail is {leaning[0]}, and without that leg {how}"
        remedy = "judge both legs together, or ask an engineer to"
        return Finding("strength.leaning", Verdict.REPORT, study.title, text, remedy=remedy)
    return Finding("strength.unstable", Verdict.FAIL, study.title, text, remedy=remedy)


def _movement(title: str, movement: Movement, limit: DeflectionLimit, words: Words) -> Finding:
    unsure = max(movement.high - movement.value, movement.value - movement.low)
    span = f"{words.about(movement.low)} to {words.about(movement.high)} as bases and joints turn out"
    if math.isinf(unsure):
        span = f"{words.about(movement.low)} at best; if no joint resists turning it does not stand at all"
    main = max(movement.shares.items(), key=lambda pair: pair[1]) if movement.shares else ("", 0.0)
    if movement.high <= limit.value:
        verdict = Verdict.PASS
    elif movement.low > limit.value:
        verdict = Verdict.FAIL if limit.binds else Verdict.ADVICE
    else:
        verdict = Verdict.UNSURE if limit.binds else Verdict.ADVICE
    text = (
        f"{movement.where} moves {words.about(movement.value)} under {movement.case} "
        f"({span}); limit {words.about(limit.value)}; "
        f"most of it is {main[0]} ({words.about(main[1])})"
    )
    remedy = None
    if verdict is not Verdict.PASS:
        remedy = "pull at the newels to know their bases" if main[0] == "bases" else _stiffer(main[0])
    return Finding(
        "strength.movement",
        verdict,
        title,
        text,
        movement.value,
        None if math.isinf(unsure) else unsure,
        limit.value,
        "mm",
        limit.rule,
        remedy,
    )


def _softened(finding: Finding) -> Finding:
    """A leg that leans on another may hold with it: what fails alone is not known."""
    return replace(finding, verdict=Verdict.UNSURE) if finding.verdict is Verdict.FAIL else finding


def _stiffer(share: str) -> str:
    return {
        "handrail": "a wider handrail or a newel between",
        "newels": "thicker newels",
        "play of holes": "holes that fit the bolts, or screws beside them",
        "joints": "joints housed deeper or glued",
    }.get(share, "a newel between, or stiffer fixings")


def _used(study: Study, uses: Sequence[Utilisation]) -> Iterator[Finding]:
    """The most used thing always; every further one that fails."""
    failing = sum(use.ratio > 1.0 for use in uses)
    for n, use in enumerate(uses[: max(1, min(failing, MOST_TOLD))]):
        fails = use.ratio > 1.0
        rule = RuleRef(str(study.code), use.clause, "V-S")
        if math.isinf(use.ratio):
            text = f"{use.where}: {use.worked}"
        else:
            text = f"{use.where} is used to {100 * use.ratio:.0f} % under {use.case}: {use.worked}"
        verdict = Verdict.FAIL if fails else Verdict.PASS
        measured = None if math.isinf(use.ratio) else use.ratio
        remedy = "a larger section, more or thicker fixings, or a newel between" if fails else None
        if n == MOST_TOLD - 1 and failing > MOST_TOLD:
            text += f"; {failing - MOST_TOLD} more are used above what they bear"
        yield Finding("strength.used", verdict, study.title, text, measured, None, 1.0, "", rule, remedy)


def _play(title: str, movement: Movement, words: Words) -> Iterator[Finding]:
    play = movement.shares.get("play of holes", 0.0)
    if play > PLAY_TOLD:
        text = f"the play of bolts in their holes alone moves {movement.where} by {words.about(play)}"
        remedy = "bore the holes to the bolt's size, or add screws"
        yield Finding("strength.play", Verdict.ADVICE, title, text, play, None, PLAY_TOLD, "mm", None, remedy)


def _unknown(model: Model) -> Iterator[Finding]:
    for standing in model.posts:
        if standing.base.name == "as found":
            text = (
                f"nothing is known of the base of {standing.post.id}: 15 to 120 kNm/rad are taken for it, and its "
                "strength is not judged"
            )
            remedy = "hang 200 N at rail height, read how far it moves, and state force, height and reading"
            yield Finding("strength.base", Verdict.REPORT, standing.post.id, text, remedy=remedy)


def _walls(study: Study, walls: Sequence[WallDemand]) -> Iterator[Finding]:
    """What walls must bear where nothing is stated of them."""
    for demand in walls:
        if hold_of(study.settings, demand.piece) is None:
            text = (
                f"the wall at {demand.piece} must bear {demand.pull:.0f} N out of it and {demand.shear:.0f} N along "
                f"it under {demand.case}, factors included; what its fixings bear is not known and not judged"
            )
            remedy = "choose fixings for that wall that bear both together, and state what each bears"
            yield Finding(
                "strength.wall",
                Verdict.REPORT,
                demand.piece,
                text,
                demand.pull,
                None,
                None,
                "N",
                None,
                remedy,
            )


def spacing_findings(study: Study) -> Iterator[Finding]:
    """Fixings of bases that stand too near to each other or to an edge."""
    words = study.words
    for standing in study.structure.model.posts:
        post, design = standing.post, study.legs[standing.leg].design
        base, support = how_it_stands(post, design, study.settings)
        for near in too_near(base, post_end(post, study.settings), support):
            text = f"base of {post.id}: {near.what} {words.about(near.have)}, {words.about(near.need)} are needed"
            rule = RuleRef(str(Code.EC5_2004), f"table {near.clause}", "V-S")
            remedy = "set them further apart, or take thinner ones"
            yield Finding(
                "strength.spacing",
                Verdict.FAIL,
                post.id,
                text,
                near.have,
                None,
                near.need,
                "mm",
                rule,
                remedy,
            )


def _leaning(title: str, model: Model) -> Iterator[Finding]:
    for name in model.leaning:
        text = f"an end of the handrail is {name}; here it counts as free, on the safe side"
        yield Finding("strength.leaning", Verdict.REPORT, title, text)
