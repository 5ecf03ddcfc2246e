"""The table of a job file that tells of the finish, and that of the labels it prints. Lengths in mm."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from pitchline.job import limits
from pitchline.job.fields import Choice
from pitchline.job.model_table import Table


class FinishWord(StrEnum):
    """The finishes of the catalogue, and bare wood."""

    VARNISH = "varnish"
    OIL_VARNISH = "oil-varnish"
    HARD_WAX_OIL = "hard-wax-oil"
    OIL = "oil"
    PAINT = "paint"
    NONE = "none"


class FinishTable(Table):
    """What the wood is finished with."""

    kind: Annotated[FinishWord, Choice(FinishWord)] = Field(
        default=FinishWord.VARNISH,
        description='"varnish" (water-based), "oil-varnish", "hard-wax-oil", "oil", "paint"; "none" for bare wood.',
    )
    coats: Annotated[int, limits.COATS] | None = Field(
        default=None, description="How many coats in all. Left out: as usual for the kind."
    )
    coats_before_fitting: Annotated[int, limits.COATS_BEFORE] | None = Field(
        default=None, description="How many of them at the bench. Left out: all but the last."
    )


class LabelPaper(StrEnum):
    """The sheets that labels come on."""

    A4 = "A4"
    LETTER = "Letter"


class LabelsTable(Table):
    """The sheet of labels in your printer: equal labels in a grid; plain paper that is cut apart serves as well."""

    paper: Annotated[LabelPaper, Choice(LabelPaper)] | None = Field(
        default=None, description='"A4" or "Letter". Left out: A4 with mm, Letter with in.'
    )
    across: Annotated[int, limits.LABELS] | None = Field(
        default=None, description="Labels side by side. Left out: 3."
    )
    down: Annotated[int, limits.LABELS] | None = Field(
        default=None, description="Labels below each other. Left out: 8."
    )
    width: Annotated[float, limits.LABEL_SIZE] | None = Field(
        default=None, description="Width of a label, a length. Left out: 64 mm."
    )
    height: Annotated[float, limits.LABEL_SIZE] | None = Field(
        default=None, description="Its height, a length. Left out: 34 mm with A4, 32 mm with Letter."
    )
    gap_across: Annotated[float, limits.LABEL_GAP] | None = Field(
        default=None, description="Between labels side by side, a length. Left out: 2.5 mm."
    )
    gap_down: Annotated[float, limits.LABEL_GAP] | None = Field(
        default=None, description="Between labels below each other, a length. Left out: 0."
    )
    left: Annotated[float, limits.LABEL_MARGIN] | None = Field(
        default=None, description="From the sheet's left edge to the first, a length. Left out: centred."
    )
    top: Annotated[float, limits.LABEL_MARGIN] | None = Field(
        default=None, description="From the sheet's upper edge to the first, a length. Left out: centred."
    )
