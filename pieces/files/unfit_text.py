"""Signs that no name or title may hold: they cannot be printed on a plan or written on paper."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import Any

from pieces.findings import Finding

PROSE = ("description", "caution", "path")
"""Keys whose text may go over several lines."""

_NAMES = {
    "\t": "a tab", "\n": "a line break", "\r": "a carriage return", "\x1b": "an escape sign",
    "\x00": "a null sign", "\x7f": "a delete sign",
}  # fmt: skip


def unfit_sign(text: str, prose: bool = False) -> str | None:
    """Name the first sign of a text that cannot be printed, or return None.

    Control characters, line separators, signs that turn the direction of writing round, and code
    points that are no characters. Prose may hold tabs and line breaks.
    """
    for sign in text:
        code = ord(sign)
        if prose and sign in "\t\n\r":
            continue
        turning = 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069
        if (
            unicodedata.category(sign) in ("Cc", "Zl", "Zp", "Cs")
            or turning
            or code & 0xFFFE == 0xFFFE
            or code == 0xFEFF
        ):
            return _NAMES.get(sign, f"the sign U+{code:04X}")
    return None


def printable(text: str) -> str:
    """Return a text with every such sign as a question mark, for messages."""
    return "".join("?" if unfit_sign(sign) else sign for sign in text)


def unfit_texts(data: dict[str, Any], file: str) -> list[Finding]:
    """List every key and text of a file that holds a sign that cannot be printed."""
    found = []
    for path, text in _texts(data, ""):
        sign = unfit_sign(text, prose=path.split(".")[-1] in PROSE)
        if sign is None:
            continue
        piece, field = _place(data, path)
        found.append(
            Finding(
                file,
                f"'{printable(text)}' holds {sign}, which cannot be printed",
                piece,
                printable(field),
                "leave it out",
            )
        )
    return found


def _texts(value: Any, path: str) -> Iterator[tuple[str, str]]:
    """Yield every key and text below a value with its path."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, list):
        for index, entry in enumerate(value, start=1):
            yield from _texts(entry, f"{path}[{index}]")
    elif isinstance(value, dict):
        for key, entry in value.items():
            below = f"{path}.{key}" if path else key
            if unfit_sign(key):
                yield below, key
            yield from _texts(entry, below)


def _place(data: dict[str, Any], path: str) -> tuple[str | None, str]:
    """Piece and field of a path such as `piece[2].cut.main`."""
    head, _, rest = path.partition(".")
    if not head.startswith("piece[") or not rest:
        return None, path
    name = data["piece"][int(head[6:-1]) - 1].get("name")
    if not isinstance(name, str) or unfit_sign(name) or rest == "name":
        return None, path
    return name, rest
