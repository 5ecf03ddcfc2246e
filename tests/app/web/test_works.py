"""Long work in a process of its own: progress, answers, stopping, and an app that ends while it runs."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.app.web.desk import Page, job_in, page_on

from pitchline.app.web.works import Works

PATIENCE = 200.0


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    job = job_in(tmp_path)
    first, _, _ = job.read_text("utf-8").partition('[[designs]]\nid = "B"')
    job.write_text(first, encoding="utf-8")  # one design is enough
    page = page_on(job, tmp_path)
    yield page
    page.desk.works.end()


def until(look: Callable[[], Any]) -> Any:
    """What it sees once it sees something."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if seen := look():
            return seen
        time.sleep(0.02)  # another process is waited for
    raise AssertionError("it was never seen")


def told(page: Page, work: str) -> Any:
    return page.client.get(f"/errand/{work}").json()


def test_a_pack_is_made_listed_and_taken_away_whole(page: Page, tmp_path: Path) -> None:
    started = page.post("/errand", {"kind": "pack"}).json()
    stages = set()

    def done() -> Any:
        now = told(page, started["id"])
        stages.add(now["stage"])
        return now if now["stand"] != "running" else None

    assert until(done)["stand"] == "done"
    assert stages > {""}
    pieces = page.client.get("/state?view=pack").json()["pieces"]["files"]
    assert "drawings.pdf" in pieces
    drawing = page.client.get("/pack/drawings.pdf")
    assert drawing.content.startswith(b"%PDF")
    assert "inline" in drawing.headers["content-disposition"]
    whole = page.client.get("/pack.zip")
    assert whole.content.startswith(b"PK")
    assert (tmp_path / "stair-pack" / "drawings.pdf").exists()


def test_work_is_stopped_and_leaves_nothing_half_made(page: Page, tmp_path: Path) -> None:
    started = page.post("/errand", {"kind": "pack"}).json()
    until(lambda: told(page, started["id"])["stage"])
    stopped = page.post(f"/errand/{started['id']}/stop").json()
    assert stopped["stand"] == "stopped"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["stair.toml"]
    assert page.client.get("/pack.zip").status_code == 404


def test_the_same_work_is_joined_and_work_on_an_older_state_gives_way(page: Page) -> None:
    first = page.post("/errand", {"kind": "making"}).json()
    assert page.post("/errand", {"kind": "making"}).json()["id"] == first["id"]
    page.edit({"path": ["job", "title"], "put": "Another"})
    second = page.post("/errand", {"kind": "making"}).json()
    assert second["id"] != first["id"]
    assert told(page, first["id"])["stand"] in ("stopped", "done")


@pytest.mark.parametrize(("asked", "status"), [({"kind": "harm"}, 404), ({}, 400), ([], 400)])
def test_other_work_is_refused(page: Page, asked: Any, status: int) -> None:
    assert page.post("/errand", asked).status_code == status
    assert page.client.get("/errand/nothing").status_code == 404


def test_an_unsound_job_is_not_worked_on(page: Page) -> None:
    page.edit({"path": ["flights", 0, "risers"], "typed": "many"})
    answer = page.post("/errand", {"kind": "pack"})
    assert answer.status_code == 422
    assert answer.json()["sentences"]


def test_a_fault_in_the_work_is_told() -> None:
    works = Works()
    work = works.start("cutting", 0, {"text": "[job", "path": "stair.toml", "folder": "."})
    until(lambda: works.find(work.id).stand != "running")  # type: ignore[union-attr]  # it is known
    assert work.stand == "failed"
    assert "stair.toml" in " ".join(work.said) or work.said


def test_sheets_of_pages_that_were_left_give_way_and_a_pack_does_not(page: Page) -> None:
    started = [
        page.post("/errand", {"kind": kind}).json() for kind in ("pack", "cutting", "making", "strength")
    ]
    stands = [told(page, work["id"])["stand"] for work in started]
    assert stands[0] in ("running", "done")
    assert stands[1] in ("stopped", "done")
    assert stands[3] == "running"


def test_sheets_are_shown_and_only_they(page: Page) -> None:
    started = page.post("/errand", {"kind": "strength"}).json()
    until(lambda: told(page, started["id"])["stand"] != "running")
    pieces = page.client.get("/state?view=strength").json()["pieces"]["sheets"]
    assert f"/errand/{started['id']}/sheet/1-1.svg" in pieces
    picture = page.client.get(f"/errand/{started['id']}/sheet/1-1.svg")
    assert picture.headers["content-type"].startswith("image/svg+xml")
    assert b"<svg" in picture.content
    assert page.client.get(f"/errand/{started['id']}/sheet/1.pdf").content.startswith(b"%PDF")
    assert page.client.get(f"/errand/{started['id']}/sheet/2-99.svg").status_code == 404
    work = page.desk.works.find(started["id"])
    assert work is not None
    folder = work.folder
    assert folder is not None
    page.desk.works.end()
    assert not folder.exists()
