"""The viewer in a real browser, and its pure parts under node."""

import gzip
import json
import os
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.web.viewer_page import STATIC, serving

from pitchline.job.load import load_text
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit
from pitchline.solids.glb import scene_glb
from pitchline.solids.scene import eye_for, scene_of
from pitchline.story import solve

MODULES = ("viewer.js", "viewer_glb.js", "viewer_math.js", "viewer_paint.js")


@pytest.fixture(scope="module")
def scene() -> tuple[bytes, str]:
    whole = solve(load_text(starting_text("mm", Unit.MM))).balustrades[0]
    seen = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    eye = ",".join(f"{value:.4f}" for value in eye_for(whole.edges))
    return scene_glb("balustrade A", seen.parts, seen.around), eye


@pytest.fixture(scope="module")
def address(scene: tuple[bytes, str]) -> Iterator[str]:
    with serving(*scene) as found:
        yield found


@pytest.fixture(scope="module")
def open_page(browser: Browser, address: str) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1000, "height": 700})
    page.goto(address)
    expect(page.locator(".viewer")).to_have_attribute("data-state", "space")
    yield page
    page.close()


@pytest.fixture
def page(open_page: Page) -> Page:
    """The page with the camera where it begins and nothing chosen."""
    open_page.locator("canvas").focus()
    open_page.keyboard.press("Escape")
    open_page.keyboard.press("Home")
    return open_page


def data(page: Page, name: str) -> str:
    return page.locator(".viewer").get_attribute(f"data-{name}") or ""


def next_drawn(page: Page, act: Any) -> None:
    """Do something and wait until the picture is drawn anew."""
    before = int(data(page, "drawn"))
    act()
    expect(page.locator(".viewer")).to_have_attribute("data-drawn", re.compile(f"^(?!{before}$)"))


