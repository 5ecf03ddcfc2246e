"""Cautions where they bite: each hangs on the steps that raise it, and says where its figure is from."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from pitchline.catalogue.finishes import DustLimit, Finish, load_finishes
from pitchline.catalogue.timber import load_timber
from pitchline.kit.errors import InputError
from pitchline.parts.part import Part


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: a short name that steps bear, and what it says."""

    id: str
    name: str
    text: str


_CAUTIONS = (
    Caution(
        "edge",
        "open edge",
        "An open edge of a stair or landing kills. Put up a temporary guard and handrail the same day the old one "
        "comes down, keep children and visitors off, and take the guard away only when the new one is checked.",
    ),
    Caution(
        "lead",
        "old paint",
        "Old paint may hold lead (in the UK take it for granted before 1992, in the USA before 1978). Test first. Do "
        "not sand it dry or burn it off: strip it wet, use a vacuum with a HEPA filter, wipe down damp, keep "
        "children away.",
    ),
    Caution(
        "asbestos",
        "asbestos",
        "Textured coatings, soffit boards and floor tiles under a stair may hold asbestos. Do not drill, cut or "
        "scrape what is not known: stop, and have it tested.",
    ),
    Caution(
        "newel",
        "newels that carry",
        "A newel may carry a string, a landing or a trimmer. Never cut or take out one that does without props under "
        "what it carries; ask an engineer. With one newel gone the rest of the balustrade holds nobody.",
    ),
    Caution(
        "services",
        "cables and pipes",
        "Cables and pipes run behind stair walls, in floors and under treads: look with a detector before drilling.",
    ),
    Caution(
        "saw",
        "saw",
        "Guard and riving knife in place, hands out of the line of the blade, wait until it stands still. Cut a "
        "scrap to each angle first.",
    ),
    Caution(
        "short",
        "short pieces",
        "Pieces shorter than what your saw safely holds are cut from a long stick against a stop on the waste side, "
        "or in a carrier; never by hand.",
    ),
    Caution(
        "router",
        "router",
        "Feed against the turning of the cutter, take a deep cut in several passes, clamp the work, no loose "
        "sleeves.",
    ),
    Caution(
        "lathe",
        "lathe",
        "Turn between centres with the rest close, eyes covered, no sleeves; stop it before measuring.",
    ),
    Caution(
        "glass",
        "glass",
        "Glass is cut and drilled before it is toughened and cannot be trimmed after. It must be safety glass with "
        "its mark, carried by two on edge with gloves; no hard point may touch it. Its thickness is an engineer's "
        "matter.",
    ),
    Caution(
        "tension",
        "cables under tension",
        "A tight cable whips when it lets go: eyes covered, nobody in its line. Tighten from the middle outwards, in "
        "turns, and look whether the posts stay plumb.",
    ),
    Caution(
        "epoxy",
        "epoxy",
        "Epoxy makes the skin allergic for good: gloves, no solvent on the skin, air.",
    ),
    Caution(
        "rags",
        "oily rags",
        "Rags with oil heat up by themselves and set fire: spread them out to dry outdoors, or keep them under water "
        "in a tin with a lid.",
    ),
    Caution(
        "fumes",
        "fumes",
        "Air the room while coats dry; no flame or spark near solvents. Read the tin's own sheet.",
    ),
    Caution(
        "lifting",
        "weight",
        "Long rails and newels are carried by two on a stair.",
    ),
)

CAUTIONS: Mapping[str, Caution] = MappingProxyType({one.id: one for one in _CAUTIONS})
"""All but the one on dust, which depends on the place and the wood."""


def dust_caution(parts: Sequence[Part], limit: DustLimit) -> Caution:
    """What the air may hold of this design's dust; mixed dust counts as hardwood."""
    hard = any(_kind(part.material) in ("hardwood", "plywood", "fibreboard") for part in parts)
    fact = limit.hardwood if hard else limit.softwood
    wood = "hardwood, or dust that may hold some" if hard else "softwood"
    known = "" if fact.status == "V-P" else ", not read in the original: ask your authority"
    text = (
        f"Wood dust makes ill and that of hardwood gives cancer. Limit in the air ({limit.name}): {fact.written} for "
        f"{wood} ({fact.source.title}{known}). Extract at the tool, wear a mask that fits (P2 or better), vacuum; "
        "do not sweep or blow."
    )
    return Caution("dust", "wood dust", text)


def dust_limit(rules_id: str) -> DustLimit:
    """The dust limit that goes with the place of a rule set."""
    limits = load_finishes().dust
    if rules_id.startswith(("us-", "usa", "canada", "can-")):
        return limits["usa"]
    if rules_id.startswith(("england", "scotland", "wales", "gb", "uk", "northern", "bs")):
        return limits["great-britain"]
    return limits["european-union"]


def _kind(material: str) -> str:
    try:
        return load_timber(material).kind
    except InputError:
        return "hardwood"


def is_wood(material: str) -> bool:
    """Whether a material is sanded and coated as wood is."""
    return _kind(material) not in ("metal", "glass")


def is_glass(material: str) -> bool:
    """Whether a material is glass."""
    return _kind(material) == "glass"


def finish_cautions(finish: Finish | None) -> Iterator[str]:
    """What coating with a finish raises."""
    if finish is not None:
        yield "fumes"
        if finish.oily:
            yield "rags"
