"""One piece of timber or board, exactly: blank, end cuts as planes, features, and where it goes.

A part lives in its own right-handed frame: X along its length from 0 to ``length`` (longest point to longest
point), Y across its wide face from -width/2 to +width/2, Z through its thickness likewise. A cut keeps the
material on the side opposite its normal. Lengths in mm.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Frame, Plane, Vec3


class Role(StrEnum):
    """What a part is in the balustrade."""

    HANDRAIL = "handrail"
    BASE = "base rail"
    PACKER = "packer"
    NEWEL = "newel"
    HALF_NEWEL = "half newel"
    UPRIGHT = "upright"
    RAIL_FILLET = "rail fillet"
    BASE_FILLET = "base fillet"
    RAIL_STRIP = "rail outer strip"
    BASE_STRIP = "base outer strip"
    RAIL_CHEEK = "rail cheek"
    BASE_CHEEK = "base cheek"
    RAIL_BLOCK = "rail block"
    BASE_BLOCK = "base block"
    EASING = "easing"
    STRAND = "raking bar"
    ROD = "rod"
    CABLE = "cable"
    PANEL = "panel"
    SLAT = "slat"
    WALL_RAIL = "wall rail"
    RETURN = "wall return"


class Face(StrEnum):
    """A long face of the blank, by the local axis that points out of it."""

    PLUS_Y = "+Y"
    MINUS_Y = "-Y"
    PLUS_Z = "+Z"
    MINUS_Z = "-Z"


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove ploughed through the whole length: ``centre`` across its face, ``width``, ``depth``."""

    face: Face
    centre: float
    width: float
    depth: float


@dataclass(frozen=True, slots=True)
class Hole:
    """A bored hole: its axis enters the wood at ``at`` along the unit vector ``axis``; flat bottom."""

    at: Vec3
    axis: Vec3
    diameter: float
    depth: float


@dataclass(frozen=True, slots=True)
class Notch:
    """A square-cornered recess cut out of the blank between two opposite corners (local co-ordinates)."""

    low: Vec3
    high: Vec3


@dataclass(frozen=True, slots=True)
class RoundOver:
    """Rounded long edges: each edge named by the signs of Y and Z, with one radius."""

    edges: tuple[tuple[int, int], ...]
    radius: float


@dataclass(frozen=True, slots=True)
class Turning:
    """A turned length about the centre line: (x, diameter) pairs, straight between them."""

    profile: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class RoundBar:
    """The whole piece is a round bar of this diameter."""

    diameter: float


@dataclass(frozen=True, slots=True)
class Taper:
    """A long face cut away at a slant, as of a tapered packer: the plane, material opposite its normal."""

    plane: Plane


@dataclass(frozen=True, slots=True)
class Sawn:
    """The piece is sawn to an outline of its wide face (X, Y), right through its thickness.

    ``outline`` is closed and anticlockwise, ``holes`` are openings inside it; (x, y) in the piece's own axes. True
    arcs among its edges are told in ``arcs`` as (first point of the chain, last point, centre x, centre y, radius).
    """

    outline: tuple[tuple[float, float], ...]
    holes: tuple[tuple[tuple[float, float], ...], ...] = ()
    arcs: tuple[tuple[int, int, float, float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Mortise:
    """A mortise: its mouth, ``length`` along the piece by ``width``, lies about ``at`` on a long face.

    Its walls run along the unit vector ``axis`` into the wood; its bottom is parallel to the face, ``depth`` square
    below it.
    """

    at: Vec3
    axis: Vec3
    length: float
    width: float
    depth: float


@dataclass(frozen=True, slots=True)
class Tenon:
    """An end of which beyond the plane ``shoulder`` (on its normal's side) only a tenon is left.

    The tenon lies between ``low`` and ``high`` (y, z) of the section. A dovetail is that wide at its tip and on
    each side in Y and in Z by ``flare`` narrower for each mm back from there.
    """

    shoulder: Plane
    low: tuple[float, float]
    high: tuple[float, float]
    flare: tuple[float, float] = (0.0, 0.0)


Feature = Groove | Hole | Notch | RoundOver | Turning | RoundBar | Taper | Sawn | Mortise | Tenon


@dataclass(frozen=True, slots=True)
class Fixing:
    """Hardware that a joint needs and a workshop buys: dowels, screws, bolts, brackets, clamps, cable ends.

    ``what`` in the trade's words, ``size`` in words, ``where`` it goes, ``quantity`` in all. Lengths in mm that a
    list writes in the reader's unit stand in ``sizes``: diameter first, then length.
    """

    what: str
    size: str
    quantity: int
    where: str
    note: str = ""
    sizes: tuple[float, ...] = ()


@dataclass(frozen=True)
class Part:
    """One piece, with its place in the edge's co-ordinates (``frame``).

    ``place`` is its own mark, ``mark`` that of its group of identical pieces. ``start_cuts`` and
    ``finish_cuts`` are the planes at X = 0 and X = length ends (one each, two where a piece dies into a
    corner). ``trim`` is what the blank is left longer for fitting; ``length_sigma`` the standard uncertainty
    that the survey leaves in its length. ``face_names`` says in words where each face looks.
    """

    place: str
    mark: str
    role: Role
    material: str
    length: float
    width: float
    thickness: float
    start_cuts: tuple[Plane, ...]
    finish_cuts: tuple[Plane, ...]
    features: tuple[Feature, ...]
    frame: Frame
    trim: float = 0.0
    length_sigma: float = 0.0
    face_names: tuple[tuple[Face, str], ...] = field(default=())

    @cached_property
    def body(self) -> CutBox:
        """The blank cut by its end planes and tapers, other features left out."""
        tapers = tuple(feature.plane for feature in self.features if isinstance(feature, Taper))
        planes = (*self.start_cuts, *self.finish_cuts, *tapers)
        return CutBox(self.length, self.width, self.thickness, planes)

    @property
    def blank_length(self) -> float:
        """Length to cut the blank to: longest point to longest point and what is left for fitting."""
        return self.length + self.trim
