"""Carry out a plan on a rack file: safely with others at it at the same time, and whatever kills the program.

One writer at a time holds a lock that the system itself lets go of when its holder dies. The file is replaced in one
step, so that it is always whole, either as it was or as it becomes; the plan's name is written in the same step, so
that a plan that was carried out is never carried out again.
"""

import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from pitchline.job.rack import RackFile, rack_file
from pitchline.job.read import decode, read_bytes
from pitchline.job.save import save_text
from pitchline.kit.cutting.need import BarStock, SheetStock
from pitchline.kit.errors import Fault, InputError, OutputError
from pitchline.stock.taking import Taking

PATIENCE = 30.0
"""Seconds to wait for another writer: each needs a fraction of one."""


class RackChangedError(InputError):
    """What a plan wants is not on the rack any more; another plan is to be made."""


def carry_out(path: Path, taking: Taking, job: str, patience: float = PATIENCE) -> bool:
    """Take a plan's stock off the rack and put its rests there; False when that was done before.

    Raises RackChangedError, InputError for a rack that cannot be read, OutputError for one that cannot be written.
    """
    real = path.resolve()
    with locked(real, patience):
        _clear_litter(real)
        text = decode(read_bytes(real), path.name)
        file = rack_file(text, path.name)
        if any(one.plan == taking.plan for one in file.taken):
            return False
        _demand_there(file, taking, path.name)
        after = _edited(text, file, taking, job)
        rack_file(after, path.name)
        save_text(real, after)
    return True


@contextmanager
def locked(path: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Keep all others from writing this rack; OutputError when one of them does not finish."""
    real = path.resolve()
    lock = real.with_name(f".{real.name}.lock")
    try:
        file = lock.open("a+b")
    except OSError as error:
        raise OutputError(f"{lock} cannot be written: {error.strerror}.") from error
    with file:
        end = time.monotonic() + patience
        while not _try_lock(file):
            if time.monotonic() >= end:
                raise OutputError(f"{path} is being written by another job for too long; try again.")
            time.sleep(0.02)
        yield


if sys.platform == "win32":
    import msvcrt

    def _try_lock(file: IO[bytes]) -> bool:
        file.seek(0)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
else:
    import fcntl

    def _try_lock(file: IO[bytes]) -> bool:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _clear_litter(path: Path) -> None:
    """Half-written files of writers that were killed; while the lock is held nobody writes one."""
    for litter in path.parent.glob(f".{path.name}.*.part"):
        litter.unlink(missing_ok=True)


def _demand_there(file: RackFile, taking: Taking, source: str) -> None:
    faults = []
    for key, wanted, tables in (("sheets", taking.sheets, file.sheets), ("bars", taking.bars, file.bars)):
        there = {table.id: table.count for table in tables}
        for name, number in wanted.items():
            have = there.get(name, 0)
            if have is not None and have < number:
                problem = f"the plan takes {number} of {name} and {have} are there"
                faults.append(Fault(key, problem, remedy="the rack has changed since; plan again"))
    if faults:
        raise RackChangedError(faults, source)


def _edited(text: str, file: RackFile, taking: Taking, job: str) -> str:
    import tomlkit  # heavy, and only an edit needs it

    document = tomlkit.parse(text)
    for key, used in (("sheets", taking.sheets), ("bars", taking.bars)):
        for table in document.get(key, []):
            number = used.get(table["id"], 0)
            if number and "count" in table:
                table["count"] = int(table["count"]) - number
    names = {table.id for table in (*file.sheets, *file.bars)}
    for sheet in taking.new_sheets:
        row = _row(sheet.stock, names)
        if sheet.nominal is not None:
            row["nominal"] = _exact(sheet.nominal)
        _append(document, "sheets", row)
    for bar in taking.new_bars:
        row = _row(bar.stock, names)
        if bar.moulded:
            row["moulded"] = True
        _append(document, "bars", row)
    _append(document, "taken", {"plan": taking.plan, "job": job})
    return tomlkit.dumps(document)


def _row(stock: SheetStock | BarStock, names: set[str]) -> dict[str, Any]:
    name = next(f"{stock.id} {n}" for n in range(1, len(names) + 2) if f"{stock.id} {n}" not in names)
    names.add(name)
    row: dict[str, Any] = {"id": name}
    if stock.material:
        row["material"] = stock.material
    row["length"] = _rounded_down(stock.length)
    row["width"] = _rounded_down(stock.width) if isinstance(stock, SheetStock) else _exact(stock.width)
    row["thickness"] = _exact(stock.thickness)
    return row | {"price": round(stock.price, 2), "count": 1, "offcut": True}


def _rounded_down(mm: float) -> str:
    """To a tenth: no rest is told larger than it is."""
    return f"{int(mm * 10.0 + 1e-6) / 10.0:.1f} mm"


def _exact(mm: float) -> str:
    """A size that is that of the stock: it must be found again."""
    return f"{mm:.10g} mm"


def _append(document: Any, key: str, row: Mapping[str, Any]) -> None:
    """Add a table to a list of tables, in whichever way the file writes it."""
    import tomlkit

    rows = document.get(key)
    if rows is not None and not isinstance(rows, tomlkit.items.AoT):
        inline = tomlkit.inline_table()
        inline.update(row)
        rows.append(inline)
        return
    table = tomlkit.table()
    table.update(row)
    table.trivia.indent = "\n"
    if rows is None:
        document[key] = tomlkit.aot()
    document[key].append(table)
