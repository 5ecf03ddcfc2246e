"""The first page when no job is open: begin a new one in this folder, or open one that lies there."""

import re
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from pitchline.app.web.desk import Desk
from pitchline.app.web.pages import environment
from pitchline.app.web.reply import desk_of, words_of
from pitchline.app.web.words import LANGUAGES

_NAME = re.compile(r"[^\W_][\w .-]{0,60}")
MOST_LISTED = 100


def jobs_in(folder: Path) -> tuple[str, ...]:
    """The job files of a folder, by the first lines that every job has."""
    found = []
    for path in sorted(folder.glob("*.toml"))[:MOST_LISTED]:
        try:
            head = path.read_bytes()[:20_000]
        except OSError:
            continue
        if b"pitchline-job/" in head:
            found.append(path.name)
    return tuple(found)


def _show(request: Request) -> Response:
    from pitchline.app.example import Example

    desk, words = desk_of(request), words_of(request)
    html = (
        environment()
        .get_template("start.html")
        .render(
            t=words,
            desk=desk,
            jobs=jobs_in(desk.folder),
            examples=[example.value for example in Example],
            token=desk.keys.token,
            languages=LANGUAGES,
        )
    )
    return HTMLResponse(html)


async def _begin(request: Request) -> Response:
    """``{name, start}``: a new job file, blank-mm, blank-in or an example by name."""
    asked = await _asked(request)
    desk, words = desk_of(request), words_of(request)
    name = str(asked.get("name", "")).strip().removesuffix(".toml")
    if not _NAME.fullmatch(name) or name.endswith((".", " ")):
        raise HTTPException(422, words("start.bad_name"))
    text = _text(str(asked.get("start", "")))
    if text is None:
        raise HTTPException(422, words("start.no_example"))
    path = desk.folder / f"{name}.toml"
    await run_in_threadpool(_new, desk, path, text, words("start.taken", name=path.name))
    return JSONResponse({"to": "/stair"})


async def _asked(request: Request) -> dict[str, object]:
    import json

    try:
        asked = json.loads(await request.body())
    except ValueError as error:
        raise HTTPException(400, "This is no JSON document.") from error
    if not isinstance(asked, dict):
        raise HTTPException(400, "An object is needed.")
    return asked


def _text(start: str) -> str | None:
    from pitchline.job.new import starting_text
    from pitchline.kit.units import Unit

    blanks = {"blank-mm": Unit.MM, "blank-in": Unit.INCH}
    if start in blanks:
        return starting_text(None, blanks[start])
    try:
        return starting_text(start, Unit.MM)
    except ValueError:
        return None


def _new(desk: Desk, path: Path, text: str, taken: str) -> None:
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise HTTPException(422, taken) from error
    desk.open(path)


async def _open(request: Request) -> Response:
    """``{name}``: one of the job files of the folder."""
    asked = await _asked(request)
    desk = desk_of(request)
    if asked.get("name") not in jobs_in(desk.folder):
        raise HTTPException(404, words_of(request)("start.gone"))
    await run_in_threadpool(desk.open, desk.folder / str(asked["name"]))
    return JSONResponse({"to": "/stair"})


ROUTES = [
    Route("/start", _show),
    Route("/start/new", _begin, methods=["POST"]),
    Route("/start/open", _open, methods=["POST"]),
]
