"""Shapes on a raster: which cells a shape needs, and where one may lie beside another.

A shape grown by half the clearance needs every cell that it touches; shapes that share no cell keep their clearance.
Where B may not lie beside A is worked out once for each pair of lies and then only shifted: the raster form of the
no-fit polygon (J. A. Bennell and J. F. Oliveira, The geometry of nesting problems: a tutorial, 2008).
"""

from dataclasses import dataclass, field
from math import ceil, floor

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from pitchline.kit.cutting.need import SheetStock
from pitchline.kit.cutting.nests import NestOrder

Cells = NDArray[np.bool_]

FINEST_CELL, CELLS_ACROSS = 1.5, 420
"""A cell is at least so many mm, and about so many go across the narrowest full sheet."""


@dataclass(frozen=True)
class Lay:
    """A shape at one angle: the cells it needs, and where its extent begins within them, mm."""

    shape: int
    angle_deg: float
    cells: Cells
    inset: float

    @property
    def size(self) -> tuple[int, int]:
        """Cells along and across."""
        return self.cells.shape[0], self.cells.shape[1]


@dataclass
class Raster:
    """The lays of an order's shapes and what they forbid each other; ``cell`` in mm."""

    order: NestOrder
    cell: float
    lays: tuple[tuple[Lay, ...], ...]
    _forbidden: dict[tuple[int, float, int, float], Cells] = field(default_factory=dict)

    def room(self, stock: SheetStock) -> tuple[int, int]:
        """Cells along and across a sheet in which grown shapes may lie."""
        reach = self.order.clearance - 2.0 * self.order.margin
        return (
            max(0, floor((stock.length + reach) / self.cell + 1e-9)),
            max(0, floor((stock.width + reach) / self.cell + 1e-9)),
        )

    def forbidden(self, placed: Lay, other: Lay) -> Cells:
        """Where ``other`` may not begin, seen from ``placed`` beginning at its own size less 1 of ``other``."""
        key = (placed.shape, placed.angle_deg, other.shape, other.angle_deg)
        if key not in self._forbidden:
            self._forbidden[key] = _shared(placed.cells, other.cells)
        return self._forbidden[key]


def _shared(placed: Cells, other: Cells) -> Cells:
    """True where the two share a cell: a correlation, by fast Fourier transform."""
    shape = (placed.shape[0] + other.shape[0] - 1, placed.shape[1] + other.shape[1] - 1)
    turned = other[::-1, ::-1].astype(np.float64)
    product = np.fft.rfft2(placed.astype(np.float64), shape) * np.fft.rfft2(turned, shape)
    cells: Cells = np.fft.irfft2(product, shape) > 0.5
    return cells


def make_raster(order: NestOrder, cells_across: int = CELLS_ACROSS) -> Raster:
    """The raster of an order: fine enough for its sheets, coarse enough to be quick."""
    whole = [stock for stock in order.stocks if not stock.offcut] or list(order.stocks)
    narrowest = min(min(stock.length, stock.width) for stock in whole)
    cell = max(FINEST_CELL, narrowest / cells_across)
    lays = tuple(
        tuple(
            Lay(index, angle, _cells(shape.at(angle), order.clearance / 2.0, cell), order.clearance / 2.0)
            for angle in dict.fromkeys(shape.angles_deg)
        )
        for index, shape in enumerate(order.shapes)
    )
    return Raster(order, cell, lays)


def _cells(outline: Polygon, grow: float, cell: float) -> Cells:
    """The cells that the grown outline touches, from where its extent begins."""
    grown = outline.buffer(grow, quad_segs=16) if grow > 0.0 else outline
    # a polygon of chords lies inside the round corner that it stands for: grown by what the chords lack
    grown = grown.buffer(0.0012 * grow) if grow > 0.0 else grown
    along = ceil((outline.bounds[2] + 2.0 * grow) / cell - 1e-9)
    across = ceil((outline.bounds[3] + 2.0 * grow) / cell - 1e-9)
    x = np.arange(along) * cell - grow
    y = np.arange(across) * cell - grow
    edge = 1e-7
    boxes = shapely.box(
        (x + edge)[:, None], (y + edge)[None, :], (x + cell - edge)[:, None], (y + cell - edge)[None, :]
    )
    shapely.prepare(grown)
    cells: Cells = shapely.intersects(grown, boxes)
    return cells
