"""The cutting page: sheets of the pack that take a while, made in a process of their own."""

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del words
    done = desk.works.answer("cutting")
    return {
        "kind": "cutting",
        "sheets": done.answer if done else None,
        "old": bool(done and done.version != state.version),
    }


PAGE = Page("cutting", "cutting.html", _tell, {"work": "work.html", "sheets": "sheets.html"}, ("work.js",))
