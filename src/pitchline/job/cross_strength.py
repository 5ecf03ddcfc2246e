"""What the strength tables must say of each other and of the posts that a design has."""

from collections.abc import Iterator, Sequence

from pitchline.catalogue.strength import fixing_type
from pitchline.catalogue.timber import list_timbers
from pitchline.job.cross_names import unknown
from pitchline.job.faults import Slip
from pitchline.job.model_ends import (
    EndTable,
    ExistingNewelEnd,
    HalfNewelEnd,
    NewNewelEnd,
    StandingNewelTable,
    TurnNewelTable,
)
from pitchline.job.model_strength import (
    BaseFixingsTable,
    BaseKind,
    FaceBase,
    NotchedBase,
    PlateBase,
    RailEndsTable,
    ScrewedBase,
    SolidSupport,
    StrengthTable,
    StringSupport,
)
from pitchline.job.pieces import DesignPieces, EdgePieces
from pitchline.job.positions import Path

_NEWELS = (NewNewelEnd, ExistingNewelEnd, HalfNewelEnd)


def strength_slips(path: Path, table: StrengthTable) -> Iterator[Slip]:
    """What is bought is told once for each material, and told."""
    seen: set[str] = set()
    for number, row in enumerate(table.materials):
        place = (*path, "materials", number)
        if row.material not in list_timbers():
            known = list(list_timbers())
            yield unknown((*place, "material"), "the catalogue has no such material", row.material, known)
        if row.material in seen:
            problem = "what was bought of this material is told already"
            yield Slip((*place, "material"), problem, row.material, remedy="put both keys in one table")
        seen.add(row.material)
        if row.strength_class is None and row.grade is None:
            remedy = 'add strength_class = "C24" or grade = "df-l-2", as the stamp says'
            yield Slip(place, "neither a class nor a grade is told of what was bought", remedy=remedy)


def base_slips(design: DesignPieces, edges: Sequence[EdgePieces]) -> Iterator[Slip]:
    """Every contradiction of how the posts of a design stand; ``edges`` are those that it guards."""
    if design.rail_ends is not None:
        yield from _thread((*design.path, "strength", "rail_ends"), design.rail_ends)
    if design.base_fixings is not None:
        yield from _screwed_down((*design.path, "strength", "base_fixings"), design.base_fixings)
    yield from _walls(design)
    known = post_names(design, edges)
    seen: set[str] = set()
    for path, base in design.bases:
        if known is not None and base.post not in known:
            problem = "the design has no post of this name (they are counted from its foot, edge by edge)"
            yield unknown((*path, "post"), problem, base.post, known)
        elif base.post in seen:
            problem = "how this post stands is told already"
            yield Slip((*path, "post"), problem, base.post, remedy="put both in one table")
        seen.add(base.post)
        yield from _base(path, base)


def _screwed_down(path: Path, table: BaseFixingsTable) -> Iterator[Slip]:
    if fixing_type(table.fixing).kind != "screw":
        problem = "a base rail is screwed down, and this is a bolt"
        yield Slip((*path, "fixing"), problem, table.fixing, remedy="choose a screw")


def _walls(design: DesignPieces) -> Iterator[Slip]:
    """What a wall bears is told once for each piece."""
    seen: set[str | None] = set()
    for path, wall in design.wall_holds:
        if wall.piece in seen:
            problem = "what this wall bears is told already"
            yield Slip((*path, "piece"), problem, wall.piece, remedy="name another piece, or take one out")
        seen.add(wall.piece)


def post_names(design: DesignPieces, edges: Sequence[EdgePieces]) -> list[str] | None:
    """The names that the posts of a design will have; None where that cannot be told yet."""
    if not design.newels_whole or len(design.turns) != design.turn_count:
        return None
    asked = design.asked
    if design.has_edge or design.has_edges:
        if not edges or len(edges) != len(design.edges):
            return None
        return [f"P{number}" for number in range(1, 1 + _posts_along(design, edges))]
    if not design.newels:
        pairs = ((1, asked.bottom), (2, asked.top))
        return [f"P{number}" for number, end in pairs if isinstance(end, _NEWELS)]
    count = _stands(asked.bottom) + len(design.newels) + _stands(asked.top)
    return [f"P{number}" for number in range(1, 1 + count)]


