"""Pictures of the steps: one view in space, drawn again for each step with its pieces picked out.

What is worked on is tinted and outlined, what stands already is grey, what comes later is only lined. A rail that is
glued up, or comes on last, is shown taken apart. The same bytes for the same step.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pitchline.kit.drawing import svg
from pitchline.kit.geometry.frames import Vec3, add
from pitchline.parts.part import Part
from pitchline.solids.picture import Picture, axonometric

WIDTH, HEIGHT = 60.0, 49.0
"""Paper mm that a picture of a step may take."""

LIT = 0.9
"""Faces at least so bright take the light one of two tints."""

NOW, THERE, LATER = ("#eec07f", "#d9a45c"), ("#e7e5df", "#d3d1ca"), ("#ffffff", "#f6f6f4")
"""Tints of a lit and a shaded face: worked on, there already, yet to come."""

APART = 2.4
"""So many times as far from each other as they are are pieces shown that are glued to each other."""


@dataclass(frozen=True, eq=False)
class View:
    """A view in space ready to be drawn again and again."""

    picture: Picture

    @cached_property
    def scale(self) -> float:
        """Paper mm for a mm of the picture."""
        left, bottom, right, top = self.picture.bounds
        return min(WIDTH / (right - left), HEIGHT / (top - bottom))

    @cached_property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, mm."""
        left, bottom, right, top = self.picture.bounds
        return self.scale * (right - left), self.scale * (top - bottom)

    @cached_property
    def faces(self) -> tuple[tuple[str, bool, bool, str], ...]:
        """Name, whether it is lit, whether it belongs to what stands around, path; glass first."""
        ordered = sorted(self.picture.faces, key=lambda face: not face.is_clear)
        return tuple(
            (
                face.name,
                face.shade >= LIT,
                face.around,
                "".join(f"M{self._at(ring)}Z" for ring in (face.outline, *face.holes)),
            )
            for face in ordered
        )

    @cached_property
    def lines(self) -> str:
        """All lines as one path."""
        return "".join(f"M{self._at(line.points)}" for line in self.picture.lines)

    def _at(self, points: Iterable[tuple[float, float]]) -> str:
        left, _, _, top = self.picture.bounds
        return " ".join(f"{self.scale * (x - left):.2f},{self.scale * (top - y):.2f}" for x, y in points)

    def drawn(self, now: Iterable[str], there: Iterable[str] = ()) -> svg.Picture:
        """The view with the pieces of a step picked out."""
        picked, standing = frozenset(now), frozenset(there)
        tinted: dict[str, list[str]] = {}
        outlined = []
        for name, lit, around, path in self.faces:
            tints = NOW if name in picked else THERE if name in standing else LATER
            if around:
                tints = LATER
            tinted.setdefault(tints[0 if lit else 1], []).append(path)
            if name in picked:
                outlined.append(path)
        width, height = self.size
        lines = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm" '
            f'viewBox="-0.2 -0.2 {width + 0.4:.2f} {height + 0.4:.2f}">',
            *(
                f'<path d="{"".join(paths)}" fill="{tint}" fill-rule="evenodd"/>'
                for tint, paths in tinted.items()
            ),
            f'<path d="{self.lines}" fill="none" stroke="#8d8c86" stroke-width="0.09"/>',
            f'<path d="{"".join(outlined)}" fill="none" stroke="#5a3b12" stroke-width="0.13" '
            'stroke-linejoin="round"/>',
            "</svg>",
        )
        return svg.Picture("\n".join(lines), width, height)


def apart(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Pieces glued to each other, taken apart across the first of them."""
    first = parts[0]
    along = np.array(first.frame.x)
    centre = middle(first)
    moved = []
    for part in parts:
        off = middle(part) - centre
        off -= along * float(off @ along)
        moved.append(shifted(part, APART * off))
    return tuple(moved)


def middle(part: Part) -> NDArray[np.float64]:
    """The middle of a piece's corners, in the world."""
    corners: NDArray[np.float64] = part.frame.array_to_world(part.body.vertices).mean(axis=0)
    return corners


def shifted(part: Part, by: Sequence[float] | NDArray[np.float64]) -> Part:
    """A piece moved."""
    offset: Vec3 = (float(by[0]), float(by[1]), float(by[2]))
    return replace(part, frame=replace(part.frame, origin=add(part.frame.origin, offset)))


def taken_apart(parts: Sequence[Part], eye: Vec3, by: Mapping[str, Sequence[float]] | None = None) -> View:
    """A view of some pieces alone, moved apart: by what is told, or as `apart` does."""
    moved = (
        apart(parts) if by is None else tuple(shifted(part, by.get(part.place, (0, 0, 0))) for part in parts)
    )
    return View(axonometric(moved, (), eye, fitted=False))
