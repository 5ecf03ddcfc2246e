"""The addresses of the design and compare pages: what they answer, and that no file can make them stumble."""

import io
import tomllib
from typing import Any

import pytest
import trimesh
from tests.app.web.desk import Page, job_in, page_on

from pitchline.app.web.design_asked import Asked
from pitchline.app.web.design_fields import field_groups
from pitchline.app.web.design_ways import GROUPS, choices
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

WEIRD: tuple[Any, ...] = ("x", 3, True, [], ["x"], [[1]], {"kind": 7}, [{"id": 1}])


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Page:
    job = job_in(tmp_path_factory.mktemp("routes"))
    found = page_on(job, job.parent)
    found.client.get("/state?view=design")
    return found


@pytest.mark.parametrize(
    ("address", "kind", "holds"),
    [
        ("/design/scene/A", "model/gltf-binary", b"glTF"),
        ("/design/space/A.svg", "image/svg+xml", b"<svg"),
        ("/design/part?of=A&place=U05", "text/html; charset=utf-8", b'data-mark="U05"'),
        ("/design/part?of=B&place=H1", "text/html; charset=utf-8", b"part-sheet"),
        ("/design/plan?of=A&place=U05", "text/html; charset=utf-8", b"no rack"),
        ("/design/ways/lean?of=A", "text/html; charset=utf-8", b'data-key="plumb"'),
    ],
)
def test_each_address_answers_with_its_kind(page: Page, address: str, kind: str, holds: bytes) -> None:
    answer = page.client.get(address)
    assert (answer.status_code, answer.headers["content-type"]) == (200, kind)
    assert holds in answer.content


@pytest.mark.parametrize(
    "address",
    [
        "/design/scene/Z", "/design/space/Z.svg", "/design/ways/colour?of=A", "/design/part?of=A&place=nowhere",
    ],
)  # fmt: skip
def test_what_there_is_not_is_not_found(page: Page, address: str) -> None:
    answer = page.client.get(address)
    assert answer.status_code == 404
    assert answer.json()["sentences"]


def test_the_model_of_a_design_can_be_read_elsewhere(page: Page) -> None:
    scene = trimesh.load_scene(io.BytesIO(page.client.get("/design/scene/A").content), file_type="glb")
    assert "U05" in scene.graph.nodes
    assert 2.0 < max(scene.extents) < 8.0  # metres, as glTF 2.0 section 3.4 has it: a flight of stairs


PATHS: tuple[tuple[str | int, ...], ...] = (
    ("flights",), ("edges",), ("levels",), ("flights", 0, "posts"), ("designs", 0, "infill"), ("designs", 0, "edges"),
    ("designs", 0, "handrail"), ("designs", 0, "making"), ("designs", 0, "bottom"), ("designs", 0, "flight"),
    ("designs", 0, "infill", "kind"), ("designs", 0, "infill", "width"),
)  # fmt: skip


@pytest.mark.parametrize("path", PATHS, ids=lambda path: ".".join(map(str, path)))
def test_no_wrong_value_in_a_job_makes_the_choices_stumble(path: tuple[str | int, ...]) -> None:
    for weird in WEIRD:
        raw: Any = tomllib.loads(starting_text("quarter-turn", Unit.MM))
        holder = raw
        for part in path[:-1]:
            holder = holder[part]
        holder[path[-1]] = weird
        asked = Asked(raw, 0, Unit.MM)
        assert tuple(choices(asked)) == GROUPS
        assert all(choice.ways for several in choices(asked).values() for choice in several)
        assert field_groups(asked, None, {})


@pytest.mark.parametrize("path", [PATHS[0], PATHS[4]], ids=["flights", "infill"])
def test_a_job_with_a_wrong_value_is_told_and_drawn_as_it_was(
    page: Page, path: tuple[str | int, ...]
) -> None:
    page.version = page.desk.job.journal.version
    told = page.edit({"path": list(path), "put": "x"}, view="design")
    assert told.status_code == 200, told.text
    assert told.json()["fresh"] is False
    assert told.json()["faults"]
    for address in ("/design", "/compare", "/design/ways/edges", "/design/ways/making"):
        assert page.client.get(address).status_code == 200, address
    assert page.client.get("/share.html").status_code == 409
    page.step("undo")
