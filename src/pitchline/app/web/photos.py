"""Photos beside the job: taken in as pictures only, freed of what a telephone writes about place and time."""

import json
import re
import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from pitchline.app.web.desk import Desk
from pitchline.app.web.picture_bytes import KINDS, cleaned, kind_of
from pitchline.app.web.reply import desk_of, words_of

MOST_PHOTOS = 200
LIST = "photos.json"
_NAME = re.compile(r"[a-z0-9]{12}\.(jpg|png|webp)")


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo: its file, the place in the job that it shows, and what was said of it."""

    file: str
    of: str
    note: str


def photos(desk: Desk) -> tuple[Photo, ...]:
    """The photos of the open job, the latest last."""
    folder = desk.photo_folder
    return tuple(
        Photo(str(entry["file"]), str(entry["of"]), str(entry["note"]))
        for entry in _listed(folder)
        if _NAME.fullmatch(str(entry.get("file"))) and (folder / str(entry["file"])).is_file()
    )


def _listed(folder: Path) -> list[dict[str, Any]]:
    try:
        listed = json.loads((folder / LIST).read_text("utf-8"))
    except (OSError, ValueError):
        return []
    whole = {"file", "of", "note"}
    return [entry for entry in listed if isinstance(entry, dict) and whole <= set(entry)]


def _keep_list(folder: Path, listed: list[dict[str, Any]]) -> None:
    from pitchline.job.save import save_text  # heavy, and a page can be drawn before it is needed

    save_text(folder / LIST, json.dumps(listed, ensure_ascii=False, indent=1) + "\n")


def keep(desk: Desk, data: bytes, of: str, note: str) -> Photo | None:
    """Keep a photo; None for what is no picture of a known kind."""
    kind = kind_of(data)
    if kind is None:
        return None
    folder = desk.photo_folder
    folder.mkdir(exist_ok=True)
    name = f"{secrets.token_hex(6)}.{kind}"
    (folder / name).write_bytes(cleaned(data, kind))
    _keep_list(folder, [*_listed(folder), {"file": name, "of": of, "note": note}])
    return Photo(name, of, note)


async def _post(request: Request) -> Response:
    desk, words = desk_of(request), words_of(request)
    if len(photos(desk)) >= MOST_PHOTOS:
        raise HTTPException(422, words("photo.too_many", most=MOST_PHOTOS))
    data = await request.body()
    of, note = (str(request.query_params.get(key, ""))[:120] for key in ("of", "note"))
    photo = await run_in_threadpool(keep, desk, data, of, note)
    if photo is None:
        raise HTTPException(415, words("photo.no_picture"))
    return JSONResponse({"file": photo.file})


def _remove(request: Request) -> Response:
    desk, name = desk_of(request), request.path_params["name"]
    if name not in {photo.file for photo in photos(desk)}:
        raise HTTPException(404, "There is no such photo.")
    folder = desk.photo_folder
    _keep_list(folder, [entry for entry in _listed(folder) if entry["file"] != name])
    (folder / name).unlink(missing_ok=True)
    return JSONResponse({})


def _get(request: Request) -> Response:
    desk, name = desk_of(request), request.path_params["name"]
    if name not in {photo.file for photo in photos(desk)}:
        raise HTTPException(404, "There is no such photo.")
    kind = name.rpartition(".")[2]
    return FileResponse(desk.photo_folder / name, media_type=KINDS[kind])


ROUTES = [
    Route("/photos", _post, methods=["POST"]),
    Route("/photos/{name}", _get),
    Route("/photos/{name}/remove", _remove, methods=["POST"]),
]
