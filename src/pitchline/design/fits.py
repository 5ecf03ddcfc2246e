"""The play of uprights in their places at the damp end of the year. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.load import Fact
from pitchline.catalogue.moisture import Movement, Season, across_face, movement_between
from pitchline.catalogue.timber import Timber, load_timber
from pitchline.design.brief import Bored, Brief, Grooved, Shape, Stacked
from pitchline.kit.tolerances import STANDS_STILL


@dataclass(frozen=True, slots=True)
class Fit:
    """One fit of the uprights: its ``play`` as made, their ``swelling``, the play ``left`` and its uncertainty.

    ``key`` is the word of the job file that sets the play, empty where the sizes themselves do.
    """

    where: str
    key: str
    play: float
    swelling: float
    left: float
    sigma: float


def tightest_fit(brief: Brief, season: Season) -> Fit | None:
    """The fit with the least play at the damp end; None where the uprights do not swell to speak of."""
    fits = [fit for fit in fits_of(brief, season) if fit.swelling >= STANDS_STILL]
    return min(fits, key=lambda fit: fit.left, default=None)


def fits_of(brief: Brief, season: Season) -> Iterator[Fit]:
    """Every fit of the uprights at the damp end.

    Fillets and blocks lie with their grain along the rail and do not grow in length; a hole does not grow along
    the rail. A groove grows with the rail around it, by its smaller, radial coefficient, for the growth rings of
    neither piece are known.
    """
    infill, making = brief.uprights, brief.making
    timber = load_timber(infill.material)
    width = _swelling(season, infill.width, across_face(timber, in_plane=infill.shape is Shape.RECTANGULAR))
    thickness = _swelling(season, infill.thickness, across_face(timber, in_plane=False))
    still = Movement(0.0, 0.0)
    match making:
        case Grooved():
            groove = infill.thickness + making.clearance
            yield _fit("between the fillets", "end_play", making.end_play, width, still)
            for name, material in (
                ("handrail", brief.rail.material),
                ("base rail", brief.base_rail.material),
            ):
                around = _swelling(season, groove, load_timber(material).movement_radial)
                yield _fit(f"in the groove of the {name}", "clearance", making.clearance, thickness, around)
        case Stacked():
            around = _swelling(season, making.room, _through(load_timber(making.material)))
            yield _fit("between the blocks", "end_play", making.end_play, width, still)
            yield _fit("in their layers", "", making.room - infill.thickness, thickness, around)
        case Bored():
            yield _fit("in their holes", "clearance", making.clearance, width, still)


def _through(timber: Timber) -> Fact | None:
    """What a layer moves by in its thickness, at the least."""
    return timber.movement_tangential if timber.kind == "plywood" else timber.movement_radial


def _swelling(season: Season, size: float, fact: Fact | None) -> Movement:
    return movement_between(size, fact, season.made, season.damp.moisture)


def _fit(where: str, key: str, play: float, piece: Movement, around: Movement) -> Fit:
    left = play + around.change - piece.change
    return Fit(where, key, play, piece.change, left, math.hypot(piece.sigma, around.sigma))
