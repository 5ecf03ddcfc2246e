"""A desk with a job on it, and a client that speaks to it as a page does, for the tests of the app."""

import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

from httpx import Response

from pitchline.app.web.application import make_app
from pitchline.app.web.desk import Desk
from pitchline.app.web.guard import Keys
from pitchline.app.web.state import Bench
from pitchline.job.new import starting_text
from pitchline.kit.units import Unit

with warnings.catch_warnings():
    warnings.simplefilter(
        "ignore"
    )  # it would rather have the successor of httpx, which is not widely there yet
    from starlette.testclient import TestClient

HOST = "127.0.0.1:8640"
ORIGIN = f"http://{HOST}"


@dataclass
class Page:
    """A page of a tab: it knows the token and the version it has seen."""

    desk: Desk
    client: TestClient
    version: int = 0

    def post(self, path: str, asked: Any = None, **headers: str) -> Response:
        """A write as the page makes it; headers may be changed."""
        sent = {"origin": ORIGIN, "x-pitchline-token": self.desk.keys.token}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        response: Response = self.client.post(path, json={} if asked is None else asked, headers=sent)
        return response

    def send(self, path: str, data: bytes) -> Response:
        """Bytes, such as a photo."""
        sent = {"origin": ORIGIN, "x-pitchline-token": self.desk.keys.token}
        response: Response = self.client.post(path, content=data, headers=sent)
        return response

    def edit(self, *changes: Mapping[str, Any], op: str | None = None, **asked: Any) -> Response:
        """Ask for changes, having seen what this page has seen; the answer's version is then seen."""
        op = uuid4().hex if op is None else op
        seen = asked.pop("seen", self.version)
        response = self.post(
            "/edit", {"op": op, "seen": seen, "view": "stair", "changes": list(changes), **asked}
        )
        if response.status_code == 200:
            self.version = response.json()["version"]
        return response

    def step(self, way: str, op: str | None = None) -> Any:
        """Undo or redo."""
        op = uuid4().hex if op is None else op
        told = self.post(f"/{way}", {"op": op, "view": "stair"}).json()
        self.version = told["version"]
        return told


def page_on(job: Path | None, folder: Path, code: str | None = None, client: str = "127.0.0.1") -> Page:
    """A page over a job file, or over a folder with none open."""
    desk = Desk(folder, Keys(frozenset({HOST}), code), None if job is None else Bench.opened(job))
    app = make_app(desk)
    return Page(desk, TestClient(app, base_url=ORIGIN, client=(client, 50000), follow_redirects=False))


def job_in(folder: Path, example: str | None = "mm", unit: Unit = Unit.MM, name: str = "stair.toml") -> Path:
    """A starting job in a folder."""
    path = folder / name
    path.write_text(starting_text(example, unit), encoding="utf-8")
    return path
