"""The text of a fabric file: its fields read for a form, and corrected with all else as it was."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pieces.files.toml_merge import merged_text, plain
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
    data = plain(_parsed(text))
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
    FabricTextError, UnwrittenError
        If the file is no TOML, or what is typed cannot be written into it.
    """
    before = typed_of(text)
    data = plain(_parsed(text))
    for field in FIELDS:
        value = typed.values.get(field.key, before.values[field.key])
        if value != before.values[field.key]:
            _put(data, field.key, _in_file(value, field))
    flaws = [{key: value for key, value in flaw.items() if value} for flaw in typed.flaws]
    if list(map(dict, typed.flaws)) != list(map(dict, before.flaws)):
        _put(data, "flaws", flaws or None)
    return merged_text(text, data)


def _parsed(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
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
        return value is True
    if value is None and field.choices:
        return field.choices[0][0]
    return _text(value)


def _text(value: Any) -> str:
    if value is None or isinstance(value, (dict, list)):
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)


def _in_file(value: Value, field: Field) -> Any:
    """A value as it stands in a file; None where nothing needs to."""
    if field.kind is Kind.FLAG:
        return True if value is True else None
    text = str(value).strip()
    if not text or (field.choices and text == field.choices[0][0]):
        return None
    if field.kind is Kind.NUMBER and re.fullmatch(r"\d{1,15}([.,]\d{1,15})?", text):
        return float(text.replace(",", "."))
    return text


def _put(data: dict[str, Any], key: str, value: Any) -> None:
    """Set a value, in a table of the file if its key has two parts; None takes it out."""
    first, _, second = key.partition(".")
    holder, name = data, first
    if second:
        name = second
        holder = data.get(first, {})
        if not isinstance(holder, dict):
            holder = {}
    if value is None:
        holder.pop(name, None)
    else:
        holder[name] = value
    if second and holder:
        data[first] = holder
    elif second:
        data.pop(first, None)
