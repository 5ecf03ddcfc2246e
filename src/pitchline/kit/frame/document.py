"""The frame document, schema ``pitchline-frame/1``: a frame and its cases as JSON that any program can solve again.

Units N, mm, MPa, rad. Nodes: ``id``, ``xyz``, ``ground`` (six springs or null; "fixed" stands for a fixed entry).
Members: ``id``, ``i``, ``j``, ``E``, ``G``, ``A``, ``Iy``, ``Iz``, ``J``, ``kappa_y``, ``kappa_z`` (null: no shear
deformation), ``z_axis``, ``end_i`` and ``end_j`` (six each: a stiffness, "rigid" or "free"; along the member's own
axes, x from i to j, y = z cross x). Cases: ``id``, ``nodal`` (node, force of six), ``line`` (member, from, to, q0, q1
in world axes), ``point`` (member, at, force in world axes; none where members were cut there), ``settlements`` (node:
six, of the ground under it) and ``displacements`` (node: six), the movements that were found, to compare with.
"""

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar, cast

from pitchline.kit.errors import Fault, InputError
from pitchline.kit.frame.loads import Case, LineLoad, NodalLoad, PointLoad
from pitchline.kit.frame.model import Frame, Member, Node, Section, Six
from pitchline.kit.frame.results import Solution
from pitchline.kit.geometry.frames import Vec3

T = TypeVar("T")
Table = Mapping[str, object]

SCHEMA = "pitchline-frame/1"


def frame_document(
    frame: Frame, cases: Sequence[Case], solution: Solution | None = None
) -> dict[str, object]:
    """The frame and its cases as plain values for a JSON file, with the movements found if they are handed in."""
    return {
        "schema": SCHEMA,
        "nodes": [_node(node) for node in frame.nodes],
        "members": [_member(member) for member in frame.members],
        "cases": [_case(case, solution) for case in cases],
    }


def frame_text(frame: Frame, cases: Sequence[Case], solution: Solution | None = None) -> str:
    """The document as text, one node, member or case a line."""
    return document_text(frame_document(frame, cases, solution))


def document_text(document: Mapping[str, object]) -> str:
    """A frame document as text, one node, member or case a line."""
    parts = [f' "schema": {json.dumps(document["schema"])}']
    for key in ("nodes", "members", "cases"):
        rows = ",\n  ".join(json.dumps(row, allow_nan=False) for row in cast("list[object]", document[key]))
        parts.append(f' "{key}": [\n  {rows}]')
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _node(node: Node) -> dict[str, object]:
    ground = None if node.ground is None else [_told(k, "fixed", None) for k in node.ground]
    return {"id": node.id, "xyz": list(node.at), "ground": ground}


def _member(member: Member) -> dict[str, object]:
    s = member.section
    return {
        "id": member.id,
        "i": member.i,
        "j": member.j,
        "E": member.e,
        "G": member.g,
        "A": s.area,
        "Iy": s.iy,
        "Iz": s.iz,
        "J": s.torsion,
        "kappa_y": None if math.isinf(s.kappa_y) else s.kappa_y,
        "kappa_z": None if math.isinf(s.kappa_z) else s.kappa_z,
        "z_axis": list(member.z_axis),
        "end_i": [_told(k, "rigid", "free") for k in member.end_i],
        "end_j": [_told(k, "rigid", "free") for k in member.end_j],
    }


def _told(k: float, endless: str, nothing: str | None) -> float | str:
    if math.isinf(k):
        return endless
    return nothing if nothing is not None and k == 0.0 else k


def _case(case: Case, solution: Solution | None) -> dict[str, object]:
    told: dict[str, object] = {
        "id": case.id,
        "nodal": [{"node": load.node, "force": list(load.force)} for load in case.nodal],
        "line": [
            {"member": q.member, "from": q.start, "to": q.finish, "q0": list(q.q0), "q1": list(q.q1)}
            for q in case.line
        ],
        "displacements": {} if solution is None else _movements(solution, case.id),
    }
    if case.displacements:
        told["settlements"] = {name: list(six) for name, six in case.displacements.items()}
    if case.point:
        told["point"] = [{"member": p.member, "at": p.at, "force": list(p.force)} for p in case.point]
    return told