def _posts_along(design: DesignPieces, edges: Sequence[EdgePieces]) -> int:
    """How many posts stand along all edges: at their ends, at turns and between."""
    count = len(design.newels)
    count += sum(isinstance(turn, TurnNewelTable | StandingNewelTable) for _, turn in design.turns)
    for edge in edges:
        legs = edge.legs or ()
        own = {leg.flight: leg for leg in design.legs if leg.edge in (None, edge.id)}
        for key, at in (("bottom", 0), ("top", -1)):
            changed = own.get(legs[at]) if legs else None
            end = getattr(changed, key) if changed is not None and key in changed.places else None
            count += _stands(end or getattr(design.asked, key))
    return count


def _stands(end: EndTable | None) -> int:
    return int(isinstance(end, _NEWELS))


def _base(path: Path, base: BaseKind) -> Iterator[Slip]:
    material = getattr(base.support, "material", None)
    if material is not None and material not in list_timbers():
        known = list(list_timbers())
        yield unknown((*path, "support", "material"), "the catalogue has no such material", material, known)
    if isinstance(base, NotchedBase | FaceBase):
        yield from _group(path, base)
    if isinstance(base, PlateBase | ScrewedBase):
        yield from _screws(path, base)


def _group(path: Path, base: NotchedBase | FaceBase) -> Iterator[Slip]:
    """Fixings that are several stand apart, and they go through the face of something."""
    for count, key in ((base.rows, "pitch"), (base.columns, "spread")):
        if count > 1 and getattr(base, key) == 0.0:
            problem = f"{count} fixings need a distance between them"
            yield Slip((*path, key), problem, getattr(base, key), "more than 0", f"add {key} = ...")
    yield from _thread(path, base)
    if base.support is not None and base.support.kind in ("floor", "tread"):
        problem = (
            f"a post fixed to a face stands beside a string, joist or trimmer, not on a {base.support.kind}"
        )
        allowed = '"string", "joist", "trimmer" or "solid"'
        yield Slip((*path, "support", "kind"), problem, base.support.kind, allowed)


def _thread(path: Path, table: NotchedBase | FaceBase | RailEndsTable) -> Iterator[Slip]:
    """A bolt goes right through: its thread has no say."""
    if fixing_type(table.fixing).kind == "bolt" and "thread" in table.model_fields_set:
        problem = "a bolt goes right through, so thread has no say"
        yield Slip((*path, "thread"), problem, table.thread, remedy="take it out, or choose a screw")


def _screws(path: Path, base: PlateBase | ScrewedBase) -> Iterator[Slip]:
    if fixing_type(base.fixing).kind != "screw":
        problem = "a post is screwed down with screws, and this is a bolt"
        yield Slip(
            (*path, "fixing"), problem, base.fixing, remedy='choose a screw, or kind = "face" or "notched"'
        )
    if base.count % 2:
        problem = "half of the screws stand on each side, so their number is even"
        yield Slip((*path, "count"), problem, base.count, remedy="count those that pull and double them")
    if isinstance(base.support, SolidSupport) and base.support.material is None:
        problem = "what a fixing bears in concrete or masonry is for its maker to say and not known here"
        remedy = "pull at the post and state the test, or name the timber it goes into"
        yield Slip((*path, "support", "material"), problem, remedy=remedy)
    if isinstance(base.support, StringSupport):
        problem = "a post that is screwed down stands on a floor, a tread or a joist, not on a string's edge"
        yield Slip(
            (*path, "support", "kind"), problem, base.support.kind, '"floor", "tread", "joist" or "solid"'
        )
