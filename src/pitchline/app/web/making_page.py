"""The making page: what the workshop needs, as the pack has it."""

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.sheets_page import PIECES, told_of
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del words
    return told_of("making", desk, state)


PAGE = Page("making", "making.html", _tell, PIECES, ("work.js",), ("sheets.css",))
