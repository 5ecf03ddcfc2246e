"""How long a search may go on: counted in work, so that the same seed gives the same plan, and watched by a clock.

Work is counted in ways weighed (see `guillotine_beam`). The clock only steps in on a slow or busy machine; a plan
that it cut short says so, because it may come out otherwise next time.
"""

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

WAYS_A_SECOND = 6_000_000.0
"""Work that an ordinary machine does in a second with room to spare."""

TIME_TO_SPARE = 1.3
"""A part of an allowance may take this many times its part of the time before the clock ends it."""


@dataclass(slots=True)
class Effort:
    """An allowance of work and time; ``clock`` is read in seconds, ``end`` is when to stop in any case."""

    allowed: float
    end: float
    clock: Callable[[], float] = monotonic
    spent: float = 0.0
    late: bool = False

    def spend(self, work: float) -> None:
        """Count work that was done."""
        self.spent += work

    @property
    def seconds_left(self) -> float:
        """Time until the clock steps in."""
        return max(0.0, self.end - self.clock())

    @property
    def over(self) -> bool:
        """Whether the allowance is used up, by work or by time."""
        if self.spent >= self.allowed:
            return True
        if self.clock() >= self.end:
            self.late = True
            return True
        return False

    def share(self, part: float) -> "Share":
        """A part of what is left, to be spent on one thing."""
        until = self.spent + part * max(0.0, self.allowed - self.spent)
        return Share(self, until, self.clock() + TIME_TO_SPARE * part * self.seconds_left)


@dataclass(slots=True)
class Share:
    """A part of an allowance: over when it is used up, by work or by its part of the time, or the whole is."""

    whole: Effort
    until: float
    end: float = float("inf")

    def spend(self, work: float) -> None:
        """Count work that was done."""
        self.whole.spend(work)

    @property
    def over(self) -> bool:
        """Whether this part, or the whole, is used up."""
        if self.whole.spent >= self.until or self.whole.over:
            return True
        if self.whole.clock() >= self.end:
            self.whole.late = True
            return True
        return False


def effort_of(seconds: float, clock: Callable[[], float] = monotonic) -> Effort:
    """The allowance for so many seconds from now."""
    return Effort(seconds * WAYS_A_SECOND, clock() + seconds, clock)
