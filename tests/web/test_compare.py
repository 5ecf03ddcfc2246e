"""The compare page in a real browser: one camera, the table, the words, the page to send."""

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.web.served import Served, served
from tests.web.test_design import write_job

from pitchline.story_cutting import plan_cuttings


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The example with its first design twice: A, B, and A once more as C."""
    job = write_job(tmp_path_factory.mktemp("compare"))
    with served(job) as running:
        bench = running.desk.job
        from pitchline.app.web.edits import changes_of

        first = bench.state().raw["designs"][0]
        bench.edit(
            "once more",
            changes_of([{"path": ["designs"], "add": {**first, "id": "C"}}]),
            bench.journal.version,
        )
        yield running


@pytest.fixture(scope="module")
def page(browser: Browser, bench: Served) -> Iterator[Page]:
    page = browser.new_page(
        viewport={"width": 1280, "height": 900},
        locale="en-GB",
        reduced_motion="reduce",
        accept_downloads=True,
    )
    page.goto(f"{bench.address}/compare?of=A,C")
    expect(page.locator("table.compared")).to_be_visible(timeout=90000)
    for host in page.locator(".viewer").all():
        expect(host).to_have_attribute("data-state", "space")
    yield page
    page.close()


def cameras(page: Page) -> list[str]:
    """How each viewer looks at its design: turn, tilt, distance, target."""
    return [host.get_attribute("data-camera") or "" for host in page.locator(".viewer").all()]


def test_where_one_is_turned_all_turn(page: Page) -> None:
    before = cameras(page)
    assert before[0] == before[1] != ""
    canvas = page.locator(".viewer canvas").first
    canvas.focus()
    for key in ("ArrowLeft", "ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    expect(page.locator(".viewer").last).not_to_have_attribute("data-camera", before[1])
    page.locator("[data-look=above]").click()
    expect(page.locator(".viewer").last).to_have_attribute("data-camera", re.compile(r"^\S+ 1\.2000 "))
    after = cameras(page)
    assert after[0] == after[1] != before[0]


def test_the_same_design_twice_has_no_better_one(page: Page) -> None:
    rows = page.locator("table.compared tbody tr").all()
    assert len(rows) == 11
    for row in rows[:9]:  # waste and cost are of plans found in a limited time
        first, second = (cell.inner_text() for cell in row.locator("td").all())
        assert first == second
        expect(row.locator("td.best")).to_have_count(0)


def test_the_table_tells_the_cost_of_the_plan_and_each_gap_has_its_reason(page: Page, bench: Served) -> None:
    solved = bench.desk.job.state().solved
    assert solved is not None
    cutting = plan_cuttings(solved)["A"].cutting
    paid = sum(one.quantity * one.stock.price for one in cutting.bought)
    told = page.locator("table.compared tr").last.locator("td").first.inner_text()
    found = re.match(r"([\d.]+) GBP", told)
    assert found is not None
    assert float(found[1]) == pytest.approx(paid, rel=0.05)
    for cell in page.locator("table.compared td").all():
        text = cell.inner_text()
        assert not text.startswith("–") or len(text) > 10


def test_designs_are_taken_in_and_left_out_by_a_tap(page: Page, bench: Served) -> None:
    page.locator("a.design", has_text="B").first.click()
    expect(page.locator(".card")).to_have_count(3)
    expect(page.locator(".differences li").first).to_be_visible(timeout=90000)
    assert page.url.startswith(f"{bench.address}/compare?of=")
    page.locator("a.design[aria-current]", has_text="B").click()
    expect(page.locator(".card")).to_have_count(2)
    expect(page.locator("table.compared")).to_be_visible(timeout=90000)


def test_the_page_to_send_is_downloaded_and_a_bad_address_is_told(page: Page) -> None:
    field = page.locator("input[name=answer_to]")
    page.locator(".send form").evaluate("form => { form.noValidate = true; }")
    field.fill("nobody")
    page.locator(".send button").click()
    expect(page.locator("#banner")).to_contain_text("nobody")
    page.locator("#banner button").click()
    field.fill("joiner@example.org")
    with page.expect_download() as coming:
        page.locator(".send button").click()
    assert coming.value.suggested_filename == "stair-designs.html"
    text = coming.value.path().read_text("utf-8")
    assert "mailto:joiner@example.org" in text
    assert "GBP" not in text


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_stands_in_the_way_of_anybody(page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    found = Axe().run(page)
    assert found.response["violations"] == [], found.generate_report()
    page.emulate_media(color_scheme="light")


def test_on_a_tablet_nothing_runs_over(browser: Browser, bench: Served) -> None:
    page = browser.new_page(viewport={"width": 820, "height": 1180}, has_touch=True, locale="de-DE")
    page.goto(f"{bench.address}/compare")
    expect(page.locator("table.compared")).to_be_visible(timeout=90000)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.close()
