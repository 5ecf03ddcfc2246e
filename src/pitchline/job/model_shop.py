"""The table of a job file that tells of the workshop. Lengths in mm, angles in degrees from square, times in min."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_finish import LabelsTable
from pitchline.job.model_table import Table
from pitchline.making.shop import SawKind


class PrinterPaperSize(StrEnum):
    """The paper of full-size templates."""

    A4 = "A4"
    A3 = "A3"
    LETTER = "Letter"


class SawTable(Table):
    """A saw of the shop."""

    kind: Annotated[SawKind, Choice(SawKind)] = Field(
        description='How it is guided: "mitre saw", "table saw", "rail saw" or "hand saw" (in a mitre box).'
    )
    id: Annotated[str, limits.ID] | None = Field(
        default=None, description="What it is called. Left out: as its kind."
    )
    left_deg: Annotated[float, limits.SWING_DEG] | None = Field(
        default=None, description="How far its mitre scale goes left of square. Left out: as usual."
    )
    right_deg: Annotated[float, limits.SWING_DEG] | None = Field(
        default=None, description="How far its mitre scale goes right of square. Left out: as usual."
    )
    tilt_left_deg: Annotated[float, limits.TILT_DEG] | None = Field(
        default=None,
        description="How far the top of the blade leans left, as one stands at it. Left out: as usual.",
    )
    tilt_right_deg: Annotated[float, limits.TILT_DEG] | None = Field(
        default=None,
        description="How far the top of the blade leans right; 0: not at all. Left out: as usual.",
    )
    deep: Annotated[float, limits.SAW_DEPTH] | None = Field(
        default=None, description="Thickest piece it cuts through upright, a length. Left out: as usual."
    )
    wide: Annotated[float, limits.SAW_WIDTH] | None = Field(
        default=None, description="Widest piece it cuts across squarely, a length. Left out: as usual."
    )
    kerf: Annotated[float, limits.KERF] | None = Field(
        default=None, description="Width of its cut, a length. Left out: as usual."
    )
    shortest: Annotated[float, limits.HOLD] | None = Field(
        default=None, description="Shortest piece held by hand at it, a length. Left out: as usual."
    )


class RouterTable(Table):
    """The router of the shop."""

    cutters: list[Annotated[float, limits.CUTTER]] | None = Field(
        default=None, description="Diameters of its straight cutters, lengths. Left out: as usual."
    )
    depth: Annotated[float, limits.CUT_DEPTH] | None = Field(
        default=None, description="How deep they reach, a length. Left out: as usual."
    )
    bed_length: Annotated[float, limits.BED] | None = Field(
        default=None,
        description="Length that it cuts without moving the board, a length. Left out: as usual.",
    )
    bed_width: Annotated[float, limits.BED] | None = Field(
        default=None, description="And the width, a length. Left out: as usual."
    )
    board_length: Annotated[float, limits.BED] | None = Field(
        default=None, description="Longest board that can lie on it, a length. Left out: as long as the bed."
    )
    board_width: Annotated[float, limits.BED] | None = Field(
        default=None, description="Widest board that can lie on it, a length. Left out: as wide as the bed."
    )


class ClampsTable(Table):
    """Clamps of one size."""

    count: Annotated[int, limits.CLAMP_COUNT] = Field(description="How many there are.")
    reach: Annotated[float, limits.CLAMP_REACH] = Field(description="How far they open, a length.")


class GlueTable(Table):
    """The glue of the shop."""

    open_minutes: Annotated[float, limits.GLUE_MINUTES] | None = Field(
        default=None, description="From spreading it until the joint must be closed. Left out: as usual."
    )
    clamp_minutes: Annotated[float, limits.GLUE_MINUTES] | None = Field(
        default=None, description="Until the clamps may come off. Left out: as usual."
    )


class PrinterTable(Table):
    """The printer that templates come from, and how far it is off."""

    paper: Annotated[PrinterPaperSize, Choice(PrinterPaperSize)] | None = Field(
        default=None, description='"A4", "A3" or "Letter". Left out: A4 with mm, Letter with in.'
    )
    bar_across: Annotated[float, limits.PRINTED] | None = Field(
        default=None,
        description="What the bar of 100 mm (4 in with in) along the short edge of the sheet measured, a length. "
        "Left out: as it should.",
    )
    bar_along: Annotated[float, limits.PRINTED] | None = Field(
        default=None,
        description="What the bar of 100 mm (4 in with in) along the long edge of the sheet measured, a length. "
        "Left out: as it should.",
    )


class MinutesTable(Table):
    """Working times of one person, each for one of what it says."""

    survey: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Measure the stair and draw it up, each job."
    )
    setting: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Set an angle at a saw and try it on scrap, each setting."
    )
    newel: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut and fit a newel, each."
    )
    newel_bolted: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Fit a newel to a standing stair with bolts, each."
    )
    rail: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Make the template of a handrail, cut it and fix it, each."
    )
    base_rail: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut a base rail and fix it, each."
    )
    upright_grooved: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut and fit an upright between grooved or stacked rails, each."
    )
    upright_jointed: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut and fit an upright with a dowel or a tenon at each end, each."
    )
    fillet: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut and pin a fillet, each."
    )
    panel: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut a panel to its template and fit it, each."
    )
    strand: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Cut and fit a bar, a rod or a cable, each."
    )
    bracket: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Mark, drill and screw a wall bracket, each."
    )
    finish_area: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Finish flat surfaces, each square metre and coat."
    )
    finish_upright: Annotated[float, limits.MINUTES] | None = Field(
        default=None, description="Finish an upright, each and each coat."
    )


class ShopTable(Table):
    """The workshop: whatever it says nothing of is taken as usual."""

    saws: list[SawTable] | None = Field(
        default=None, description="The saws, the one you prefer first. Left out: the usual ones."
    )
    router: RouterTable | None = Field(default=None, description="The router. Left out: as usual.")
    no_router: Annotated[bool, limits.YES_NO] = Field(
        default=False, description="true if there is no router and no board is sent to one."
    )
    clamps: list[ClampsTable] | None = Field(
        default=None, description="The clamps, a table for each size. Left out: the usual ones."
    )
    sander: Annotated[float, limits.SANDING_WIDTH] | None = Field(
        default=None, description="Width that the power sander needs to get in, a length. Left out: as usual."
    )
    hand_sander: Annotated[float, limits.SANDING_WIDTH] | None = Field(
        default=None, description="Width that sanding by hand needs, a length. Left out: as usual."
    )
    drills: list[Annotated[float, limits.DRILL]] | None = Field(
        default=None, description="Diameters of the drills, lengths. Left out: the usual ones."
    )
    glue: GlueTable | None = Field(default=None, description="The glue. Left out: as usual.")
    printer: PrinterTable | None = Field(
        default=None, description="The printer for templates. Left out: as usual."
    )
    labels: LabelsTable | None = Field(
        default=None, description="The sheet that part labels are printed on. Left out: as usual."
    )
    day_hours: Annotated[float, limits.DAY_HOURS] | None = Field(
        default=None, description="How long a working day is. Left out: 8."
    )
    minutes: MinutesTable | None = Field(
        default=None, description="Working times of your own. Left out: the trade's."
    )
