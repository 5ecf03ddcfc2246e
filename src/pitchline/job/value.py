"""The job as the steps want it: frozen values, mm and radians, nothing left of how the file was written."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from pitchline.design.as_built import BuiltRound
from pitchline.design.brief import Brief
from pitchline.design.wall_brief import WallRailBrief
from pitchline.kit.units import Unit
from pitchline.making.finishing_brief import FinishBrief
from pitchline.making.labels_sheet import LabelSheet, label_sheet
from pitchline.making.routing import Routing, usual_routing
from pitchline.making.shop import Shop, usual_shop
from pitchline.stair.edge import Edge
from pitchline.stair.facts import FlightFacts
from pitchline.stair.winder_facts import WinderFacts
from pitchline.strength.settings import StrengthSettings
from pitchline.survey.readings import Fixed, Reading

Paper = Literal["A3", "Tabloid"]
Projection = Literal["first", "third"]

DATUM = (Fixed(("x", "N1"), 0.0), Fixed(("z", "floor"), 0.0))
"""What every flight is measured from: along the stair its first nosing, in height its lower finished floor."""


@dataclass(frozen=True, slots=True)
class FlightInput:
    """All that is known of one flight: what was told, what was read, and the datum it is read from.

    ``place`` is that of its table in the job file, for sentences.
    """

    facts: FlightFacts
    readings: tuple[Reading, ...]
    fixed: tuple[Fixed, ...] = DATUM
    place: str = "flights[0]"


@dataclass(frozen=True, slots=True)
class Job:
    """One job: where it is, how its sheets are drawn, its flights and the designs asked for.

    ``place`` is the id of a rule set; ``rules_file`` a rule file of the user's own, already resolved against
    the job's folder; ``rack`` the shop's rack, likewise; ``path`` the job file itself, None for a job that was
    never saved; ``shop`` what it is made with, ``finish`` what the wood is finished with,
    ``routing`` how boards are cut into layers; ``labels``: on what
    labels are printed, which lead to ``pack_address``; ``strength`` what each design's strength is judged with, by
    its id;
    ``as_built`` what was measured while the work goes on, round by round.
    The flights hold the edges of floors too, each leg after the one that it stands on. A flight above winders stands
    on them: its Support is their id and the number of the nosing of their last tread, which lies above nosing
    ``leaves`` of the flight below by all their rises but the last.
    """

    title: str
    place: str
    unit: Unit
    flights: tuple[FlightInput, ...]
    designs: tuple[Brief, ...]
    paper: Paper
    projection: Projection
    rules_file: Path | None = None
    drawn_by: str = ""
    date: str = ""
    currency: str | None = None
    path: Path | None = None
    edges: tuple[Edge, ...] = ()
    winders: tuple[WinderFacts, ...] = ()
    wall_rails: tuple[WallRailBrief, ...] = ()
    strength: Mapping[str, StrengthSettings] = field(default_factory=dict, hash=False)
    rack: Path | None = None
    shop: Shop = field(default_factory=usual_shop)
    finish: FinishBrief = field(default_factory=FinishBrief)
    routing: Routing = field(default_factory=usual_routing)
    labels: LabelSheet = field(default_factory=lambda: label_sheet("A4"))
    pack_address: str | None = None
    as_built: tuple[BuiltRound, ...] = ()

    def flight(self, name: str) -> FlightInput:
        """The flight called ``name``. Raises KeyError if the job has none of that name."""
        return {flight.facts.id: flight for flight in self.flights}[name]

    def design(self, name: str) -> Brief:
        """The design called ``name``. Raises KeyError if the job has none of that name."""
        return {design.id: design for design in self.designs}[name]
