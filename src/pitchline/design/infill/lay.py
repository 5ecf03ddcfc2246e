"""Infill laid into a leg: each kind in a file of its own, none knowing another. Lengths in mm, angles in radians."""

from pitchline.design.brief import StrandsBrief, UprightsBrief
from pitchline.design.infill.panels import lay_panels
from pitchline.design.infill.place import Field, Laid
from pitchline.design.infill.railed import lay_between_rails
from pitchline.design.infill.strands import lay_strands
from pitchline.design.infill.treads import lay_on_treads
from pitchline.design.limits import Limits
from pitchline.design.makings import BoredMetal, Clamped, OnTreads
from pitchline.kit.errors import ImpossibleDesignError

__all__ = ["Field", "Laid", "lay_infill"]


def lay_infill(place: Field, limits: Limits) -> Laid:
    """The infill that the brief asks for.

    ImpossibleDesignError (one sentence) where it cannot stand between these rails and ends.
    """
    infill = place.brief.infill
    if isinstance(infill, UprightsBrief):
        return _uprights(place, infill, limits)
    if isinstance(infill, StrandsBrief):
        return lay_strands(place, infill, limits)
    return lay_panels(place, infill)


def _uprights(place: Field, infill: UprightsBrief, limits: Limits) -> Laid:
    """Uprights between two rails, or on the treads where there is no base rail; their making must go with that."""
    making = place.brief.making
    if isinstance(making, Clamped):
        raise ImpossibleDesignError("clamps hold panels and not uprights: choose another way of making")
    if place.base is not None and isinstance(making, OnTreads):
        raise ImpossibleDesignError("uprights that stand on the treads have no base rail: leave it out")
    if place.base is not None:
        return lay_between_rails(place, place.base, infill, limits)
    if not isinstance(making, OnTreads | BoredMetal):
        raise ImpossibleDesignError(
            "uprights without a base rail stand on the treads: say how they are joined to them"
        )
    return lay_on_treads(place, infill, limits)