def camera(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate("({...viewer.camera})")
    return found


def test_every_part_is_in_the_picture(page: Page, scene: tuple[bytes, str]) -> None:
    length = int.from_bytes(scene[0][12:16], "little")
    nodes = json.loads(scene[0][20 : 20 + length])["nodes"]
    assert data(page, "parts") == str(sum(n.get("extras", {}).get("kind") == "part" for n in nodes))


def test_the_picture_is_neither_empty_nor_of_one_colour(page: Page) -> None:
    colours = page.evaluate(
        """() => { viewer.paint(); const gl = viewer.gl, [w, h] = [gl.drawingBufferWidth, gl.drawingBufferHeight];
        const all = new Uint8Array(4 * w * h); gl.readPixels(0, 0, w, h, gl.RGBA, gl.UNSIGNED_BYTE, all);
        const found = {}; for (let k = 0; k < all.length; k += 4) {
          const key = (all[k] >> 5) + "," + (all[k + 1] >> 5) + "," + (all[k + 2] >> 5);
          found[key] = (found[key] ?? 0) + 1; }
        return Object.values(found).map((n) => n / (w * h)); }"""
    )
    assert len([share for share in colours if share > 0.003]) >= 5
    assert max(colours) < 0.9


def test_a_tap_on_a_part_tells_its_name_and_one_beside_everything_nothing(page: Page) -> None:
    spot = page.evaluate(
        """() => { const piece = viewer.pieces.find((one) => one.name === "U08");
        for (let x = 0; x < 800; x += 4) for (let y = 0; y < 500; y += 4)
          if (viewer.at(x, y) === viewer.pieces.indexOf(piece)) return {x, y};
        return null; }"""
    )
    page.locator("canvas").click(position=spot)
    expect(page.locator(".viewer")).to_have_attribute("data-picked", "U08")
    expect(page.locator(".viewer")).to_have_attribute("data-chosen", "U08")
    page.locator("canvas").click(position={"x": 4, "y": 4})
    expect(page.locator(".viewer")).to_have_attribute("data-picked", "nothing")
    expect(page.locator(".viewer")).to_have_attribute("data-chosen", "")


def test_a_drag_turns_and_does_not_choose(page: Page) -> None:
    page.locator(".viewer").evaluate("host => host.dataset.picked = 'untouched'")
    before = camera(page)
    page.mouse.move(400, 300)
    page.mouse.down()
    page.mouse.move(460, 320, steps=4)
    page.mouse.up()
    after = camera(page)
    assert after["turn"] < before["turn"]
    assert after["tilt"] > before["tilt"]
    assert data(page, "picked") == "untouched"


def test_keys_turn_move_and_come_nearer(page: Page) -> None:
    begin = camera(page)
    page.keyboard.press("ArrowLeft")
    assert camera(page)["turn"] < begin["turn"]
    page.keyboard.press("ArrowUp")
    assert camera(page)["tilt"] > begin["tilt"]
    page.keyboard.press("+")
    assert camera(page)["distance"] < begin["distance"]
    page.keyboard.press("Shift+ArrowRight")
    assert camera(page)["target"] != begin["target"]
    page.keyboard.press("Home")
    assert camera(page)["turn"] == pytest.approx(begin["turn"])
    assert camera(page)["distance"] == pytest.approx(begin["distance"])


def test_keys_go_from_part_to_part(page: Page) -> None:
    names = []
    for key in ("PageDown", "PageDown", "PageUp"):
        page.keyboard.press(key)
        names.append(data(page, "chosen"))
    assert names[0] == names[2] != names[1]
    assert data(page, "picked") == names[0]


def test_two_fingers_come_nearer_and_move(page: Page) -> None:
    before = camera(page)
    page.evaluate(
        """() => { const canvas = viewer.canvas; canvas.setPointerCapture = () => {};
        const send = (kind, id, x, y) => canvas.dispatchEvent(new PointerEvent(kind,
          {pointerId: id, pointerType: "touch", clientX: x, clientY: canvas.getBoundingClientRect().top + y}));
        send("pointerdown", 1, 300, 200); send("pointerdown", 2, 400, 200);
        send("pointermove", 1, 250, 240); send("pointermove", 2, 450, 240);
        send("pointerup", 1, 250, 240); send("pointerup", 2, 450, 240);
        delete canvas.setPointerCapture; }"""
    )
    after = camera(page)
    assert after["distance"] == pytest.approx(before["distance"] / 2, rel=0.1)
    assert after["target"] != before["target"]


def test_a_rail_of_layers_is_lit_by_the_name_of_the_rail(page: Page) -> None:
    page.evaluate("viewer.highlight(['H1', 'U02'])")
    assert set(data(page, "chosen").split()) >= {"H1", "U02"}
    page.evaluate("viewer.pieces.find((one) => one.name === 'U03').name = 'H1c'; viewer.highlight(['H1'])")
    assert set(data(page, "chosen").split()) == {"H1", "H1c"}
    page.evaluate("viewer.pieces.find((one) => one.name === 'H1c').name = 'U03'")


def test_a_chosen_part_changes_the_picture(page: Page) -> None:
    shot = page.locator("canvas").screenshot
    plain = shot()
    next_drawn(page, lambda: page.evaluate("viewer.highlight(['U08'])"))
    assert shot() != plain
    next_drawn(page, lambda: page.evaluate("viewer.highlight([])"))


def test_a_lost_context_leaves_the_picture_and_comes_back(page: Page) -> None:
    page.evaluate("window.gone = viewer.gl.getExtension('WEBGL_lose_context'); gone.loseContext()")
    expect(page.locator(".viewer")).to_have_attribute("data-state", "picture")
    expect(page.locator(".viewer-picture")).to_be_visible()
    next_drawn(page, lambda: page.evaluate("gone.restoreContext()"))
    expect(page.locator(".viewer")).to_have_attribute("data-state", "space")


def test_a_new_scene_keeps_the_camera_and_what_is_chosen(page: Page) -> None:
    page.keyboard.press("ArrowLeft")
    page.evaluate("viewer.highlight(['U05'])")
    before = camera(page)
    next_drawn(page, lambda: page.evaluate("viewer.loadUrl('/scene.glb')"))
    assert camera(page)["turn"] == pytest.approx(before["turn"])
    assert data(page, "chosen") == "U05"


def test_without_webgl_the_picture_stays(browser: Browser, address: str) -> None:
    page = browser.new_page()
    page.goto(f"{address}#none")
    expect(page.locator(".viewer")).to_have_attribute("data-state", "picture")
    expect(page.locator(".viewer-picture")).to_be_visible()
    assert page.locator("canvas").count() == 0
    page.close()


def test_the_page_is_accessible(page: Page) -> None:
    found = Axe().run(page)
    assert found.response["violations"] == []


def test_small() -> None:
    whole = b"".join((STATIC / name).read_bytes() for name in MODULES)
    assert len(gzip.compress(whole)) < 11_000
    assert not re.search(rb"from \"(?!\./)", whole), "no library from outside"


def test_the_pure_parts_under_node(tmp_path: Path, scene: tuple[bytes, str]) -> None:
    file = tmp_path / "scene.glb"
    file.write_bytes(scene[0])
    run = subprocess.run(
        ["node", "--test", str(Path(__file__).parent / "node")],
        env={"PATH": os.environ["PATH"], "PITCHLINE_GLB": str(file)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert run.returncode == 0, run.stdout
    assert int(re.search(r"# pass (\d+)", run.stdout).group(1)) >= 19  # type: ignore[union-attr]
