"""Faults of a rack or a need document, from what pydantic finds in it."""

from collections.abc import Iterator, Mapping, Sequence

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from pitchline.job.faults import Slip
from pitchline.job.fields import nearest, sort_of
from pitchline.job.model_table import Table

Tables = Mapping[str, type[Table]]
"""Each table of a document by the key that holds it; the document itself by ""."""


def slips_of(error: ValidationError, tables: Tables) -> list[Slip]:
    """Every fault that pydantic found."""
    return [_slip(details, tables) for details in error.errors(include_url=False)]


def _slip(details: ErrorDetails, tables: Tables) -> Slip:
    path: tuple[str | int, ...] = details["loc"]
    found, kind, context = details["input"], details["type"], details.get("ctx", {})
    if kind == "unfit":
        return Slip(path, context["problem"], found, context["allowed"], context["remedy"])
    if kind == "missing":
        return Slip(path, "this key is missing", remedy=f"add {path[-1]}")
    if kind == "extra_forbidden":
        return _unknown(path, tables)
    if kind == "literal_error":
        allowed = str(context.get("expected", "")).replace("'", '"')
        return Slip(path, "this form of file is not known to this version", found, allowed)
    wanted = "a list" if kind == "list_type" else "a table"
    return Slip(path, f"{sort_of(found)} stands where {wanted} belongs", found, wanted)


def _unknown(path: tuple[str | int, ...], tables: Tables) -> Slip:
    holder = next((part for part in reversed(path[:-1]) if isinstance(part, str)), "")
    known = [info.alias or name for name, info in tables[holder].model_fields.items()]
    guess = nearest(str(path[-1]), known)
    remedy = f"perhaps you mean {guess}" if guess else "take it out"
    return Slip(path, "this key is not known here", allowed=", ".join(known), remedy=remedy)


def named_twice(key: str, names: Sequence[str]) -> Iterator[Slip]:
    """Names of a list of tables that stand there twice."""
    for index, name in enumerate(names):
        if name in names[:index]:
            yield Slip((key, index, "id"), "this name is used twice", name, remedy="give it another name")
