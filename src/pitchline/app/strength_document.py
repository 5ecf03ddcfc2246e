"""The strength of a design in the result document; N, mm, MPa, radians where a name says so. Nothing is rounded.

A number that has no end (what falls, what bears nothing, what is rigid) is null.
"""

import math

from typing_extensions import TypedDict

from pitchline.story_strength import EdgeStrength, worst_of
from pitchline.strength.bases.springs import Range
from pitchline.strength.changes import Consequence
from pitchline.strength.report import Movement, StandingPost, StrengthReport, Utilisation


class MovementDoc(TypedDict):
    """The largest level movement under one kind of load; ``low`` and ``high`` with all that is uncertain."""

    load_case: str
    load: str
    text: str
    rail: str
    u: float
    value: float | None
    low: float | None
    high: float | None
    shares: dict[str, float]


class UtilisationDoc(TypedDict):
    """How far a piece or joint is used."""

    piece: str
    strain: str
    ratio: float | None
    acts: float | None
    bears: float | None
    unit: str
    clause: str
    load_case: str
    worked: str


class StiffnessDoc(TypedDict):
    """A stiffness against turning, Nmm/rad; null is rigid."""

    low: float | None
    likely: float | None
    high: float | None


class StandingDoc(TypedDict):
    """How a post stands, and how far its head moves in the worst case."""

    post: str
    base: str
    across: StiffnessDoc
    along: StiffnessDoc
    play_across_rad: float
    play_along_rad: float
    head_moves: float | None
    assumed: list[str]


class StateDoc(TypedDict):
    """Movement and highest utilisation after a change; ``stands`` false where it would fall."""

    text: str
    stands: bool
    holds: bool
    movement: float | None
    utilisation: float | None


class WallDoc(TypedDict):
    """What a wall must bear, factors included."""

    piece: str
    kind: str
    pull: float
    shear: float
    load_case: str


class EdgeStrengthDoc(TypedDict):
    """The strength of one edge; of one that does not stand there are no numbers."""

    edge: str
    legs: list[str]
    code: str
    stands: bool
    holds: bool
    limit: float | None
    limit_of: str
    limit_binds: bool
    movement: MovementDoc | None
    movements: list[MovementDoc]
    utilisations: list[UtilisationDoc]
    posts: list[StandingDoc]
    walls: list[WallDoc]
    sensitivity: list[StateDoc]
    cures: list[StateDoc]
    without: list[StateDoc]
    unglued: float | None
    assumptions: list[str]


class StrengthDoc(TypedDict):
    """The strength of a design: of its worst edge in short, then of every edge."""

    deflection: float | None
    deflection_limit: float | None
    utilisation: float | None
    governing: str
    load_case: str
    edges: list[EdgeStrengthDoc]


def strength_document(edges: tuple[EdgeStrength, ...], *, searched: bool = True) -> StrengthDoc | None:
    """The strength of a design's edges; None of a design without one.

    What it would take and what happens without a newel are ``searched``, which may take a second, or left out.
    """
    if not edges:
        return None
    worst = worst_of(edges)
    report = worst.report
    told = [_edge(edge, searched=searched) for edge in edges]
    if report is None:
        (text,) = (finding.text for finding in worst.findings[:1])
        return {
            "deflection": None,
            "deflection_limit": None,
            "utilisation": None,
            "governing": text,
            "load_case": "",
            "edges": told,
        }
    return {
        "deflection": _finite(report.movement.value),
        "deflection_limit": report.limit.value,
        "utilisation": _finite(report.utilisation),
        "governing": report.governing.where,
        "load_case": report.governing.case,
        "edges": told,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _edge(edge: EdgeStrength, *, searched: bool) -> EdgeStrengthDoc:
    answer, report = edge.answer, edge.report
    found: EdgeStrengthDoc = {
        "edge": edge.whole.edge,
        "legs": list(answer.legs),
        "code": answer.code.value,
        "stands": report is not None,
        "holds": False,
        "limit": None,
        "limit_of": "",
        "limit_binds": False,
        "movement": None,
        "movements": [],
        "utilisations": [],
        "posts": [],
        "walls": [],
        "sensitivity": [],
        "cures": [],
        "without": [_without(edge, told) for told in edge.without_posts] if searched else [],
        "unglued": None,
        "assumptions": list(answer.assumptions),
    }
    if report is not None:
        _standing(found, edge, report, searched=searched)
    return found


def _standing(found: EdgeStrengthDoc, edge: EdgeStrength, report: StrengthReport, *, searched: bool) -> None:
    """The numbers of an edge that stands."""
    found["holds"] = report.holds
    found["limit"] = report.limit.value
    found["limit_of"] = report.limit.what
    found["limit_binds"] = report.limit.binds
    found["movement"] = _movement(edge, report.movement)
    found["movements"] = [_movement(edge, movement) for movement in report.by_case]
    found["utilisations"] = list(map(_use, report.utilisations))
    found["posts"] = list(map(_post, report.posts))
    found["walls"] = [
        {
            "piece": wall.piece,
            "kind": wall.kind,
            "pull": wall.pull,
            "shear": wall.shear,
            "load_case": wall.case,
        }
        for wall in report.walls
    ]
    found["sensitivity"] = [
        _state(f"bases {known.factor:g} times as stiff", report, known.movement, known.utilisation)
        for known in report.sensitivity
    ]
    if searched:
        found["cures"] = [
            _state(change.sentence, report, change.after.movement, change.after.utilisation)
            for change in edge.cures
        ]
    found["unglued"] = None if report.unglued is None else _finite(report.unglued)


def _state(text: str, report: StrengthReport, movement: float, utilisation: float) -> StateDoc:
    return {
        "text": text,
        "stands": math.isfinite(movement),
        "holds": movement <= report.limit.value and utilisation <= 1.0,
        "movement": _finite(movement),
        "utilisation": _finite(utilisation),
    }


def _without(edge: EdgeStrength, told: Consequence) -> StateDoc:
    after, limit = told.after, math.inf if edge.report is None else edge.report.limit.value
    return {
        "text": told.sentence,
        "stands": after is not None,
        "holds": after is not None and after.movement <= limit and after.utilisation <= 1.0,
        "movement": None if after is None else _finite(after.movement),
        "utilisation": None if after is None else _finite(after.utilisation),
    }


def _movement(edge: EdgeStrength, movement: Movement) -> MovementDoc:
    return {
        "load_case": movement.case,
        "load": edge.load_named(movement.case),
        "text": movement.where,
        "rail": movement.rail,
        "u": movement.u,
        "value": _finite(movement.value),
        "low": _finite(movement.low),
        "high": _finite(movement.high),
        "shares": dict(movement.shares),
    }


def _use(use: Utilisation) -> UtilisationDoc:
    return {
        "piece": use.piece,
        "strain": use.what,
        "ratio": _finite(use.ratio),
        "acts": _finite(use.acts),
        "bears": _finite(use.bears),
        "unit": use.unit,
        "clause": use.clause,
        "load_case": use.case,
        "worked": use.worked,
    }


def _post(standing: StandingPost) -> StandingDoc:
    base = standing.base
    return {
        "post": standing.post,
        "base": base.name,
        "across": _stiffness(base.across),
        "along": _stiffness(base.along),
        "play_across_rad": base.play_across,
        "play_along_rad": base.play_along,
        "head_moves": _finite(standing.moves),
        "assumed": list(base.assumed),
    }


def _stiffness(known: Range) -> StiffnessDoc:
    return {"low": _finite(known.low), "likely": _finite(known.mean), "high": _finite(known.high)}
