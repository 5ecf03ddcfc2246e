"""What was measured of a balustrade while it is being built: the input of solving the rest again around it.

Lengths in mm, angles in radians. A round is what one visit measured after a gate of the work; of several rounds the
latest word on a piece holds. Names of posts, rails and pieces are those that the plan gave them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from pitchline.survey.readings import Reading


@dataclass(frozen=True, slots=True)
class MeasuredPost:
    """A newel measured where it stands; what is None was not read, and is then taken as it was planned.

    ``station`` is the point on the face that looks at the leg, read ``face_height`` above the leg's lower floor and
    named by the readings. ``where`` is its table in the job file, ``leg`` the flight or level the readings belong to
    (empty: the one it stands on first).
    """

    post: str
    station: str
    where: str
    leg: str = ""
    readings: tuple[Reading, ...] = ()
    face_height: float | None = None
    height_sigma: float = 1.0
    along: float | None = None
    across: float | None = None
    lean_along: float | None = None
    lean_across: float | None = None
    twist: float | None = None
    top_height: float | None = None


@dataclass(frozen=True, slots=True)
class MeasuredRail:
    """A fitted rail: margins of its top edge above nosings and, where it was read, its slope.

    The readings name the line ``line``.
    """

    rail: str
    line: str
    where: str
    readings: tuple[Reading, ...] = ()


class State(StrEnum):
    """How far a piece has come."""

    FITTED = "fitted"
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class SawnEnd:
    """The end of a piece as it was measured, degrees from a square cut; None: as planned."""

    mitre_deg: float | None = None
    bevel_deg: float | None = None


@dataclass(frozen=True, slots=True)
class MadePiece:
    """A piece at hand, by the mark of its place in the plan.

    ``edge`` of a fitted upright is its foot-side edge along the rail from the datum of the running marks; ``length``
    of a cut piece is from longest point to longest point. None: as planned.
    """

    mark: str
    state: State
    where: str
    edge: float | None = None
    edge_sigma: float = 1.0
    length: float | None = None
    start: SawnEnd = SawnEnd()
    finish: SawnEnd = SawnEnd()


@dataclass(frozen=True, slots=True)
class BuiltRound:
    """What was measured of one design after one gate of the work."""

    design: str
    gate: str
    date: str
    where: str
    posts: tuple[MeasuredPost, ...] = ()
    rails: tuple[MeasuredRail, ...] = ()
    pieces: tuple[MadePiece, ...] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands of one design: of every round the latest word on each post, rail and piece."""

    design: str
    gate: str
    date: str
    posts: tuple[MeasuredPost, ...]
    rails: tuple[MeasuredRail, ...]
    pieces: tuple[MadePiece, ...]


def latest(design: str, rounds: Sequence[BuiltRound]) -> Standing:
    """The latest word of the rounds on one design; ValueError where there is none.

    Readings of an earlier round to a newel that was measured again are dropped: it may have been moved in between.
    """
    own = [told for told in rounds if told.design == design]
    if not own:
        raise ValueError(f"nothing was measured of design {design}")
    posts = {(post.post, post.leg): (k, post) for k, told in enumerate(own) for post in told.posts}
    moved = {post.station: k for k, post in posts.values()}
    rails = {rail.rail: rail for told in own for rail in told.rails}
    pieces = {piece.mark: piece for told in own for piece in told.pieces}
    kept = tuple(
        replace(post, readings=tuple(r for r in post.readings if _stands(r, k, moved)))
        for k, post in posts.values()
    )
    last = own[-1]
    return Standing(design, last.gate, last.date, kept, tuple(rails.values()), tuple(pieces.values()))


def _stands(reading: Reading, taken: int, moved: Mapping[str, int]) -> bool:
    """Whether neither point of a reading of round ``taken`` is on a newel that was measured again later."""
    return max(moved.get(reading.start, 0), moved.get(reading.end, 0)) <= taken


@dataclass(frozen=True, slots=True)
class FittedUpright:
    """An upright that stands: its number in its leg (from 1) and its foot-side edge along the rail from the datum."""

    number: int
    edge: float


@dataclass(frozen=True, slots=True)
class BuiltUprights:
    """Uprights of one leg that are fitted or cut: ``count`` were planned, ``keep`` where some of them are at hand.

    Near the ends of a leaning infill some places leave no piece worth making: ``count`` and the numbers count them
    too, ``lead`` of them before the first upright.
    """

    count: int
    keep: bool
    fitted: tuple[FittedUpright, ...] = ()
    lead: int = 0
