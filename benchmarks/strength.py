"""How long it takes to know whether a balustrade will stand."""

from collections.abc import Iterator

from benchmarks.jobs import with_uprights
from benchmarks.timing import Timed, warm
from pitchline.catalogue.rules import load_rule_set
from pitchline.job.value import Job
from pitchline.story import solve
from pitchline.strength.edge import StandingLeg, strength_of_edge
from pitchline.strength.solved import DEFAULTS, Study
from pitchline.strength.uses import highest_of

SIZES = ((20, 30.0, 0.010), (100, 10.0, 0.020), (300, 3.0, 0.050))
"""Uprights, their width in mm, and the seconds that one frame of them should reach."""

POINT_LOADS = "us-irc-2021"
"""Rules that ask for a single load anywhere along the top."""


def strength_rows_of(demo: Job) -> Iterator[tuple[str, Timed, float]]:
    """What is timed, how long it takes, and the seconds it should reach."""
    legs, rules = legs_of(demo)
    yield "strength of one design of the example", warm(lambda _: strength_of_edge(legs, rules)), 0.015
    for count, width, reach in SIZES:
        many, _ = legs_of(with_uprights(demo, count, width))
        yield f"frame of {count} uprights drawn, solved and used", warm(lambda _, of=many: _used(of)), reach


def legs_of(job: Job) -> tuple[tuple[StandingLeg, ...], object]:
    """The legs of the first edge of a job as they stand, and its rules."""
    solved = solve(job)
    whole = solved.balustrades[0]
    edge = whole.edges[0]
    legs = zip(whole.legs, edge.places, strict=False)
    return tuple(StandingLeg(leg.design, (), place) for leg, place in legs), solved.rules


def _used(legs: tuple[StandingLeg, ...]) -> float:
    """One frame under all its loads, and how far it is used."""
    study = Study(legs, load_rule_set(POINT_LOADS), DEFAULTS)
    return highest_of(study, study.likely)
