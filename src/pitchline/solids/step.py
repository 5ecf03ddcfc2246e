"""Solids for other programs: ISO 10303-21 files (STEP) with true planes, cylinders and cones, names, colours, a tree.

A product for each distinct piece, an occurrence of it for each place where it goes. Written after ISO 10303-21 and
the entities of ISO 10303-214 (from memory; read back with a general kernel in the tests). Lengths in mm, in the
co-ordinates of the edge or, where there are several legs, of the world.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import lru_cache

from pitchline.kit.geometry.frames import Frame
from pitchline.kit.tolerances import SAME_POINT
from pitchline.parts.part import Part
from pitchline.solids import step_occ
from pitchline.solids.brep import Brep, part_brep
from pitchline.solids.colours import look_of, rgb
from pitchline.solids.step_file import Entities, Ref, number, step_file, text
from pitchline.solids.step_solid import write_placement, write_solid

_NONE = text("")


@dataclass(frozen=True, slots=True)
class Branch:
    """A named part of an assembly: pieces, and further branches."""

    name: str
    parts: tuple[Part, ...]
    branches: tuple["Branch", ...] = ()


def part_step(part: Part, date: str = "") -> bytes:
    """One piece in its own axes: X along it from its longest point, Y across its wide face, Z through it.

    Where round faces meet in curves that are not told here, the extra makes it if it is installed.
    """
    if brep_of(part).facetted and step_occ.is_installed():
        return step_occ.exact_step(part, date)
    writer = _Writer()
    writer.piece(part)
    writer.finish()
    return step_file(part.mark, writer.entities, date)


def assembly_step(root: Branch, date: str = "") -> bytes:
    """An assembly with its tree: every piece where it goes, named by its place."""
    writer = _Writer()
    writer.branch(root)
    writer.finish()
    return step_file(root.name, writer.entities, date)


def brep_of(part: Part) -> Brep:
    """A piece by its boundary; pieces of one description are worked once."""
    return _brep(replace(part, place="", mark="", frame=Frame(), trim=0.0, length_sigma=0.0, face_names=()))


@lru_cache(maxsize=1024)
def _brep(part: Part) -> Brep:
    return part_brep(part)


def shape_key(part: Part) -> tuple[object, ...]:
    """What a piece's shape hangs on, to a millionth of a mm: pieces with one key are one product."""
    return (
        part.material,
        part.role,
        *_figures((part.length, part.width, part.thickness, part.body.planes, part.features)),
    )


