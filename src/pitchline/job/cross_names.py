"""Names that stand twice in a job file, and names that refer to nothing."""

from collections.abc import Iterator, Sequence

from pitchline.job.faults import Slip
from pitchline.job.fields import nearest
from pitchline.job.positions import Path
from pitchline.kit.naming import same_name

Named = Sequence[tuple[Path, str]]
"""Names with the tables that carry them."""


def repeated(what: str, named: Named) -> Iterator[Slip]:
    """A slip for every name that stands a second time."""
    seen: set[str] = set()
    for path, name in named:
        if name.casefold() in seen:
            problem = f"another {what} has this id already"
            yield Slip((*path, "id"), problem, name, remedy="give each its own")
        seen.add(name.casefold())


def clashing(what: str, named: Named) -> Iterator[Slip]:
    """A slip for every name that is another one's once both are made into names of files."""
    for index, (path, name) in enumerate(named):
        for _, other in named[:index]:
            if same_name(other, name) and other.casefold() != name.casefold():
                problem = f"files are named after it, and {what} {other!r} would name the same ones"
                yield Slip((*path, "id"), problem, name, remedy="let the two differ in letters or digits")


def unknown(path: Path, problem: str, found: str, known: list[str]) -> Slip:
    """The slip of a name that none of the known ones is."""
    allowed = ", ".join(f'"{name}"' for name in known) or "none is listed"
    guess = nearest(found, known)
    return Slip(path, problem, found, allowed, f'perhaps you mean "{guess}"' if guess else None)