def _movements(solution: Solution, case: str) -> dict[str, list[float]]:
    """The movement of every node in one case, to as many digits as are sound."""
    rows = solution.movements[solution.case_index[case]].tolist()
    return {
        node.id: [float(f"{value:.9g}") for value in row]
        for node, row in zip(solution.frame.nodes, rows, strict=True)
    }


def read_frame_file(path: Path) -> tuple[Frame, tuple[Case, ...]]:
    """A frame and its cases from a file; InputError with every fault."""
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as error:
        raise InputError([Fault("the file", f"it cannot be read: {error}")], str(path)) from error
    return read_frame(raw, str(path))


def read_movements(raw: object, source: str = "the frame document") -> dict[str, dict[str, Six]]:
    """The movements told in a document, by case and node; InputError with every fault."""
    read_frame(raw, source)
    reader = _Reader([])
    cases = cast("list[Table]", cast("Table", raw).get("cases", []))
    return {str(case["id"]): reader.moved(case, "displacements", source) for case in cases}


def read_frame(raw: object, source: str = "the frame document") -> tuple[Frame, tuple[Case, ...]]:
    """A frame and its cases from the plain values of a JSON file; InputError with every fault."""
    reader = _Reader([])
    root = reader.table(raw, "the document", ("schema", "nodes", "members"), ("cases",))
    if root.get("schema", SCHEMA) != SCHEMA:
        reader.fault("schema", "this is another kind of document", root["schema"], SCHEMA)
    nodes = reader.rows(root.get("nodes"), "nodes", reader.node)
    members = reader.rows(root.get("members"), "members", reader.member)
    cases = reader.rows(root.get("cases", []), "cases", reader.case)
    if reader.faults:
        raise InputError(reader.faults, source)
    return Frame(nodes, members), cases


