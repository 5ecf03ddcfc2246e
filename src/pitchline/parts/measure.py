"""What a part measures, as a cutting list, a making sheet or a label needs it.

Lengths from point to point, the readings of both ends, how the ends stand to each other, volume, mass, faces to
finish, and its features in words. `running_marks` gives the places of the uprights on the rails. Lengths in mm,
angles in degrees, volumes in mm3. See docs/method/parts.md.
"""

from collections.abc import Callable
from dataclasses import dataclass

from pitchline.kit.geometry.bevels import EndsRelation, SawReading, ends_relation, saw_reading
from pitchline.kit.geometry.cutbox import CutBox
from pitchline.kit.geometry.frames import Plane, Vec3
from pitchline.kit.geometry.outlines import area
from pitchline.kit.tolerances import ENDS_ALIKE_DEG, SAME_POINT
from pitchline.parts.marks import BarMarks, Mark, MarkTable, running_marks
from pitchline.parts.part import (
    Face,
    Feature,
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
from pitchline.parts.wood import mass, surface_area, volume

__all__ = [
    "BarMarks",
    "Description",
    "EndReading",
    "Lengths",
    "Mark",
    "MarkTable",
    "describe",
    "end_readings",
    "feature_words",
    "lengths",
    "mass",
    "relation",
    "running_marks",
    "surface_area",
    "volume",
]

Show = Callable[[float], str]
"""How a length in mm is written."""


@dataclass(frozen=True, slots=True)
class EndReading:
    """How one end is cut.

    ``cuts`` holds a reading for each plane, the one with the largest face first; a second plane is there where
    the piece dies into a corner. The mitre is read on the wide face named ``wide_face``, the bevel through the
    thickness. ``long_point`` says in words where the end's longest point lies ("" for a square end).
    """

    cuts: tuple[SawReading, ...]
    wide_face: str
    long_point: str

    @property
    def main(self) -> SawReading:
        """The reading of the larger cut."""
        return self.cuts[0]

    @property
    def planes(self) -> int:
        """How many planes close the end."""
        return len(self.cuts)

    @property
    def mitre_deg(self) -> float:
        """Mitre of the larger cut, from square."""
        return self.main.mitre_deg

    @property
    def bevel_deg(self) -> float:
        """Bevel of the larger cut, from square."""
        return self.main.bevel_deg

    @property
    def from_edge_deg(self) -> float:
        """What a protractor laid on the edge reads for the mitre: 90 for square."""
        return self.main.from_edge_deg

    @property
    def rise_per_100(self) -> float:
        """The mitre as mm along in 100 mm across."""
        return self.main.rise_per_100

    @property
    def rise_per_12(self) -> float:
        """The mitre as set on a steel square with 12 on the blade."""
        return self.main.rise_per_12

    @property
    def is_square(self) -> bool:
        """Whether a plain cross-cut makes it."""
        return self.planes == 1 and _plain(self.main)

    @property
    def is_compound(self) -> bool:
        """Whether the saw must be set to a mitre and a bevel at once."""
        return any(abs(c.mitre_deg) > ENDS_ALIKE_DEG < abs(c.bevel_deg) for c in self.cuts)


def _plain(reading: SawReading) -> bool:
    return max(abs(reading.mitre_deg), abs(reading.bevel_deg)) <= ENDS_ALIKE_DEG


@dataclass(frozen=True, slots=True)
class Lengths:
    """The lengths of a piece in mm.

    ``long_point`` is longest point to longest point, ``short_point`` the shortest of the four long edges,
    ``blank`` what to cut from stock, ``edges`` the long edges in the order -Y-Z, -Y+Z, +Y-Z, +Y+Z.
    """

    long_point: float
    short_point: float
    blank: float
    edges: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Description:
    """A part in figures and words, ready for a list."""

    place: str
    mark: str
    role: Role
    material: str
    width: float
    thickness: float
    lengths: Lengths
    length_sigma: float
    start: EndReading
    finish: EndReading
    relation: EndsRelation
    volume: float
    surface: float
    features: tuple[str, ...]


def describe(part: Part, show: Show = "{:.1f} mm".format) -> Description:
    """A part in figures, its features in words; ``show`` writes the lengths inside those words."""
    start, finish = end_readings(part)
    return Description(
        place=part.place,
        mark=part.mark,
        role=part.role,
        material=part.material,
        width=part.width,
        thickness=part.thickness,
        lengths=lengths(part),
        length_sigma=part.length_sigma,
        start=start,
        finish=finish,
        relation=relation(part),
        volume=volume(part),
        surface=surface_area(part),
        features=feature_words(part, show),
    )


def lengths(part: Part) -> Lengths:
    """Long point, short point, blank and the four long edges."""
    body = part.body
    return Lengths(body.long_length, body.short_length, part.blank_length, body.long_edge_lengths)


def end_readings(part: Part) -> tuple[EndReading, EndReading]:
    """The readings of the start (foot of the piece) and the finish."""
    return _end(part, part.start_cuts, at_start=True), _end(part, part.finish_cuts, at_start=False)


def relation(part: Part) -> EndsRelation:
    """How the two ends stand to each other; with two planes at an end every cut needs its own setting."""
    start, finish = end_readings(part)
    if start.planes > 1 or finish.planes > 1:
        return EndsRelation.DIFFERENT
    return ends_relation(start.main, finish.main)


def _end(part: Part, cuts: tuple[Plane, ...], *, at_start: bool) -> EndReading:
    areas = {cut: _area_of(part.body, cut) for cut in cuts}
    ordered = sorted(cuts, key=lambda cut: -areas[cut])
    left = [cut for cut in ordered if areas[cut] > 0.0] or ordered[:1]
    names = dict(part.face_names)
    return EndReading(
        cuts=tuple(saw_reading(cut.normal) for cut in left),
        wide_face=names.get(Face.PLUS_Z, Face.PLUS_Z.value),
        long_point=_long_point(part, at_start=at_start),
    )


def _area_of(body: CutBox, cut: Plane) -> float:
    """How much of a cut is left on the piece, by its shadow on the section; 0 where other cuts take it away."""
    for face in body.faces:
        corners = [body.corners[i] for i in face.loop]
        if all(abs(cut.distance(corner)) <= 10 * SAME_POINT for corner in corners):
            return area([(y, z) for _, y, z in corners])
    return 0.0


def _long_point(part: Part, *, at_start: bool) -> str:
    """In words, on which faces the end's longest point or edge lies."""
    corners = part.body.corners
    reach = min(c[0] for c in corners) if at_start else max(c[0] for c in corners)
    at: list[Vec3] = [c for c in corners if abs(c[0] - reach) <= 10 * SAME_POINT]
    names = dict(part.face_names)
    words = []
    for axis, plus, minus in ((1, Face.PLUS_Y, Face.MINUS_Y), (2, Face.PLUS_Z, Face.MINUS_Z)):
        values = [corner[axis] for corner in at]
        if min(values) > 0.0:
            words.append(names.get(plus, plus.value))
        elif max(values) < 0.0:
            words.append(names.get(minus, minus.value))
    return ", ".join(words)


def feature_words(part: Part, show: Show) -> tuple[str, ...]:
    """Each feature in a few words; like holes are counted together."""
    words: list[str] = []
    holes = [feature for feature in part.features if isinstance(feature, Hole)]
    if holes:
        first = holes[0]
        count = f"{len(holes)} holes" if len(holes) > 1 else "1 hole"
        words.append(f"{count} {show(first.diameter)} across, {show(first.depth)} deep along the drill")
    words += [_words(part, feature, show) for feature in part.features if not isinstance(feature, Hole)]
    return tuple(words)


def tenon_name(tenon: Tenon) -> str:
    """A tenon or, where it widens towards its tip, a dovetail."""
    return "tenon" if tenon.flare == (0.0, 0.0) else "dovetail"


def tenon_size(tenon: Tenon, show: Show) -> str:
    """Its two sizes at the tip, in words."""
    return " x ".join(show(high - low) for low, high in zip(tenon.low, tenon.high, strict=True))


def _words(part: Part, feature: Feature, show: Show) -> str:
    names = dict(part.face_names)
    match feature:
        case Groove(face, centre, width, depth):
            where = names.get(face, face.value)
            off = "" if abs(centre) <= SAME_POINT else f", its middle {show(abs(centre))} off centre"
            text = f"groove {show(width)} wide, {show(depth)} deep, {where}{off}"
        case RoundOver(edges, radius):
            text = f"{len(edges)} edge{'s' if len(edges) > 1 else ''} rounded to {show(radius)}"
        case Notch(low, high):
            text = f"notch {show(high[0] - low[0])} long from the start"
        case Turning(profile):
            text = f"turned from {show(profile[0][0])} to {show(profile[-1][0])} above the start"
        case RoundBar(diameter):
            text = f"round, {show(diameter)} across"
        case Taper():
            text = "tapered along one face"
        case Mortise(_, _, length, width, depth):
            text = f"mortise {show(length)} x {show(width)}, {show(depth)} deep"
        case Tenon():
            text = f"{tenon_name(feature)} {tenon_size(feature, show)}"
        case Sawn(_, holes, _):
            text = "sawn to an outline" + (f" with {len(holes)} openings" if holes else "")
        case Hole(_, _, diameter, depth):
            text = f"hole {show(diameter)} across, {show(depth)} deep"
    return text
