"""Writing TOML as a person would type it: short tables in one line, long lists over several."""

from __future__ import annotations

import json
import re
from typing import Any

WIDTH = 98
"""A list or table that would be wider is broken over several lines."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_text(data: dict[str, Any], comment: str = "") -> str:
    """Write a table as TOML; a list of tables at its head becomes `[[name]]` tables.

    Parameters
    ----------
    data : dict
        Texts, numbers, truth values, lists and tables.
    comment : str
        Put at the head, every line behind a `#`.
    """
    lines = [f"# {line}".rstrip() for line in comment.splitlines()]
    tables = {key: value for key, value in data.items() if _is_list_of_tables(value)}
    for key, value in data.items():
        if key not in tables:
            lines.append(f"{_key(key)} = {_value(value, len(key) + 3)}")
    for key, entries in tables.items():
        for entry in entries:
            lines += ["", f"[[{_key(key)}]]", *_table_lines(entry, key)]
    return "\n".join(lines) + "\n"


def value_text(value: Any) -> str:
    """Write one value as it stands behind `key = `."""
    return _value(value, 0)


def _table_lines(table: dict[str, Any], path: str) -> list[str]:
    """Lines of a table: what is in one line, then `[path.key.name]` for tables of tables."""
    lines: list[str] = []
    deep: list[str] = []
    for key, value in table.items():
        if isinstance(value, dict) and value and all(isinstance(v, dict) for v in value.values()):
            for name, inner in value.items():
                head = f"{path}.{_key(key)}.{_key(name)}"
                deep += ["", f"[{head}]", *_table_lines(inner, head)]
        else:
            lines.append(f"{_key(key)} = {_value(value, len(key) + 3)}")
    return lines + deep


def _is_list_of_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(text: str) -> str:
    # A JSON string is a basic string of TOML but for the sign DEL.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _value(value: Any, used: int, indent: str = "") -> str:
    """One value; lists that do not fit into the rest of the line stand one entry a line."""
    if isinstance(value, list):
        short = f"[{', '.join(_value(v, 0) for v in value)}]"
        if used + len(short) + len(indent) <= WIDTH or not value:
            return short
        inner = indent + "  "
        if all(_is_point(v) for v in value):
            return f"[\n{_filled([_value(v, 0) for v in value], inner)}{indent}]"
        listed = "".join(f"{inner}{_value(v, 0, inner)},\n" for v in value)
        return f"[\n{listed}{indent}]"
    if isinstance(value, dict):
        entries = []
        at = used + len(indent) + 2
        for key, inner_value in value.items():
            entries.append(f"{_key(key)} = {_value(inner_value, at + len(key) + 3, indent)}")
            at += len(entries[-1]) + 2
        return f"{{ {', '.join(entries)} }}" if entries else "{}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    return repr(value)


def _is_point(value: Any) -> bool:
    return isinstance(value, list) and not any(isinstance(v, (list, dict)) for v in value)


def _filled(words: list[str], indent: str) -> str:
    """As many entries in each line as fit."""
    lines = [""]
    for word in words:
        if lines[-1] and len(indent) + len(lines[-1]) + len(word) + 2 > WIDTH:
            lines.append("")
        lines[-1] += f"{' ' if lines[-1] else ''}{word},"
    return "".join(f"{indent}{line}\n" for line in lines)
