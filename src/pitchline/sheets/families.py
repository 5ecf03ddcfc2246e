"""Pieces that differ only in length, gathered: they share one drawing and one row of angles."""

from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.kit.geometry.bevels import SawReading, saw_reading
from pitchline.kit.tolerances import SAME_PART, SAME_PART_DEG
from pitchline.parts.explode import Group
from pitchline.parts.part import Feature, Hole, Mortise, Notch, Part, Role, Taper, Tenon, Turning
from pitchline.sheets.looking import Show

NAMED = 3
"""So many marks are written out; of more only the first and the last."""


@dataclass(frozen=True, slots=True)
class Family:
    """Groups of pieces that differ in length only."""

    groups: tuple[Group, ...]

    @property
    def part(self) -> Part:
        """The one that is drawn."""
        return self.groups[0].part

    @property
    def quantity(self) -> int:
        """Pieces in all."""
        return sum(group.quantity for group in self.groups)

    @property
    def marks(self) -> str:
        """The marks of its groups: all of a few, the first and the last of many."""
        marks = [group.mark for group in self.groups]
        if len(marks) <= NAMED:
            return ", ".join(marks)
        return f"{marks[0]} to {marks[-1]}"

    @property
    def name(self) -> str:
        """Its marks, and what it is."""
        return f"{self.marks}  {self.part.role.value}"

    def lengths(self, show: Show) -> str:
        """The long-point length, or from which to which."""
        found = sorted(group.part.length for group in self.groups)
        low, high = show(found[0]), show(found[-1])
        return low if low == high else f"{low} to {high}, see the list"


def families(groups: Iterable[Group]) -> tuple[Family, ...]:
    """Groups gathered by what they are and how their ends are cut."""
    found: list[list[Group]] = []
    for group in groups:
        for known in found:
            if _same_but_length(known[0].part, group.part):
                known.append(group)
                break
        else:
            found.append([group])
    return tuple(Family(tuple(known)) for known in found)


def _same_but_length(a: Part, b: Part) -> bool:
    if _kind(a) != _kind(b) or max(abs(a.width - b.width), abs(a.thickness - b.thickness)) > SAME_PART:
        return False
    pairs = zip((*a.start_cuts, *a.finish_cuts), (*b.start_cuts, *b.finish_cuts), strict=True)
    return all(_near(saw_reading(x.normal), saw_reading(y.normal)) for x, y in pairs)


def _kind(part: Part) -> tuple[object, ...]:
    """What must be the same in every piece of a family, whatever its length: the hand of round-overs too.

    Newels with housings are told of one by one: each has its own places for them.
    """
    alone = part.role in (Role.NEWEL, Role.HALF_NEWEL) and any(
        isinstance(feature, Hole | Mortise) for feature in part.features
    )
    return (
        part.mark if alone else "",
        part.role,
        part.material,
        len(part.start_cuts),
        len(part.finish_cuts),
        tuple(_shape(feature) for feature in part.features),
    )


def _shape(feature: Feature) -> object:
    match feature:
        case Hole():
            return "hole", round(feature.diameter / SAME_PART)
        case Notch() | Taper():
            return type(feature).__name__
        case Mortise() | Tenon():
            return type(feature).__name__, *_section(feature)
        case Turning():
            return "turning", tuple(round(diameter / SAME_PART) for _, diameter in feature.profile)
        case _:
            return feature


def _section(feature: Mortise | Tenon) -> tuple[int, ...]:
    """Sizes across the piece, in steps that tell pieces apart; a flare counts a hundredfold."""
    if isinstance(feature, Mortise):
        sizes: tuple[float, ...] = (feature.length, feature.width)
    else:
        sizes = (*feature.low, *feature.high, *(100 * flare for flare in feature.flare))
    return tuple(round(size / SAME_PART) for size in sizes)


def _near(a: SawReading, b: SawReading) -> bool:
    return max(abs(a.mitre_deg - b.mitre_deg), abs(a.bevel_deg - b.bevel_deg)) <= SAME_PART_DEG
