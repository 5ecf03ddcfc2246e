"""What the pages of sheets share: sheets that take a while, made in a process of their own."""

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Told
from pitchline.app.web.state import State

PIECES = {"work": "work.html", "sheets": "sheets.html"}


def told_of(kind: str, desk: Desk, state: State) -> Told:
    """The last sheets of a kind that were made, and whether the job has changed since."""
    done = desk.works.answer(kind)
    return {
        "kind": kind,
        "work": done,
        "sheets": None if done is None else done.answer,
        "old": done is not None and done.version != state.version,
    }
