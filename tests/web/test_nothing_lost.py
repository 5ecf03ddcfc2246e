"""Two hundred edits under kills and freezes of the server: none is lost, none is made twice, all in order."""

import json
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.web.running import Running, running

from pitchline.app.web.journal import Splice
from pitchline.app.web.state import history_path
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

EDITS = """async ([from, to]) => {
  const queue = await import("/static/queue.js");
  for (let k = from; k < to; k++) queue.edit([{ path: ["job", "title"], put: `edit ${k}` }]);
}"""
WAITING = """() => Object.keys(localStorage).length"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Running]:
    job = tmp_path / "stair.toml"
    job.write_text(starting_text("mm", Unit.MM), encoding="utf-8")
    with running(tmp_path, job) as server:
        yield server


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context()
    yield context
    context.close()


def opened(context: BrowserContext, server: Running) -> Page:
    page = context.new_page()
    page.goto(f"{server.address}/pack")
    expect(page.locator("body[data-drawn]")).to_be_attached(timeout=20_000)
    return page


def made(server: Running) -> list[str]:
    """The title after each edit that was made, in their order, read from the history of the job."""
    assert server.job is not None
    history = history_path(server.job)
    lines = history.read_text("utf-8").splitlines() if history.exists() else []
    text, titles = "", []
    for line in lines:
        try:
            told = json.loads(line)
        except ValueError:
            break  # torn by a kill, or being written
        if told["do"] == "base":
            text = told["text"]
        else:
            text = Splice(told["at"], told["out"], told["put"]).on(text)
            titles.append(text.partition('title = "')[2].partition('"')[0])
    return titles


def count(server: Running) -> int:
    """How many edits were made."""
    assert server.job is not None
    history = history_path(server.job)
    return history.read_bytes().count(b"\n") - 1 if history.exists() else 0


def title(server: Running) -> str:
    """The title in the job file."""
    assert server.job is not None
    return str(tomllib.loads(server.job.read_text("utf-8"))["job"]["title"])


def settled(page: Page) -> None:
    expect(page.locator("body")).to_have_attribute("data-waiting", "0", timeout=40_000)


def test_two_hundred_edits_under_kills_and_freezes(context: BrowserContext, server: Running) -> None:
    page = opened(context, server)
    done = 0
    for trouble in ("kill", "freeze", "kill", "long freeze"):
        reached = count(server)
        page.evaluate(EDITS, [done, done + 50])
        done += 50
        while count(server) < reached + 3:
            time.sleep(0.01)  # some have arrived, the others are on their way
        if trouble == "kill":
            server.kill()
            server.start()
            continue
        server.freeze()
        time.sleep(4.3 if trouble == "long freeze" else 0.4)  # longer than a page waits for an answer
        server.thaw()
    settled(page)
    assert made(server) == [f"edit {k}" for k in range(200)]
    assert title(server) == "edit 199"
    expect(page.locator("#kept")).to_have_text("all kept")


def test_what_was_typed_while_the_server_was_away_waits_in_the_tab(
    context: BrowserContext, server: Running
) -> None:
    page = opened(context, server)
    server.kill()
    page.evaluate(EDITS, [0, 3])
    expect(page.locator("#kept")).to_have_text("3 waiting for the bench")
    server.start()
    settled(page)
    assert made(server) == ["edit 0", "edit 1", "edit 2"]


def test_a_closed_tab_loses_nothing(context: BrowserContext, server: Running) -> None:
    page = opened(context, server)
    server.kill()
    page.evaluate(EDITS, [0, 2])
    expect(page.locator("#kept")).to_have_text("2 waiting for the bench")
    page.close()
    server.start()
    another = context.new_page()
    another.goto(f"{server.address}/static/mark.svg")  # a page without the queue, to let the tab be long gone
    another.evaluate("""() => { for (const key of Object.keys(localStorage)) {
      const kept = JSON.parse(localStorage.getItem(key));
      localStorage.setItem(key, JSON.stringify({ ...kept, alive: 0 }));
    } }""")
    page = opened(context, server)
    expect(page.locator("body")).to_have_attribute("data-version", "2", timeout=20_000)
    assert made(server) == ["edit 0", "edit 1"]
    assert page.evaluate(WAITING) == 0


def test_the_server_ends_at_once_on_request(context: BrowserContext, server: Running) -> None:
    opened(context, server)
    assert server.stop() == 0
