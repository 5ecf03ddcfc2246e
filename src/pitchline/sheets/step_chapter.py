"""The chapter of solids for other programs: a STEP file of each design and wall rail, and of each distinct piece."""

from collections.abc import Iterable, Iterator

from pitchline.kit.naming import safe_name
from pitchline.parts.explode import Group, grouped
from pitchline.parts.part import Part
from pitchline.sheets.chapter import Chapter, PackFile
from pitchline.solids.scene import in_world
from pitchline.solids.step import Branch, assembly_step, part_step
from pitchline.story import Solved, SolvedBalustrade


def step_chapter(solved: Solved) -> Chapter:
    """The STEP files of a pack."""
    return Chapter(files=tuple(_files(solved)))


def _files(solved: Solved) -> Iterator[tuple[PackFile, bytes]]:
    date = solved.job.date
    trees = [
        (whole.id, f"Design {whole.id}", balustrade_tree(whole), whole.parts) for whole in solved.balustrades
    ]
    trees += [
        (rail.id, f"Wall rail {rail.id}", Branch(f"wall rail {rail.id}", rail.parts), rail.parts)
        for rail in solved.wall_rails
    ]
    for name, title, tree, parts in trees:
        words = f"{title} as solids (STEP, mm): true planes and cylinders, a tree of named pieces"
        yield PackFile(f"{safe_name(name)}.step", words), assembly_step(tree, date)
        yield from _pieces(name, grouped(parts), date)


def _pieces(name: str, groups: Iterable[Group], date: str) -> Iterator[tuple[PackFile, bytes]]:
    for group in groups:
        file = PackFile(
            f"parts/{safe_name(name)}/{safe_name(group.mark)}.step",
            f"Piece {group.mark} of {name} as a solid: {group.part.role.value}, {group.quantity} off",
        )
        yield file, part_step(group.part, date)


def balustrade_tree(whole: SolvedBalustrade) -> Branch:
    """The assembly of a design: of one leg its pieces; of several a branch for each leg, placed in the world."""
    name = f"balustrade {whole.id}"
    places = [place for edge in whole.edges for place in edge.places]
    if len(places) == 1:
        return Branch(name, whole.parts)
    legs = []
    for leg, place in zip(whole.legs, places, strict=True):
        pieces: tuple[Part, ...] = tuple(in_world(part, place) for part in leg.parts)
        legs.append(Branch(f"{name}: {leg.design.id}", pieces))
    return Branch(name, (), tuple(legs))
