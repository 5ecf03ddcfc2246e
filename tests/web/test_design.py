"""The design page in a real browser: what is dragged, typed, chosen and picked, and what it leads to."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.web.served import Served, served

from pitchline.job.new import rack_text, starting_text
from pitchline.kit.units import Unit

HIDDEN_WHEN_FOCUSED = """fields => fields.filter((field) => {
  field.focus();
  const box = field.getBoundingClientRect();
  return document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2) !== field;
}).map((field) => field.dataset.where)"""
"""Fields that what sticks to the window hides when they have the focus: WCAG 2.2, 2.4.11."""
HELD = "designs[0].infill.count"


def write_job(folder: Path, example: str = "mm", unit: Unit = Unit.MM) -> Path:
    """An invented example that names a rack, in a folder of its own."""
    job = folder / "stair.toml"
    text = starting_text(example, unit).replace("[job]\n", '[job]\nrack = "rack.toml"\n', 1)
    job.write_text(text, encoding="utf-8")
    (folder / "rack.toml").write_text(rack_text(unit), encoding="utf-8")
    return job


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(write_job(tmp_path_factory.mktemp("design"))) as running:
        yield running


@pytest.fixture(scope="module")
def open_page(browser: Browser, bench: Served) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1280, "height": 900}, locale="en-GB", reduced_motion="reduce")
    page.goto(f"{bench.address}/design")
    expect(page.locator("#space")).to_have_attribute("data-state", "space")
    yield page
    page.close()


@pytest.fixture
def page(open_page: Page, bench: Served) -> Iterator[Page]:
    """The page; whatever a test changes is taken back after it."""
    before = bench.desk.job.journal.version
    yield open_page
    for _ in range(bench.desk.job.journal.version - before):
        if open_page.locator("#undo").is_enabled():
            step(open_page, lambda: open_page.locator("#undo").click())


def answers(page: Page) -> int:
    return int(page.locator("body").get_attribute("data-drawn") or "0")


def step(page: Page, act: object) -> None:
    """Do something and wait for the next answer."""
    before = answers(page)
    assert callable(act)
    act()
    expect(page.locator("body")).not_to_have_attribute("data-drawn", str(before))
    expect(page.locator("body")).to_have_attribute("data-waiting", "0")


def held(bench: Served) -> dict[str, object]:
    """The first design as the job file has it now."""
    table = tomllib.loads(bench.job.read_text("utf-8"))["designs"][0]
    assert isinstance(table, dict)
    return table


def test_the_elevation_has_every_piece_that_is_seen(page: Page, bench: Served) -> None:
    solved = bench.desk.job.state().solved
    assert solved is not None
    design = solved.designs[0].design
    seen = {*(u.mark for u in design.uprights), *(bar.id for bar in design.bars), "P1"}
    shown = {
        each.get_attribute("data-part")
        for each in page.locator(".elevation path[data-part]").element_handles()
    }
    assert seen <= shown


def test_a_slider_draws_while_it_moves_and_keeps_where_it_is_let_go(page: Page, bench: Served) -> None:
    version, file = page.locator("body").get_attribute("data-version"), bench.job.read_bytes()
    slider = page.locator(f'.knob[data-key="knob-{HELD}"] input[type=range]')
    slider.evaluate("s => { s.value = 24; s.dispatchEvent(new Event('input', {bubbles: true})); }")
    marks = page.locator(".elevation path[data-part^=U]")
    expect(marks).to_have_count(24)
    expect(page.locator("#space")).to_have_attribute("data-parts", str(24 + 2 * 25 + 3))
    assert (page.locator("body").get_attribute("data-version"), bench.job.read_bytes()) == (version, file)
    step(page, lambda: slider.evaluate("s => s.dispatchEvent(new Event('change', {bubbles: true}))"))
    assert held(bench)["infill"]["count"] == 24  # type: ignore[index]


def test_what_cannot_be_is_told_beside_its_field_and_kept(page: Page, bench: Served) -> None:
    where = "designs[0].infill.width"
    field = page.locator(f'input[data-where="{where}"]')
    before = page.locator(".elevation").inner_html()
    field.fill("a thumb")
    step(page, lambda: field.press("Enter"))
    expect(page.locator(f'[data-note="{where}"]')).to_contain_text("a thumb")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("a thumb")
    assert held(bench)["infill"]["width"] == "a thumb"  # type: ignore[index]
    assert page.locator(".elevation").inner_html() == before


def test_a_small_picture_is_of_this_stair_and_choosing_it_can_be_undone(page: Page, bench: Served) -> None:
    file = bench.job.read_bytes()
    fold = page.locator("details.ways[data-group=infill]")
    fold.locator("summary").first.click()
    cables = fold.locator("button.way[data-key=cable]")
    expect(cables.locator("svg path.metal")).not_to_have_count(0)
    expect(fold.locator("button.way[aria-pressed=true]")).to_have_attribute("data-key", "rectangular")
    step(page, cables.click)
    expect(page.locator(".elevation path.metal")).not_to_have_count(0)
    assert held(bench)["infill"]["strand"] == "cable"  # type: ignore[index]
    expect(fold.locator("button.way[aria-pressed=true]")).to_have_attribute("data-key", "cable")
    step(page, lambda: page.keyboard.press("Control+z"))
    assert bench.job.read_bytes() == file
    fold.locator("summary").first.click()


def test_a_part_picked_in_the_elevation_shows_everywhere(page: Page) -> None:
    page.locator(".elevation path[data-part=U05]").dispatch_event("click")
    expect(page.locator("#part .part-sheet")).to_have_attribute("data-mark", "U05")
    expect(page.locator("#space")).to_have_attribute("data-chosen", "U05")
    expect(page.locator("tr.chosen")).to_contain_text("U05")
    expect(page.locator("#part svg").first).to_be_visible()
    page.locator("#part [data-plan]").click()
    expect(page.locator("#part .in-plans .piece.chosen")).to_have_count(1)
    page.locator("[data-unpick]").click()
    expect(page.locator("#space")).to_have_attribute("data-chosen", "")
    expect(page.locator("tr.chosen")).to_have_count(0)


def test_a_part_is_picked_in_space_and_from_the_list_by_keys(page: Page) -> None:
    page.locator("#space canvas").focus()
    page.keyboard.press("PageDown")
    name = page.locator("#space").get_attribute("data-chosen") or ""
    assert name
    expect(page.locator("#part .part-sheet")).to_be_visible()
    page.locator("[data-pick=P1]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#part .part-sheet")).to_have_attribute("data-mark", "P1")
    expect(page.locator(".elevation path.chosen")).to_have_attribute("data-part", "P1")
    page.locator("[data-unpick]").click()


def test_sizes_and_balls_are_shown_and_hidden(page: Page) -> None:
    for layer in ("sizes", "balls"):
        button, group = page.locator(f"[data-layer={layer}]"), page.locator(f".layer-{layer}")
        for _ in range(2):
            shown = button.get_attribute("aria-pressed") == "true"
            assert group.is_visible() is shown
            button.click()


def test_a_design_is_copied_under_a_free_letter_and_removed(page: Page, bench: Served) -> None:
    step(page, page.locator("#designs button").first.click)
    tables = tomllib.loads(bench.job.read_text("utf-8"))["designs"]
    assert [table["id"] for table in tables] == ["A", "B", "C"]
    assert {**tables[2], "id": "A", "title": ""} == {**tables[0], "title": ""}
    step(page, page.locator("#designs button.slight").click)
    assert [t["id"] for t in tomllib.loads(bench.job.read_text("utf-8"))["designs"]] == ["B", "C"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_stands_in_the_way_of_anybody(page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.locator(".elevation path[data-part=U05]").dispatch_event("click")
    expect(page.locator("#part .part-sheet")).to_be_visible()
    found = Axe().run(page)
    assert found.response["violations"] == [], found.generate_report()
    page.emulate_media(color_scheme="light")


def test_on_a_tablet_the_pictures_stay_in_sight_and_nothing_runs_over(
    browser: Browser, bench: Served
) -> None:
    context = browser.new_context(viewport={"width": 820, "height": 1180}, has_touch=True, locale="de-DE")
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{bench.address}/design?of=B")
    expect(page.locator("#space")).to_have_attribute("data-state", "space")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.locator("#knobs-infill").scroll_into_view_if_needed()
    expect(page.locator(".elevation")).to_be_in_viewport()
    fields = page.locator(".knob input.figure:visible")
    assert fields.evaluate_all(HIDDEN_WHEN_FOCUSED) == []
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    assert fields.evaluate_all(HIDDEN_WHEN_FOCUSED) == []
    page.locator(".elevation path[data-part=U05]").tap()
    expect(page.locator("#part .part-sheet")).to_be_visible()
    low = page.locator("button:visible, summary:visible").evaluate_all(
        "all => all.map(b => b.getBoundingClientRect().height).filter(h => h < 24)"
    )
    assert low == []  # WCAG 2.2, 2.5.8: targets of at least 24 by 24 CSS pixels
    assert all(url.startswith(bench.address) for url in asked)
    context.close()
