"""Edits over the wire: once each, refused when stale, kept when wrong, undone and redone over restarts."""

import html
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from tests.app.web.desk import Page, job_in, page_on

from pitchline.app.web.page_list import PAGES
from pitchline.kit.units import Unit

RISE = ["flights", 0, "rises", "values", 3]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return job_in(tmp_path)


@pytest.fixture
def page(job: Path) -> Page:
    return page_on(job, job.parent)


def rise(job: Path) -> object:
    return tomllib.loads(job.read_text("utf-8"))["flights"][0]["rises"]["values"][3]


@pytest.mark.parametrize("key", [page.key for page in PAGES])
def test_every_page_is_drawn_before_and_after_it_is_solved(page: Page, key: str) -> None:
    first = page.client.get(f"/{key}")
    told = page.client.get(f"/state?view={key}").json()
    second = page.client.get(f"/{key}")
    assert first.status_code == second.status_code == 200
    assert told["fresh"] is True
    assert set(told["pieces"]) > {"block", "amiss"}
    assert 'data-solved="yes"' in second.text


@pytest.mark.parametrize("key", ["stair", "design", "check", "pack"])
def test_a_page_in_another_language_says_the_same_in_other_words(page: Page, key: str) -> None:
    english = page.client.get(f"/{key}", headers={"accept-language": "en"})
    german = page.client.get(f"/{key}", headers={"accept-language": "de"})
    assert '<html lang="en">' in english.text
    assert '<html lang="de">' in german.text
    chosen = page.client.get(f"/words/de?back={key}")
    assert chosen.headers["location"] == f"/{key}"
    assert "pitchline-language=de" in chosen.headers["set-cookie"]


def test_an_edit_is_in_the_file_and_in_the_answer(page: Page, job: Path) -> None:
    told = page.edit({"path": RISE, "typed": "190,5"}).json()
    assert rise(job) == 190.5
    assert (told["version"], told["fresh"], told["faults"]) == (1, True, [])
    assert 'value="190.5"' in told["pieces"]["figures"]
    assert "# the treads stay bare oak" in job.read_text("utf-8")


def test_an_operation_sent_twice_is_done_once(page: Page, job: Path) -> None:
    reading = {
        "path": ["flights", 0, "readings"],
        "add": {"kind": "height", "from": "N1", "to": "N2", "value": 190},
    }
    before = len(tomllib.loads(job.read_text("utf-8"))["flights"][0]["readings"])
    first = page.edit(reading, op="one-operation")
    second = page.edit(reading, op="one-operation", seen=0)
    assert first.json()["version"] == second.json()["version"] == 1
    again = page_on(job, job.parent)
    assert again.edit(reading, op="one-operation", seen=0).json()["version"] == 1
    assert len(tomllib.loads(job.read_text("utf-8"))["flights"][0]["readings"]) == before + 1


def test_what_was_typed_wrong_is_kept_and_told_beside_its_field(page: Page, job: Path) -> None:
    told = page.edit({"path": RISE, "typed": "19O.5"}).json()
    assert rise(job) == "19O.5"
    assert told["fresh"] is False
    (fault,) = told["faults"]
    assert fault["where"] == "flights[0].rises.values[3]"
    assert "19O.5" in fault["text"]
    assert 'data-note="flights[0].rises.values[3]"' in told["pieces"]["figures"]
    assert 'value="19O.5"' in told["pieces"]["figures"]
    assert told["tally"]["pass"] > 0  # of the last sound state
    mended = page.edit({"path": RISE, "typed": "190.5"}).json()
    assert (mended["fresh"], mended["faults"]) == (True, [])


def test_the_last_sound_state_is_found_again_after_a_restart(page: Page, job: Path) -> None:
    page.edit({"path": RISE, "typed": "190.5"})
    page.edit({"path": RISE, "typed": "far too much"})
    again = page_on(job, job.parent)
    told = again.client.get("/state?view=check").json()
    assert told["fresh"] is False
    assert told["tally"]["pass"] > 0


def test_undo_and_redo_reach_over_a_restart(page: Page, job: Path) -> None:
    before = rise(job)
    page.edit({"path": RISE, "typed": "180"}, say="rise 4")
    page.edit({"path": RISE, "typed": "181"}, say="rise 4", join=True)
    again = page_on(job, job.parent)
    told = again.step("undo")
    assert rise(job) == before
    assert (told["undo"], told["redo"]) == (None, "rise 4")
    later = page_on(job, job.parent)
    assert later.step("redo")["redo"] is None
    assert rise(job) == 181


