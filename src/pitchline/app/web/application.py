"""The app: which address does what. Answers are HTML pages, JSON after an edit, SVG, GLB and files."""

import json
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from pitchline.app.web import files_routes, photos, start_page, work_routes
from pitchline.app.web.desk import Desk
from pitchline.app.web.guard import Guard
from pitchline.app.web.page_list import PAGES, routes_of_pages
from pitchline.app.web.pages import Page, answer, environment, told, write_page
from pitchline.app.web.reply import LANGUAGE_COOKIE, desk_of, words_of
from pitchline.app.web.state import StaleError, State
from pitchline.app.web.words import LANGUAGES
from pitchline.kit.errors import InputError, PitchlineError

YEAR = 365 * 24 * 3600
OF_LONGEST = 200
"""Characters of what a page is asked to show."""


def make_app(desk: Desk) -> Starlette:
    """The app over a desk."""

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        yield
        await run_in_threadpool(desk.close)

    routes = [
        Route("/", _first),
        Route("/state", _state),
        Route("/edit", _edit, methods=["POST"]),
        Route("/try", _try, methods=["POST"]),
        Route("/undo", _undo, methods=["POST"]),
        Route("/redo", _redo, methods=["POST"]),
        Route("/token", _token),
        Route("/words/{language}", _language),
        *start_page.ROUTES,
        *photos.ROUTES,
        *work_routes.ROUTES,
        *files_routes.ROUTES,
        *routes_of_pages(),
        Route("/door", _door, methods=["GET", "POST"]),
        Mount("/static", _Static(packages=[("pitchline.app.web", "static")]), name="static"),
        *(Route(f"/{page.key}", _page(page), name=page.key) for page in PAGES),
    ]
    app = Starlette(
        routes=routes,
        lifespan=lifespan,
        middleware=[Middleware(Guard, keys=desk.keys, ask_for_code=_ask_for_code)],
        exception_handlers={
            InputError: _unfit,
            PitchlineError: _refused,
            HTTPException: _missing,
            Exception: _broken,
        },
    )
    app.state.desk = desk
    return app