@dataclass(frozen=True)
class _Reader:
    """Reads tables key by key; what is wrong is noted and stood in for, so that every fault is found."""

    faults: list[Fault]

    def fault(self, where: str, problem: str, found: object = None, allowed: str | None = None) -> None:
        self.faults.append(Fault(where, problem, None if found is None else repr(found), allowed))

    def table(self, raw: object, where: str, needed: Sequence[str], more: Sequence[str] = ()) -> Table:
        if not isinstance(raw, dict):
            self.fault(where, "this must be a table", raw)
            return {}
        for key in needed:
            if key not in raw:
                self.fault(where, f"the {key} is missing")
        for key in raw:
            if key not in needed and key not in more:
                self.fault(f"{where}.{key}", "this key is not known here", None, ", ".join((*needed, *more)))
        return raw

    def rows(self, raw: object, where: str, read: Callable[[object, str], T]) -> tuple[T, ...]:
        if not isinstance(raw, list):
            self.fault(where, "this must be a list", raw)
            return ()
        return tuple(read(row, f"{where}[{place}]") for place, row in enumerate(raw))

    def text(self, table: Table, key: str, where: str) -> str:
        value = table.get(key)
        if isinstance(value, str) and value:
            return value
        if key in table:
            self.fault(f"{where}.{key}", "this must be a text", value)
        return ""

    def number(
        self, table: Table, key: str, where: str, words: Mapping[str | None, float] | None = None
    ) -> float:
        return self._number(table[key], f"{where}.{key}", words or {}) if key in table else 1.0

    def numbers(
        self, raw: object, where: str, count: int, words: Mapping[str | None, float] | None = None
    ) -> tuple[float, ...]:
        if isinstance(raw, list) and len(raw) == count:
            return tuple(
                self._number(value, f"{where}[{place}]", words or {}) for place, value in enumerate(raw)
            )
        self.fault(where, f"this must be a list of {count}", raw)
        return (0.0,) * count

    def _number(self, value: object, where: str, words: Mapping[str | None, float]) -> float:
        if (value is None or isinstance(value, str)) and value in words:
            return words[value]
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            allowed = ", ".join(["a finite number", *(repr(word) for word in words)])
            self.fault(where, "this is no number", value, allowed)
            return 1.0
        return float(value)

    def six(self, raw: object, where: str, words: Mapping[str | None, float] | None = None) -> Six:
        a, b, c, d, e, f = self.numbers(raw, where, 6, words)
        return (a, b, c, d, e, f)

    def three(self, raw: object, where: str) -> Vec3:
        x, y, z = self.numbers(raw, where, 3)
        return (x, y, z)

    def node(self, raw: object, where: str) -> Node:
        table = self.table(raw, where, ("id", "xyz", "ground"))
        ground = table.get("ground")
        held = None if ground is None else self.six(ground, f"{where}.ground", {"fixed": math.inf})
        at = self.three(table.get("xyz"), f"{where}.xyz")
        return Node(self.text(table, "id", where), at, held)

    def member(self, raw: object, where: str) -> Member:
        sizes = ("E", "G", "A", "Iy", "Iz", "J")
        needed = ("id", "i", "j", *sizes, "kappa_y", "kappa_z", "z_axis", "end_i", "end_j")
        table = self.table(raw, where, needed)
        e, g, area, iy, iz, torsion = (self.number(table, key, where) for key in sizes)
        kappa_y, kappa_z = (
            self.number(table, key, where, {None: math.inf}) for key in ("kappa_y", "kappa_z")
        )
        joints: Mapping[str | None, float] = {"rigid": math.inf, "free": 0.0}
        return Member(
            self.text(table, "id", where),
            self.text(table, "i", where),
            self.text(table, "j", where),
            e,
            g,
            Section(area, iy, iz, torsion, kappa_y, kappa_z),
            self.three(table.get("z_axis"), f"{where}.z_axis"),
            self.six(table.get("end_i"), f"{where}.end_i", joints),
            self.six(table.get("end_j"), f"{where}.end_j", joints),
        )

    def case(self, raw: object, where: str) -> Case:
        optional = ("nodal", "line", "point", "displacements", "settlements")
        table = self.table(raw, where, ("id",), optional)
        self.moved(table, "displacements", where)
        return Case(
            self.text(table, "id", where),
            self.rows(table.get("nodal", []), f"{where}.nodal", self.nodal),
            self.rows(table.get("point", []), f"{where}.point", self.point),
            self.rows(table.get("line", []), f"{where}.line", self.line),
            self.moved(table, "settlements", where),
        )

    def moved(self, table: Table, key: str, where: str) -> dict[str, Six]:
        """Movements by node."""
        moved = table.get(key, {})
        if not isinstance(moved, dict):
            self.fault(f"{where}.{key}", "this must be a table", moved)
            return {}
        return {name: self.six(six, f"{where}.{key}.{name}") for name, six in moved.items()}

    def nodal(self, raw: object, where: str) -> NodalLoad:
        table = self.table(raw, where, ("node", "force"))
        return NodalLoad(self.text(table, "node", where), self.six(table.get("force"), f"{where}.force"))

    def point(self, raw: object, where: str) -> PointLoad:
        table = self.table(raw, where, ("member", "at", "force"))
        force = self.three(table.get("force"), f"{where}.force")
        return PointLoad(self.text(table, "member", where), self.number(table, "at", where), force)

    def line(self, raw: object, where: str) -> LineLoad:
        table = self.table(raw, where, ("member", "from", "to", "q0", "q1"))
        start, finish = self.number(table, "from", where), self.number(table, "to", where)
        q0, q1 = (self.three(table.get(key), f"{where}.{key}") for key in ("q0", "q1"))
        return LineLoad(self.text(table, "member", where), start, finish, q0, q1)
