"""The whole job in a real browser: from an empty page to a printed pack, at a desk and on a tablet, by keyboard."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, FilePayload, Page, Request, ViewportSize, expect
from tests.web.running import running
from tests.web.served import Served, served

from pitchline.app.web.page_list import PAGES
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

RISES = (187.5, 190, 187, 191.5, 189, 186.5, 187, 196, 191.5, 191, 193.5, 189)
GOINGS = (222.5, 221, 229.5, 230, 222.5, 223.5, 222.5, 226, 227.5, 227.5, 222)
"""An invented stair of twelve rises."""

STANDARD = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")
TOO_SMALL = """() => [...document.querySelectorAll("main button, main input, main select, main summary")]
  .filter((e) => e.checkVisibility() && !e.classList.contains("unseen"))
  .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect().height]).filter(([, height]) => height < 44)"""
"""What a finger would miss: lower than 44 px (WCAG 2.2, 2.5.5 target size, enhanced)."""

TABLET: ViewportSize = {"width": 820, "height": 1180}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    job = tmp_path_factory.mktemp("bench") / "stair.toml"
    job.write_text(starting_text("mm", Unit.MM), encoding="utf-8")
    with served(job) as found:
        yield found


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context
    context.close()


def watched(page: Page, own: str) -> list[str]:
    """What goes wrong on a page from now on: errors, and requests to anybody else."""
    wrong: list[str] = []

    def asked(request: Request) -> None:
        if not request.url.startswith((own, "blob:", "data:")):
            wrong.append(request.url)

    page.on("request", asked)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    return wrong


def drawn(page: Page) -> None:
    expect(page.locator("body[data-drawn]")).to_be_attached(timeout=20_000)


def settled(page: Page) -> None:
    expect(page.locator("body")).to_have_attribute("data-waiting", "0", timeout=20_000)


def test_from_an_empty_page_to_a_printed_pack(context: BrowserContext, tmp_path: Path) -> None:
    with running(tmp_path) as server:
        page = context.new_page()
        wrong = watched(page, server.address)
        page.goto(server.address)
        page.get_by_label("Name of the file").fill("attic")
        page.get_by_role("button", name="Begin").click()
        drawn(page)
        page.get_by_role("textbox", name="Title").fill("An invented attic stair")
        page.get_by_role("button", name="one fewer").click()
        expect(page.locator("[data-round=rises]")).to_have_count(len(RISES))
        page.locator("#next button").click()
        for figures, group in ((RISES, "rises"), (GOINGS, "goings")):
            page.locator(f"[data-round={group}]").first.focus()
            for figure in figures:
                page.keyboard.type(str(figure))
                page.keyboard.press("Enter")
        settled(page)
        expect(page.locator("body")).to_have_attribute("data-solved", "yes")
        expect(page.locator("#sketch .profile.unsure")).to_have_count(0)
        expect(page.locator("#block")).to_contain_text("An invented attic stair")
        page.get_by_role("link", name="Pack").click()
        drawn(page)
        page.get_by_role("button", name="Make the pack").click()
        expect(page.locator("body")).to_have_attribute("data-work", "done", timeout=200_000)
        with page.expect_download() as download:
            page.get_by_role("link", name="Take it all (zip)").click()
        assert download.value.suggested_filename == "attic-pack.zip"
        assert (tmp_path / "attic-pack" / "drawings.pdf").read_bytes().startswith(b"%PDF")
        raw = tomllib.loads((tmp_path / "attic.toml").read_text("utf-8"))
        assert raw["flights"][0]["rises"]["values"] == list(RISES)
        assert raw["flights"][0]["goings"]["values"] == list(GOINGS)
        assert raw["designs"][0]["top"]["at"] == f"N{len(RISES)}"
        assert wrong == []


@pytest.mark.parametrize("key", [page.key for page in PAGES])
def test_no_page_asks_anybody_else_and_all_hold_to_the_guidelines(
    context: BrowserContext, app: Served, key: str
) -> None:
    page = context.new_page()
    wrong = watched(page, app.address)
    page.goto(f"{app.address}/{key}")
    drawn(page)
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": list(STANDARD)}})
    assert found.violations_count == 0, found.generate_report()
    assert wrong == []


def test_every_page_holds_to_the_guidelines_in_the_dark_on_a_tablet(browser: Browser, app: Served) -> None:
    context = browser.new_context(viewport=TABLET, has_touch=True, color_scheme="dark", locale="de-DE")
    page = context.new_page()
    wrong = watched(page, app.address)
    for key in ("stair", "check"):
        page.goto(f"{app.address}/{key}")
        drawn(page)
        assert page.locator("html").get_attribute("lang") == "de"
        found = Axe().run(page, options={"runOnly": {"type": "tag", "values": list(STANDARD)}})
        assert found.violations_count == 0, found.generate_report()
        assert page.evaluate("document.documentElement.scrollWidth") <= TABLET["width"]
    assert wrong == []
    context.close()


def test_the_first_page_holds_to_the_guidelines(context: BrowserContext, tmp_path: Path) -> None:
    with running(tmp_path) as server:
        page = context.new_page()
        wrong = watched(page, server.address)
        page.goto(server.address)
        assert Axe().run(page).violations_count == 0
        assert wrong == []


def test_on_a_tablet_one_tap_begins_a_figure(browser: Browser, app: Served) -> None:
    context = browser.new_context(viewport=TABLET, has_touch=True)
    page = context.new_page()
    page.goto(f"{app.address}/stair")
    drawn(page)
    field = page.locator("[data-round=rises]").nth(3)
    field.tap()
    expect(field).to_be_focused()
    assert field.get_attribute("inputmode") == "decimal"
    assert page.evaluate("getSelection().toString()") == field.input_value()
    expect(page.locator(".taken.on")).to_have_attribute("data-shape", "flights[0].rises.values[3]")
    expect(page.locator("#keys")).to_be_visible()
    assert page.evaluate(TOO_SMALL) == []
    context.close()


def test_tapping_a_reading_on_the_drawing_leads_to_its_field(context: BrowserContext, app: Served) -> None:
    page = context.new_page()
    page.goto(f"{app.address}/stair")
    drawn(page)
    page.locator('[data-shape="flights[0].goings.values[4]"] .figure').click()
    expect(page.locator('input[data-where="flights[0].goings.values[4]"]')).to_be_focused()


def test_a_wrong_value_is_told_beside_its_field_and_undone_by_key(
    context: BrowserContext, app: Served
) -> None:
    page = context.new_page()
    page.goto(f"{app.address}/stair")
    drawn(page)
    field = page.locator("[data-round=rises]").nth(3)
    before = field.input_value()
    field.fill("19O.5")
    page.keyboard.press("Enter")
    settled(page)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator('[data-note="flights[0].rises.values[3]"]')).to_contain_text("19O.5")
    expect(page.locator("#amiss")).to_contain_text("the last sound state")
    assert field.input_value() == "19O.5"
    page.locator("h1").click()
    page.keyboard.press("Control+z")
    expect(field).to_have_value(before)
    expect(page.locator("#amiss section")).to_have_count(0)
    page.keyboard.press("Control+Shift+z")
    expect(field).to_have_value("19O.5")
    page.get_by_role("button", name="Undo").click()
    expect(field).to_have_value(before)


def test_two_tabs_do_not_overwrite_each_other(context: BrowserContext, app: Served) -> None:
    one, two = context.new_page(), context.new_page()
    for page in (one, two):
        page.goto(f"{app.address}/stair")
        drawn(page)
    path = "[data-round=goings] >> nth=2"
    before = one.locator(path).input_value()
    one.locator(path).fill("230.5")
    one.keyboard.press("Enter")
    settled(one)
    two.locator(path).fill("231")
    two.keyboard.press("Enter")
    banner = two.locator("#banner")
    expect(banner).to_contain_text("Changed on another page meanwhile")
    expect(banner).to_contain_text("231")
    banner.get_by_role("button", name="Take mine").click()
    settled(two)
    expect(banner).to_be_hidden()
    assert tomllib.loads(app.job.read_text("utf-8"))["flights"][0]["goings"]["values"][2] == 231
    two.locator(path).fill(before)
    two.keyboard.press("Enter")
    settled(two)


def test_everything_is_reached_by_keyboard(context: BrowserContext, app: Served) -> None:
    page = context.new_page()
    page.goto(f"{app.address}/check")
    drawn(page)
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Everything")).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".findings.rest").first).to_be_visible()


def test_a_photo_is_attached_and_taken_away(context: BrowserContext, app: Served) -> None:
    page = context.new_page()
    page.goto(f"{app.address}/stair")
    drawn(page)
    page.get_by_label("What it shows").fill("the top newel")
    shot = page.screenshot(clip={"x": 0, "y": 0, "width": 60, "height": 40})
    file: FilePayload = {"name": "newel.png", "mimeType": "image/png", "buffer": shot}
    page.locator("#photo [name=file]").set_input_files(file)
    picture = page.get_by_alt_text("the top newel")
    expect(picture).to_be_visible()
    page.get_by_role("button", name="Take away").click()
    expect(picture).to_have_count(0)


def test_an_inch_stair_is_read_in_fractions(browser: Browser, tmp_path: Path) -> None:
    job = tmp_path / "porch.toml"
    job.write_text(starting_text("in", Unit.MM), encoding="utf-8")
    context = browser.new_context(viewport=TABLET, has_touch=True)
    with served(job) as app:
        page = context.new_page()
        page.goto(f"{app.address}/stair")
        drawn(page)
        field = page.locator("[data-round=rises]").first
        field.tap()
        page.keyboard.type("7")
        page.get_by_role("button", name="7/16").tap()
        expect(field).to_have_value("7 7/16")
        page.get_by_role("button", name="Next", exact=True).tap()
        expect(page.locator("[data-round=rises]").nth(1)).to_be_focused()
        settled(page)
        assert tomllib.loads(job.read_text("utf-8"))["flights"][0]["rises"]["values"][0] == "7 7/16 in"
    context.close()
