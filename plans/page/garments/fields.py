"""At which field of the form a finding stands: as exactly as what was typed can tell."""

from __future__ import annotations

import re
from typing import Any

from pieces.findings import Finding
from pieces.lengths import LengthError, NoUnitError, parse_length

_PART = re.compile(r"([^.\[\]]+)|\[(\d+)\]")

_OF_EDGE = re.compile(r"edges\[\d+\]\.(to|smooth)")

AXES = ("x", "y")
"""Names of the two fields of a point."""


def placed(finding: Finding, data: dict[str, Any]) -> dict[str, Any]:
    """A finding as the page shows it: number of its piece, its field, its words."""
    number, field = _place(finding, data)
    unit = data.get("units") if isinstance(data.get("units"), str) else None
    where: Any = data
    if number is not None:
        where = data["piece"][number]
    words = f"{finding.message} ({finding.fix})" if finding.fix else finding.message
    return {
        "kind": finding.kind,
        "piece": number,
        "name": finding.piece or "",
        "field": _at_point(field, _looked_up(where, field), unit),
        "words": words,
    }


def _place(finding: Finding, data: dict[str, Any]) -> tuple[int | None, str]:
    """Number of the piece, counted from 0, and the field in it."""
    field = finding.field or ""
    pieces = data.get("piece")
    if not isinstance(pieces, list):
        return None, field
    nth = re.match(r"piece\[(\d+)\]\.?(.*)", field)
    if nth and 0 < int(nth[1]) <= len(pieces):
        return int(nth[1]) - 1, nth[2]
    if finding.piece is not None:
        for number, piece in enumerate(pieces):
            if isinstance(piece, dict) and piece.get("name") == finding.piece:
                return number, field
    return None, field


def _looked_up(data: Any, field: str) -> Any:
    """What stands in a field: `edges[2].to`; None where nothing does."""
    for key, index in _PART.findall(field):
        if index:
            k = int(index) - 1
            data = data[k] if isinstance(data, list) and 0 <= k < len(data) else None
        else:
            data = data.get(key) if isinstance(data, dict) else None
    return data


def _at_point(field: str, value: Any, unit: str | None) -> str:
    """As `_pinned`; the one point of a straight edge counts as the first of several."""
    flat = isinstance(value, list) and not any(isinstance(entry, list) for entry in value)
    if flat and _OF_EDGE.fullmatch(field):
        return _pinned(field, [value], unit)
    return _pinned(field, value, unit)


def _pinned(field: str, value: Any, unit: str | None) -> str:
    """The coordinate that cannot be read among those of a point or of several."""
    if not isinstance(value, list):
        return field
    if len(value) == 2 and not any(isinstance(entry, list | dict) for entry in value):
        wrong = [axis for axis, one in zip(AXES, value, strict=True) if not _is_length(one, unit)]
        return f"{field}.{wrong[0]}" if wrong else field
    for number, entry in enumerate(value, start=1):
        inner = f"{field}[{number}]"
        found = _pinned(inner, entry, unit)
        if found != inner:
            return found
    return field


def _is_length(value: Any, unit: str | None) -> bool:
    if not isinstance(value, str | int | float):
        return False
    try:
        parse_length(value, unit, signed=True)
    except NoUnitError:
        return True
    except LengthError:
        return False
    return True
