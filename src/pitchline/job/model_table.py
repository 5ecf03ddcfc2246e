"""What every table of a job file is, and the defaults it shares with the brief."""

from dataclasses import MISSING, dataclass, fields
from enum import StrEnum
from typing import Any, get_args

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

NONE = "none"
"""Written in place of a table, to say on purpose that there is nothing."""


class Table(BaseModel):
    """A table of the job file: no key but those listed, nothing converted silently, nothing changed later."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)


def as_brief(of: type, name: str, description: str) -> Any:
    """A field that may be left out, with the default that the brief's own value ``of`` gives it."""
    default = next(field.default for field in fields(of) if field.name == name)
    if default is MISSING:
        raise TypeError(f"{of.__name__}.{name} has no default")
    written = default.value if isinstance(default, StrEnum) else default
    if isinstance(written, float):
        written = f"{written:g} mm"
    return Field(default=default, description=description, json_schema_extra={"default": written})


@dataclass(frozen=True, slots=True)
class OrNone:
    """A table, or the word "none" in its place: a mark on a field of that type, which is read as the word itself."""

    def _read(self, value: object, handler: core_schema.ValidatorFunctionWrapHandler) -> object:
        if value == NONE:
            return NONE
        if isinstance(value, dict | BaseModel):
            return handler(value)
        context = {
            "problem": "neither a table nor the word for nothing stands here",
            "allowed": f'a table, [...] or {{ ... }}, or "{NONE}"',
            "remedy": None,
        }
        raise PydanticCustomError("unfit", "{problem}", context)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        table = next(
            part for part in get_args(source) if isinstance(part, type) and issubclass(part, BaseModel)
        )
        return core_schema.no_info_wrap_validator_function(self._read, handler(table))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"type": "string", "enum": [NONE]}]}
