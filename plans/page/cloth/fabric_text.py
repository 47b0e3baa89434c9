"""The text of a fabric file: its fields read for a form, and corrected with all else as it was."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from plans.errors import PlanError
from plans.page.cloth.fabric_fields import FIELDS, FLAW, Field, Kind

Flaw = Mapping[str, str]

Value = str | bool
"""What a form holds: text, or whether a box is ticked."""


class FabricTextError(PlanError):
    """A file that is no TOML, so that a form cannot correct it."""


@dataclass(frozen=True)
class Typed:
    """What a form says of a fabric: values by key, and its flaws."""

    values: Mapping[str, Value]
    flaws: tuple[Flaw, ...]


def typed_of(text: str) -> Typed:
    """Read the fields of a file as a form shows them.

    Raises
    ------
    FabricTextError
    """
    data = _parsed(text)
    flaws = data.get("flaws", [])
    rows = [row for row in flaws if isinstance(row, dict)] if isinstance(flaws, list) else []
    return Typed(
        {field.key: _shown(_at(data, field.key), field) for field in FIELDS},
        tuple({field.key: _text(row.get(field.key)) for field in FLAW} for row in rows),
    )


def corrected(text: str, typed: Typed) -> str:
    """Put what differs into a file; comments, order and everything else stay.

    Raises
    ------
    FabricTextError
        If the file is no TOML.
    """
    before = typed_of(text)
    data = _parsed(text)
    for field in FIELDS:
        value = typed.values.get(field.key, before.values[field.key])
        if value != before.values[field.key]:
            _put(data, field.key, _in_file(value, field))
    if tuple(map(dict, typed.flaws)) != tuple(map(dict, before.flaws)):
        _put_flaws(data, before.flaws, typed.flaws)
    return tomlkit.dumps(data)


def _parsed(text: str) -> Any:
    try:
        return tomlkit.parse(text)
    except (TOMLKitError, ValueError, RecursionError) as error:
        raise FabricTextError(
            f"the file is no TOML ({error}); mend it in an editor, or take it away"
        ) from error


def _at(data: Any, key: str) -> Any:
    first, _, second = key.partition(".")
    value = data.get(first)
    if not second:
        return value
    return value.get(second) if isinstance(value, dict) else None


def _shown(value: Any, field: Field) -> Value:
    if field.kind is Kind.FLAG:
        return value is True or getattr(value, "value", None) is True
    if value is None and field.choices:
        return field.choices[0][0]
    return _text(value)


def _text(value: Any) -> str:
    if value is None or isinstance(value, (dict, list)):
        return ""
    return value.as_string() if hasattr(value, "trivia") and not isinstance(value, str) else str(
        value
    )  # fmt: skip


def _in_file(value: Value, field: Field) -> Any:
    """A value as it stands in a file; None where nothing needs to."""
    if field.kind is Kind.FLAG:
        return True if value is True else None
    text = str(value).strip()
    if not text or (field.choices and text == field.choices[0][0]):
        return None
    if field.kind is Kind.NUMBER and re.fullmatch(r"\d{1,15}([.,]\d{1,15})?", text):
        return tomlkit.value(_figure(text.replace(",", ".")))
    if field.kind is Kind.LINES and "\n" in text:
        return tomlkit.string(text, multiline=True) if '"""' not in text else text
    return text


def _figure(text: str) -> str:
    """A number that is valid TOML: no leading zeros."""
    whole, dot, rest = text.partition(".")
    return f"{int(whole)}{dot}{rest}"


def _put(data: Any, key: str, value: Any) -> None:
    first, _, second = key.partition(".")
    if not second:
        _set(data, first, value)
        return
    table = data.get(first)
    if not isinstance(table, dict):
        if value is None:
            return
        table = tomlkit.inline_table()
        _set(table, second, value)
        _set(data, first, table)
        return
    _set(table, second, value)
    if not table:
        del data[first]


def _set(table: Any, key: str, value: Any) -> None:
    if value is not None:
        table[key] = value
    elif key in table:
        del table[key]


def _put_flaws(data: Any, before: tuple[Flaw, ...], after: tuple[Flaw, ...]) -> None:
    """Correct rows where they stand; what comes new goes behind, what is too many goes."""
    rows = data.get("flaws")
    if not after:
        if rows is not None:
            del data["flaws"]
        return
    if not isinstance(rows, list) or len(rows) != len(before):
        rows = tomlkit.aot()
        data["flaws"] = rows
        before = ()
    rows = data["flaws"]
    while len(rows) > len(after):
        del rows[len(rows) - 1]
    for k, flaw in enumerate(after):
        if k >= len(rows):
            one = tomlkit.table() if isinstance(rows, tomlkit.items.AoT) else tomlkit.inline_table()
            for field in FLAW:
                _set(one, field.key, flaw.get(field.key, "") or None)
            rows.append(one)
            continue
        for field in FLAW:
            value = flaw.get(field.key, "")
            if value != before[k].get(field.key, ""):
                _set(rows[k], field.key, value or None)
