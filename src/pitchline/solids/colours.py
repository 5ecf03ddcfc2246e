"""Calm colours for woods, boards, metals and glass, and for what stands around them, as ``#rrggbb``."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.catalogue.timber import list_timbers, load_timber
from pitchline.solids.context import Kind

_WOODS = {
    "pine": "#e0bd86",
    "spruce": "#e6cfa3",
    "fir": "#d3a475",
    "oak": "#c29b69",
    "ash": "#dcc9a4",
    "beech": "#d5a983",
    "birch": "#e2cda6",
    "cherry": "#b9805a",
    "maple": "#e5d3b3",
    "walnut": "#86664d",
    "poplar": "#cfc8a0",
    "plywood": "#dcc294",
    "mdf": "#b59a77",
    "steel": "#8e989e",
    "brass": "#c9a95c",
    "aluminium": "#b4bbc0",
    "glass": "#c4dde3",
    "acrylic": "#d4e6e4",
}
_OTHER_WOOD = "#d2b184"
_AROUND = {
    Kind.FLOOR: "#dfe0dd",
    Kind.STEP: "#d6d8d5",
    Kind.STRING: "#c3c7c4",
    Kind.NEWEL: "#aab0ae",
    Kind.WALL: "#e8e8e4",
}


def wood_colour(material: str) -> str:
    """The colour of a wood by the name it has in the catalogue; a plain one for names not known here."""
    words = material.lower().split("-")
    board = next((word for word in words if word in ("plywood", "mdf")), None)
    if board is not None and board == words[-1] and words[0] not in _WOODS:
        return _WOODS[board]
    return next((_WOODS[word] for word in words if word in _WOODS), _OTHER_WOOD)


class Surface(StrEnum):
    """How a material takes the light."""

    WOOD = "wood"
    BOARD = "board"
    METAL = "metal"
    GLASS = "glass"


@dataclass(frozen=True, slots=True)
class Look:
    """A material's colour, how it takes the light, and how much of what is behind it is covered (1: all)."""

    colour: str
    surface: Surface
    opacity: float = 1.0

    @property
    def is_clear(self) -> bool:
        """Whether one sees through it."""
        return self.opacity < 1.0


CLEAR = 0.35
"""Opacity of glass in a picture: enough to see that there is some."""

_BY_KIND = {
    "glass": Surface.GLASS,
    "metal": Surface.METAL,
    "plywood": Surface.BOARD,
    "fibreboard": Surface.BOARD,
}
_BY_WORD = {
    "glass": Surface.GLASS,
    "acrylic": Surface.GLASS,
    "steel": Surface.METAL,
    "brass": Surface.METAL,
    "aluminium": Surface.METAL,
    "plywood": Surface.BOARD,
    "mdf": Surface.BOARD,
}


def look_of(material: str) -> Look:
    """How a material looks: by its kind in the catalogue, else by the words of its name."""
    if material in list_timbers():
        surface = _BY_KIND.get(load_timber(material).kind, Surface.WOOD)
    else:
        words = material.lower().split("-")
        surface = next((_BY_WORD[word] for word in words if word in _BY_WORD), Surface.WOOD)
    opacity = CLEAR if surface is Surface.GLASS else 1.0
    return Look(wood_colour(material), surface, opacity)


def around_colour(kind: Kind) -> str:
    """The colour of something that stands already: light greys."""
    return _AROUND[kind]


def rgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue from 0 to 1 as the screen shows them."""
    red, green, blue = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return red, green, blue


def linear(colour: str) -> tuple[float, float, float]:
    """Red, green and blue as amounts of light (inverse of the sRGB curve, IEC 61966-2-1, from memory)."""
    red, green, blue = (_to_light(value) for value in rgb(colour))
    return red, green, blue


def _to_light(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