def test_an_undo_sent_twice_takes_one_step(page: Page, job: Path) -> None:
    page.edit({"path": RISE, "typed": "180"})
    page.edit({"path": RISE, "typed": "181"})
    page.step("undo", op="undo-once")
    page.step("undo", op="undo-once")
    assert rise(job) == 180


def test_another_tab_that_has_not_seen_a_change_is_told(page: Page, job: Path) -> None:
    other = Page(page.desk, page.client)
    page.edit({"path": RISE, "typed": "180", "was": 191.5})
    stale = other.edit({"path": RISE, "typed": "200", "was": 191.5}, seen=0, op="other-tab-1")
    assert stale.status_code == 409
    told = stale.json()
    assert told["stale"] == ["flights[0].rises.values[3]"]
    assert told["now"]["version"] == 1
    assert rise(job) == 180


def test_another_tab_may_change_another_value(page: Page, job: Path) -> None:
    page.edit({"path": RISE, "typed": "180", "was": 191.5})
    other = Page(page.desk, page.client)
    edit = {
        "path": ["job", "title"],
        "put": "Another",
        "was": "Invented example: oak balustrade for an irregular stair",
    }
    assert other.edit(edit, seen=0, op="other-tab-2").status_code == 200


def test_what_another_program_writes_is_taken_in_and_can_be_undone(page: Page, job: Path) -> None:
    page.edit({"path": RISE, "typed": "180"})
    text = job.read_text("utf-8").replace('place = "england-dwelling"', 'place = "scotland-dwelling"')
    job.write_text(text, encoding="utf-8")
    told = page.client.get("/state?view=check").json()
    assert told["version"] == 2
    assert "scotland-dwelling" in told["pieces"]["block"]
    assert "england-dwelling" in page.step("undo")["pieces"]["block"]


def test_a_job_file_taken_away_is_written_again(page: Page, job: Path) -> None:
    page.edit({"path": RISE, "typed": "180"})
    job.unlink()
    assert page.client.get("/state?view=stair").json()["fresh"] is True
    assert rise(job) == 180


def test_trying_out_keeps_nothing(page: Page, job: Path) -> None:
    text = job.read_text("utf-8")
    asked = {"view": "check", "changes": [{"path": ["designs", 0, "handrail", "height"], "put": 700}]}
    tried = page.post("/try", asked).json()
    assert tried["tally"]["fail"] > page.client.get("/state?view=check").json()["tally"]["fail"]
    assert job.read_text("utf-8") == text


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"op": "short", "seen": 0, "changes": [{"path": ["job", "title"], "put": "x"}]}, 400),
        ({"seen": 0, "changes": [{"path": ["job", "title"], "put": "x"}]}, 400),
        ({"op": "operation-1", "changes": [{"path": ["job", "title"], "put": "x"}]}, 400),
        ({"op": "operation-1", "seen": True, "changes": [{"path": ["job", "title"], "put": "x"}]}, 400),
        ({"op": "operation-1", "seen": 0, "changes": []}, 422),
        ({"op": "operation-1", "seen": 0, "changes": [{"path": ["flights", 9, "id"], "put": "x"}]}, 422),
        (
            {
                "op": "operation-1",
                "seen": 0,
                "job": "other.toml",
                "changes": [{"path": ["job"], "drop": True}],
            },
            410,
        ),
        ([], 400),
    ],
)
def test_what_is_no_edit_is_refused_and_changes_nothing(
    page: Page, job: Path, asked: object, status: int
) -> None:
    text = job.read_text("utf-8")
    assert page.post("/edit", asked).status_code == status
    assert job.read_text("utf-8") == text


def test_a_job_that_is_no_toml_any_more_is_kept_and_told(page: Page, job: Path) -> None:
    page.client.get("/state?view=stair")
    job.write_text("[job\n", encoding="utf-8")
    told = page.client.get("/state?view=stair").json()
    assert told["fresh"] is False
    assert told["faults"]
    assert page.client.get("/stair").status_code == 200
    assert page.step("undo")["fresh"] is True


@pytest.mark.parametrize(
    "example", ["in", "quarter-turn", "dog-leg", "winders", "cables", "knee-wall", "panels"]
)
def test_every_leg_of_every_example_is_on_the_stair_page(tmp_path: Path, example: str) -> None:
    page = page_on(job_in(tmp_path, example), tmp_path)
    raw = tomllib.loads((tmp_path / "stair.toml").read_text("utf-8"))
    for table in (*raw["flights"], *raw.get("levels", ())):
        html = page.client.get(f"/state?view=stair:{table['id']}").json()["pieces"]
        assert f">{table['id']}<" in html["figures"] or f"Flight {table['id']}" in html["figures"]
        assert html["sketch"].count("data-shape") >= table.get("risers", table.get("points"))
        assert "residual" in html["figures"]


