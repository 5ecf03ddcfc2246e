"""The app served to a browser in the tests: a job file of its own in a folder of its own, on a free port."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from pitchline.app.web.application import make_app
from pitchline.app.web.desk import Desk
from pitchline.app.web.guard import Keys
from pitchline.app.web.state import Bench


@dataclass(frozen=True)
class Served:
    """A running app: its address, the desk it works on, and the job file."""

    address: str
    desk: Desk
    job: Path


@contextmanager
def served(job: Path) -> Iterator[Served]:
    """The app over a job file for as long as it is needed."""
    ear = socket.create_server(("127.0.0.1", 0))
    host = f"127.0.0.1:{ear.getsockname()[1]}"
    desk = Desk(job.parent, Keys(frozenset({host})), Bench.opened(job))
    server = uvicorn.Server(uvicorn.Config(make_app(desk), log_level="warning", lifespan="on"))
    thread = threading.Thread(target=server.run, args=([ear],), daemon=True)
    thread.start()
    try:
        yield Served(f"http://{host}", desk, job)
    finally:
        server.should_exit = True
        thread.join(10)
        ear.close()
