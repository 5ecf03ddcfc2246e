"""Free shapes of a list: nested on what the sheets leave, and told; shapely measures the room."""

import json
from itertools import combinations
from pathlib import Path

import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box
from tests.command import run

from pitchline.app.need_file import need_of
from pitchline.kit.errors import InputError

BRACKET = [[0, 0], [300, 0], [300, 80], [80, 80], [80, 400], [0, 400]]
NEED = {
    "clearance": 8,
    "margin": 20,
    "sheets": [{"id": "ply", "length": 2440, "width": 1220, "thickness": 18, "price": 62, "count": 2}],
    "shapes": [
        {"id": "bracket", "outline": BRACKET, "thickness": 18, "quantity": 12, "grain": "length"},
        {
            "id": "ring",
            "outline": [[0, 0], [200, 0], [200, 200], [0, 200]],
            "holes": [[[50, 50], [150, 50], [150, 150], [50, 150]]],
            "thickness": 18,
            "quantity": 4,
        },
    ],
}


def cut(folder: Path, need: object, *more: str) -> tuple[int, dict[str, object], str]:
    path = folder / "list.json"
    path.write_text(json.dumps(need), encoding="utf-8")
    done = run("cut", path, "--json", "--seconds", "1", *more)
    return done.returncode, json.loads(done.stdout), done.stderr


def test_shapes_lie_apart_and_on_the_sheet(tmp_path: Path) -> None:
    code, plan, _ = cut(tmp_path, NEED)
    assert code == 0
    nests = plan["nests"]
    assert isinstance(nests, list)
    drawn = {"bracket": Polygon(BRACKET), "ring": Polygon(NEED["shapes"][1]["outline"])}  # type: ignore[index]
    assert sum(len(nest["shapes"]) for nest in nests) == 16
    for nest in nests:
        laid = []
        for one in nest["shapes"]:
            turned = rotate(drawn[one["shape"]], one["angle_deg"], origin=(0, 0))
            laid.append(translate(turned, one["x"] - turned.bounds[0], one["y"] - turned.bounds[1]))
            assert one["shape"] == "ring" or one["angle_deg"] in (0, 180)
        room = box(20 - 1e-6, 20 - 1e-6, 2420 + 1e-6, 1200 + 1e-6)
        assert all(room.covers(shape) for shape in laid)
        assert all(a.distance(b) >= 8 - 1e-6 for a, b in combinations(laid, 2))


def test_straight_parts_and_shapes_share_counted_sheets(tmp_path: Path) -> None:
    """One of two sheets goes to the straight part, so that shapes for two find one."""
    need = {
        **NEED,
        "kerf": 3,
        "parts": [{"id": "panel", "length": 2400, "width": 1200, "thickness": 18}],
        "shapes": [{**NEED["shapes"][0], "quantity": 60}],  # type: ignore[index]
    }
    code, plan, said = cut(tmp_path, need)
    assert code == 1
    nests, sheets = plan["nests"], plan["sheets"]
    assert isinstance(nests, list)
    assert isinstance(sheets, list)
    assert (len(nests), len(sheets)) == (1, 1)
    assert "bracket" in said


def test_a_shape_of_another_thickness_is_told(tmp_path: Path) -> None:
    code, _, said = cut(tmp_path, {**NEED, "shapes": [{**NEED["shapes"][0], "thickness": 12}]})  # type: ignore[index]
    assert code == 1
    assert "no sheet of the thickness of bracket" in said


@pytest.mark.parametrize(
    ("outline", "said"),
    [
        ([[0, 0], [10, 10], [10, 0], [0, 10]], "crosses itself"),
        ([[0, 0], [10, 10]], "crosses itself"),
        ([[0, 0], [10, 10, 3], [0, 10]], "a corner is no pair"),
    ],
)
def test_an_outline_that_is_none(outline: list[list[float]], said: str) -> None:
    need = {**NEED, "shapes": [{"id": "s", "outline": outline, "thickness": 18}]}
    with pytest.raises(InputError, match=said):
        need_of(json.dumps(need), "list.json", as_json=True)


def test_pictures_and_lists_are_written_where_a_folder_is_named(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    code, plan, told = cut(tmp_path, NEED, "-o", str(out))
    assert code == 0
    assert "open" in told
    assert "cutting.pdf" in told
    assert json.loads((out / "plan.json").read_text(encoding="utf-8")) == plan
    nests = plan["nests"]
    assert isinstance(nests, list)
    for ending in ("svg", "dxf"):
        assert len(list((out / "drawings").glob(f"list-nest-*.{ending}"))) == len(nests)
    assert (out / "cutting.pdf").read_bytes().startswith(b"%PDF")
    assert "bracket" in (out / "lists" / "list-nests.csv").read_text(encoding="utf-8-sig")


def test_a_folder_of_something_else_is_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "plan"
    out.mkdir()
    (out / "letter.txt").write_text("mine", encoding="utf-8")
    path = tmp_path / "list.json"
    path.write_text(json.dumps(NEED), encoding="utf-8")
    done = run("cut", path, "--seconds", "0.5", "-o", str(out))
    assert done.returncode == 2
    assert "choose another folder" in done.stderr
    assert [file.name for file in out.iterdir()] == ["letter.txt"]
