"""Parts of a wall rail: its straight pieces with their mitres, the returns, what the brackets need. Lengths in mm.

A piece's frame stands in the world of the wall rail (heights above the lowest floor), X along its length.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.design.wall_brief import Backing
from pitchline.design.wall_model import PieceKind, RailPiece, WallLeg, WallRail
from pitchline.kit.geometry.frames import Frame, Vec3, dot
from pitchline.parts.explode import identical
from pitchline.parts.part import Face, Feature, Fixing, Part, Role, RoundBar, RoundOver
from pitchline.parts.shaping import Cut, Stick, cut_to_length

__all__ = ["PieceMarks", "bracket_marks", "wall_rail_fixings", "wall_rail_parts"]


def wall_rail_parts(rail: WallRail) -> tuple[Part, ...]:
    """Every piece of the rail in order, pieces alike with one mark."""
    batches: list[list[Part]] = []
    for piece in rail.pieces:
        part = _part(rail, piece)
        alike = next((b for b in batches if b[0].role is part.role and identical(b[0], part)), None)
        if alike is None:
            batches.append([part])
        else:
            alike.append(part)
    marks: dict[str, str] = {}
    shared = 0
    for batch in batches:
        shared += len(batch) > 1
        mark = f"{batch[0].place[0]}-{shared}" if len(batch) > 1 else batch[0].place
        marks.update({part.place: mark for part in batch})
    places = {part.place: part for batch in batches for part in batch}
    return tuple(replace(places[piece.id], mark=marks[piece.id]) for piece in rail.pieces)


def _part(rail: WallRail, piece: RailPiece) -> Part:
    placed = Frame.from_xz(piece.start, piece.direction, piece.up)
    stick = Stick((0.0, 0.0, -rail.depth / 2), (1.0, 0.0), rail.depth, rail.width)
    ends = [placed.plane_to_local(plane) for plane in (piece.start_plane, piece.finish_plane)]
    cut = cut_to_length(stick, ends)
    is_return = piece.kind is PieceKind.RETURN
    return Part(
        place=piece.id,
        mark=piece.id,
        role=Role.RETURN if is_return else Role.WALL_RAIL,
        material=rail.brief.rail.material,
        length=cut.length,
        width=stick.width,
        thickness=stick.thickness,
        start_cuts=cut.start,
        finish_cuts=cut.finish,
        features=tuple(_features(rail, cut)),
        frame=placed.frame_to_world(cut.frame),
        trim=0.0 if is_return else rail.brief.rail_trim,
        length_sigma=0.0 if is_return else _sigma(rail, piece),
        face_names=_face_names(rail, piece, placed.frame_to_world(cut.frame)),
    )


def _features(rail: WallRail, cut: Cut) -> Iterator[Feature]:
    """A round rail is a round bar; another has its two upper edges rounded."""
    if rail.brief.is_round:
        yield RoundBar(rail.width)
        return
    radius = min(rail.brief.rail.round_over, rail.width / 2, rail.depth)
    if radius <= 0.0:
        return
    up = cut.frame.direction_to_local((0.0, 0.0, 1.0))
    if abs(up[1]) > abs(up[2]):
        top = 1 if up[1] > 0.0 else -1
        yield RoundOver(((top, -1), (top, 1)), radius)
    else:
        top = 1 if up[2] > 0.0 else -1
        yield RoundOver(((-1, top), (1, top)), radius)


def _sigma(rail: WallRail, piece: RailPiece) -> float:
    """Standard uncertainty of a piece's length: of the places of its leg's outer nosings, along the rake."""
    nosings = rail.legs[piece.leg].nosings
    if not nosings:
        return 0.0
    level = math.hypot(piece.direction[0], piece.direction[1])
    return math.hypot(nosings[0].u_sigma, nosings[-1].u_sigma) / max(level, 0.1)


def _face_names(rail: WallRail, piece: RailPiece, frame: Frame) -> tuple[tuple[Face, str], ...]:
    """In words, where each long face looks."""
    leg = rail.legs[piece.leg]
    axes: tuple[tuple[Face, Vec3, float], ...] = (
        (Face.PLUS_Y, frame.y, 1.0),
        (Face.MINUS_Y, frame.y, -1.0),
        (Face.PLUS_Z, frame.z, 1.0),
        (Face.MINUS_Z, frame.z, -1.0),
    )
    return tuple((face, _looks(rail, piece, leg, axis, sense)) for face, axis, sense in axes)


def _looks(rail: WallRail, piece: RailPiece, leg: WallLeg, axis: Vec3, sense: float) -> str:
    up = sense * dot(axis, piece.up)
    if abs(up) > 0.7:
        return "top" if up > 0.0 else "underside"
    if piece.kind is PieceKind.RETURN:
        return "towards the head" if sense * dot(axis, leg.frame.x) > 0.0 else "towards the foot"
    stair = sense * dot(axis, leg.frame.y) * rail.side.towards_stair
    return "stair side" if stair > 0.0 else "wall side"


@dataclass(frozen=True, slots=True)
class PieceMarks:
    """Running marks of the brackets on one piece: ids and distances from its long point, along its underside."""

    place: str
    marks: tuple[tuple[str, float], ...]


def bracket_marks(rail: WallRail, parts: tuple[Part, ...]) -> tuple[PieceMarks, ...]:
    """Where each bracket meets the underside of its piece, from the long point of the piece's lower end."""
    frames = {part.place: part.frame for part in parts}
    found = []
    for piece in rail.pieces:
        marks = []
        for bracket in rail.brackets:
            if bracket.piece == piece.id:
                y = rail.side.towards_stair * rail.centres[bracket.leg]
                point = rail.legs[bracket.leg].frame.to_world((bracket.u, y, bracket.rail_z))
                marks.append((bracket.id, frames[piece.id].to_local(point)[0]))
        if marks:
            found.append(PieceMarks(piece.id, tuple(sorted(marks, key=lambda mark: mark[1]))))
    return tuple(found)


def wall_rail_fixings(rail: WallRail) -> tuple[Fixing, ...]:
    """Brackets and their screws by what they go into: what a workshop buys for the rail."""
    brief = rail.brief.brackets
    if not rail.brackets:
        return ()
    reach = rail.clear + rail.width / 2
    places = ", ".join(bracket.id for bracket in rail.brackets)
    fixings = [
        Fixing(
            brief.what, "from the wall to the middle of the rail", len(rail.brackets), places, sizes=(reach,)
        )
    ]
    for backing in Backing:
        held = [b.id for b in rail.brackets if rail.legs[b.leg].face.backing is backing]
        if held:
            what, note = _SCREWS[backing]
            count = brief.screws * len(held)
            fixings.append(Fixing(what, "long", count, ", ".join(held), note, (brief.screw_length,)))
    return tuple(fixings)


_SCREWS = {
    Backing.STUDS: ("wood screw", "into the stud, never into the lining alone"),
    Backing.MASONRY: ("screw with plug", "plug and hole as the maker of the plug asks for this masonry"),
    Backing.BOARD: ("wood screw", "into the backing board; the board itself is screwed to the studs"),
}
