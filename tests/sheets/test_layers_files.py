"""Router files read with a general library for DXF, extruded and stacked by a general kernel (OpenCascade)."""

import importlib
import io
import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape
from tests.packs import solved

from pitchline.kit.geometry.frames import Frame, Plane
from pitchline.kit.units import Unit
from pitchline.making.layers import Machine, router_work
from pitchline.making.layers_work import Routed, routed
from pitchline.making.router import Layer
from pitchline.making.routing import Holding, Routing
from pitchline.making.shop import Router, usual_shop
from pitchline.parts.measure import volume
from pitchline.parts.part import Feature, Hole, Mortise, Notch, Part, Role, Sawn
from pitchline.sheets.drawings import Style
from pitchline.sheets.layers_chapter import layers_chapter
from pitchline.sheets.layers_check import layer_faults
from pitchline.sheets.layers_files import layer_file, placed, read_name, sheet_file

dxf: Any = importlib.import_module("ezdxf")

ROUTER = Router((6.0, 8.0), 40.0, 2500.0, 1250.0, 2500.0, 1250.0)
PLAIN = Routing(clearance=0.0, dowel=0.0)
STYLE = Style(Unit.MM, "A3", first_angle=True)


def newel(*features: Feature, thickness: float = 90.0) -> Part:
    """An invented newel of boards."""
    return Part(
        place="P1", mark="P1", role=Role.NEWEL, material="birch-plywood",
        length=1100.0, width=90.0, thickness=thickness,
        start_cuts=(Plane((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),),
        finish_cuts=(Plane((1100.0, 0.0, 0.0), (1.0, 0.0, 0.0)),),
        features=features, frame=Frame(),
    )  # fmt: skip


MORTISE = Mortise((700.0, 45.0, 0.0), (0.3, -math.sqrt(1 - 0.09), 0.0), 60.0, 18.0, 30.0)
NOTCH = Notch((0.0, -45.0, -45.0), (200.0, 45.0, -10.0))
BORE = Hole((900.0, 0.0, 45.0), (0.0, 0.0, -1.0), 12.0, 50.0)


def layers(part: Part, routing: Routing = PLAIN) -> tuple[Layer, ...]:
    return router_work([[part]], Machine(ROUTER, routing, {"birch-plywood": (18.0,)}, (6.0, 12.0))).layers


def files(some: Sequence[Layer], routing: Routing = PLAIN) -> dict[tuple[str, bool], bytes]:
    made = {(layer.name, False): layer_file(layer, routing) for layer in some}
    return made | {
        (layer.name, True): layer_file(layer, routing, under=True) for layer in some if layer.under
    }


def prism(entity: Any, low: float, high: float) -> TopoDS_Shape:
    """A closed polyline or circle of a DXF file drawn out from one height to another."""
    wire = BRepBuilderAPI_MakeWire()
    if entity.dxftype() == "CIRCLE":
        (x, y, _), r = entity.dxf.center, entity.dxf.radius
        rows = [(x + r, y, 1.0), (x - r, y, 1.0)]
    else:
        rows = list(entity.get_points("xyb"))
    for (ax, ay, bulge), (bx, by, _) in zip(rows, [*rows[1:], rows[0]], strict=True):
        a, b = gp_Pnt(ax, ay, low), gp_Pnt(bx, by, low)
        if bulge == 0.0:
            wire.Add(BRepBuilderAPI_MakeEdge(a, b).Edge())
            continue
        # The middle of an arc stands off its chord by the bulge times half of it, to the right for a positive one.
        mx, my = (ax + bx) / 2 + bulge * (by - ay) / 2, (ay + by) / 2 - bulge * (bx - ax) / 2
        wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(a, gp_Pnt(mx, my, low), b).Value()).Edge())
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(0.0, 0.0, high - low)).Shape()


def size(shape: TopoDS_Shape) -> float:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return abs(float(properties.Mass()))


def rebuilt(data: bytes, thickness: float) -> float:
    """mm3 of what a file leaves of a board."""
    entities = list(dxf.read(io.StringIO(data.decode())).modelspace())
    (outline,) = [e for e in entities if e.dxf.layer.startswith("Cut outside")]
    left = prism(outline, 0.0, thickness)
    for entity in entities:
        found = re.match(r"(Cut inside|Pocket|Bore), (\d+\.\d\d) deep", entity.dxf.layer)
        if found is not None:
            deep = min(float(found[2]), thickness)
            cut = BRepAlgoAPI_Cut(left, prism(entity, thickness - deep, thickness + 1.0))
            left = cut.Shape()
    return size(left)


def test_a_newel_is_extruded_and_stacked_again_from_its_files() -> None:
    """Its own volume (checked elsewhere against the same kernel) less the reliefs, which are known segments."""
    part = newel(MORTISE, NOTCH, BORE)
    some = layers(part, replace(PLAIN, holding=Holding.NONE))
    made = files(some)
    assert not any(layer.under for layer in some)
    total = sum(layer.quantity * rebuilt(made[layer.name, False], layer.thickness) for layer in some)
    assert sum(layer.quantity for layer in some) == 5
    most = sum(
        len(cut.relieved) * math.pi * 4.05**2 * layer.thickness for layer in some for cut in layer.cuts
    )
    assert volume(part) - most <= total <= volume(part) + 1e-3
    assert most < 0.001 * volume(part)


def test_without_reliefs_the_volume_is_exact() -> None:
    part = newel(BORE, Hole((300.0, 10.0, 45.0), (0.0, 0.0, -1.0), 12.0, 200.0))
    some = layers(part)
    made = files(some)
    total = sum(layer.quantity * rebuilt(made[layer.name, False], layer.thickness) for layer in some)
    assert total == pytest.approx(volume(part), rel=1e-9)


