"""Limits on movement by the rules, and what is to be said of a design's strength: findings, each one sentence."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitchline.catalogue.rules import RuleSet
from pitchline.design.model import Design
from pitchline.kit.finding import Finding, RuleRef, Verdict
from pitchline.kit.frame.mechanism import Mechanism
from pitchline.strength.framing import Model
from pitchline.strength.report import DeflectionLimit, Movement, Utilisation
from pitchline.strength.settings import Code, StrengthSettings
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
    height = max((standing.height for standing in model.posts), default=0.0)
    at_post = "handrail at" in movement.where
    post = rules.figure("deflection.post.height")
    rail, span = rules.figure("deflection.rail.height"), rules.figure("deflection.rail.span")
    if at_post and post is not None:
        return DeflectionLimit(
            post.value * height, "head of a newel", rules.ref("deflection.post.height"), binds=False
        )
    if rail is not None and span is not None:
        value = rail.value * height + span.value * bay_span(model, movement.u)
        return DeflectionLimit(value, "rail between newels", rules.ref("deflection.rail.span"), binds=False)
    return DeflectionLimit(USUAL_LIMIT, "any point", None, binds=False)


def bay_span(model: Model, u: float) -> float:
    """Length of rail between the newels (or ends) on both sides of a place, mm."""
    heads = {standing.head for standing in model.posts}
    places = sorted(v for name, v in model.rail_nodes if name in heads)
    ends = [model.rail_nodes[0][1], *places, model.rail_nodes[-1][1]]
    before = max((v for v in ends if v <= u), default=ends[0])
    behind = min((v for v in ends if v > u), default=ends[-1])
    return (behind - before) / math.cos(model.rail_line.angle)


def findings_of(
    design: Design,
    code: Code,
    movement: Movement,
    limit: DeflectionLimit,
    uses: Sequence[Utilisation],
    model: Model,
) -> tuple[Finding, ...]:
    """What is to be said: movement, what is used most, play, bases not known, legs that lean on others."""
    judged = (_movement(design, movement, limit), *_used(design, code, uses))
    if model.leaning:
        judged = tuple(_softened(finding) for finding in judged)
    return (
        *judged,
        *_play(design, movement),
        *_unknown(model),
        *_leaning(design, model),
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


def not_standing(design: Design, mechanisms: Sequence[Mechanism], leaning: Sequence[str]) -> Finding:
    """What is said of a leg that moves freely: where and which way; only reported where it leans on another leg."""
    how = moving_freely(mechanisms)
    text = f"this does not stand by itself: {how}"
    remedy = "give it a newel or a wall at each end, or rails and uprights whose joints resist turning"
    if leaning:
        text = f"not judged: an end of the handrail is {leaning[0]}, and without that leg {how}"
        remedy = "ask an engineer to look at both legs together"
        return Finding("strength.leaning", Verdict.REPORT, f"design {design.id}", text, remedy=remedy)
    return Finding("strength.unstable", Verdict.FAIL, f"design {design.id}", text, remedy=remedy)


def _movement(design: Design, movement: Movement, limit: DeflectionLimit) -> Finding:
    unsure = max(movement.high - movement.value, movement.value - movement.low)
    span = f"{movement.low:.0f} to {movement.high:.0f} mm as bases and joints turn out"
    if math.isinf(unsure):
        span = f"{movement.low:.0f} mm at best; if no joint resists turning it does not stand at all"
    main = max(movement.shares.items(), key=lambda pair: pair[1]) if movement.shares else ("", 0.0)
    if movement.high <= limit.value:
        verdict = Verdict.PASS
    elif movement.low > limit.value:
        verdict = Verdict.FAIL if limit.binds else Verdict.ADVICE
    else:
        verdict = Verdict.UNSURE if limit.binds else Verdict.ADVICE
    text = (
        f"{movement.where} moves {movement.value:.0f} mm under {movement.case} "
        f"({span}); limit {limit.value:.0f} mm; "
        f"most of it is {main[0]} ({main[1]:.0f} mm)"
    )
    remedy = None
    if verdict is not Verdict.PASS:
        remedy = "pull at the newels to know their bases" if main[0] == "bases" else _stiffer(main[0])
    where = f"design {design.id}"
    return Finding(
        "strength.movement",
        verdict,
        where,
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


def _used(design: Design, code: Code, uses: Sequence[Utilisation]) -> Iterator[Finding]:
    """The most used thing always; every further one that fails."""
    failing = sum(use.ratio > 1.0 for use in uses)
    for n, use in enumerate(uses[: max(1, min(failing, MOST_TOLD))]):
        fails = use.ratio > 1.0
        rule = RuleRef(str(code), use.clause, "V-S")
        if math.isinf(use.ratio):
            text = f"{use.where}: {use.worked}"
        else:
            text = f"{use.where} is used to {100 * use.ratio:.0f} % under {use.case}: {use.worked}"
        verdict = Verdict.FAIL if fails else Verdict.PASS
        measured = None if math.isinf(use.ratio) else use.ratio
        remedy = "a larger section, more or thicker fixings, or a newel between" if fails else None
        if n == MOST_TOLD - 1 and failing > MOST_TOLD:
            text += f"; {failing - MOST_TOLD} more are used above what they bear"
        yield Finding(
            "strength.used", verdict, f"design {design.id}", text, measured, None, 1.0, "", rule, remedy
        )


def _play(design: Design, movement: Movement) -> Iterator[Finding]:
    play = movement.shares.get("play of holes", 0.0)
    if play > PLAY_TOLD:
        text = f"the play of bolts in their holes alone moves {movement.where} by {play:.0f} mm"
        remedy = "bore the holes to the bolt's size, or add screws"
        yield Finding(
            "strength.play",
            Verdict.ADVICE,
            f"design {design.id}",
            text,
            play,
            None,
            PLAY_TOLD,
            "mm",
            None,
            remedy,
        )


def _unknown(model: Model) -> Iterator[Finding]:
    for standing in model.posts:
        if standing.base.name == "as found":
            text = (
                f"nothing is known of the base of {standing.post.id}: 15 to 120 kNm/rad are taken for it, and its "
                "strength is not judged"
            )
            remedy = "hang 200 N at rail height, read how far it moves, and state force, height and reading"
            yield Finding("strength.base", Verdict.REPORT, standing.post.id, text, remedy=remedy)


def spacing_findings(design: Design, settings: StrengthSettings) -> Iterator[Finding]:
    """Fixings of bases that stand too near to each other or to an edge."""
    for post in design.posts:
        base, support = how_it_stands(post, design, settings)
        for near in too_near(base, post_end(post, settings), support):
            text = f"base of {post.id}: {near.what} {near.have:.0f} mm, {near.need:.0f} mm are needed"
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


def _leaning(design: Design, model: Model) -> Iterator[Finding]:
    for name in model.leaning:
        text = f"an end of the handrail is {name}; here it counts as free, on the safe side"
        yield Finding("strength.leaning", Verdict.REPORT, f"design {design.id}", text)
