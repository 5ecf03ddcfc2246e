"""The first page: begin a job in the folder, or open one that lies there, and nothing else."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.app.web.desk import Page, job_in, page_on


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    page = page_on(None, tmp_path)
    yield page
    page.desk.close()


def test_with_no_job_every_page_leads_to_the_first(page: Page) -> None:
    for path in ("/", "/stair", "/check", "/pack"):
        assert page.client.get(path).headers["location"] == "/start"
    assert page.client.get("/start").status_code == 200


@pytest.mark.parametrize(
    ("start", "words"),
    [("blank-mm", 'units = "mm"'), ("blank-in", 'units = "in"'), ("winders", "[[winders]]")],
)
def test_a_job_is_begun(page: Page, tmp_path: Path, start: str, words: str) -> None:
    answer = page.post("/start/new", {"name": "Old stair", "start": start})
    assert answer.json() == {"to": "/stair"}
    assert words in (tmp_path / "Old stair.toml").read_text("utf-8")
    assert page.client.get("/stair").status_code == 200
    assert page.client.get("/").headers["location"] == "/stair"


@pytest.mark.parametrize(
    "name", ["", " ", "../stair", "a/b", "a\\b", ".hidden", "x" * 70, "con:", "a\nb", "trail."]
)
def test_a_name_that_is_none_is_refused(page: Page, tmp_path: Path, name: str) -> None:
    answer = page.post("/start/new", {"name": name, "start": "blank-mm"})
    assert answer.status_code == 422
    assert answer.json()["sentences"]
    assert list(tmp_path.iterdir()) == []


def test_a_job_that_is_there_is_never_written_over(page: Page, tmp_path: Path) -> None:
    job = job_in(tmp_path)
    text = job.read_text("utf-8")
    answer = page.post("/start/new", {"name": "stair", "start": "blank-mm"})
    assert answer.status_code == 422
    assert "stair.toml exists already" in answer.json()["sentences"][0]
    assert job.read_text("utf-8") == text


@pytest.mark.parametrize("start", ["", "nothing", "../../secret"])
def test_a_start_that_there_is_not_is_refused(page: Page, start: str) -> None:
    assert page.post("/start/new", {"name": "stair", "start": start}).status_code == 422


def test_a_job_of_the_folder_is_opened_and_others_are_not(page: Page, tmp_path: Path) -> None:
    job_in(tmp_path, "in", name="porch.toml")
    (tmp_path / "other.toml").write_text("x = 1\n", encoding="utf-8")
    html = page.client.get("/start").text
    assert 'data-open="porch.toml"' in html
    assert "other.toml" not in html
    assert page.post("/start/open", {"name": "other.toml"}).status_code == 404
    assert page.post("/start/open", {"name": "../porch.toml"}).status_code == 404
    assert page.post("/start/open", {"name": "porch.toml"}).json() == {"to": "/stair"}
    assert page.client.get("/stair").status_code == 200
