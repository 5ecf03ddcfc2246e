"""The stair page: the readings, and a drawing of the user's own stair that grows as they are typed."""

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del desk, state, words
    return {}


PAGE = Page("stair", "stair.html", _tell)
