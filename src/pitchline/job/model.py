"""The job file as a whole, in the trade's words; its JSON Schema is what editors complete and check by."""

from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_as_built import BuiltRoundTable
from pitchline.job.model_design import DesignTable
from pitchline.job.model_edge import EdgeTable, LevelTable
from pitchline.job.model_finish import FinishTable
from pitchline.job.model_flight import FlightTable
from pitchline.job.model_layers import LayersTable
from pitchline.job.model_readings import InstrumentTable
from pitchline.job.model_shop import ShopTable
from pitchline.job.model_strength import StrengthTable
from pitchline.job.model_table import Table
from pitchline.job.model_wall import WallRailTable
from pitchline.job.model_winders import WindersTable
from pitchline.kit.units import Unit

SCHEMA = "pitchline-job/1"


class PaperSize(StrEnum):
    """The paper of the drawings."""

    A3 = "A3"
    TABLOID = "Tabloid"


class ProjectionAngle(StrEnum):
    """How views are laid out: first angle (usual with mm) or third angle (usual with inches)."""

    FIRST = "first"
    THIRD = "third"


class HeadTable(Table):
    """What holds for the whole job."""

    title: Annotated[str, limits.TITLE] = Field(description="One line that names the job on every sheet.")
    place: Annotated[str, limits.RULES] = Field(
        description="The rule set of the place, by the id that `pitchline rules` lists."
    )
    units: Annotated[Unit, Choice(Unit)] = Field(description='What plain numbers are in: "mm" or "in".')
    rules_file: Annotated[str, limits.FILE] | None = Field(
        default=None,
        description="A rule file of your own, found from the job's folder; `place` names the set in it.",
    )
    rack: Annotated[str, limits.FILE] | None = Field(
        default=None,
        description="The shop's rack, found from the job's folder. Left out: no cutting plans.",
    )
    drawn_by: Annotated[str, limits.PERSON] | None = Field(
        default=None, description="Who drew it, for the sheets."
    )
    date: Annotated[str, limits.DAY] | None = Field(
        default=None, description='The day for the sheets, written "2025-03-14".'
    )
    paper: Annotated[PaperSize, Choice(PaperSize)] | None = Field(
        default=None, description='"A3" or "Tabloid". Left out: A3 with mm, Tabloid with in.'
    )
    projection: Annotated[ProjectionAngle, Choice(ProjectionAngle)] | None = Field(
        default=None, description='"first" or "third" angle. Left out: first with mm, third with in.'
    )
    pack_address: Annotated[str, limits.ADDRESS] | None = Field(
        default=None,
        description="The folder that the pack will be put in, as a browser opens it: the codes on labels lead there. "
        "Left out: they hold the piece's mark.",
    )
    currency: Annotated[str, limits.CURRENCY] | None = Field(
        default=None, description='Three capital letters for prices, such as "GBP". Left out: no prices.'
    )


class JobFile(Table):
    """A job: a stair as it was read, and the balustrades asked for."""

    form: Literal["pitchline-job/1"] = Field(
        alias="schema", description='Which form of job file this is: "pitchline-job/1".'
    )
    job: HeadTable = Field(description="What holds for the whole job.")
    shop: ShopTable | None = Field(default=None, description="Your workshop. Left out: a usual one.")
    finish: FinishTable | None = Field(
        default=None, description="What the wood is finished with. Left out: varnish."
    )
    layers: LayersTable | None = Field(
        default=None, description="How boards are cut into layers by the router. Left out: as usual."
    )
    strength: StrengthTable | None = Field(
        default=None, description="What the strength of all designs is judged by."
    )
    instruments: list[InstrumentTable] = Field(default=[], description="Instruments of your own.")
    flights: list[FlightTable] = Field(default=[], description="The straight flights, one or more.")
    levels: list[LevelTable] = Field(
        default=[], description="Edges of landings, galleries and floors, where they are to be guarded."
    )
    winders: list[WindersTable] = Field(default=[], description="Winders between two flights.")
    edges: list[EdgeTable] = Field(
        default=[], description="Open edges that run over several flights and levels."
    )
    designs: list[DesignTable] = Field(
        default=[], description="The designs asked for: one or more, or a wall rail."
    )
    wall_rails: list[WallRailTable] = Field(
        default=[], description="Handrails on brackets along a wall that are asked for."
    )
    as_built: list[BuiltRoundTable] = Field(
        default=[], description="What was measured while the work goes on, round by round."
    )


def job_schema() -> dict[str, Any]:
    """The JSON Schema of a job file, with every key described."""
    schema = JobFile.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "pitchline job", **schema}
