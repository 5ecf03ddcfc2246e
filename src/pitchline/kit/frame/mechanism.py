"""Frames that can move without resistance: how they move, told by node and direction."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.kit.errors import PitchlineError
from pitchline.kit.frame.model import FloatArray, Frame, Six
from pitchline.kit.geometry.frames import Vec3

_AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class Mechanism:
    """One way in which a frame moves freely.

    ``node`` moves or turns most, along or about ``direction`` (unit vector). ``shape`` holds for a picture the
    movement of every node: largest 1, turns multiplied by ``reach``, the size of the frame in mm. ``resists`` are the
    words for how little holds it.
    """

    node: str
    turns: bool
    direction: Vec3
    shape: tuple[tuple[str, Six], ...]
    reach: float
    resists: str = "without resistance"

    @property
    def way(self) -> str:
        """The direction in words: the axis it lies on within 10 degrees, else its three shares."""
        for axis, share in zip(_AXES, self.direction, strict=True):
            if abs(share) > math.cos(math.radians(10.0)):
                return axis
        return "({:.2f}, {:.2f}, {:.2f})".format(*self.direction)

    def sentence(self) -> str:
        """What moves, as one sentence."""
        what = "turns about" if self.turns else "moves along"
        return f"node {self.node} {what} {self.way} {self.resists}"


class MechanismError(PitchlineError, ArithmeticError):
    """The frame is not stable, so that no number can be had from it; carries the ways in which it moves."""

    def __init__(self, mechanisms: Sequence[Mechanism]) -> None:
        self.mechanisms = tuple(mechanisms)
        told = "; ".join(mechanism.sentence() for mechanism in self.mechanisms)
        super().__init__(f"the frame is not stable: {told or 'it moves without resistance'}")


def describe(frame: Frame, movement: FloatArray, resists: str = "without resistance") -> Mechanism:
    """A mechanism from the movements of all nodes, (nodes, 6); ``resists`` says with how little resistance."""
    reach = float(np.ptp(frame.xyz, axis=0).max()) or 1.0
    scaled = movement.copy()
    scaled[:, 3:] *= reach
    moves = np.linalg.norm(scaled[:, :3], axis=1)
    turns = np.linalg.norm(scaled[:, 3:], axis=1)
    spins = float(moves.max()) < 1e-3 * float(turns.max())
    sizes = turns if spins else moves
    place = int(sizes.argmax())
    vector = scaled[place, 3:] if spins else scaled[place, :3]
    direction = vector / sizes[place] * (1.0 if vector[np.abs(vector).argmax()] > 0.0 else -1.0)
    scaled /= max(float(moves.max()), float(turns.max()))
    rows: list[list[float]] = scaled.tolist()
    shape = tuple((node.id, _six(row)) for node, row in zip(frame.nodes, rows, strict=True))
    x, y, z = direction.tolist()
    return Mechanism(frame.nodes[place].id, spins, (x, y, z), shape, reach, resists)


def _six(row: Sequence[float]) -> Six:
    a, b, c, d, e, f = row
    return (a, b, c, d, e, f)
