"""Keys and tables that are written twice."""

from __future__ import annotations

import re

from pieces.slips.line import HEADER, Slip, key_of, masked, shown


def repeated_slip(lines: tuple[str, ...], at: int) -> Slip | None:
    """Find what is written a second time at a line (counted from 0)."""
    single = next(
        (i for i, line in enumerate(lines) if re.match(r"^\s*\[\s*pieces?\s*\]\s*$", masked(line))),
        None,
    )
    if single is not None:
        mended = tuple(
            "[[piece]]" if re.match(r"^\s*\[\s*pieces?\s*\]\s*$", masked(line)) else line
            for line in lines
        )
        return Slip(single, "[piece] can stand once only", "[[piece]] before each piece", mended)
    key = key_of(lines[at])
    if key is not None:
        return _key_twice(lines, at, key)
    header = HEADER.match(masked(lines[at]))
    if header is None:
        return None
    name = lines[at].strip()
    first = next((i for i in range(at) if lines[i].strip() == name), None)
    if first is None:
        return None
    end = next((i for i in range(at + 1, len(lines)) if HEADER.match(masked(lines[i]))), len(lines))
    return Slip(
        at,
        f"{shown(name)} is written twice; it stands on line {first + 1} already",
        "put both together, or give this one another name",
        (*lines[:at], *("",) * (end - at), *lines[end:]),
    )


def _key_twice(lines: tuple[str, ...], at: int, key: str) -> Slip | None:
    first = None
    for index in range(at - 1, -1, -1):
        if HEADER.match(masked(lines[index])):
            break
        if key_of(lines[index]) == key:
            first = index
    inside = re.findall(rf"(?:[{{,]\s*)({re.escape(key)})\s*=", masked(lines[at]))
    if first is None and len(inside) < 2:
        return None
    if first is None:
        return None
    fix = "keep one of them"
    if key == "name" and not lines[at - 1].strip():
        # Most likely the line that begins the next piece was forgotten: read on with it.
        return Slip(
            at,
            f"'name' is written twice in one piece; it stands on line {first + 1} already",
            "write [[piece]] before the second piece",
            (*lines[: at - 1], "[[piece]]", *lines[at:]),
        )
    if key in ("name", "cut", "edges"):
        fix += ", or write [[piece]] before the second piece"
    return Slip(
        at,
        f"'{key}' is written twice; it stands on line {first + 1} already",
        fix,
        (*lines[:at], "", *lines[at + 1 :]) if _whole(lines[at]) else lines,
    )


def _whole(line: str) -> bool:
    outside = masked(line)
    return outside.count("[") == outside.count("]") and outside.count("{") == outside.count("}")


def repeated_within(lines: tuple[str, ...], at: int) -> Slip | None:
    """Find a key that stands twice between one pair of braces."""
    outside = masked(lines[at])
    for table in re.finditer(r"\{([^{}]*)\}", outside):
        keys = re.findall(r"(?:^|,)\s*([\w-]+)\s*=", table[1])
        twice = next((key for key in keys if keys.count(key) > 1), None)
        if twice is not None:
            return Slip(
                at,
                f"'{twice}' stands twice in {shown(lines[at][table.start() : table.end()], 50)}",
                "keep one of them, or part the two with } and {",
                lines,
            )
    return None