def test_a_blank_job_says_what_to_read_first_and_grows(tmp_path: Path) -> None:
    page = page_on(job_in(tmp_path, None, Unit.INCH), tmp_path)
    told = page.client.get("/state?view=stair").json()
    assert told["fresh"] is False
    assert 'data-go="flights[0].rises.values[0]"' in told["pieces"]["next"]
    assert 'class="profile unsure"' in told["pieces"]["sketch"]
    told = page.edit({"path": ["flights", 0, "rises", "values", 0], "typed": "7 1/2"}).json()
    assert ">7 1/2</text>" in told["pieces"]["sketch"]
    assert 'data-go="flights[0].rises.values[1]"' in told["pieces"]["next"]


def test_a_slip_is_named_beside_its_reading(page: Page) -> None:
    told = page.edit({"path": RISE, "typed": "291.5"}).json()
    assert "one hundred" in told["pieces"]["figures"]
    assert 'class="entry doubt' in told["pieces"]["figures"]


def test_the_stair_is_settled_even_where_a_design_is_not_sound(page: Page) -> None:
    page.client.get("/state?view=stair")
    told = page.edit({"path": ["designs", 0, "handrail", "width"], "typed": "wide"}).json()
    assert told["fresh"] is False
    assert 'class="profile"' in told["pieces"]["sketch"]
    assert "residual" in told["pieces"]["figures"]


def test_one_more_reading_is_added_as_its_field_reads_it(page: Page, job: Path) -> None:
    item = {"kind": "pitch", "from": "N3", "to": "N9", "value_deg": {"typed": "40,2°"}}
    assert page.edit({"path": ["flights", 0, "readings"], "add": item}).json()["fresh"] is True
    readings = tomllib.loads(job.read_text("utf-8"))["flights"][0]["readings"]
    assert readings[-1] == {"kind": "pitch", "from": "N3", "to": "N9", "value_deg": 40.2}


def pressed(page: Page, words: str, piece: str) -> Any:
    """What a button of a piece does, by its words."""
    found = re.search(rf'data-changes="([^"]*)" data-say="{words}"', piece)
    assert found is not None
    return page.edit(*json.loads(html.unescape(found[1]))).json()


def test_a_second_flight_and_an_edge_along_both_are_put_to_a_job(page: Page, job: Path) -> None:
    told = page.client.get("/state?view=stair").json()
    told = pressed(page, "another flight", told["pieces"]["whole"])
    assert told["fresh"] is False  # nothing of it is read yet
    second = page.client.get("/state?view=stair:flight 2").json()["pieces"]
    assert 'data-go="flights[1].rises.values[0]"' in second["next"]
    for number in range(7):
        page.edit({"path": ["flights", 1, "rises", "values", number], "typed": f"{185 + number}"})
    for number in range(6):
        told = page.edit(
            {"path": ["flights", 1, "goings", "values", number], "typed": f"{225 + number}"}
        ).json()
    assert (told["fresh"], told["faults"]) == (True, [])
    told = pressed(page, "one open edge along all of it", told["pieces"]["whole"])
    assert (told["fresh"], told["faults"]) == (True, [])
    edge = tomllib.loads(job.read_text("utf-8"))["edges"][0]
    assert edge["legs"] == ["main", "flight 2"]
    told = page.edit({"path": ["edges", 0, "turns", 0, "turn"], "typed": "right"}).json()
    assert told["fresh"] is True
    told = pressed(page, "Take out: main", told["pieces"]["whole"])
    assert told["fresh"] is False
    assert page.step("undo")["fresh"] is True


@pytest.mark.parametrize(
    "thing", ["a knee wall", "a cut string", "a newel that stands", "a wall the rails meet"]
)
def test_what_stands_there_is_put_to_a_leg_and_asks_for_its_sizes(page: Page, thing: str) -> None:
    page.edit({"path": ["flights", 0, "string"], "drop": True})
    page.edit({"path": ["flights", 0, "finishes"], "drop": True})
    told = page.client.get("/state?view=stair").json()
    told = pressed(page, thing, told["pieces"]["figures"])
    assert told["fresh"] is False
    places = {fault["where"] for fault in told["faults"]}
    asked = {place for place in places if f'data-note="{place}"' in told["pieces"]["figures"]}
    assert asked
