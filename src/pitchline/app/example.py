"""Names of what can be chosen on the command line; kept apart so that --help loads nothing heavy."""

from enum import StrEnum


class Example(StrEnum):
    """The complete invented examples that ``new`` can start from: straight flights, then other stairs."""

    MM = "mm"
    INCH = "in"
    QUARTER_TURN = "quarter-turn"
    DOG_LEG = "dog-leg"
    WINDERS = "winders"
    LEANING = "leaning"
    PANELS = "panels"
    CABLES = "cables"
    KNEE_WALL = "knee-wall"


class UnitName(StrEnum):
    """Units of plain numbers."""

    MM = "mm"
    INCH = "in"
