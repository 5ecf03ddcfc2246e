"""What the tables of the finish and of the labels say against themselves, and whether a pack's address is one."""

from collections.abc import Iterator
from urllib.parse import urlsplit

from pitchline.catalogue.finishes import load_finishes
from pitchline.job.faults import Slip
from pitchline.job.model_finish import FinishTable, FinishWord, LabelsTable
from pitchline.job.positions import Path
from pitchline.kit.units import Unit
from pitchline.making.finishing_brief import FinishBrief
from pitchline.making.labels_sheet import LabelSheet, label_sheet

SCHEMES = ("http", "https", "file")


def finish_slips(path: Path, finish: FinishTable) -> Iterator[Slip]:
    """Coats of nothing, and more coats before fitting than in all."""
    if finish.kind is FinishWord.NONE:
        for key in ("coats", "coats_before_fitting"):
            if getattr(finish, key) is not None:
                problem = "bare wood gets no coats"
                yield Slip(
                    (*path, key), problem, getattr(finish, key), remedy=f"leave {key} out, or name a kind"
                )
        return
    usual = round(load_finishes().finish(finish.kind.value).coats.value)
    coats = usual if finish.coats is None else finish.coats
    before = finish.coats_before_fitting
    if before is not None and before > coats:
        problem = "more coats are put on before fitting than in all"
        yield Slip((*path, "coats_before_fitting"), problem, before, f"0 to {coats}")


def labels_slips(path: Path, table: LabelsTable, unit: Unit) -> Iterator[Slip]:
    """Labels that run over the edge of their sheet."""
    sheet = labels_of(table, unit)
    for key, over in (("width", sheet.over_right), ("height", sheet.over_bottom)):
        if over > 0.0:
            way = "right" if key == "width" else "lower"
            problem = f"the labels run {over:.1f} mm over the {way} edge of the sheet"
            remedy = "measure the sheet again: sizes, gaps and counts"
            place = path if getattr(table, key) is None else (*path, key)
            yield Slip(place, problem, remedy=remedy)


def labels_of(table: LabelsTable | None, unit: Unit) -> LabelSheet:
    """The sheet of labels of a job: the usual one with what was told."""
    usual = label_sheet("Letter" if unit is Unit.INCH else "A4")
    if table is None:
        return usual
    told = {key: value for key in type(table).model_fields if (value := getattr(table, key)) is not None}
    paper = told.pop("paper", None)
    return label_sheet(usual.paper if paper is None else paper.value, **told)


def address_slips(path: Path, address: object) -> Iterator[Slip]:
    """An address that a code on a label could not open."""
    if not isinstance(address, str):
        return
    try:
        parts = urlsplit(address)
    except ValueError:
        parts = urlsplit("")
    if parts.scheme not in SCHEMES or not (parts.netloc or parts.path) or parts.fragment or parts.query:
        allowed = 'the address of a folder, such as "https://my-server.example/jobs/stair/"'
        yield Slip(path, "this is no address of a folder", address, allowed)


def finish_of(table: FinishTable | None) -> FinishBrief:
    """The finish of a job; the usual one where nothing is said."""
    if table is None:
        return FinishBrief()
    kind = None if table.kind is FinishWord.NONE else table.kind.value
    return FinishBrief(kind, table.coats, table.coats_before_fitting)
