"""Reading TOML with findings: every fault at once, each with its file, piece, field and line."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from pieces.files.json_file import finite
from pieces.files.line_finder import with_lines
from pieces.files.text_file import read_text
from pieces.files.unfit_text import unfit_texts
from pieces.findings import Finding, InputError
from pieces.lengths import (
    LengthError,
    NoUnitError,
    bare_fraction,
    meant_unit,
    parse_length,
    unfit_number,
)
from pieces.slips.explain import explain_toml

T = TypeVar("T")

LARGEST_LINE = 10**9
"""Findings without a line stand after those with one."""

DEEPEST = 20
"""Tables and lists within one another."""

GUESSED_UNIT = "cm"
"""Taken for bare numbers where the file declares no unit, only to read on for other faults."""


_PLACE = '{ edge = "hem", along = "10 cm" }'

TABLES = {
    "slash": _PLACE,
    "split": _PLACE,
    "pleat": _PLACE,
    "tuck": _PLACE,
    "to": _PLACE,
    "facing": '{ of = "front", edge = "neck", width = "6 cm" }',
    "band": '{ along = ["front.waist", "back.waist"], width = "8 cm" }',
    "binding": '{ along = ["front.neck", "back.neck"], width = "3.2 cm" }',
    "strip": '{ length = "70 cm", width = "8 cm" }',
    "shorten": '{ edge = "hem", by = "2 cm" }',
    "lengthen": '{ edge = "hem", by = "2 cm" }',
    "joinable": '{ min_part = "25 cm", allowance = "1 cm" }',
    "allowances": '{ hem = "3 cm" }',
    "arc": '{ to = [0, 20], radius = 20, turn = "left" }',
    "shrinkage": '{ along = "4 %", across = "2 %" }',
    "price": '{ amount = 12.50, currency = "EUR" }',
    "sold": '{ by = "metre", step = "10 cm" }',
    "repeat": '{ along = "6 cm", across = "6 cm", axis = "middle" }',
}
"""How tables are written, for those who write a single value instead."""


def read_toml(path: Path, findings: list[Finding] | None = None) -> dict[str, Any]:
    """Read a TOML file into a dict.

    Slips of typing are added to `findings` and the file is read as if they were put right, where
    that can be told; without `findings` they are raised.

    Raises
    ------
    InputError
        If it cannot be read, is empty, is no text, or nothing can be made of it.
    """
    slips, data = explain_toml(read_text(path), str(path))
    if data is None or (slips and findings is None):
        raise InputError(slips)
    if not _is_shallow(data):
        raise InputError([Finding(str(path), f"is nested deeper than {DEEPEST} tables")])
    slips += unfit_texts(data, str(path))
    if findings is None and slips:
        raise InputError(slips)
    if findings is not None:
        findings += slips
    return data


def _is_shallow(data: dict[str, Any]) -> bool:
    """Whether no table or list lies deeper than `DEEPEST`; nothing of ours does."""
    level: list[Any] = [data]
    for _ in range(DEEPEST):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, dict | list)
        ]
    return not level


def load_sound(read: Callable[[Path], tuple[T | None, list[Finding]]], path: Path) -> T:
    """Return what a reader makes of a file.

    Raises
    ------
    InputError
        With every fault that the reader found.
    """
    return load_with_questions(read, path)[0]


def load_with_questions(
    read: Callable[[Path], tuple[T | None, list[Finding]]], path: Path
) -> tuple[T, list[Finding]]:
    """Return what a reader makes of a file, and what it would ask about it.

    Raises
    ------
    InputError
        With every fault that the reader found.
    """
    value, findings = read(path)
    fatal = [finding for finding in findings if finding.fatal]
    if fatal or value is None:
        raise InputError(in_order(fatal, path))
    return value, in_order(findings, path) if findings else []


def list_findings(
    read: Callable[[Path], tuple[T | None, list[Finding]]], path: Path
) -> list[Finding]:
    """List everything that a reader finds wrong or questionable with a file."""
    try:
        return in_order(read(path)[1], path)
    except InputError as error:
        return list(error.findings)


def in_order(findings: list[Finding], path: Path) -> list[Finding]:
    """Return findings with their lines, each once, as they stand in the file.

    What follows from a slip on the same line is left out: the slip explains it.
    """
    slips = {finding.line for finding in findings if finding.line is not None}
    located = with_lines(findings, read_text(path))
    kept = [
        finding
        for finding, given in zip(located, findings, strict=True)
        if given.line is not None or finding.line not in slips
    ]
    return sorted(dict.fromkeys(kept), key=lambda f: (not f.fatal, f.line or LARGEST_LINE))


LONGEST_NUMBER_BITS = 200
"""Whole numbers of more bits are not spelt."""


def as_typed(value: Any) -> str:
    """Return a value as it is typed in TOML, for messages."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(map(as_typed, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{k} = {as_typed(v)}' for k, v in value.items())} }}"
    if isinstance(value, int) and value.bit_length() > LONGEST_NUMBER_BITS:
        # Python refuses to spell thousands of digits, which TOML takes in hexadecimal.
        return "a huge number"
    return str(value)


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
        self.meant: set[str] = set()
        """Known keys that misspelt ones were probably meant to be."""

    def fault(self, field: str, message: str, fix: str | None = None, fatal: bool = True) -> None:
        """Record something wrong with a field; that it is missing only if it was not misspelt."""
        if message.startswith("is missing") and field in self.meant:
            return
        self.findings.append(
            Finding(self.file, message, self.piece, self.prefix + field, fix, fatal=fatal)
        )

    def known(self, keys: Iterable[str]) -> None:
        """Record every key that is not among the known ones, with the nearest."""
        known = list(keys)
        for key in self.data:
            if key not in known:
                near = difflib.get_close_matches(key.lower(), known, n=1, cutoff=0.4)
                self.meant.update(near)
                fix = f"did you mean '{near[0]}'?" if near else f"known keys: {', '.join(known)}"
                self.fault(key, f"unknown key '{key}'", fix)

    def has(self, field: str) -> bool:
        """Whether a field is there."""
        return field in self.data

    def text(self, field: str, default: str = "", choices: Sequence[str] = ()) -> str:
        """Return a string field, one of `choices` if any are given."""
        value = self.data.get(field, default)
        if not isinstance(value, str):
            listed = ", ".join(f'"{choice}"' for choice in choices)
            hint = f"one of {listed}" if listed else "put it in quotes"
            self.fault(field, f"{as_typed(value)} is not text", hint)
            return default
        allowed = list(choices)
        if allowed and field in self.data and value not in allowed:
            near = difflib.get_close_matches(value.lower(), allowed, n=1, cutoff=0.4)
            hint = f"did you mean '{near[0]}'? " if near else ""
            self.fault(field, f"'{value}' is not known", f"{hint}one of {', '.join(allowed)}")
            return default
        return value

    def flag(self, field: str, default: bool = False) -> bool:
        """Return a true/false field."""
        value = self.data.get(field, default)
        if not isinstance(value, bool):
            self.fault(field, f"{as_typed(value)} is neither true nor false", "write true or false")
            return default
        return value

    def number(self, field: str, default: float | None = None) -> float | None:
        """Return a number field."""
        value = self.data.get(field, default)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            figure = re.search(r"\d+(?:\.\d+)?", value) if isinstance(value, str) else None
            hint = f"write {field} = {figure[0]}, a figure without quotes" if figure else None
            self.fault(field, f"{as_typed(value)} is not a number", hint)
            return default
        if self._unfit(field, value):
            return default
        return finite(value)

    def _unfit(self, field: str, value: float) -> bool:
        """Whether a number is none that anything can be measured by, which is then told."""
        unfit = unfit_number(value)
        if unfit:
            self.fault(field, unfit, "write a figure, such as 12.5")
        return bool(unfit)

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
            self.fault(field, f"{as_typed(value)} is not a length", "write a number with a unit")
            return default
        try:
            length = parse_length(value, self.unit, signed)
        except NoUnitError:
            self._unit_missing(field, value)
            return self.length_of(field, f"{value} {GUESSED_UNIT}", default, signed, positive)
        except LengthError as error:
            self.fault(field, str(error))
            return default
        if isinstance(value, str) and self.unit and bare_fraction(value, self.unit):
            self.fault(
                field,
                f"'{value}' is taken as {value.strip()} {self.unit}; are inches meant?",
                f'write "{value.strip()} in"',
                fatal=False,
            )
        if positive and length <= 0.0:
            self.fault(field, f"'{value}' must be more than 0")
            return default
        return length

    def _unit_missing(self, field: str, value: Any) -> None:
        """Say once for the whole file that bare numbers need a unit."""
        if any(f.field == "units" and f.piece is None for f in self.findings):
            return
        where = f"{self.prefix}{field}" + (f" of '{self.piece}'" if self.piece else "")
        self.findings.append(
            Finding(
                self.file,
                f"is missing, and {as_typed(value)} ({where}) has no unit",
                field="units",
                fix='write units = "cm" (or mm, in) at the head of the file, or a unit with each '
                "length",
                line=1,
            )
        )

    def point(self, field: str, value: Any) -> tuple[float, float] | None:
        """Return a pair of signed lengths in mm."""
        if not isinstance(value, list) or len(value) != 2:
            self.fault(field, f"{as_typed(value)} is not a point", _point_hint(value))
            return None
        x = self.length_of(field, value[0], None, signed=True)
        y = self.length_of(field, value[1], None, signed=True)
        return None if x is None or y is None else (x, y)

    def percent(self, field: str) -> float:
        """Return a percentage field (`"4 %"` or 4) as a fraction in [0, 1)."""
        value = self.data.get(field, 0)
        if isinstance(value, str) and re.fullmatch(r"\s*\d+(\.\d+)?\s*%?\s*", value):
            value = float(value.strip().rstrip("%"))
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.fault(field, f"{as_typed(value)} is not a percentage", 'write 4 or "4 %"')
            return 0.0
        if self._unfit(field, value):
            return 0.0
        if not 0.0 <= value < 100.0:
            self.fault(
                field,
                f"{as_typed(value)[:20]} % would leave nothing or is negative",
                "0 % up to below 100 %",
            )
            return 0.0
        return float(value) / 100.0

    def table(self, field: str) -> Table | None:
        """Return a sub-table, or None if it is not there."""
        if field not in self.data:
            return None
        value = self.data[field]
        if not isinstance(value, dict):
            self.fault(
                field,
                f"{as_typed(value)} says too little",
                f"write {field} = {TABLES.get(field, '{ ... }')}",
            )
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
            self.unit = name
        except LengthError:
            meant = meant_unit(name)
            hint = f'did you mean "{meant}"? ' if meant else ""
            self.fault("units", f"'{name}' is no unit", f"{hint}one of mm, cm, m, in, ft, yd")
            self.unit = meant or GUESSED_UNIT


def _point_hint(value: Any) -> str:
    """How a point is written, and what one with three or four numbers was probably meant to be."""
    whole = isinstance(value, list) and all(isinstance(v, int) for v in value)
    if whole and len(value) == 3:
        x, y, z = value
        return f"write [x, y]; with a decimal point, [{x}.{y}, {z}] or [{x}, {y}.{z}]"
    if whole and len(value) == 4:
        x, y, z, w = value
        return f"write [x, y]; with a decimal point, [{x}.{y}, {z}.{w}], or two points"
    return "write [x, y]"


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint that names what is known, the nearest first."""
    names = list(known)
    if not names:
        return "there are none"
    near = difflib.get_close_matches(name, names, n=1, cutoff=0.4)
    listed = ", ".join(names)
    return f"did you mean '{near[0]}'? known: {listed}" if near else f"known: {listed}"
