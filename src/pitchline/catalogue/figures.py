"""The figures a set of rules may hold: one table of ids with their meaning, and the types of a stated figure.

A figure is a number with the comparison that must hold of the measured thing, where it stands in a
published text, and how well it is known. A choice is a rule put in a word instead of a number.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from pitchline.catalogue.load import Quantity, Source, Status
from pitchline.kit.finding import Compare

Sense = Literal["least", "most", "begins", "word"]
"""least: the measured thing is at least this (ge, gt); most: at most (le, lt); begins: a duty begins here."""

SENSE_COMPARES: Mapping[Sense, tuple[Compare, ...]] = MappingProxyType(
    {"least": ("ge", "gt"), "most": ("le", "lt"), "begins": ("ge", "gt", "le", "lt"), "word": ()}
)


@dataclass(frozen=True, slots=True)
class Kind:
    """What one figure id means: a sentence, its quantity, its sense, and for a choice the words allowed."""

    meaning: str
    quantity: Quantity
    sense: Sense
    words: tuple[str, ...] = ()


def _least(meaning: str, quantity: Quantity = "length") -> Kind:
    return Kind(meaning, quantity, "least")


def _most(meaning: str, quantity: Quantity = "length") -> Kind:
    return Kind(meaning, quantity, "most")


def _begins(meaning: str, quantity: Quantity = "length") -> Kind:
    return Kind(meaning, quantity, "begins")


def _word(meaning: str, *words: str) -> Kind:
    return Kind(meaning, "word", "word", words)


FIGURES: Mapping[str, Kind] = MappingProxyType(
    {
        "guard.needed.drop": _begins("drop beside a walking surface from which guarding is needed"),
        "guard.needed.within": _begins("how far from the edge, level, the drop is looked for"),
        "guard.needed.risers": _begins("number of risers from which guarding is needed", "count"),
        "guard.flight.height": _least("top of the guarding, plumb above every nosing of a flight"),
        "guard.landing.height": _least("top of the guarding above a landing or floor inside"),
        "guard.balcony.height": _least("top of the guarding above an outside balcony or roof edge"),
        "guard.top.as_handrail": _word("whether the top of the guarding may be the handrail", "yes", "no"),
        "guard.top.min": _least("top of a guarding that is the handrail of the flight too"),
        "guard.top.max": _most("top of a guarding that is the handrail of the flight too"),
        "handrail.height.min": _least("top of the handrail, plumb above every nosing"),
        "handrail.height.max": _most("top of the handrail, plumb above every nosing"),
        "handrail.needed.risers": _begins("number of risers from which a handrail is needed", "count"),
        "handrail.sides": _least("number of sides that need a handrail on a narrow stair", "count"),
        "handrail.both_sides.width": _begins("clear width from which both sides need a handrail"),
        "handrail.exempt.bottom_steps": _most("steps at the foot that need no handrail beside them", "count"),
        "handrail.clear.wall": _least("clear space between the handrail and the wall"),
        "handrail.projection": _most("how far a handrail reaches into the stair from one side"),
        "handrail.projection.nosing": _most("the same where it passes the nosings of the flight above"),
        "handrail.grip.duty": _word("whether the grip sizes bind or advise", "required", "advice"),
        "handrail.grip.round.min": _least("diameter of a round handrail"),
        "handrail.grip.round.max": _most("diameter of a round handrail"),
        "handrail.grip.perimeter.min": _least("way round a handrail that is not round"),
        "handrail.grip.perimeter.max": _most("way round a handrail that is not round"),
        "handrail.grip.across": _most("largest measure across a handrail that is not round"),
        "handrail.grip.edge_radius": _least("radius of a handrail's edges"),
        "handrail.grip.recess.top": _most("where a finger recess begins, below the top of a wide handrail"),
        "handrail.grip.recess.depth": _least("depth of the finger recess"),
        "handrail.grip.recess.within": _most("below the widest place, where the recess has its depth"),
        "handrail.grip.recess.run": _least("how far on the recess keeps its depth"),
        "handrail.grip.recess.level": _least("level below the top to which the recess goes on"),
        "handrail.grip.above_recess.min": _least("width of the handrail above the recess"),
        "handrail.grip.above_recess.max": _most("width of the handrail above the recess"),
        "handrail.ends": _word(
            "how the ends are finished", "any", "shaped or returned", "returned or post", "returned"
        ),
        "handrail.return.gap": _most("gap left between a returned end and what it returns to"),
        "handrail.continuity": _word(
            "how far the handrail runs without a break",
            "any",
            "flight",
            "riser to riser",
            "landing to nosing",
        ),
        "handrail.newel": _word(
            "where a newel may break the handrail", "anywhere", "turn, landing or lowest tread", "nowhere"
        ),
        "opening.general": _most("ball that must not pass an opening of the guarding"),
        "opening.stair": _most("ball that must not pass an opening beside a flight"),
        "opening.triangle": _most("ball that must not pass between riser, tread and bottom rail"),
        "opening.triangle.mode": _word(
            "how that triangle is judged: as every opening, by its own ball, or free if the rail is near",
            "same",
            "sphere",
            "exempt_if_rail_within",
        ),
        "opening.triangle.rail_within": _most("underside of the rail above the nosings for a free triangle"),
        "opening.riser": _most("ball that must not pass between open treads"),
        "opening.riser.above": _begins("height above the floor from which open treads are judged"),
        "opening.applies": _word(
            "up to where openings are judged: the whole guarding, or the required height", "all", "required"
        ),
        "climb.mode": _word("what is asked about climbing", "none", "not readily", "zone"),
        "climb.zone.from": _begins("foot of the zone without footholds, above the standing level"),
        "climb.zone.to": _begins("head of the zone without footholds, above the standing level"),
        "climb.zone.drop": _begins("drop from which the zone binds"),
        "stair.rise.min": _least("rise of a step"),
        "stair.rise.max": _most("rise of a step"),
        "stair.going.min": _least("going of a step, nosing to nosing"),
        "stair.going.max": _most("going of a step, nosing to nosing"),
        "stair.pitch.max": _most("pitch of a flight", "angle"),
        "stair.two_rise_going.min": _least("twice the rise plus the going"),
        "stair.two_rise_going.max": _most("twice the rise plus the going"),
        "stair.rise.variation": _most("largest less smallest rise in a flight"),
        "stair.going.variation": _most("largest less smallest going in a flight"),
        "stair.first_rise.less": _most("how much lower the bottom rise may be, for finishes to come"),
        "stair.nosing.min": _least("overhang of a nosing"),
        "stair.nosing.max": _most("overhang of a nosing"),
        "stair.nosing.below": _begins("going under which a nosing must overhang"),
        "stair.nosing.radius": _most("rounding of a nosing"),
        "stair.overlap.min": _least("how far open treads lie over one another"),
        "stair.riser.lean": _most("lean of a riser from plumb", "angle"),
        "stair.winder.going": _least("going of a tapered step on the walking line"),
        "stair.winder.narrow": _least("going of a tapered step at its narrow end"),
        "stair.headroom.min": _least("headroom, plumb above the nosings"),
        "stair.width.min": _least("clear width above the handrail"),
        "stair.width.one_rail": _least("clear width at handrail height, one handrail"),
        "stair.width.two_rails": _least("clear width at handrail height, two handrails"),
        "stair.flight_rise.max": _most("rise of one flight between floors or landings"),
        "load.line": _least("level load along the top of the guarding", "line load"),
        "load.line.height": _least("height at which the load along the top acts"),
        "load.line.at": _word("where that height is counted", "fixed height", "top of guarding"),
        "load.top.point": _least("single load anywhere on the top of the guarding", "force"),
        "load.infill.pressure": _least("load spread over the infill", "pressure"),
        "load.infill.point": _least("single load on the infill", "force"),
        "load.infill.area": _most("area on which the single load on the infill stands", "area"),
        "load.combine": _word("whether the loads act together", "separately", "together"),
        "load.factor": _least("partial factor on these loads", "ratio"),
        "load.fixing.factor": _least("further factor where a fixing's strength is in doubt", "ratio"),
        "load.glass.factor": _least("factor on the loads for glass", "ratio"),
        "load.test.factor": _least("how many times the load a test must reach", "ratio"),
        "deflection.any": _most("how far any point moves sideways under the load"),
        "deflection.post.height": _most(
            "sideways movement of a post's top, as a share of its height", "ratio"
        ),
        "deflection.rail.height": _most("sideways movement of a rail: share of the height, plus", "ratio"),
        "deflection.rail.span": _most("share of the span between posts", "ratio"),
        "deflection.rail.vertical": _most("movement of a rail downwards, as a share of its span", "ratio"),
        "deflection.glass.span": _most(
            "movement of glass against its fixings, as a share of its span", "ratio"
        ),
        "glass.containment": _least("height below which glass at a drop must hold people back"),
        "glass.rail.panels": _least("number of panes that carry the top rail of structural glass", "count"),
    }
)


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of a rule set.

    ``value`` is in the program's ``unit`` (mm, mm2, deg, N, N/mm, MPa or empty); ``written`` is the number with
    the unit in which the rule states it, such as "4 3/8 in", from which ``value`` follows exactly.
    ``compare`` says what must hold of the measured thing: a gap of exactly the limit is refused by "lt".
    ``status`` is how well the number is known (see STATUSES in the loader).
    """

    id: str
    value: float
    unit: str
    compare: Compare
    clause: str
    edition: str
    source: Source
    status: Status
    note: str
    written: str

    @property
    def value_mm(self) -> float:
        """The value of a length in mm; TypeError for anything else."""
        if self.unit != "mm":
            raise TypeError(f"{self.id} is not a length but in {self.unit or 'plain numbers'}")
        return self.value

    @property
    def verified(self) -> bool:
        """Whether the number was read in the published text itself."""
        return self.status == "V-P"

    @property
    def meaning(self) -> str:
        """What the figure is, in a few words."""
        return FIGURES[self.id].meaning


@dataclass(frozen=True, slots=True)
class Choice:
    """One rule that is a word and not a number, such as how the triangle beside a step is judged."""

    id: str
    word: str
    clause: str
    edition: str
    source: Source
    status: Status
    note: str

    @property
    def verified(self) -> bool:
        """Whether the rule was read in the published text itself."""
        return self.status == "V-P"

    @property
    def meaning(self) -> str:
        """What the choice is about, in a few words."""
        return FIGURES[self.id].meaning


@dataclass(frozen=True, slots=True)
class Note:
    """Something a rule set has to say that is no number, in our own words; ``clause`` may be empty."""

    topic: str
    text: str
    clause: str
    source: Source
    status: Status
