"""STEP files read back with a general boundary-representation kernel (OpenCascade 7, LGPL)."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.Quantity import Quantity_Color
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool


@dataclass(frozen=True)
class Leaf:
    """A solid of an assembly: the names on the way to it, the shape where it goes, its product's name, its colour."""

    path: tuple[str, ...]
    product: str
    shape: TopoDS_Shape
    colour: tuple[float, float, float] | None


def leaves(data: bytes, folder: Path) -> tuple[Leaf, ...]:
    """Every solid of a file, where it goes."""
    file = folder / "read.step"
    file.write_bytes(data)
    document = TDocStd_Document(TCollection_ExtendedString("read"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    assert reader.ReadFile(str(file)) == IFSelect_RetDone
    assert reader.Transfer(document)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    free = TDF_LabelSequence()
    tool.GetFreeShapes(free)
    return tuple(
        leaf
        for k in range(1, free.Length() + 1)
        for leaf in _below(document, free.Value(k), (), TopLoc_Location())
    )


def _below(
    document: TDocStd_Document, label: TDF_Label, path: tuple[str, ...], place: TopLoc_Location
) -> Iterator[Leaf]:
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    own, product = label, label
    if tool.IsReference_s(label):
        product = TDF_Label()
        tool.GetReferredShape_s(label, product)
        place = place.Multiplied(tool.GetLocation_s(label))
    here = (*path, _name(own))
    if tool.IsAssembly_s(product):
        inner = TDF_LabelSequence()
        tool.GetComponents_s(product, inner)
        for k in range(1, inner.Length() + 1):
            yield from _below(document, inner.Value(k), here, place)
        return
    shape = tool.GetShape_s(product)
    yield Leaf(here, _name(product), shape.Moved(place), _colour(document, shape))


def _name(label: TDF_Label) -> str:
    found = TDataStd_Name()
    return found.Get().ToExtString() if label.FindAttribute(TDataStd_Name.GetID_s(), found) else ""


def _colour(document: TDocStd_Document, shape: TopoDS_Shape) -> tuple[float, float, float] | None:
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    found = Quantity_Color()
    if not colours.GetColor(shape, XCAFDoc_ColorSurf, found):
        return None
    return found.Red(), found.Green(), found.Blue()


def solids(shape: TopoDS_Shape) -> tuple[TopoDS_Shape, ...]:
    """The solids in a shape."""
    return tuple(_each(shape, TopAbs_SOLID))


def surface_kinds(shape: TopoDS_Shape) -> tuple[GeomAbs_SurfaceType, ...]:
    """What kind of surface each face lies on."""
    return tuple(BRepAdaptor_Surface(TopoDS.Face_s(face)).GetType() for face in _each(shape, TopAbs_FACE))


def _each(shape: TopoDS_Shape, kind: object) -> Iterator[TopoDS_Shape]:
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def is_valid(shape: TopoDS_Shape) -> bool:
    """Whether the kernel finds nothing wrong with it."""
    return bool(BRepCheck_Analyzer(shape).IsValid())


def volume_of(shape: TopoDS_Shape) -> float:
    """Volume in mm3."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def area_of(shape: TopoDS_Shape) -> float:
    """Surface in mm2."""
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties)
    return float(properties.Mass())


def box_of(shape: TopoDS_Shape) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Lowest and highest corner, mm, no room added."""
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    x0, y0, z0, x1, y1, z1 = box.Get()
    return (x0, y0, z0), (x1, y1, z1)
