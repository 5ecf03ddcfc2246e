"""Takes the pictures of the browser pages for the documentation anew: ``python docs/screens.py``.

A server of its own is started over copies of the built-in examples; headless Chromium looks at the pages. Needed are
what ``make test`` sets up, and a Chromium that playwright knows, or one named in CHROMIUM.
"""

import io
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, expect, sync_playwright

from pitchline.job.new import example_unit, starting_text
from pitchline.kit.units import Unit

IMAGES = Path(__file__).parent / "images"
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--enable-unsafe-swiftshader")
DESK, TABLET = (1280, 900), (820, 1180)
COLOURS = 128
"""Of each picture kept: enough for drawings and letters, and a third of the size."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: of which example and page, how wide the screen, by day or by night, and what is done first."""

    name: str
    example: str | None
    page: str
    screen: tuple[int, int] = DESK
    scheme: str = "light"
    do: tuple[tuple[str, str], ...] = ()


SHOTS = (
    Shot("app-start", None, "start", TABLET),
    Shot("app-stair", "mm", "stair", do=(("focus", "[data-where='flights[0].rises.values[7]']"),)),
    Shot(
        "app-slip",
        "mm",
        "stair",
        do=(("type", "[data-where='flights[0].rises.values[3]']|291.5"), ("see", ".slip")),
    ),
    Shot("app-tablet-inches", "in", "stair", TABLET, "dark", (("focus", "[data-round=rises] >> nth=4"),)),
    Shot("app-design", "mm", "design", do=(("see", "#space[data-parts]"),)),
    Shot(
        "app-choices",
        "mm",
        "design",
        TABLET,
        do=(
            ("click", "details[data-group=infill] summary >> nth=0"),
            ("see", "button.way >> nth=4"),
            ("see", "details[data-group=infill]"),
        ),
    ),
    Shot("app-compare", "mm", "compare", DESK, "dark", (("see", "table.compared"), ("see", ".card"))),
    Shot("app-check", "mm", "check"),
    Shot("app-strength", "mm", "strength", do=(("see", ".papers img"),)),
    Shot("app-pack", "mm", "pack", do=(("click", "[data-work]"), ("see", ".files a"))),
)


def main(wanted: list[str]) -> None:
    """Take every picture, or those named."""
    IMAGES.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=os.environ.get("CHROMIUM"), args=list(FLAGS))
        for shot in SHOTS:
            if not wanted or shot.name in wanted:
                take(browser, shot)
        browser.close()


def take(browser: Browser, shot: Shot) -> None:
    """One picture into the documentation."""
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder), shot.example) as address:
        size = {"width": shot.screen[0], "height": shot.screen[1]}
        context = browser.new_context(
            viewport=size,  # type: ignore[arg-type]  # these are its two keys
            color_scheme=shot.scheme,  # type: ignore[arg-type]  # light or dark
            has_touch=shot.screen == TABLET,
        )
        page = context.new_page()
        page.goto(f"{address}/{shot.page}")
        if shot.example is not None:
            expect(page.locator("body[data-drawn]")).to_be_attached(timeout=30_000)
        for what, where in shot.do:
            act(page, what, where)
        page.wait_for_load_state("networkidle")
        keep(page.screenshot(), shot.name)
        context.close()


def act(page: Page, what: str, where: str) -> None:
    """One thing done on a page."""
    if what == "focus":
        page.locator(where).focus()
        page.locator(where).evaluate("field => field.scrollIntoView({ block: 'center' })")
    elif what == "type":
        field, _, text = where.partition("|")
        page.locator(field).fill(text)
        page.keyboard.press("Enter")
        expect(page.locator("body")).to_have_attribute("data-waiting", "0")
    elif what == "click":
        page.locator(where).click()
    else:
        place = page.locator(where).first
        expect(place).to_be_visible(timeout=120_000)
        place.evaluate("seen => seen.scrollIntoView({ block: 'center' })")


@contextmanager
def serving(folder: Path, example: str | None) -> Iterator[str]:
    """A server over an example in a folder, or over the folder alone."""
    named = []
    if example is not None:
        text = starting_text(example, example_unit(example))
        (folder / "stair.toml").write_text(text, encoding="utf-8")
        named = ["stair.toml"]
    else:
        (folder / "porch.toml").write_text(starting_text(None, Unit.MM), encoding="utf-8")
    with socket.create_server(("127.0.0.1", 0)) as ear:
        port = ear.getsockname()[1]
    program = Path(sys.executable).with_name("pitchline")
    command = [str(program), "serve", *named, "--port", str(port), "--no-browser"]
    server = subprocess.Popen(command, cwd=folder, stderr=subprocess.DEVNULL)
    try:
        wait_for(port)
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(20)


def wait_for(port: int) -> None:
    """Wait until the server answers."""
    for _ in range(600):
        try:
            socket.create_connection(("127.0.0.1", port), 0.5).close()
        except OSError:
            time.sleep(0.05)
        else:
            return
    raise RuntimeError("the server did not start")


def keep(shot: bytes, name: str) -> None:
    """Keep a picture with few colours."""
    picture = Image.open(io.BytesIO(shot)).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    path = IMAGES / f"{name}.png"
    picture.save(path, optimize=True)
    sys.stderr.write(f"Took docs/images/{path.name}, {path.stat().st_size // 1000} kB\n")


if __name__ == "__main__":
    main(sys.argv[1:])
