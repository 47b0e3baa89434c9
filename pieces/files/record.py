"""The one way between values of ours and plain data for JSON, told once for both directions.

A `Record` is a table: each `Entry` says what a field is called in the file, which attribute it is,
and its `Kind`, which knows how such a value is written and how it is read with findings. Names in
files, rounding and what older files lack stand there and nowhere else.

Reading goes through `Fields`, so that every fault is told at once, with its path and its remedy,
and ranges, lengths of lists and sound outlines are looked at on the way.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum, auto
from operator import attrgetter
from typing import Any, Generic, Protocol, TypeVar

from pieces.files.json_file import NOTHING, Fields

T = TypeVar("T")

WHOLE = "."
"""Attribute of what is written from the value itself; what is read is named as in the file."""


class Cell(Enum):
    """How a value stands in one cell of a table."""

    TEXT = auto()
    FLAG = auto()
    FIGURE = auto()
    SEVERAL = auto()
    """Not in one cell as it is: a list, a group, an outline."""


@dataclass(frozen=True)
class Kind:
    """What sort of value a field holds: how it is read from its field, and how it is written."""

    read: Callable[[Fields, str], Any]
    write: Callable[[Any], Any]
    cell: Cell = Cell.SEVERAL


@dataclass(frozen=True)
class Entry:
    """One field of a record.

    Parameters
    ----------
    name : str
        What it is called in the file.
    kind : Kind
    attribute : str
        Attribute of the value, with dots for one of an inner value; the same name if empty;
        `WHOLE` for the value itself.
    older : object
        What stands in for it where older files lack it; by default it must be there.
    told : bool
        Whether it is only written: it follows from others, or is read with what surrounds it.
    spared : bool
        Whether it is written only where it is not what older files stand for.
    """

    name: str
    kind: Kind
    attribute: str = ""
    older: Any = NOTHING
    told: bool = False
    spared: bool = False

    @property
    def key(self) -> str:
        """What it is called among the values that were read."""
        return self.name if self.attribute in ("", WHOLE) else self.attribute

    def of(self, value: Any) -> Any:
        """What a value has there."""
        return value if self.attribute == WHOLE else attrgetter(self.key)(value)


@dataclass(frozen=True)
class Group:
    """Fields of the same value that stand in an object of their own in the file."""

    name: str
    entries: tuple[Entry | Group, ...]


class Converter(Protocol):
    """What an inner value is written and read with."""

    def read(self, data: Fields) -> Any:
        """Read a value; what is wrong goes to the findings of `data`."""

    def write(self, value: Any) -> dict[str, Any]:
        """Return a value as plain data."""


@dataclass(frozen=True)
class Record(Generic[T]):
    """All fields of one type, in the order of the file.

    Parameters
    ----------
    type : type
        What is made; it takes the attributes by name.
    entries : tuple of Entry or Group
    check : callable, optional
        Looks at what was read and what only all of it tells; gives what the type takes.
    present : callable, optional
        Brings what older versions wrote into the present form.
    """

    type: Callable[..., T]
    entries: tuple[Entry | Group, ...]
    check: Callable[[Fields, dict[str, Any]], dict[str, Any]] | None = field(default=None)
    present: Callable[[dict[str, Any]], dict[str, Any]] | None = field(default=None)

    def write(self, value: Any) -> dict[str, Any]:
        """Return a value as plain data; ValueError for a figure that is none."""
        return _written(self.entries, value)

    def read(self, data: Fields) -> T:
        """Read a value; what is wrong goes to the findings of `data`."""
        values = self.values(data)
        return self.type(**(values if self.check is None else self.check(data, values)))

    def values(self, data: Fields) -> dict[str, Any]:
        """Read all that stands by itself, by attribute."""
        found: dict[str, Any] = {}
        if self.present is not None and data.is_object:
            data.data = self.present(dict(data.data))
        _read(self.entries, data, found)
        return found

    def kinds(self) -> Mapping[str, Kind]:
        """Kinds of the fields at the top, by their names in the file."""
        return {one.name: one.kind for one in self.entries if isinstance(one, Entry)}


def taken_out(values: dict[str, Any], attribute: str) -> dict[str, Any]:
    """Take what was read of an inner value out of the values, by its own attributes."""
    dotted = [key for key in values if key.startswith(f"{attribute}.")]
    return {key.removeprefix(f"{attribute}."): values.pop(key) for key in dotted}


def _written(entries: tuple[Entry | Group, ...], value: Any) -> dict[str, Any]:
    return {
        one.name: _written(one.entries, value)
        if isinstance(one, Group)
        else one.kind.write(one.of(value))
        for one in entries
        if isinstance(one, Group) or not one.spared or one.of(value) != one.older
    }


def _read(entries: tuple[Entry | Group, ...], data: Fields, found: dict[str, Any]) -> None:
    for one in entries:
        if isinstance(one, Group):
            _read(one.entries, data.fields(one.name), found)
        elif not one.told:
            lacking = one.older is not NOTHING and one.name not in data
            found[one.key] = one.older if lacking else one.kind.read(data, one.name)
