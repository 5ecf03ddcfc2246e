"""The play of uprights in their places at the damp end of the year. Lengths in mm."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.catalogue.load import Fact
from pitchline.catalogue.moisture import Movement, Season, across_face, movement_between
from pitchline.catalogue.timber import Timber, load_timber
from pitchline.design.brief import Brief, Shape
from pitchline.design.makings import (
    BetweenPosts,
    Bored,
    BoredMetal,
    Clamped,
    Dowelled,
    Grooved,
    Mortised,
    Stacked,
)
from pitchline.design.seats import head_of
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
    infill, making = brief.uprights, head_of(brief.making)
    timber = load_timber(infill.material)
    width = _swelling(season, infill.width, across_face(timber, in_plane=infill.shape is Shape.RECTANGULAR))
    thickness = _swelling(season, infill.thickness, across_face(timber, in_plane=False))
    still = Movement(0.0, 0.0)
    match making:
        case Grooved():
            groove = infill.thickness + making.clearance
            yield _fit("between the fillets", "end_play", making.end_play, width, still)
            for name, material in _rails(brief):
                around = _swelling(season, groove, load_timber(material).movement_radial)
                yield _fit(f"in the groove of the {name}", "clearance", making.clearance, thickness, around)
        case Stacked():
            around = _swelling(season, making.room, _through(load_timber(making.material)))
            yield _fit("between the blocks", "end_play", making.end_play, width, still)
            yield _fit("in their layers", "", making.room - infill.thickness, thickness, around)
        case Bored():
            yield _fit("in their holes", "clearance", making.clearance, width, still)
        case Mortised():
            thick = infill.thickness if making.tenon_thickness is None else making.tenon_thickness
            across = across_face(timber, in_plane=False)
            tenon = _swelling(season, infill.width - 2.0 * making.shoulder, across)
            yield _fit("in the length of their mortises", "clearance", making.clearance, tenon, still)
            cheeks = _swelling(season, thick, across)
            for name, material in _rails(brief):
                around = _swelling(season, thick + making.clearance, load_timber(material).movement_radial)
                yield _fit(f"in the mortises of the {name}", "clearance", making.clearance, cheeks, around)
        case Dowelled() | BoredMetal() | Clamped() | BetweenPosts():
            return


def _rails(brief: Brief) -> Iterator[tuple[str, str]]:
    """The rails that hold the uprights, with their material."""
    yield "handrail", brief.rail.material
    if brief.base is not None:
        yield "base rail", brief.base.material


def _through(timber: Timber) -> Fact | None:
    """What a layer moves by in its thickness, at the least."""
    return timber.movement_tangential if timber.kind == "plywood" else timber.movement_radial


def _swelling(season: Season, size: float, fact: Fact | None) -> Movement:
    return movement_between(size, fact, season.made, season.damp.moisture)


def _fit(where: str, key: str, play: float, piece: Movement, around: Movement) -> Fit:
    left = play + around.change - piece.change
    return Fit(where, key, play, piece.change, left, math.hypot(piece.sigma, around.sigma))
