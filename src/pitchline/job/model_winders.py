"""The tables of a job file that tell of winders, measured from their corners. Lengths in mm, angles in degrees."""

from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table, as_brief
from pitchline.stair.model import Side
from pitchline.stair.winder_facts import WinderFacts, WinderNosing


class WinderNosingTable(Table):
    """One nosing of the winders, where it meets the two sides of the stair."""

    inner: Annotated[float, limits.WINDER_PLACE] = Field(
        description="Where it meets the inner side: a length along it from the inner corner, below zero before the "
        "corner as one walks up, above zero after it."
    )
    outer: Annotated[float, limits.WINDER_PLACE] = Field(
        description="Where it meets the outer side, likewise from the outer corner."
    )
    rise: Annotated[float, limits.RISE] | None = Field(
        default=None,
        description="Plumb rise up to it from the nosing before, a length. Left out at the first, which the flight "
        "below has.",
    )
    corner: Annotated[int, limits.WINDER_CORNER] = as_brief(
        WinderNosing,
        "corner",
        "With two outer corners: the one from which `outer` is measured, counted from 1.",
    )


class WindersTable(Table):
    """Winders between two flights, measured from the corners of the stair."""

    id: Annotated[str, limits.ID] = Field(
        description="Its name; the flight above stands on it: stands_on = { flight = ... }."
    )
    side: Annotated[Side, Choice(Side)] = Field(
        description='The inner side as one walks up, towards which it turns: "left" or "right".'
    )
    lower: Annotated[str, limits.ID] = Field(description="Id of the flight below.")
    upper: Annotated[str, limits.ID] = Field(description="Id of the flight above.")
    leaves: Annotated[int, limits.STEP] | None = Field(
        default=None,
        description="Number of the nosing of the flight below that is the first of `nosings`. Left out: its top one.",
    )
    turns_deg: list[Annotated[float, limits.WINDER_TURN_DEG]] = Field(
        description="Change of direction at each outer corner, in degrees: one, or two where a half turn has a wall "
        "across its back."
    )
    widths: list[Annotated[float, limits.WIDTH]] = Field(
        description="Square distances from the inner corner to each outer wall, lengths: one more than turns_deg."
    )
    newel: Annotated[float, limits.NEWEL_OR_NONE] = as_brief(
        WinderFacts, "newel", "Side of the square newel at the inner corner, a length; 0: none."
    )
    nosings: list[WinderNosingTable] = Field(
        description="Its nosings as one walks up: first `leaves` of the flight below, last N1 of the flight above."
    )
    place_sigma: Annotated[float, limits.SIGMA] = as_brief(
        WinderFacts, "place_sigma", "Standard uncertainty of each place along a side, a length."
    )
    rise_sigma: Annotated[float, limits.SIGMA] = as_brief(
        WinderFacts, "rise_sigma", "Standard uncertainty of each rise, a length."
    )
    width_sigma: Annotated[float, limits.SIGMA] = as_brief(
        WinderFacts, "width_sigma", "Standard uncertainty of each width, a length."
    )
    turn_sigma_deg: Annotated[float, limits.SIGMA_DEG] | None = Field(
        default=None, description="Standard uncertainty of each turn, in degrees. Left out: the usual."
    )
