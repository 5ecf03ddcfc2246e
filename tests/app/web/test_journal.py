"""The history of a job: every edit once, undo and redo over restarts, torn lines, bounds."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.app.web import journal as module
from pitchline.app.web.journal import ELSEWHERE, Journal, Splice
from pitchline.kit.errors import OutputError


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / ".job.toml.history"


@given(st.text(max_size=60), st.text(max_size=60))
def test_a_splice_leads_there_and_back(before: str, after: str) -> None:
    splice = Splice.between(before, after)
    assert splice.on(before) == after
    assert splice.back(after) == before
    assert len(splice.out) <= len(before)


def test_edits_survive_a_restart_with_undo_and_redo(path: Path) -> None:
    first = Journal.opened(path, "a")
    for number, text in enumerate(("ab", "abc", "abcd")):
        first.edit(f"operation-{number}", f"edit {number}", text)
    assert first.undo("undo-one")
    again = Journal.opened(path, "abc")
    assert (again.text, again.version) == ("abc", 4)
    assert [entry.say for entry in again.undone] == ["edit 2"]
    assert again.redo("redo-one")
    assert again.text == "abcd"
    assert {"operation-0", "operation-1", "operation-2", "undo-one", "redo-one"} <= set(again.known)


def test_joined_edits_are_one_step(path: Path) -> None:
    history = Journal.opened(path, "0")
    history.edit("first-edit", "slide", "1")
    history.edit("second-edit", "slide", "2", joined=True)
    history.edit("third-edit", "slide", "3", joined=True)
    assert history.undo("undo")
    assert history.text == "0"
    assert history.redo("redo")
    assert history.text == "3"


def test_nothing_to_undo_is_no_step(path: Path) -> None:
    history = Journal.opened(path, "x")
    assert not history.undo("undo")
    assert not history.redo("redo")
    assert history.version == 0
    assert not path.exists()


@pytest.mark.parametrize("cut", range(1, 40, 7))
def test_a_line_torn_by_a_crash_is_dropped(path: Path, cut: int) -> None:
    history = Journal.opened(path, "one")
    history.edit("first-edit", "", "one two")
    history.edit("second-edit", "", "one two three")
    whole = path.read_bytes()
    path.write_bytes(whole[:-cut])
    again = Journal.opened(path, "one two")
    assert again.text == "one two"
    assert "second-edit" not in again.known
    again.edit("third-edit", "", "one two four")
    assert Journal.opened(path, "one two four").text == "one two four"


def test_the_history_wins_over_a_file_that_was_cut_off_while_being_written(path: Path) -> None:
    history = Journal.opened(path, "old")
    history.edit("the-edit", "", "new")
    assert Journal.opened(path, "old").text == "new"


def test_what_another_program_wrote_is_an_edit_that_can_be_undone(path: Path) -> None:
    history = Journal.opened(path, "old")
    history.edit("the-edit", "", "new")
    again = Journal.opened(path, "by hand")
    assert again.text == "by hand"
    assert again.done[-1].say == ELSEWHERE
    assert again.undo("undo")
    assert again.text == "new"


def test_a_history_that_is_none_is_begun_anew(path: Path) -> None:
    path.write_text("not a history\n", encoding="utf-8")
    history = Journal.opened(path, "text")
    assert (history.text, history.version) == ("text", 0)


def test_the_history_is_bounded(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_KEPT", 20)
    monkeypatch.setattr(module, "LEAST_KEPT", 10)
    monkeypatch.setattr(module, "IDS_KEPT", 15)
    history = Journal.opened(path, "")
    for number in range(100):
        history.edit(f"operation-{number}", "", f"{number}")
    assert len(history.done) <= 20 + 1
    assert len(history.known) <= 15 + 21
    assert len(path.read_bytes().splitlines()) <= 22
    again = Journal.opened(path, "99")
    assert (again.text, again.version) == ("99", 100)
    for _ in range(10):
        assert again.undo(f"undo-{again.version}")
    assert again.text == "89"


def test_only_the_owner_reads_the_history(path: Path) -> None:
    Journal.opened(path, "").edit("the-edit", "", "x")
    assert path.stat().st_mode & 0o077 == 0


def test_a_folder_that_cannot_be_written_leaves_everything_as_it_was(tmp_path: Path) -> None:
    history = Journal.opened(tmp_path / "gone" / ".job.toml.history", "x")
    with pytest.raises(OutputError):
        history.edit("the-edit", "", "y")
    assert (history.text, history.version, history.known) == ("x", 0, {})


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("edit"), st.text("ab\n", max_size=6), st.booleans()),
        st.sampled_from(("undo", "redo")),
    ),
    max_size=25,
)


@settings(max_examples=40, deadline=None)
@given(STEPS)
def test_a_restart_at_any_moment_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, steps: list[str | tuple[str, str, bool]]
) -> None:
    path = tmp_path_factory.mktemp("history") / ".h"
    history = Journal.opened(path, "start")
    for number, step in enumerate(steps):
        op = f"operation-{number}"
        match step:
            case ("edit", text, joined):
                history.edit(op, "", text, joined=joined)
            case "undo":
                history.undo(op)
            case "redo":
                history.redo(op)
        again = Journal.opened(path, history.text)
        assert (again.text, again.version) == (history.text, history.version)
        assert (again.done, again.undone) == (history.done, history.undone)
        assert set(again.known) >= set(history.known)
        history = again


def test_every_line_is_a_document(path: Path) -> None:
    history = Journal.opened(path, "ä\n")
    history.edit("the-edit", "Größe", "ü\n")
    documents = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    assert [document["do"] for document in documents] == ["base", "edit"]
