"""Writing changes into a garment file that a person wrote: comments, order and spacing stay.

What did not change stays as it was typed, letter by letter. Each `[[piece]]` goes by itself, with
the comment lines right above it, so that pieces can be put in, taken out and put in another order.
"""

from __future__ import annotations

import difflib
import itertools
import json
import re
import tomllib
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Array, InlineTable

from pieces.errors import PieceError
from pieces.files.toml_text import toml_text, value_text

ORIGIN = "@"
"""Key of a piece that tells which one of the file it was, counted from 0; it is never written."""

LARGEST_WHOLE = 2**53
"""Whole numbers up to this are exact in every JSON."""

_PIECE = re.compile(r"^\s*\[\[\s*piece\s*\]\]")


class UnwrittenError(PieceError):
    """What cannot be written into the file; nothing was."""


def plain(value: Any) -> Any:
    """Return a value of a TOML file as JSON can hold it; what it cannot hold as a text."""
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    if isinstance(value, bool):
        return bool(value)
    if isinstance(value, int):
        return int(value) if abs(value) <= LARGEST_WHOLE else f"{value:#x}"
    if isinstance(value, float):
        return float(value) if abs(value) < float("inf") else str(value)
    return str(value)


def merged_text(former: str | None, data: Mapping[str, Any]) -> str:
    """Return a garment file that says `data`, as near to the former one as can be.

    Parameters
    ----------
    former : str or None
        The file as it was; None for a new one.
    data : mapping
        All keys of the file; pieces that were there bear `ORIGIN`.

    Raises
    ------
    UnwrittenError
        If the former file is no TOML, or the data cannot be written.
    """
    wanted = _without_origins(data)
    if former is None:
        return toml_text(wanted)
    if _read(former) == wanted:
        return former
    head, chunks = pieces_apart(former)
    text = _merged_part(head, {key: value for key, value in data.items() if key != "piece"})
    for piece in data.get("piece", []):
        entry = {key: value for key, value in piece.items() if key != ORIGIN}
        origin = piece.get(ORIGIN)
        if isinstance(origin, int) and 0 <= origin < len(chunks):
            part = _merged_part(chunks[origin], {"piece": [entry]})
        else:
            part = toml_text({"piece": [entry]}).lstrip("\n")
        text = _joined(text, part)
    if _read(text) != wanted:
        raise UnwrittenError("what was typed cannot be written into this file as it stands")
    return text


def pieces_apart(text: str) -> tuple[str, list[str]]:
    """Return the head of a garment file, and each piece with the comment lines right above it."""
    lines = text.splitlines(keepends=True)
    starts = []
    for number, line in enumerate(lines):
        if _PIECE.match(line):
            while number and lines[number - 1].lstrip().startswith("#"):
                number -= 1
            starts.append(number)
    chunks = ["".join(lines[a:b]) for a, b in itertools.pairwise([*starts, len(lines)])]
    return "".join(lines[: starts[0] if starts else len(lines)]), chunks


def _without_origins(data: Mapping[str, Any]) -> dict[str, Any]:
    listed = data.get("piece", [])
    pieces = [{k: v for k, v in piece.items() if k != ORIGIN} for piece in listed]
    return {**data, **({"piece": pieces} if listed else {})}


def _joined(text: str, part: str) -> str:
    """Put a part behind others, with an empty line between."""
    if not text.strip():
        return part
    return f"{text.rstrip()}\n\n{part}"


def _read(text: str) -> Any:
    try:
        return plain(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return None


def _merged_part(text: str, wanted: dict[str, Any]) -> str:
    """One part of the file as it is wanted; written anew where it cannot be merged."""
    if _read(text) == wanted:
        return text
    try:
        document = tomlkit.parse(text)
        if "piece" in wanted:
            _merge_table(document["piece"][0], wanted["piece"][0])
        else:
            _merge_table(document, wanted)
        merged = document.as_string()
    except (TOMLKitError, KeyError, TypeError, ValueError, AttributeError):
        merged = ""
    if _read(merged) == wanted:
        return merged
    notes = [line for line in text.splitlines() if line.lstrip().startswith("#")]
    return "\n".join([*notes, toml_text(wanted).lstrip("\n")])


def _merge_table(table: Any, wanted: dict[str, Any]) -> None:
    for key in list(table):
        if key not in wanted:
            del table[key]
    for key, value in wanted.items():
        if key not in table:
            table[key] = _item(value)
        elif plain(table[key]) != value:
            _merge_value(table, key, value)


def _merge_value(holder: Any, place: Any, value: Any) -> None:
    """Bring one value of a table or an array into line."""
    former = holder[place]
    if isinstance(former, InlineTable) and isinstance(value, dict):
        kept = [key for key in former if key in value]
        holder[place] = _item({key: value[key] for key in dict.fromkeys([*kept, *value])})
    elif isinstance(former, Mapping) and isinstance(value, dict):
        _merge_table(former, value)
    elif isinstance(former, Array) and isinstance(value, list) and _is_worth_merging(former):
        _merge_array(former, value)
    else:
        holder[place] = _item(value)


def _is_worth_merging(array: Array) -> bool:
    """Whether entries are more than a point or two in one line, which are written anew together."""
    return any(isinstance(entry, Mapping) for entry in array) or "\n" in array.as_string()


def _merge_array(array: Array, wanted: list[Any]) -> None:
    former = [json.dumps(plain(entry), sort_keys=True) for entry in array]
    now = [json.dumps(entry, sort_keys=True) for entry in wanted]
    steps = difflib.SequenceMatcher(None, former, now, autojunk=False).get_opcodes()
    for kind, a, b, c, d in reversed(steps):
        if kind == "equal":
            continue
        both = min(b - a, d - c)
        for index in range(b - 1, a + both - 1, -1):
            del array[index]
        for offset in range(c + both, d):
            array.insert(a + offset - c, _item(wanted[offset]))
        for offset in range(both):
            _merge_value(array, a + offset, wanted[c + offset])


def _item(value: Any) -> Any:
    """A value as our own files are written: tables in one line, long lists over several."""
    return tomlkit.value(value_text(value))
