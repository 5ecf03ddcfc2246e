"""The app as a user meets it: a server process of its own, and headless Chromium timing what it shows.

Told are medians: an edit is typed or a slider moved, and the page itself measures until the new drawing and findings
stand in it, and until the new model has been drawn in space. WebGL is drawn without a graphics card here.
"""

import os
import socket
import statistics
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from benchmarks.timing import PROGRAM
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--enable-unsafe-swiftshader",
)  # fmt: skip
ROUNDS = 25
EDIT = """async ([how, value]) => {
  const knob = document.querySelector('[data-key="knob-designs[0].infill.width"]');
  const field = knob.querySelector(how === "slide" ? "input[type=range]" : "input.figure");
  const host = document.getElementById("space");
  let start = 0;
  const settled = new Promise((done) => {
    const watch = new MutationObserver(() => {
      watch.disconnect();
      document.body.offsetHeight;
      done(performance.now());
    });
    watch.observe(document.getElementById("elevation"), { childList: true, subtree: true, attributes: true });
  });
  const modelled = new Promise((done) => {
    const watch = new MutationObserver(() => {
      watch.disconnect();
      host.addEventListener("drawn", () => done(performance.now()), { once: true });
    });
    watch.observe(host, { attributes: true, attributeFilter: ["data-parts"] });
  });
  start = performance.now();
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  if (how !== "slide") field.dispatchEvent(new Event("change", { bubbles: true }));
  return [await settled - start, await modelled - start];
}"""


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing measured: its median and best, and what it should reach, in ms or MB."""

    what: str
    median: float
    best: float
    reach: float
    unit: str = "ms"


def seen() -> Iterator[Seen]:
    """Everything that is measured in the browser."""
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "stair.toml"
        job.write_text(starting_text("mm", Unit.MM), encoding="utf-8")
        starts = []
        for _ in range(3):
            with _serving(job) as (_, started, _server):
                starts.append(1000.0 * started)
        yield Seen(
            "from the start of the server to its first page", statistics.median(starts), min(starts), 500.0
        )
        with _serving(job) as (address, _, server), sync_playwright() as playwright:
            chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            page = chromium.new_page(viewport={"width": 1280, "height": 900})
            page.goto(f"{address}/design")
            page.locator("#space[data-parts]").wait_for()
            yield from _edits(page)
            chromium.close()
            held = _megabytes(server)
            yield Seen("memory of the server after that", held, held, 150.0, "MB")


def _edits(page: Page) -> Iterator[Seen]:
    for how, words in (("type", "an edit"), ("slide", "a slider moved")):
        rounds = [page.evaluate(EDIT, [how, str(20 + step)]) for step in range(ROUNDS + 3)][3:]
        drawn, modelled = zip(*rounds, strict=True)
        yield Seen(f"{words}, to the new drawing and findings", statistics.median(drawn), min(drawn), 60.0)
        yield Seen(f"{words}, to the new picture in space", statistics.median(modelled), min(modelled), 100.0)


@contextmanager
def _serving(job: Path) -> Iterator[tuple[str, float, "subprocess.Popen[bytes]"]]:
    """The server over a job: its address, seconds until its first page was there, the process."""
    with socket.create_server(("127.0.0.1", 0)) as ear:
        port = ear.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    start = time.perf_counter()
    command = [str(PROGRAM), "serve", str(job), "--port", str(port), "--no-browser"]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        yield address, _first_page(address, start), server
    finally:
        server.terminate()
        server.wait(20)


def _first_page(address: str, start: float) -> float:
    while time.perf_counter() - start < 30.0:
        try:
            with urllib.request.urlopen(f"{address}/stair") as answer:
                answer.read()
            return time.perf_counter() - start
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.005)
    raise RuntimeError("the server did not answer")


def _megabytes(server: "subprocess.Popen[bytes]") -> float:
    """What the process holds in memory, where the system tells it."""
    pages = Path(f"/proc/{server.pid}/statm").read_text("ascii").split()[1]
    return int(pages) * os.sysconf("SC_PAGE_SIZE") / 1e6


def browser_table() -> str:
    """The table, or why there is none."""
    if not CHROMIUM.exists():
        return f"Nothing is measured in a browser: there is no {CHROMIUM}."
    lines = ["In headless Chromium, without a graphics card:", "", "| what | median | best | reach | ratio |"]
    lines.append("|---|---:|---:|---:|---:|")
    lines += [
        f"| {one.what} | {one.median:.0f} {one.unit} | {one.best:.0f} {one.unit} | {one.reach:.0f} {one.unit} | "
        f"{one.median / one.reach:.2f} |"
        for one in seen()
    ]
    return "\n".join(lines)
