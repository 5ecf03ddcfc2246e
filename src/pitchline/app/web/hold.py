"""One program at a time over a job: two would write the same history and neither would know of the other.

The hold is a lock on a file of the system's folder for passing things, named after the job's path. The system lets
go of it when the program ends, however it ends.
"""

import hashlib
import sys
import tempfile
from pathlib import Path
from typing import BinaryIO

from pitchline.kit.errors import Fault, InputError


def hold(job: Path) -> BinaryIO:
    """Take hold of a job for as long as the answer stays open. InputError where another program has it."""
    digest = hashlib.sha256(str(job.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:24]
    file = (Path(tempfile.gettempdir()) / f"pitchline-{digest}.lock").open("ab")
    try:
        _lock(file)
    except OSError as taken:
        file.close()
        remedy = "use that one, or end it first with Ctrl+C"
        fault = Fault(job.name, "this job is open in another pitchline already", remedy=remedy)
        raise InputError([fault], job.name) from taken
    return file


def _lock(file: BinaryIO) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
