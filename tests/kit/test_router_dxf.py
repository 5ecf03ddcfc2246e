"""What a router is told, read back by a general library for DXF: paths with their bulges, bores, layers, words."""

import importlib
import io
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.kit.drawing.router_dxf import (
    Bore,
    ClosedPath,
    OpenPath,
    RouterLayer,
    RouterMark,
    Words,
    arc_of_bulge,
    read_router,
    write_router,
)
from pitchline.kit.geometry.contours import Arc, Contour, Straight

library: Any = importlib.import_module("ezdxf")
"""Its parts that are used here have no types."""

LAYERS = (
    RouterLayer("Cut outside, 18.00 deep", 1),
    RouterLayer("Bore, 6.00 deep", 6),
    RouterLayer("Names", 7),
)

SLOT = Contour(
    (
        Straight((0.0, -20.0), (100.0, -20.0)),
        Arc((100.0, 0.0), 20.0, -math.pi / 2.0, math.pi),
        Straight((100.0, 20.0), (0.0, 20.0)),
        Arc((0.0, 0.0), 20.0, math.pi / 2.0, math.pi),
    )
)

MARKS: tuple[RouterMark, ...] = (
    ClosedPath("Cut outside, 18.00 deep", SLOT),
    Bore("Bore, 6.00 deep", (50.0, 3.0), 6.0),
    OpenPath("Names", (Straight((0.0, 0.0), (10.0, 0.0)), Straight((10.0, 0.0), (10.0, 5.0)))),
    Words("Names", (20.0, 5.0), "H1a.1 50 % ^ left", 4.0, 90.0),
)


def test_a_general_library_finds_closed_polylines_with_bulges_on_named_layers() -> None:
    document = library.read(io.StringIO(write_router(LAYERS, MARKS).decode()))
    assert document.units == 4, "1 unit is 1 mm (DXF reference, $INSUNITS 4)"
    assert not document.audit().errors
    (path,) = document.modelspace().query("LWPOLYLINE[layer=='Cut outside, 18.00 deep']")
    assert path.closed
    bulges = sorted(round(b, 9) for *_, b in path.get_points("xyb"))
    # A half turn: tan(180 / 4) = 1.
    assert bulges == [0.0, 0.0, 1.0, 1.0]
    (bore,) = document.modelspace().query("CIRCLE")
    assert (bore.dxf.layer, bore.dxf.radius) == ("Bore, 6.00 deep", 3.0)
    (words,) = document.modelspace().query("TEXT")
    assert words.plain_text() == "H1a.1 50 % ^ left"
    assert document.layers.get("Cut outside, 18.00 deep").color == 1


def test_marks_come_back_as_they_were_written() -> None:
    found = read_router(write_router(LAYERS, MARKS))
    path, bore, line, words = found
    assert isinstance(path, ClosedPath)
    assert path.contour.area == pytest.approx(SLOT.area, rel=1e-12)
    assert bore == MARKS[1]
    assert line == MARKS[2]
    assert words == MARKS[3]


def test_the_same_marks_give_the_same_bytes() -> None:
    assert write_router(LAYERS, MARKS) == write_router(LAYERS, MARKS)


def test_a_mark_on_a_layer_that_is_not_listed_is_refused() -> None:
    with pytest.raises(ValueError, match="Pocket"):
        write_router(LAYERS, (Bore("Pocket", (0.0, 0.0), 5.0),))


def test_what_no_router_file_holds_is_refused() -> None:
    document = library.new("R2010")
    document.modelspace().add_ellipse((0, 0), (5, 0), 0.5)
    stream = io.StringIO()
    document.write(stream)
    with pytest.raises(ValueError, match="ELLIPSE"):
        read_router(stream.getvalue().encode())


@given(
    sweep_deg=st.floats(1.0, 300.0),
    clockwise=st.booleans(),
    radius=st.floats(0.5, 5000.0),
    begins=st.floats(-3.0, 3.0),
)
def test_an_arc_is_its_bulge(sweep_deg: float, clockwise: bool, radius: float, begins: float) -> None:
    sweep = math.radians(-sweep_deg if clockwise else sweep_deg)
    arc = Arc((12.0, -5.0), radius, begins, sweep)
    found = arc_of_bulge(arc.start, arc.end, math.tan(sweep / 4.0))
    assert found.radius == pytest.approx(radius, rel=1e-6)
    assert found.sweep == pytest.approx(sweep, rel=1e-9)
    assert math.dist(found.centre, arc.centre) <= 1e-6 * radius
