"""At which field of the form a finding stands: as exactly as what was typed can tell."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from pieces.findings import Finding
from pieces.lengths import LengthError, NoUnitError, parse_length
from plans.page.garments.form_words import (
    PART,
    asked_words,
    message_words,
    place_words,
    remedy_words,
)

_OF_EDGE = re.compile(r"edges\[\d+\]\.(to|smooth)")

_OF_NAMES = ("along", "dart", "close", "than", "turned_up", "edge", "leave", "sizes")
"""Fields that list names: what stands in one field of the form."""

_SAYS_EMPTY = re.compile(r"""^(?:'\s*'|"\s*") """)

_NONE_CUT = "no piece says how often it is cut"
"""Asked at the end only: pieces of which little was typed yet say nothing of it."""

AXES = ("x", "y")
"""Names of the two fields of a point."""

EMPTY = "empty"
"""Kind of what is still to be typed, which is no error until the whole is to be put away."""


def told(
    findings: Iterable[Finding], data: dict[str, Any], finished: bool = False, size: str = ""
) -> list[dict[str, Any]]:
    """Findings as the page shows them, each once: number of the piece, size, field, place, words.

    Parameters
    ----------
    findings : iterable of Finding
    data : dict
        What the file would say.
    finished : bool
        Whether what is empty is at fault; while it is being typed it is asked for only.
    size : str
        In which size they were found; empty for the one that is drawn.
    """
    shown: dict[tuple[Any, ...], dict[str, Any]] = {}
    for finding in findings:
        for one in _placed(finding, data, finished):
            shown.setdefault((one["piece"], one["field"], one["words"]), {**one, "size": size})
    return worst_first(shown.values())


def worst_first(shown: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """What is to be mended, then what is asked, then what is empty."""
    return sorted(shown, key=lambda one: ("error", "question", EMPTY).index(one["kind"]))


def _placed(finding: Finding, data: dict[str, Any], finished: bool) -> list[dict[str, Any]]:
    number, field = _place(finding, data)
    unit = data.get("units") if isinstance(data.get("units"), str) else None
    where = data if number is None else data["piece"][number]
    value = _looked_up(where, field)
    head = {"piece": number, "name": finding.piece or ""}
    if finding.message.startswith(_NONE_CUT) and not finished:
        return []
    empty = _empty(finding, field, value)
    if empty:
        kind, said = ("error", "is empty: ") if finished else (EMPTY, "")
        return [
            {
                **head, "kind": kind, "field": at,
                "place": place_words(at.rpartition(".")[0] if both else at),
                "words": f"{said}{asked_words(at, both)}",
            }
            for at, both in empty
        ]  # fmt: skip
    at = _at_point(field, value, unit)
    message, remedy = message_words(finding.message), remedy_words(finding.fix)
    words = f"{message} ({remedy})" if remedy else message
    return [{**head, "kind": finding.kind, "field": at, "place": place_words(at), "words": words}]


def _empty(finding: Finding, field: str, value: Any) -> list[tuple[str, bool]]:
    """Fields that are empty, if that is what a finding is about; a point is told in one."""
    if not finding.fatal or finding.message.startswith("is missing, and"):
        return []
    if value is None:
        return [(field, False)] if finding.message.startswith("is missing") else []
    found = _blanks(field, value)
    whole = isinstance(value, list | dict) and not _is_blank(value)
    return found if not whole or _SAYS_EMPTY.match(finding.message) else []


def _lists_names(field: str) -> bool:
    return field.startswith("sew") or field.rpartition(".")[2] in _OF_NAMES


def _is_blank(value: Any) -> bool:
    if isinstance(value, list):
        return all(map(_is_blank, value))
    return value is None or (isinstance(value, str) and not value.strip())


def _blanks(field: str, value: Any) -> list[tuple[str, bool]]:
    """Empty fields within a value, each with whether both of a point are."""
    if not isinstance(value, list):
        return [(field, False)] if _is_blank(value) else []
    if value and field.startswith("sew"):
        return [(f"{field}.{n}", False) for n, one in enumerate(value, 1) if _is_blank(one)]
    if not value or _lists_names(field):
        return [(field, False)] if not value or any(map(_is_blank, value)) else []
    if any(isinstance(one, list) for one in value):
        return [at for n, one in enumerate(value, 1) for at in _blanks(f"{field}[{n}]", one)]
    point = f"{field}[1]" if _OF_EDGE.fullmatch(field) else field
    blank = [axis for axis, one in zip(AXES, value, strict=False) if _is_blank(one)]
    return [(f"{point}.{blank[0]}", len(blank) > 1)] if blank else []


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
    for key, index in PART.findall(field):
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
    if not isinstance(value, list) or _lists_names(field):
        return field
    if len(value) == 2 and not any(isinstance(entry, list | dict) for entry in value):
        wrong = [
            axis
            for axis, one in zip(AXES, value, strict=True)
            if not _is_blank(one) and not _is_length(one, unit)
        ]
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
