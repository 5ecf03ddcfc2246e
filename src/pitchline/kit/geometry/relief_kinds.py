"""Ways to relieve a corner that a round cutter cannot reach."""

from enum import StrEnum


class Relief(StrEnum):
    """How a corner is relieved."""

    DOG_BONE = "dog-bone"
    """An arc through the corner, its middle on the bisector: the least wood is lost."""
    ALONG = "along the longer side"
    """An arc beside the corner, its middle on the longer side, so that it hides behind what stands there."""
    ROUND = "left round"
    """Nothing is cut: the mating corner is rounded."""
