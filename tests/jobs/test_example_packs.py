"""The pack of every invented example, whole: its files, and its pieces in space, none running into another."""

import json
from itertools import combinations
from pathlib import Path

import manifold3d
import numpy as np
import pytest
from pypdf import PdfReader

from pitchline.app.commands import demo
from pitchline.app.result import result_document
from pitchline.job.load import load_text
from pitchline.job.new import STAIRS, starting_text
from pitchline.kit.units import Unit
from pitchline.parts.part import Part
from pitchline.sheets.pack import write_pack
from pitchline.solids.scene import scene_of
from pitchline.solids.solid import part_mesh
from pitchline.story import Solved, solve

SOLVED = {name: solve(load_text(starting_text(name, Unit.MM))) for name in STAIRS}


@pytest.fixture(scope="module", params=list(STAIRS))
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Solved, Path]:
    """An example solved, and the folder its pack was written into."""
    solved = SOLVED[request.param]
    folder = tmp_path_factory.mktemp("packs") / request.param
    write_pack(solved, folder, result_document(solved))
    return solved, folder


def test_the_pack_is_whole(pack: tuple[Solved, Path]) -> None:
    solved, folder = pack
    names = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert {"index.html", "drawings.pdf", "lists.pdf", "rules.pdf", "lists.xlsx", "result.json"} <= names
    for whole in solved.balustrades:
        assert f"{whole.id}.glb" in names
        assert f"drawings/{whole.id}-in-space.svg" in names
    assert len(PdfReader(folder / "drawings.pdf").pages) >= 2 + 3 * len(solved.designs) - 1


def test_the_front_page_shows_every_design_with_its_pictures(pack: tuple[Solved, Path]) -> None:
    solved, folder = pack
    page = (folder / "index.html").read_text("utf-8")
    names = [whole.id for whole in solved.balustrades] + [rail.id for rail in solved.wall_rails]
    assert all(name in page for name in names)
    for source in page.split('<img src="')[1:]:
        assert (folder / source.split('"')[0]).is_file()


def test_the_result_names_every_leg_and_turn(pack: tuple[Solved, Path]) -> None:
    solved, folder = pack
    document = json.loads((folder / "result.json").read_text("utf-8"))
    for told, whole in zip(document["designs"], solved.balustrades, strict=True):
        assert len(told["legs"]) == len(whole.legs)
        assert len(told["turns"]) == sum(len(edge.turns) for edge in whole.edges)
        assert {bar["leg"] for bar in told["rails"]} == {leg.design.leg for leg in whole.legs}
        assert sum(part["quantity"] for part in told["parts"]) == len(whole.parts)


OVERLAP = 60.0
"""mm3 that two pieces may share: what chords for arcs and snug housings leave, a cube of 4 mm."""


@pytest.mark.parametrize("name", list(STAIRS))
def test_no_two_pieces_take_the_same_place(name: str) -> None:
    """Every pair of pieces whose boxes meet is intersected by a general solid modeller (manifold3d)."""
    for whole in SOLVED[name].balustrades:
        scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
        solids = [(part, _solid(part)) for part in scene.parts]
        boxes = [solid.bounding_box() for _, solid in solids]
        for (i, (a, one)), (j, (b, other)) in combinations(enumerate(solids), 2):
            if _apart(boxes[i], boxes[j]):
                continue
            shared = (one ^ other).volume()
            assert shared <= OVERLAP, f"{name}: {a.place} and {b.place} share {shared:.0f} mm3"


def _solid(part: Part) -> manifold3d.Manifold:
    mesh = part_mesh(part, 48)
    corners = part.frame.array_to_world(mesh.corners)
    solid = manifold3d.Manifold(
        manifold3d.Mesh(np.asarray(corners, np.float32), np.asarray(mesh.triangles, np.uint32))
    )
    assert solid.volume() == pytest.approx(mesh.volume, rel=1e-3), part.place
    return solid


def _apart(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return any(a[k] > b[k + 3] or b[k] > a[k + 3] for k in range(3))


def test_a_job_with_a_rack_is_cut_from_it(tmp_path: Path) -> None:
    """The demo: two designs with their plans, compared, their bound no higher than their cost."""
    folder = tmp_path / "pack"
    demo(folder)
    document = json.loads((folder / "result.json").read_text("utf-8"))
    compared = (folder / "lists" / "designs-compared.csv").read_text("utf-8-sig").splitlines()
    assert len(compared) >= 1 + len(document["designs"])
    for told in document["designs"]:
        cutting = told["cutting"]
        assert not cutting["unplaced"]
        assert 0.0 < cutting["lower_bound"] <= cutting["cost"] + 1e-6
        assert (folder / "lists" / f"{told['id']}-buying.csv").is_file()
    assert (folder / "rack.toml").is_file()
