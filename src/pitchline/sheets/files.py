"""Files of a pack: safe names, CSV and workbook writers, and a folder that appears whole or not at all."""

import contextlib
import csv
import io
import secrets
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from pitchline.kit.errors import OutputError
from pitchline.kit.naming import safe_name
from pitchline.sheets.looking import Show
from pitchline.sheets.tables import Cell, Listing, Quantity, cell_text

MARKER = "pack.json"
"""The file by which a folder is known as a pack of ours, which may be replaced by a newer one."""

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_EPOCH = datetime(2000, 1, 1, tzinfo=UTC)


def _plain(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def csv_text(listing: Listing, show: Show) -> str:
    """One list as CSV (RFC 4180): what is shown to the user, lengths in the job's unit."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([_plain(heading) for heading in listing.headings])
    for row in listing.rows:
        writer.writerow([_csv_cell(cell, show) for cell in row])
    return out.getvalue()


def _csv_cell(cell: Cell, show: Show) -> str:
    if isinstance(cell, str):
        return _plain(cell)
    return f"{cell.value:.2f}" if cell.kind in ("degrees", "number", "mass") else cell_text(cell, show)


def workbook(listings: Sequence[Listing], show: Show, *, inches: bool) -> bytes:
    """Every list as a sheet of one workbook; text is always text, numbers are numbers (mm) or shown inches."""
    import xlsxwriter  # only the pack needs it

    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    )
    book.set_properties({"created": _EPOCH})
    formats = {
        "head": book.add_format({"bold": True, "text_wrap": True, "bottom": 1, "valign": "top"}),
        "length": book.add_format({"num_format": "0.0", "valign": "top"}),
        "degrees": book.add_format({"num_format": '0.00"°"', "valign": "top"}),
        "count": book.add_format({"num_format": "0", "valign": "top"}),
        "mass": book.add_format({"num_format": "0.00", "valign": "top"}),
        "number": book.add_format({"num_format": "0.00", "valign": "top"}),
        "text": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    names: set[str] = set()
    for listing in listings:
        sheet = book.add_worksheet(_sheet_name(listing.id, names))
        sheet.freeze_panes(1, 1)
        for column, heading in enumerate(listing.headings):
            sheet.write_string(0, column, heading, formats["head"])
            sheet.set_column(column, column, _column_width(listing, column, show))
        for index, row in enumerate(listing.rows, start=1):
            for column, cell in enumerate(row):
                if isinstance(cell, Quantity) and not (inches and cell.kind == "length"):
                    sheet.write_number(index, column, cell.value, formats[cell.kind])
                else:
                    sheet.write_string(index, column, cell_text(cell, show), formats["text"])
    book.close()
    return out.getvalue()


def _sheet_name(text: str, taken: set[str]) -> str:
    """A sheet name of at most 31 characters that is not taken yet."""
    base = safe_name(text)[:28]
    name, number = base, 1
    while name.lower() in taken:
        number += 1
        name = f"{base}-{number}"[:31]
    taken.add(name.lower())
    return name


def _column_width(listing: Listing, column: int, show: Show) -> float:
    longest = max((len(cell_text(row[column], show)) for row in listing.rows), default=8)
    return float(min(max(longest, len(listing.headings[column]) / 2, 7) + 2, 60))


@contextlib.contextmanager
def whole_folder(target: Path) -> Iterator[Path]:
    """A folder to write into, moved to ``target`` when everything is written, removed when anything stops it.

    An earlier pack at ``target`` is replaced. OutputError when something else is there.
    """
    if target.exists() and not _is_ours(target):
        raise OutputError(
            f"{target} exists and is not a pack of this program; choose another folder, nothing was written."
        )
    target.parent.mkdir(parents=True, exist_ok=True)
    # named before it is made, so that a stop at any moment finds it
    beside = target.parent / f".{target.name}-{secrets.token_hex(4)}"
    try:
        beside.mkdir(mode=0o700)
        yield beside
        beside.chmod(0o755)
        _move_into_place(beside, target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _is_ours(target: Path) -> bool:
    return target.is_dir() and ((target / MARKER).is_file() or not any(target.iterdir()))


def _move_into_place(beside: Path, target: Path) -> None:
    """Swap the new folder in; the earlier one goes only after the new one stands."""
    if not target.exists():
        beside.rename(target)
        return
    earlier = Path(tempfile.mkdtemp(prefix=f".{target.name}-earlier-", dir=target.parent))
    try:
        target.replace(earlier)
        try:
            beside.replace(target)
        except OSError:
            earlier.replace(target)
            raise
    finally:
        shutil.rmtree(earlier, ignore_errors=True)


def write_all(folder: Path, files: Iterable[tuple[str, bytes]]) -> tuple[str, ...]:
    """Write files (relative name, content) into a folder; returns the names in order."""
    names = []
    for name, content in files:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        names.append(name)
    return tuple(names)