def test_the_check_passes_what_is_true_and_names_what_is_not() -> None:
    some = layers(newel(MORTISE, NOTCH, BORE))
    made = files(some)
    assert layer_faults(some, made) == ()
    first = some[0]
    longer = replace(NOTCH, high=(200.05, 45.0, -10.0))
    wrong = files(layers(newel(MORTISE, longer, BORE)))
    (fault,) = layer_faults(some, {**made, (first.name, False): wrong[first.name, False]})
    assert first.name in fault
    assert "0.05" in fault or "0.04" in fault


def test_the_check_sees_a_depth_that_is_wrong() -> None:
    some = layers(newel(BORE))
    made = files(some)
    (name,) = [layer.name for layer in some if any(cut.depth < layer.thickness for cut in layer.cuts)]
    text = made[name, False].decode()
    (deep,) = set(re.findall(r"Bore, (\d+\.\d\d) deep", text))
    shallow = text.replace(f"Bore, {deep} deep", f"Bore, {float(deep) - 1.0:.2f} deep").encode()
    assert layer_faults(some, made) == ()
    assert layer_faults(some, {**made, (name, False): shallow})


def test_the_check_sees_a_pattern_that_was_left_out() -> None:
    ring = ((0.0, -45.0), (400.0, -45.0), (400.0, 45.0), (0.0, 45.0))
    hole = ((100.0, -20.0), (160.0, -20.0), (160.0, 20.0), (100.0, 20.0))
    plain = replace(newel(), role=Role.PANEL, length=400.0, thickness=18.0)
    panel = replace(
        plain, finish_cuts=(Plane((400.0, 0.0, 0.0), (1.0, 0.0, 0.0)),), features=(Sawn(ring, (hole,)),)
    )
    some = layers(panel)
    made = files(some)
    assert layer_faults(some, made) == ()
    solid = files(layers(replace(panel, features=(Sawn(ring),))))
    assert layer_faults(some, {("P1", False): solid["P1", False]})


def test_an_onion_skin_is_told_in_the_depths() -> None:
    routing = replace(PLAIN, holding=Holding.SKIN, skin=0.4)
    (layer,) = layers(replace(newel(), role=Role.UPRIGHT, thickness=18.0), routing)
    entities = dxf.read(io.StringIO(layer_file(layer, routing).decode())).modelspace()
    assert {read_name(e.dxf.layer) for e in entities if "outside" in e.dxf.layer} == {
        (layer.cuts[0].way, 17.6)
    }


@pytest.fixture(scope="module")
def stacked() -> Routed:
    """The stacked design of the example, from sheets of 2440 x 1220."""
    from pitchline.kit.cutting.need import SheetStock

    job = solved("mm")
    whole = next(one for one in job.balustrades if one.id == "B")
    sheet = SheetStock("ply", 2440.0, 1220.0, 17.6, 60.0, material="birch-plywood")
    made = routed(whole.designs, [leg.parts for leg in whole.legs], usual_shop(), Routing(), (sheet,))
    assert made is not None
    return made


def test_every_piece_of_the_stacked_example_is_true(stacked: Routed) -> None:
    assert layer_faults(stacked.work.layers, files(stacked.work.layers, stacked.routing)) == ()
    whole = next(one for one in solved("mm").balustrades if one.id == "B")
    boards = {part.place for part in whole.parts if part.material == "birch-plywood"}
    cut = {layer.target.place for layer in stacked.work.layers}
    told = cut | {place for place, _ in stacked.work.left_out}
    alike = {place.partition(".")[0] for layer in stacked.work.layers for place in layer.places}
    assert boards <= told | alike


def test_a_nest_holds_every_layer_as_often_as_it_is_wanted(stacked: Routed) -> None:
    (nest,) = stacked.nests
    wanted = {layer.name: layer.quantity for layer in stacked.work.layers}
    found: dict[str, int] = {}
    outlines = 0
    for sheet in nest.plan.sheets:
        pieces = placed(stacked.work.layers, sheet)
        space = dxf.read(io.StringIO(sheet_file(sheet, pieces, stacked.routing).decode())).modelspace()
        for words in space.query("TEXT"):
            found[words.plain_text()] = found.get(words.plain_text(), 0) + 1
        outlines += len([e for e in space.query("LWPOLYLINE") if e.dxf.layer.startswith("Cut outside")])
        for entity in space.query("LWPOLYLINE"):
            for x, y in entity.get_points("xy"):
                assert -1e-6 <= x <= sheet.length + 1e-6
                assert -1e-6 <= y <= sheet.width + 1e-6
    assert found == wanted
    assert outlines == sum(wanted.values())


def test_the_chapter_has_a_file_for_every_layer_face_and_sheet(stacked: Routed) -> None:
    chapter = layers_chapter({"B": stacked}, STYLE)
    names = [file.name for file, _ in chapter.files]
    assert len(names) == len(set(names))
    assert {f"layers/B/{layer.name}.dxf" for layer in stacked.work.layers} <= set(names)
    assert "layers/B/nest-01.dxf" in names
    (document,) = chapter.documents
    assert len(document.pages) >= 3
    ids = {listing.id for listing in chapter.listings}
    assert {"B-layers", "B-not-routed"} <= ids


def test_a_shop_without_a_router_or_a_design_without_boards_has_no_layers() -> None:
    job = solved("mm")
    oak, stack = job.balustrades
    without = replace(usual_shop(), router=None)
    parts = [leg.parts for leg in stack.legs]
    assert routed(stack.designs, parts, without, Routing(), ()) is None
    assert routed(oak.designs, [leg.parts for leg in oak.legs], usual_shop(), Routing(), ()) is None
    assert layers_chapter({}, STYLE).files == ()
