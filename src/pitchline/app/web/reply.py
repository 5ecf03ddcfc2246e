"""What the routes share: the desk and the reader's words."""

from starlette.requests import Request

from pitchline.app.web.desk import Desk
from pitchline.app.web.words import Words, catalogue, preferred

LANGUAGE_COOKIE = "pitchline-language"


def words_of(request: Request) -> Words:
    """The words of the reader's language."""
    asked = request.cookies.get(LANGUAGE_COOKIE)
    return catalogue(preferred(asked, request.headers.get("accept-language", "")))


def desk_of(request: Request) -> Desk:
    """The desk that the app works on."""
    desk: Desk = request.app.state.desk
    return desk
