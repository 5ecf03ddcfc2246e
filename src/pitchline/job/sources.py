"""Two ways to read the pieces of a table: from a file's bare values, and from the model that they fit."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cache
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from pitchline.job.fields import Reader, Setting, UnfitError
from pitchline.job.positions import Path
from pitchline.kit.units import Unit

Raw = Mapping[str, Any]


class Source(ABC):
    """A table of a job file from which pieces are read; ``path`` is its own place. What is not there is None."""

    path: Path
    unit: Unit

    @abstractmethod
    def has(self, name: str) -> bool:
        """Whether the key is there."""

    @abstractmethod
    def fits(self, kind: Any) -> bool:
        """Whether the whole of it is a table of this kind."""

    @abstractmethod
    def word(self, reader: Reader, name: str) -> Any:
        """A single value, None if it cannot be read."""

    @abstractmethod
    def words(self, reader: Reader, name: str) -> tuple[Any, ...] | None:
        """A list of single values, None if one of them cannot be read."""

    @abstractmethod
    def table(self, kind: Any, name: str) -> Any:
        """A sub-table, None if it cannot be read."""

    @abstractmethod
    def tables(self, kind: Any, name: str) -> tuple[tuple[Path, Any], ...]:
        """Those of a list of sub-tables that can be read, each with its place."""

    @abstractmethod
    def parts(self, name: str) -> tuple["Source", ...]:
        """The sub-tables of a list as sources of their own."""

    @abstractmethod
    def part(self, name: str) -> tuple["Source", ...]:
        """A sub-table as a source of its own; none where it is not there."""

    @abstractmethod
    def count(self, name: str) -> int:
        """How many sub-tables a list holds, faulty ones too."""


class FromRaw(Source):
    """The values of a table as TOML gives them; whatever stands there, nothing is raised."""

    def __init__(self, path: Path, raw: object, setting: Setting) -> None:
        self.path, self.unit, self._raw, self._setting = path, setting.unit, raw, setting
        self._values: Raw = raw if isinstance(raw, dict) else {}

    def has(self, name: str) -> bool:
        """Whether the key is there."""
        return name in self._values

    def fits(self, kind: Any) -> bool:
        """Whether the whole of it is a table of this kind."""
        return self._kept(kind, self._raw) is not None

    def word(self, reader: Reader, name: str) -> Any:
        """A single value."""
        return self._read(reader, self._values.get(name))

    def words(self, reader: Reader, name: str) -> tuple[Any, ...] | None:
        """A list of single values."""
        listed = self._values.get(name)
        if not isinstance(listed, list):
            return None
        read = tuple(self._read(reader, value) for value in listed)
        return None if None in read else read

    def table(self, kind: Any, name: str) -> Any:
        """A sub-table."""
        return self._kept(kind, self._values.get(name))

    def tables(self, kind: Any, name: str) -> tuple[tuple[Path, Any], ...]:
        """The readable sub-tables of a list."""
        read = (((*self.path, name, k), self._kept(kind, table)) for k, table in enumerate(self._list(name)))
        return tuple((place, table) for place, table in read if table is not None)

    def parts(self, name: str) -> tuple[Source, ...]:
        """The sub-tables of a list."""
        return tuple(
            FromRaw((*self.path, name, k), table, self._setting) for k, table in enumerate(self._list(name))
        )

    def part(self, name: str) -> tuple[Source, ...]:
        """A sub-table as a source."""
        table = self._values.get(name)
        return (FromRaw((*self.path, name), table, self._setting),) if isinstance(table, dict) else ()

    def count(self, name: str) -> int:
        """How many sub-tables a list holds."""
        return len(self._list(name))

    def _list(self, name: str) -> list[Any]:
        listed = self._values.get(name)
        return listed if isinstance(listed, list) else []

    def _read(self, reader: Reader, value: object) -> Any:
        try:
            return reader.read(value, self._setting)
        except UnfitError:
            return None

    def _kept(self, kind: Any, value: object) -> Any:
        if value is None:
            return None
        try:
            return _adapter(kind).validate_python(value, context=self._setting)
        except ValidationError:
            return None


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


class FromModel(Source):
    """A table that fits its model."""

    def __init__(self, path: Path, table: BaseModel, unit: Unit) -> None:
        self.path, self.unit, self._table = path, unit, table

    def has(self, name: str) -> bool:
        """Whether the key is there."""
        return name in self._table.model_fields_set

    def fits(self, kind: Any) -> bool:
        """It does."""
        return isinstance(self._table, kind)

    def word(self, reader: Reader, name: str) -> Any:
        """A single value."""
        return getattr(self._table, name, None)

    def words(self, reader: Reader, name: str) -> tuple[Any, ...] | None:
        """A list of single values."""
        listed = getattr(self._table, name)
        return None if listed is None else tuple(listed)

    def table(self, kind: Any, name: str) -> Any:
        """A sub-table."""
        return getattr(self._table, name, None)

    def tables(self, kind: Any, name: str) -> tuple[tuple[Path, Any], ...]:
        """The sub-tables of a list."""
        return tuple(((*self.path, name, k), table) for k, table in enumerate(getattr(self._table, name)))

    def parts(self, name: str) -> tuple[Source, ...]:
        """The sub-tables of a list as sources."""
        return tuple(FromModel(place, table, self.unit) for place, table in self.tables(None, name))

    def part(self, name: str) -> tuple[Source, ...]:
        """A sub-table as a source."""
        table = getattr(self._table, name)
        return () if table is None else (FromModel((*self.path, name), table, self.unit),)

    def count(self, name: str) -> int:
        """How many there are."""
        return len(getattr(self._table, name))
