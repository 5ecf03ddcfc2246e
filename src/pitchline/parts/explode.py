"""The finished design taken apart: every piece that has to be made, grouped where pieces are identical."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pitchline.design.model import Design
from pitchline.kit.geometry.bevels import saw_reading
from pitchline.kit.tolerances import SAME_PART, SAME_PART_DEG
from pitchline.parts.bands import band_parts
from pitchline.parts.easings import easing_parts
from pitchline.parts.infill import upright_parts
from pitchline.parts.joints.registry import joint_of
from pitchline.parts.newels import newel_parts
from pitchline.parts.panels import panel_parts
from pitchline.parts.part import (
    Feature,
    Fixing,
    Groove,
    Hole,
    Mortise,
    Notch,
    Part,
    Role,
    RoundBar,
    RoundOver,
    Sawn,
    Taper,
    Tenon,
    Turning,
)
from pitchline.parts.rails import rail_parts
from pitchline.parts.strands import strand_parts

_ORDER = {role: number for number, role in enumerate(Role)}


@dataclass(frozen=True, slots=True)
class Group:
    """Identical pieces: one description and every place it is for."""

    mark: str
    part: Part
    places: tuple[str, ...]

    @property
    def quantity(self) -> int:
        """How many to make."""
        return len(self.places)


def explode(design: Design) -> tuple[Part, ...]:
    """Every piece of one leg in working order, each with its group's mark."""
    return explode_legs((design,))[0]


def explode_legs(legs: Sequence[Design]) -> tuple[tuple[Part, ...], ...]:
    """The pieces of every leg of one balustrade in working order; pieces alike share a mark in whatever leg."""
    followings = [*legs[1:], None]
    pieces = [
        (part, number)
        for number, (design, following) in enumerate(zip(legs, followings, strict=True))
        for part in _pieces(design, following)
    ]
    pieces.sort(key=lambda piece: (_ORDER[piece[0].role], len(piece[0].place), piece[0].place))
    sorted_out: list[list[Part]] = [[] for _ in legs]
    for part, (_, number) in zip(_marked([part for part, _ in pieces]), pieces, strict=True):
        sorted_out[number].append(part)
    return tuple(map(tuple, sorted_out))


def _pieces(design: Design, following: Design | None) -> list[Part]:
    return [
        *rail_parts(design),
        *newel_parts(design),
        *upright_parts(design),
        *band_parts(design),
        *strand_parts(design),
        *panel_parts(design),
        *easing_parts(design, following),
    ]


def fixings_of(design: Design) -> tuple[Fixing, ...]:
    """The hardware that the joints of one leg need, with quantities."""
    return tuple(joint_of(design.making).fixings(design))


def fixings_of_legs(legs: Sequence[Design]) -> tuple[Fixing, ...]:
    """The hardware of a whole balustrade; what is the same in several legs is counted together."""
    counted: dict[Fixing, int] = defaultdict(int)
    for design in legs:
        for fixing in fixings_of(design):
            counted[replace(fixing, quantity=0)] += fixing.quantity
    return tuple(replace(fixing, quantity=count) for fixing, count in counted.items())


def grouped(parts: Iterable[Part]) -> tuple[Group, ...]:
    """The pieces by group mark, in the order they come."""
    places: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        places[part.mark].append(part)
    return tuple(Group(mark, same[0], tuple(p.place for p in same)) for mark, same in places.items())


def _marked(pieces: list[Part]) -> Iterable[Part]:
    """Give identical pieces one mark: that of the place where there is but one, else prefix and number."""
    batches: list[tuple[Part, _Figures, list[Part]]] = []
    for part in pieces:
        figures = _figures(part)
        for first, known, same in batches:
            if first.role is part.role and first.material == part.material and _alike(known, figures):
                same.append(part)
                break
        else:
            batches.append((part, figures, [part]))
    marks: dict[str, str] = {}
    counters: dict[str, int] = defaultdict(int)
    for first, _, same in batches:
        prefix = first.place.rstrip("0123456789abc")
        if len(same) > 1:
            counters[prefix] += 1
        for one in same:
            marks[one.place] = one.place if len(same) == 1 else f"{prefix}-{counters[prefix]}"
    return [replace(part, mark=marks[part.place]) for part in pieces]


def identical(a: Part, b: Part) -> bool:
    """Whether two pieces of one role and material can be cut at the same settings."""
    return _alike(_figures(a), _figures(b))


@dataclass(frozen=True, slots=True)
class _Figures:
    """The sizes (mm) and angles (degrees) that make a piece what it is."""

    sizes: tuple[float, ...]
    angles: tuple[float, ...]


def _alike(a: _Figures, b: _Figures) -> bool:
    return _near(a.sizes, b.sizes, SAME_PART) and _near(a.angles, b.angles, SAME_PART_DEG)


def _near(a: tuple[float, ...], b: tuple[float, ...], within: float) -> bool:
    return len(a) == len(b) and all(abs(x - y) <= within for x, y in zip(a, b, strict=True))


def _figures(part: Part) -> _Figures:
    sizes = [part.length, part.width, part.thickness, part.trim]
    angles: list[float] = []
    for cut in (*part.start_cuts, *part.finish_cuts):
        reading = saw_reading(cut.normal)
        angles += [reading.mitre_deg, reading.bevel_deg]
        sizes.append(-cut.distance((0.0, 0.0, 0.0)) / cut.normal[0])
    for feature in part.features:
        sizes += _feature_figures(feature)
    return _Figures(tuple(sizes), tuple(angles))


def _feature_figures(feature: Feature) -> list[float]:
    """What of a feature must agree; directions count a hundredfold, so that 0.0005 rad is a difference."""
    match feature:
        case Groove(_, centre, width, depth):
            figures = [centre, width, depth]
        case Hole(at, axis, diameter, depth):
            figures = [*at, *(100 * a for a in axis), diameter, depth]
        case Notch(low, high):
            figures = [*low, *high]
        case RoundOver(edges, radius):
            figures = [radius, *(float(sign) for edge in sorted(edges) for sign in edge)]
        case Turning(profile):
            figures = [value for pair in profile for value in pair]
        case RoundBar(diameter):
            figures = [diameter]
        case Taper(plane):
            figures = [*plane.point, *(100 * a for a in plane.normal)]
        case Mortise(at, axis, length, width, depth):
            figures = [*at, *(100 * a for a in axis), length, width, depth]
        case Tenon(shoulder, low, high, flare):
            reach = -shoulder.distance((0.0, 0.0, 0.0)) / shoulder.normal[0]
            figures = [reach, *(100 * a for a in shoulder.normal), *low, *high, *(100 * f for f in flare)]
        case Sawn(outline, holes, _):
            figures = [value for ring in (outline, *holes) for point in ring for value in point]
    return figures
