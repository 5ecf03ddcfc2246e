"""The strength page: how far each design gives way and how near its members and fixings are to their limits."""

from pitchline.app.web.check_page import parts
from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import Page, Told
from pitchline.app.web.state import State
from pitchline.app.web.words import Words


def _tell(desk: Desk, state: State, words: Words) -> Told:
    del desk, words
    return {"parts": parts(state, state.unit)}


PAGE = Page("strength", "strength.html", _tell, {"strength": "strength_piece.html"}, styles=("check.css",))