def _figures(value: object) -> tuple[object, ...]:
    if isinstance(value, float):
        return (round(value, 6) + 0.0,)
    if isinstance(value, tuple):
        return tuple(_figures(one) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        told = tuple(_figures(getattr(value, known.name)) for known in fields(value))
        return (type(value).__name__, *told)
    return (value,)


@dataclass(frozen=True, slots=True)
class _Product:
    """What a product is referred to by: its definition, its shape, and the placement it is drawn in."""

    definition: Ref
    shape: Ref
    origin: Ref


class _Writer:
    """The entities of one file as they are written."""

    def __init__(self) -> None:
        self.entities = Entities()
        self._known: dict[tuple[object, ...], _Product] = {}
        self._names: set[str] = set()
        self._products: list[Ref] = []
        self._styled: list[Ref] = []
        self._colours: dict[str, Ref] = {}
        add = self.entities.add
        application = add("APPLICATION_CONTEXT", text("core data for automotive mechanical design processes"))
        protocol = (text("international standard"), text("automotive_design"), "2000")
        add("APPLICATION_PROTOCOL_DEFINITION", *protocol, application)
        self._product_context = add("PRODUCT_CONTEXT", _NONE, application, text("mechanical"))
        self._design = add("PRODUCT_DEFINITION_CONTEXT", text("part definition"), application, text("design"))
        self._origin = write_placement(self.entities, Frame())
        self._context = self._geometry()

    def _geometry(self) -> Ref:
        """mm, radians, and how near two points must be to be one."""
        compound = self.entities.add_complex
        length = compound("LENGTH_UNIT()", "NAMED_UNIT(*)", "SI_UNIT(.MILLI.,.METRE.)")
        turn = compound("NAMED_UNIT(*)", "PLANE_ANGLE_UNIT()", "SI_UNIT($,.RADIAN.)")
        solid = compound("NAMED_UNIT(*)", "SI_UNIT($,.STERADIAN.)", "SOLID_ANGLE_UNIT()")
        near = f"LENGTH_MEASURE({number(SAME_POINT)})"
        words = (text("distance_accuracy_value"), text("points nearer than this are one"))
        off = self.entities.add("UNCERTAINTY_MEASURE_WITH_UNIT", near, length, *words)
        return compound(
            "GEOMETRIC_REPRESENTATION_CONTEXT(3)",
            f"GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({off}))",
            f"GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{turn},{solid}))",
            "REPRESENTATION_CONTEXT('','')",
        )

    def branch(self, branch: Branch) -> _Product:
        """An assembly and everything in it."""
        places = [
            (part.place, self.piece(part), write_placement(self.entities, part.frame))
            for part in branch.parts
        ]
        places += [(inner.name, self.branch(inner), self._origin) for inner in branch.branches]
        shown = list(dict.fromkeys(placement for _, _, placement in places))
        own = self._product(branch.name, "assembly", "SHAPE_REPRESENTATION", shown)
        for order, (name, product, placement) in enumerate(places, start=1):
            self._occurrence((f"{branch.name}-{order}", name), own, product, placement)
        return own

    def piece(self, part: Part) -> _Product:
        """The product of a piece; pieces of exactly one shape and material share it."""
        key = shape_key(part)
        if key not in self._known:
            name = part.mark if part.mark not in self._names else part.place
            self._names.add(name)
            solid = write_solid(self.entities, brep_of(part), name)
            self._style(solid, look_of(part.material).colour)
            words = f"{part.role.value}, {part.material}"
            self._known[key] = self._product(name, words, "ADVANCED_BREP_SHAPE_REPRESENTATION", [solid])
        return self._known[key]

    def finish(self) -> None:
        """What stands at the end of a file: the category of its products, and the colours."""
        self.entities.add("PRODUCT_RELATED_PRODUCT_CATEGORY", text("part"), "$", self._products)
        shown = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"
        self.entities.add(shown, _NONE, self._styled, self._context)

    def _product(self, name: str, described: str, kind: str, items: Sequence[Ref]) -> _Product:
        add = self.entities.add
        product = add("PRODUCT", text(name), text(name), text(described), [self._product_context])
        self._products.append(product)
        formation = add("PRODUCT_DEFINITION_FORMATION", _NONE, _NONE, product)
        definition = add("PRODUCT_DEFINITION", text("design"), _NONE, formation, self._design)
        defined = add("PRODUCT_DEFINITION_SHAPE", _NONE, _NONE, definition)
        others = [item for item in items if item != self._origin]
        shape = add(kind, text(name), [self._origin, *others], self._context)
        add("SHAPE_DEFINITION_REPRESENTATION", defined, shape)
        return _Product(definition, shape, self._origin)

    def _occurrence(self, names: tuple[str, str], whole: _Product, piece: _Product, placement: Ref) -> None:
        """A piece where it goes in the whole; ``names`` are its own among all, and what it is called."""
        add = self.entities.add
        called = (text(names[0]), text(names[1]), _NONE)
        use = add("NEXT_ASSEMBLY_USAGE_OCCURRENCE", *called, whole.definition, piece.definition, "$")
        moved = add("ITEM_DEFINED_TRANSFORMATION", _NONE, _NONE, piece.origin, placement)
        relation = self.entities.add_complex(
            f"REPRESENTATION_RELATIONSHIP('','',{piece.shape},{whole.shape})",
            f"REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION({moved})",
            "SHAPE_REPRESENTATION_RELATIONSHIP()",
        )
        placed = add("PRODUCT_DEFINITION_SHAPE", text("placement"), text(names[1]), use)
        add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", relation, placed)

    def _style(self, solid: Ref, colour: str) -> None:
        """A solid in its colour."""
        add = self.entities.add
        if colour not in self._colours:
            shares = [number(round(share, 4)) for share in rgb(colour)]
            paint = add("COLOUR_RGB", _NONE, *shares)
            area = add("FILL_AREA_STYLE", _NONE, [add("FILL_AREA_STYLE_COLOUR", _NONE, paint)])
            side = add("SURFACE_SIDE_STYLE", _NONE, [add("SURFACE_STYLE_FILL_AREA", area)])
            use = add("SURFACE_STYLE_USAGE", ".BOTH.", side)
            self._colours[colour] = add("PRESENTATION_STYLE_ASSIGNMENT", [use])
        self._styled.append(add("STYLED_ITEM", _NONE, [self._colours[colour]], solid))