class _Static(StaticFiles):
    """Files of the pages; a browser asks again whether they have changed."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        response.headers["cache-control"] = "no-cache"
        return response


async def _first(request: Request) -> Response:
    return RedirectResponse("/stair" if desk_of(request).bench else "/start", 303)


def _page(page: Page) -> Callable[[Request], Response]:
    def show(request: Request) -> Response:
        desk = desk_of(request)
        if desk.bench is None:
            return RedirectResponse("/start", 303)
        of = request.query_params.get("of", "")[:OF_LONGEST]
        known = told(page, PAGES, desk, desk.bench.glance(), words_of(request), of)
        return HTMLResponse(write_page(known))

    return show


def _viewed(request: Request, view: str, state: State) -> dict[str, Any]:
    """The answer for the page that asks, such as "design:B"; for an unknown one that of the first."""
    key, _, of = view.partition(":")
    page = next((page for page in PAGES if page.key == key), PAGES[0])
    desk = desk_of(request)
    return answer(told(page, PAGES, desk, state, words_of(request), of[:OF_LONGEST]))


def _state(request: Request) -> Response:
    state = desk_of(request).job.state()
    return JSONResponse(_viewed(request, request.query_params.get("view", ""), state))


async def _asked(request: Request) -> dict[str, Any]:
    try:
        asked = json.loads(await request.body())
    except ValueError as error:
        raise HTTPException(400, "This is no JSON document.") from error
    if not isinstance(asked, dict):
        raise HTTPException(400, "An object is needed.")
    return asked


def _operation(asked: dict[str, Any]) -> str:
    op = asked.get("op")
    if not isinstance(op, str) or not 8 <= len(op) <= 64 or not op.isascii() or not op.isprintable():
        raise HTTPException(400, "An operation id of 8 to 64 characters is needed.")
    return op


def _of_this_job(request: Request, asked: dict[str, Any]) -> Desk:
    """The desk; HTTPException where the edit was meant for another job."""
    desk = desk_of(request)
    if desk.bench is None or asked.get("job", desk.bench.name) != desk.bench.name:
        raise HTTPException(410, "Another job is open now.")
    return desk


async def _edit(request: Request) -> Response:
    """``{op, job?, seen, view?, say?, join?, changes}`` -> the new state; 409 for what has changed meanwhile."""
    from pitchline.app.web.edits import changes_of

    asked = await _asked(request)
    op, desk = _operation(asked), _of_this_job(request, asked)
    changes, seen = changes_of(asked.get("changes")), asked.get("seen")
    if not isinstance(seen, int) or isinstance(seen, bool):
        raise HTTPException(400, "The version that the page has seen is needed.")
    say, joined, view = str(asked.get("say", ""))[:120], bool(asked.get("join")), str(asked.get("view", ""))

    def work() -> Response:
        try:
            state = desk.job.edit(op, changes, seen, say, joined=joined)
        except StaleError as stale:
            now = _viewed(request, view, desk.job.state())
            from pitchline.job.faults import show_path

            places = [show_path(place) for place in stale.places]
            return JSONResponse({"stale": places, "sentence": str(stale), "now": now}, 409)
        return JSONResponse(_viewed(request, view, state))

    return await run_in_threadpool(work)


async def _try(request: Request) -> Response:
    """``{view, changes}`` -> what the state would be; nothing is kept."""
    from pitchline.app.web.edits import changes_of

    asked = await _asked(request)
    desk, changes = _of_this_job(request, asked), changes_of(asked.get("changes"))

    def work() -> Response:
        return JSONResponse(_viewed(request, str(asked.get("view", "")), desk.job.try_out(changes)))

    return await run_in_threadpool(work)


async def _undo(request: Request) -> Response:
    return await _stepped(request, "undo")


async def _redo(request: Request) -> Response:
    return await _stepped(request, "redo")


async def _stepped(request: Request, way: str) -> Response:
    asked = await _asked(request)
    op, desk = _operation(asked), _of_this_job(request, asked)
    step = desk.job.undo if way == "undo" else desk.job.redo
    view = str(asked.get("view", ""))
    return await run_in_threadpool(lambda: JSONResponse(_viewed(request, view, step(op))))


async def _token(request: Request) -> Response:
    """The token of this start, for a page that was drawn before it; another site cannot read it."""
    return JSONResponse({"token": desk_of(request).keys.token})


async def _language(request: Request) -> Response:
    language = request.path_params["language"]
    back = request.query_params.get("back", "")
    known = {page.key for page in PAGES} | {"start"}
    response = RedirectResponse(f"/{back}" if back in known else "/", 303)
    if language in LANGUAGES:
        response.set_cookie(LANGUAGE_COOKIE, language, max_age=YEAR, samesite="strict")
    return response


async def _door(request: Request) -> Response:
    del request
    return RedirectResponse("/", 303)


def _ask_for_code(scope: Scope, wrong: bool) -> Response:
    request = Request(scope)
    html = environment().get_template("door.html").render(t=words_of(request), wrong=wrong)
    return HTMLResponse(html, 401)


def _unfit(_: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, InputError)  # registered for nothing else
    return JSONResponse({"sentences": [fault.sentence() for fault in wrong.faults]}, 422)


def _refused(_: Request, wrong: Exception) -> Response:
    return JSONResponse({"sentences": [str(wrong)]}, 422)


def _missing(_: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, HTTPException)  # registered for nothing else
    return JSONResponse({"sentences": [wrong.detail]}, wrong.status_code)


def _broken(_: Request, wrong: Exception) -> Response:
    del wrong
    sentence = "This is a fault of the program, not of your job; what was typed is kept."
    return JSONResponse({"sentences": [sentence]}, 500)
