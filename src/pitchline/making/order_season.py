"""How dry the wood should be when it is made, and what it does after: the finish slows that, and does not stop it.

Lengths in mm, moisture contents in %.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitchline.catalogue.moisture import (
    DAMP_SUMMER,
    HEATED_WINTER,
    Climate,
    Season,
    across_face,
    movement_between,
)
from pitchline.catalogue.timber import load_timber
from pitchline.design.model import Design
from pitchline.design.season import MADE_UNTOLD
from pitchline.kit.errors import InputError
from pitchline.kit.tolerances import STANDS_STILL
from pitchline.making.cautions import is_wood
from pitchline.parts.part import Part


@dataclass(frozen=True, slots=True)
class Moves:
    """The width of a piece, and how it changes from as it is made to the dry and the damp end of a year."""

    what: str
    material: str
    width: float
    dry: float
    damp: float


@dataclass(frozen=True, slots=True)
class SeasonAdvice:
    """The season that is reckoned with, whether the job tells it, and how the widest pieces move."""

    season: Season
    told: bool
    moves: tuple[Moves, ...]

    @property
    def settle(self) -> tuple[float, float]:
        """Moisture contents that the wood settles at in the dry and in the damp end of the year."""
        return self.season.dry.moisture, self.season.damp.moisture

    @property
    def best(self) -> float:
        """The moisture content at which it moves least to either end."""
        dry, damp = self.settle
        return (dry + damp) / 2.0


def season_advice(legs: Sequence[Design], parts: Sequence[Part]) -> SeasonAdvice:
    """How a design's wood moves; where no season is told, between the usual ends of the year in a lived-in house."""
    told = next((design.brief.season for design in legs if design.brief.season is not None), None)
    season = told or Season(MADE_UNTOLD, HEATED_WINTER, DAMP_SUMMER)
    return SeasonAdvice(season, told is not None, tuple(_moves(season, parts)))


def _moves(season: Season, parts: Sequence[Part]) -> Iterator[Moves]:
    seen: set[tuple[str, str, int]] = set()
    for part in parts:
        key = (part.role.value, part.material, round(part.width))
        if key in seen or not is_wood(part.material):
            continue
        seen.add(key)
        dry = _change(part, season.made, season.dry)
        damp = _change(part, season.made, season.damp)
        if max(abs(dry), abs(damp)) > STANDS_STILL:
            yield Moves(part.role.value, part.material, part.width, dry, damp)


def _change(part: Part, made: float, climate: Climate) -> float:
    try:
        timber = load_timber(part.material)
    except InputError:
        return 0.0
    return movement_between(part.width, across_face(timber), made, climate.moisture).change
