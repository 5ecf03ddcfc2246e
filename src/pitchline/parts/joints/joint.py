"""What every way of making answers, and the strips in which fillets or blocks lie. Lengths in mm."""

from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.design.model import Bar, Design, Post, Upright
from pitchline.kit.geometry.frames import Frame
from pitchline.kit.geometry.lines import Line
from pitchline.parts.part import Feature, Fixing, Part, Role


@dataclass(frozen=True, slots=True)
class Band:
    """The strip of a bar in which fillets or blocks lie between the uprights."""

    bar: Bar
    low: Line
    high: Line
    role: Role
    prefix: str
    material: str
    across: float
    layers: tuple[tuple[str, float], ...]
    end_play: float


class Joint:
    """One way of making. What a way has no need of stays as it is here: nothing.

    ``between`` is what lies between the uprights at a rail's ends, in words; with ``is_layered`` a rail is glued up
    from ``layers``; uprights in round holes (``in_bores``) are round to their ends and keep their arrises.
    """

    between: str = "gap"
    is_layered: bool = False
    in_bores: bool = False

    def in_rail(self, design: Design, bar: Bar, frame: Frame) -> Iterable[Feature]:
        """What is worked into a rail in one piece, in its own axes ``frame``."""
        del design, bar, frame
        return ()

    def on_upright(self, design: Design, upright: Upright, frame: Frame) -> Iterable[Feature]:
        """What is worked on an upright, in its own axes ``frame``."""
        del design, upright, frame
        return ()

    def in_post(self, design: Design, post: Post, frame: Frame) -> Iterable[Feature]:
        """What is worked into a newel, in its own axes ``frame``."""
        del design, post, frame
        return ()

    def layers(self, design: Design, bar: Bar) -> Iterable[Part]:
        """The parts that a layered rail is glued up from."""
        del design, bar
        return ()

    def bands(self, design: Design) -> Iterable[Band]:
        """Where fillets or blocks lie."""
        del design
        return ()

    def fixings(self, design: Design) -> Iterable[Fixing]:
        """The hardware it needs."""
        del design
        return ()
