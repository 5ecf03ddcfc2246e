"""The page that is sent to the household, opened from disk without a network in a real browser."""

import json
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.command import run
from tests.web.test_design import write_job
from typer.testing import CliRunner, Result

from pitchline.app.cli import app
from pitchline.app.web.share import joined_script, pack_files, reference_of
from pitchline.app.web.words import LANGUAGES, catalogue
from pitchline.job.load import load_job
from pitchline.solids.picture import axonometric
from pitchline.solids.scene import scene_of
from pitchline.story import solve

MOST_BYTES = 236_000
"""Two designs of the example: the size that the trial of such a page reached."""
PRICE = re.compile(rb"\d+\.\d\d GBP")
"""What a plan costs that was found in a limited time may differ from run to run."""
WICKED = '</script><script>document.title = "taken"</script><b id="wicked">'


def asked(*arguments: object) -> Result:
    """The command in this process."""
    return CliRunner().invoke(app, [str(one) for one in arguments])


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page made by the command, of a job whose words try to be more than words."""
    folder = tmp_path_factory.mktemp("share")
    job = write_job(folder)
    text = job.read_text("utf-8").replace(
        "Oak rails, square", f"Oak {WICKED} rails, square".replace('"', '\\"'), 1
    )
    job.write_text(text, encoding="utf-8")
    done = run("share", job, "-o", folder / "choose.html", "--answer-to", "joiner@example.org", "--costs")
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    return folder / "choose.html"


@pytest.fixture(scope="module")
def page(browser: Browser, shared: Path) -> Iterator[Page]:
    context = browser.new_context(
        viewport={"width": 1100, "height": 900}, offline=True, reduced_motion="reduce"
    )
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(shared.as_uri())
    expect(page.locator("body")).to_have_attribute("data-space", "yes")
    yield page
    assert asked == [shared.as_uri()]
    assert said == []
    context.close()


def test_it_is_small_and_its_policy_lets_nothing_in(shared: Path) -> None:
    text = shared.read_text("utf-8")
    assert len(text.encode("utf-8")) < MOST_BYTES
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy is not None
    rules = dict(rule.strip().split(" ", 1) for rule in policy[1].replace("&#39;", "'").split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"].startswith("'sha256-")
    assert "unsafe" not in policy[1]
    assert not re.search(r"""(src|href)=["']?(https?:)?//""", text)


def test_words_of_the_job_stay_words(page: Page) -> None:
    assert page.locator("#wicked").count() == 0
    assert page.title() != "taken"
    expect(page.locator(".card h2").first).to_contain_text(WICKED)


def test_the_models_turn_together_and_a_part_says_what_it_is(page: Page) -> None:
    hosts = page.locator(".viewer")
    expect(hosts).to_have_count(2)
    before = hosts.last.get_attribute("data-drawn") or ""
    page.locator(".viewer canvas").first.focus()
    page.keyboard.press("ArrowLeft")
    expect(hosts.last).not_to_have_attribute("data-drawn", before)
    page.keyboard.press("PageDown")
    name = hosts.first.get_attribute("data-chosen") or ""
    expect(page.locator(".picked").first).to_contain_text(re.compile(rf"{name}: \w+.* × .* mm"))


def test_the_answer_is_a_text_to_copy_or_an_email(page: Page, shared: Path) -> None:
    page.locator("input[value=B]").check()
    page.locator("textarea[name=remarks]").fill("Rounder, please & thank you")
    page.locator("input[name=name]").fill("An invented client")
    answer = page.locator("#answer-text").input_value()
    job = shared.with_name("stair.toml").read_text("utf-8")
    for words in (
        "Chosen: B – Birch",
        "Rounder, please & thank you",
        "An invented client",
        reference_of(job),
    ):
        assert words in answer
    link = page.locator("#mail").get_attribute("href") or ""
    assert link.startswith("mailto:joiner@example.org?subject=")
    assert "Rounder%2C%20please%20%26%20thank%20you" in link
    page.locator("#copy").click()
    expect(page.locator("#copied")).not_to_be_empty()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_stands_in_the_way_of_anybody(page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    found = Axe().run(page)
    assert found.response["violations"] == [], found.generate_report()
    page.emulate_media(color_scheme="light")


def test_without_drawing_in_space_the_pictures_stay(browser: Browser, shared: Path) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 800}, offline=True)
    page = context.new_page()
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null;")
    page.goto(shared.as_uri())
    expect(page.locator("#answer-text")).not_to_be_empty()
    expect(page.locator(".viewer-picture svg").first).to_be_visible()
    expect(page.locator(".only-space").first).to_be_hidden()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    context.close()


def test_the_joined_script_is_one_sound_module(tmp_path: Path) -> None:
    script = joined_script("share_page.js")
    assert not re.search(r"^\s*(import|export)\b", script, re.MULTILINE)
    module = tmp_path / "joined.mjs"
    module.write_text(script, encoding="utf-8")
    done = subprocess.run(
        ["node", "--check", str(module)], capture_output=True, text=True, timeout=30, check=False
    )
    assert done.returncode == 0, done.stderr


def test_the_same_job_gives_the_same_bytes_and_other_files_are_left_alone(shared: Path) -> None:
    job, again = shared.with_name("stair.toml"), shared.with_name("again.html")
    again.write_bytes(shared.read_bytes().replace(b"Birch", b"Ash"))
    assert asked("share", job, "-o", again, "--answer-to", "joiner@example.org", "--costs").exit_code == 0
    assert PRICE.sub(b"", again.read_bytes()) == PRICE.sub(b"", shared.read_bytes())
    mine = shared.with_name("mine.html")
    mine.write_text("<p>mine</p>", encoding="utf-8")
    refused = asked("share", job, "-o", mine)
    assert refused.exit_code == 2
    assert "no earlier page" in refused.stderr
    assert mine.read_text("utf-8") == "<p>mine</p>"


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--design", "Z"), "A, B"),
        (("--answer-to", "joiner example.org"), "name@example.org"),
        (("--language", "tlh"), "en, de"),
    ],
    ids=["design", "address", "language"],
)
def test_a_wrong_wish_is_told_in_one_sentence(shared: Path, more: tuple[str, str], told: str) -> None:
    refused = asked("share", shared.with_name("stair.toml"), "-o", shared.with_name("no.html"), *more)
    assert refused.exit_code == 2
    assert told in refused.stderr
    assert "Traceback" not in refused.stderr


def test_a_pack_holds_the_page_without_prices(shared: Path) -> None:
    job = shared.with_name("stair.toml")
    solved = solve(load_job(job))
    whole = solved.balustrades[0]
    scene = scene_of(whole.edges, [leg.parts for leg in whole.legs])
    pictures = {one.id: axonometric(scene.parts, scene.around) for one in solved.balustrades}
    ((file, content),) = pack_files(solved, job.read_text("utf-8"), pictures)
    assert file.name == "choose.html"
    page = content.decode("utf-8")
    assert page.count('class="viewer" data-design=') == len(solved.balustrades)
    assert catalogue("en")("line.cost") not in page
    assert reference_of(job.read_text("utf-8")) in page


def test_every_language_has_the_words_of_the_answer() -> None:
    wanted = set(catalogue("en").under("answer"))
    assert wanted
    for language in LANGUAGES:
        assert set(catalogue(language).under("answer")) == wanted
        json.dumps(catalogue(language).under("answer"))
