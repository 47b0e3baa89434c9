"""Reading TOML with findings: every fault at once, each with its file, piece, field and line."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

from pieces.findings import Finding, InputError
from pieces.lengths import LengthError, parse_length

T = TypeVar("T")

LARGEST_FILE_BYTES = 5_000_000
"""Files above this are no garment or fabric files."""


def read_toml(path: Path) -> dict[str, Any]:
    """Read a TOML file into a dict.

    Raises
    ------
    InputError
        If it cannot be read, is empty, is no text, or is no TOML (with the line).
    """
    name = str(path)
    try:
        if path.is_dir():
            raise InputError([Finding(name, "is a folder", fix="name a file in it")])
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise InputError([Finding(name, "is too large to be a garment or fabric file")])
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise InputError(
            [Finding(name, "is not a text file in UTF-8", fix="save it as UTF-8 text")]
        ) from error
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError([Finding(name, f"cannot be read: {reason}")]) from error
    if not text.strip():
        raise InputError([Finding(name, "is empty", fix="it needs at least a title")])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+)", str(error))
        line = int(found.group(1)) if found else text.count("\n") + 1
        reason = re.sub(r"\s*\(at .*\)$", "", str(error))
        raise InputError([Finding(name, f"is not valid TOML: {reason}", line=line)]) from error


def load_sound(read: Callable[[Path], tuple[T | None, list[Finding]]], path: Path) -> T:
    """Return what a reader makes of a file.

    Raises
    ------
    InputError
        With every fault that the reader found.
    """
    value, findings = read(path)
    fatal = [finding for finding in findings if finding.fatal]
    if fatal or value is None:
        raise InputError(fatal)
    return value


def list_findings(
    read: Callable[[Path], tuple[T | None, list[Finding]]], path: Path
) -> list[Finding]:
    """List everything that a reader finds wrong or questionable with a file."""
    try:
        return read(path)[1]
    except InputError as error:
        return list(error.findings)


class Table:
    """One TOML table being read: typed fields, with findings instead of exceptions."""

    def __init__(
        self,
        data: dict[str, Any],
        file: str,
        findings: list[Finding],
        piece: str | None = None,
        prefix: str = "",
        unit: str | None = None,
    ) -> None:
        self.data = data
        self.file = file
        self.findings = findings
        self.piece = piece
        self.prefix = prefix
        self.unit = unit

    def fault(self, field: str, message: str, fix: str | None = None, fatal: bool = True) -> None:
        """Record something wrong with a field."""
        self.findings.append(
            Finding(self.file, message, self.piece, self.prefix + field, fix, fatal=fatal)
        )

    def known(self, keys: Iterable[str]) -> None:
        """Record every key that is not among the known ones, with the nearest."""
        known = list(keys)
        for key in self.data:
            if key not in known:
                near = difflib.get_close_matches(key, known, n=1, cutoff=0.4)
                fix = f"did you mean '{near[0]}'?" if near else f"known keys: {', '.join(known)}"
                self.fault(key, f"unknown key '{key}'", fix)

    def has(self, field: str) -> bool:
        """Whether a field is there."""
        return field in self.data

    def text(self, field: str, default: str = "", choices: Iterable[str] = ()) -> str:
        """Return a string field, one of `choices` if any are given."""
        value = self.data.get(field, default)
        if not isinstance(value, str):
            self.fault(field, f"{value!r} is not text", "put it in quotes")
            return default
        allowed = list(choices)
        if allowed and field in self.data and value not in allowed:
            near = difflib.get_close_matches(value, allowed, n=1, cutoff=0.4)
            hint = f"did you mean '{near[0]}'? " if near else ""
            self.fault(field, f"'{value}' is not known", f"{hint}one of {', '.join(allowed)}")
            return default
        return value

    def flag(self, field: str, default: bool = False) -> bool:
        """Return a true/false field."""
        value = self.data.get(field, default)
        if not isinstance(value, bool):
            self.fault(field, f"{value!r} is neither true nor false", "write true or false")
            return default
        return value

    def number(self, field: str, default: float | None = None) -> float | None:
        """Return a number field."""
        value = self.data.get(field, default)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.fault(field, f"{value!r} is not a number")
            return default
        return float(value)

    def length(
        self,
        field: str,
        default: float | None = None,
        signed: bool = False,
        positive: bool = False,
    ) -> float | None:
        """Return a length field in mm."""
        if field not in self.data:
            return default
        return self.length_of(field, self.data[field], default, signed, positive)

    def length_of(
        self,
        field: str,
        value: Any,
        default: float | None = None,
        signed: bool = False,
        positive: bool = False,
    ) -> float | None:
        """Return a value as a length in mm."""
        if not isinstance(value, (str, int, float)):
            self.fault(field, f"{value!r} is not a length", "write a number with a unit")
            return default
        try:
            length = parse_length(value, self.unit, signed)
        except LengthError as error:
            self.fault(field, str(error))
            return default
        if positive and length <= 0.0:
            self.fault(field, f"'{value}' must be more than 0")
            return default
        return length

    def point(self, field: str, value: Any) -> tuple[float, float] | None:
        """Return a pair of signed lengths in mm."""
        if not isinstance(value, list) or len(value) != 2:
            self.fault(field, f"{value!r} is not a point", "write [x, y]")
            return None
        # Nought is nought in every unit.
        value = ["0 mm" if part == 0 and part is not False else part for part in value]
        x = self.length_of(field, value[0], None, signed=True)
        y = self.length_of(field, value[1], None, signed=True)
        return None if x is None or y is None else (x, y)

    def percent(self, field: str) -> float:
        """Return a percentage field (`"4 %"` or 4) as a fraction in [0, 1)."""
        value = self.data.get(field, 0)
        if isinstance(value, str) and re.fullmatch(r"\s*\d+(\.\d+)?\s*%?\s*", value):
            value = float(value.strip().rstrip("%"))
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.fault(field, f"{value!r} is not a percentage", 'write 4 or "4 %"')
            return 0.0
        if not 0.0 <= value < 100.0:
            self.fault(
                field, f"{value:g} % would leave nothing or is negative", "0 % up to below 100 %"
            )
            return 0.0
        return float(value) / 100.0

    def table(self, field: str) -> Table | None:
        """Return a sub-table, or None if it is not there."""
        if field not in self.data:
            return None
        value = self.data[field]
        if not isinstance(value, dict):
            self.fault(field, f"{value!r} is not a table", f"write {field} = {{ ... }}")
            return None
        return Table(
            value, self.file, self.findings, self.piece, f"{self.prefix}{field}.", self.unit
        )

    def unit_field(self) -> None:
        """Read the file's declared unit, which bare numbers then take."""
        name = self.text("units", "")
        if not name:
            return
        try:
            parse_length("1 " + name)
        except LengthError as error:
            self.fault("units", str(error), "mm, cm, m, in or yd")
            return
        self.unit = name


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint that names what is known, the nearest first."""
    names = list(known)
    near = difflib.get_close_matches(name, names, n=1, cutoff=0.4)
    listed = ", ".join(names)
    return f"did you mean '{near[0]}'? known: {listed}" if near else f"known: {listed}"
