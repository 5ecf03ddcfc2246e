"""What a job says of its finish: the kind, how many coats, how many of them before fitting."""

from dataclasses import dataclass

from pitchline.catalogue.finishes import Finish, load_finishes

USUAL = "varnish"
"""The finish that is reckoned with where a job says nothing."""


@dataclass(frozen=True, slots=True)
class FinishBrief:
    """The finish wanted: its id in the catalogue, coats in all and before fitting.

    ``kind`` None: the wood is left bare. ``coats`` and ``before_fitting`` None: as usual for that finish.
    """

    kind: str | None = USUAL
    coats: int | None = None
    before_fitting: int | None = None


@dataclass(frozen=True, slots=True)
class FinishPlan:
    """A finish of the catalogue with its number of coats, so many of them at the bench."""

    finish: Finish
    coats: int
    at_bench: int

    @property
    def in_place(self) -> int:
        """Coats that are left for the fitted balustrade."""
        return self.coats - self.at_bench


def finish_plan(brief: FinishBrief) -> FinishPlan | None:
    """The plan of a brief; None where nothing is put on. All coats but the last are put on at the bench."""
    if brief.kind is None:
        return None
    finish = load_finishes().finish(brief.kind)
    coats = brief.coats or round(finish.coats.value)
    at_bench = coats - 1 if brief.before_fitting is None else brief.before_fitting
    return FinishPlan(finish, coats, min(max(at_bench, 0), coats))
