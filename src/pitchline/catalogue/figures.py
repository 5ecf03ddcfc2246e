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
        "guard.needed.slope": _begins(
            "slope of the ground beside, rise over run, from which guarding is needed", "ratio"
        ),
        "guard.flight.height": _least("top of the guarding, plumb above every nosing of a flight"),
        "guard.landing.height": _least("top of the guarding above a landing or floor inside"),
        "guard.balcony.height": _least("top of the guarding above an outside balcony or roof edge"),
        "guard.landing.between.height": _least("top of the guarding above a landing between two flights"),
        "guard.landing.short.run": _begins(
            "length up to which an inner landing edge may keep a height of its own"
        ),
        "guard.landing.short.height": _least("top of the guarding above so short an inner landing edge"),
        "guard.drop_band.1.above": _begins("drop from which the first band of greater heights holds"),
        "guard.drop_band.1.flight": _least("top of the guarding of a flight in the first band"),
        "guard.drop_band.1.landing": _least("top of the guarding of a landing or floor in the first band"),
        "guard.drop_band.1.balcony": _least("top of the guarding outside in the first band"),
        "guard.drop_band.2.above": _begins("drop from which the second band of greater heights holds"),
        "guard.drop_band.2.balcony": _least("top of the guarding outside in the second band"),
        "guard.drop_band.eye": _begins("width of the stair's eye up to which no band raises the height"),
        "guard.transition": _word(
            "whether the guarding of a landing may dip to meet the rail of a flight", "no", "yes"
        ),
        "guard.transition.run": _most("how far along the landing that dip may reach"),
        "guard.seating.height": _least("top of the guarding before fixed seats"),
        "guard.seating.within": _begins("how near the seats must be for that height"),
        "guard.window.height": _least("top of the guarding before an opening window or glazing"),
        "guard.top.as_handrail": _word("whether the top of the guarding may be the handrail", "yes", "no"),
        "guard.top.min": _least("top of a guarding that is the handrail of the flight too"),
        "guard.top.max": _most("top of a guarding that is the handrail of the flight too"),
        "handrail.height.min": _least("top of the handrail, plumb above every nosing"),
        "handrail.height.max": _most("top of the handrail, plumb above every nosing"),
        "handrail.landing.min": _least("top of the handrail above a landing"),
        "handrail.landing.max": _most("top of the handrail above a landing"),
        "handrail.ladder.min": _least("top of the handrail of a ladder-like stair"),
        "handrail.ladder.max": _most("top of the handrail of a ladder-like stair"),
        "handrail.needed.risers": _begins("number of risers from which a handrail is needed", "count"),
        "handrail.needed.risers.outside": _begins("the same outside the house", "count"),
        "handrail.needed.rise": _begins("rise of a flight from which a handrail is needed"),
        "handrail.needed.slope": _begins(
            "slope of a flight, rise over going, from which a handrail is needed", "ratio"
        ),
        "handrail.begin.riser": _most(
            "riser, counted from the foot, by which the handrail has begun", "count"
        ),
        "handrail.sides": _least("number of sides that need a handrail on a narrow stair", "count"),
        "handrail.both_sides.width": _begins("clear width from which both sides need a handrail"),
        "handrail.centre.width": _begins("clear width from which a handrail in the middle is needed too"),
        "handrail.reach": _most("how far any part of the needed width lies from a handrail"),
        "handrail.outside_edge": _most("how far beyond the edge of the steps the handrail may stand"),
        "handrail.exempt.bottom_steps": _most("steps at the foot that need no handrail beside them", "count"),
        "handrail.clear.wall": _least("clear space between the handrail and the wall"),
        "handrail.clear.wall.max": _most("clear space between the handrail and the wall"),
        "handrail.clear.rough": _least("clear space between the handrail and a rough wall"),
        "handrail.clear.below": _least("clear space under the handrail down to what sticks out there"),
        "handrail.clear.below.less": _most("how much less is enough for each step of the way round"),
        "handrail.clear.below.per": _begins("that step of the way round, beyond the least way round"),
        "handrail.bottom.obstructed": _most("share of the handrail's length that is blocked below", "ratio"),
        "handrail.extension.top": _least("how far, level, the handrail runs on past the top riser"),
        "handrail.extension.bottom": _least("how far, level, the handrail runs on past the bottom riser"),
        "handrail.extension.bottom.treads": _least(
            "how many goings the handrail slopes on past the bottom riser", "count"
        ),
        "handrail.second.max": _most("top of a second handrail for children"),
        "handrail.second.apart": _least("clear height between the two handrails"),
        "handrail.fixing.first": _most("first fixing of the handrail from its end"),
        "handrail.fixing.apart": _most("level distance between the fixings of the handrail"),
        "handrail.fixing.screws": _least("screws at each fixing", "count"),
        "handrail.fixing.into_wood": _least("how far those screws go into solid wood"),
        "handrail.projection": _most("how far a handrail reaches into the stair from one side"),
        "handrail.projection.nosing": _most("the same where it passes the nosings of the flight above"),
        "handrail.grip.duty": _word("whether the grip sizes bind or advise", "required", "advice"),
        "handrail.grip.round.min": _least("diameter of a round handrail"),
        "handrail.grip.round.max": _most("diameter of a round handrail"),
        "handrail.grip.perimeter.min": _least("way round a handrail that is not round"),
        "handrail.grip.perimeter.max": _most("way round a handrail that is not round"),
        "handrail.grip.across": _most("largest measure across a handrail that is not round"),
        "handrail.grip.across.min": _least("least measure across a handrail that is not round"),
        "handrail.grip.oval.width": _most("width of an oval handrail"),
        "handrail.grip.oval.depth": _most("depth of an oval handrail"),
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
            "how that triangle is judged (see the five modes)",
            "same",
            "sphere",
            "exempt_if_rail_within",
            "not_below_nosing_line",
            "cube",
        ),
        "opening.triangle.rail_within": _most("underside of the rail above the nosings for a free triangle"),
        "opening.riser": _most("ball that must not pass between open treads"),
        "opening.riser.above": _begins("height above the floor from which open treads are judged"),
        "opening.up_to": _begins("height of the guarding up to which the limit of its openings holds"),
        "opening.above": _most("ball that must not pass higher up"),
        "opening.upper": _most("ball that must not pass in the upper zone of the guarding"),
        "opening.upper.from": _begins("foot of that upper zone"),
        "opening.upper.to": _begins("head of that upper zone"),
        "opening.level_rails": _most("clear height between level rails"),
        "opening.level_rails.filled": _begins("height up to which guarding of level rails is filled in"),
        "opening.under.string": _most("clear height between the bottom rail and a closed string"),
        "opening.under.landing": _most("clear height between the bottom rail and a landing"),
        "opening.side": _most("clear space, level, between the ends of the steps and the guarding"),
        "opening.finger": _least("clear space under a tread's end that catches no finger"),
        "opening.front.avoid.from": _begins(
            "foot of the range of gaps above a balcony's edge that is to be avoided"
        ),
        "opening.front.avoid.to": _begins("head of that range"),
        "opening.unneeded": _most("ball that must not pass guarding that is not required"),
        "opening.unneeded.or_over": _least("or else the ball that must pass it, so that no head is caught"),
        "opening.flex.force": _least(
            "force that pulls two neighbouring uprights apart while the gap is tried", "force"
        ),
        "opening.applies": _word(
            "up to where openings are judged: the whole guarding, or the required height", "all", "required"
        ),
        "climb.mode": _word("what is asked about climbing", "none", "not readily", "zone"),
        "climb.duty": _word("whether the rule on climbing binds or advises", "required", "advice"),
        "climb.zone.from": _begins("foot of the zone without footholds, above the standing level"),
        "climb.zone.to": _begins("head of the zone without footholds, above the standing level"),
        "climb.zone.drop": _begins("drop from which the zone binds"),
        "climb.zone.ledge": _most("depth of a ledge in that zone"),
        "climb.upper.from": _begins("foot of the zone above it"),
        "climb.upper.to": _begins("head of the zone above it"),
        "climb.upper.ledge": _most("depth of a ledge in the zone above"),
        "climb.up_to": _begins("height up to which guarding must be hard to climb where no zone is drawn"),
        "climb.inset": _least("how far inside the guarding the handrail stands where it can be climbed"),
        "climb.standing.height": _begins("height up to which a ledge counts as a place to stand"),
        "climb.standing.reach": _begins("level distance from the guarding within which it counts"),
        "stair.rise.min": _least("rise of a step"),
        "stair.rise.max": _most("rise of a step"),
        "stair.going.min": _least("going of a step, nosing to nosing"),
        "stair.going.max": _most("going of a step, nosing to nosing"),
        "stair.going.outside": _least("going of tapered and outside steps"),
        "stair.pair.1.rise.min": _least("rise of a step, first of two pairs that go together"),
        "stair.pair.1.rise.max": _most("rise of a step, first of two pairs that go together"),
        "stair.pair.1.going.min": _least("going of a step, first of two pairs that go together"),
        "stair.pair.1.going.max": _most("going of a step, first of two pairs that go together"),
        "stair.pair.2.rise.min": _least("rise of a step, second of two pairs that go together"),
        "stair.pair.2.rise.max": _most("rise of a step, second of two pairs that go together"),
        "stair.pair.2.going.min": _least("going of a step, second of two pairs that go together"),
        "stair.pair.2.going.max": _most("going of a step, second of two pairs that go together"),
        "stair.alternating.rise": _most("rise of a stair of alternating treads"),
        "stair.alternating.going": _least(
            "going of a stair of alternating treads, between nosings of one foot"
        ),
        "stair.tread.over": _most("how much deeper a tread may be than its going"),
        "stair.pitch.max": _most("pitch of a flight", "angle"),
        "stair.two_rise_going.min": _least("twice the rise plus the going"),
        "stair.two_rise_going.max": _most("twice the rise plus the going"),
        "stair.rise.variation": _most("largest less smallest rise in a flight"),
        "stair.going.variation": _most("largest less smallest going in a flight"),
        "stair.rise.adjacent": _most("difference of neighbouring rises"),
        "stair.going.adjacent": _most("difference of neighbouring goings"),
        "stair.rise.off_nominal": _most("how far a rise is off the intended one"),
        "stair.going.off_nominal": _most("how far a going is off the intended one"),
        "stair.first_rise.off": _most("how far the bottom rise is off the intended one"),
        "stair.first_rise.less": _most("how much lower the bottom rise may be, for finishes to come"),
        "stair.nosing.min": _least("overhang of a nosing"),
        "stair.nosing.max": _most("overhang of a nosing"),
        "stair.nosing.below": _begins("going under which a nosing must overhang"),
        "stair.nosing.radius": _most("rounding of a nosing"),
        "stair.nosing.bevel": _most("bevel of a nosing"),
        "stair.nosing.variation": _most("largest less smallest overhang of the nosings"),
        "stair.overlap.min": _least("how far open treads lie over one another"),
        "stair.riser.lean": _most("lean of a riser from plumb", "angle"),
        "stair.winder.going": _least("going of a tapered step on the walking line"),
        "stair.winder.narrow": _least("going of a tapered step at its narrow end"),
        "stair.winder.wide": _most("going of a tapered step at its wide end"),
        "stair.winder.line": _begins("distance of the walking line from either side of a wide stair"),
        "stair.winder.line.narrow": _begins("distance of the walking line from the narrow side of any stair"),
        "stair.headroom.min": _least("headroom, plumb above the nosings"),
        "stair.headroom.edge": _most("how far the edge of the opening above reaches in over the lower steps"),
        "stair.headroom.loft.centre": _least("headroom of a loft stair at the middle of its width"),
        "stair.headroom.loft.side": _least("headroom of a loft stair at its side"),
        "stair.width.min": _least("clear width above the handrail"),
        "stair.width.one_rail": _least("clear width at handrail height, one handrail"),
        "stair.width.two_rails": _least("clear width at handrail height, two handrails"),
        "stair.width.divide": _begins("clear width from which a stair is divided"),
        "stair.flight_rise.max": _most("rise of one flight between floors or landings"),
        "stair.risers.min": _least("number of risers in a flight", "count"),
        "stair.risers.max": _most("number of risers in a flight", "count"),
        "stair.landing.door": _least("clear floor between a flight and a door that opens on the landing"),
        "load.line": _least("level load along the top of the guarding", "line load"),
        "load.line.height": _least("height at which the load along the top acts"),
        "load.line.height.max": _most("height above which the load along the top need not act"),
        "load.line.at": _word("where that height is counted", "fixed height", "top of guarding"),
        "load.top.point": _least("single load anywhere on the top of the guarding", "force"),
        "load.top.vertical": _least("load straight down along the top of the guarding", "line load"),
        "load.inward": _least("load towards the stair, as a share of that outward", "ratio"),
        "load.handrail.point": _least("single load anywhere on the handrail, any direction", "force"),
        "load.handrail.line": _least(
            "load along the handrail of a stair that several dwellings share", "line load"
        ),
        "load.infill.pressure": _least("load spread over the infill", "pressure"),
        "load.infill.point": _least("single load on the infill", "force"),
        "load.infill.area": _most("area on which the single load on the infill stands", "area"),
        "load.infill.engaged": _least(
            "number of uprights that share the single load where their spacing lets them", "count"
        ),
        "load.balcony.line": _least("level load along the top of guarding outside", "line load"),
        "load.balcony.point": _least("single load on the top of guarding outside", "force"),
        "load.balcony.infill.pressure": _least("load spread over the infill outside", "pressure"),
        "load.balcony.infill.point": _least("single load on the infill outside", "force"),
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
        "deflection.member.span": _most("movement of any member, as a share of its span", "ratio"),
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
