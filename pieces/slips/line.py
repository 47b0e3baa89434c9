"""One line of a TOML file as the rules see it: strings blotted out, comments left off."""

from __future__ import annotations

import re
from dataclasses import dataclass

BLOT = "\x01"
"""Stands for every character inside a string."""

OPENS = "=[,{(:"
"""After one of these (or nothing) a quote opens a string."""


@dataclass(frozen=True)
class Slip:
    """A slip on one line.

    `line` counts from 0; `message` says what stands there, `write` how to write it, and `lines`
    are the lines of the file with the slip put right, as many as there were.
    """

    line: int
    message: str
    write: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class LineSlip:
    """A slip that shows in its line alone: what stands there, how to write it, the mended line."""

    message: str
    write: str
    mended: str


def masked(line: str) -> str:
    """Return a line of the same length with strings blotted out and the comment blanked.

    A string that is not closed is blotted out to the end of the line.
    """
    result: list[str] = []
    quote = ""
    before = ""
    skip = False
    for index, sign in enumerate(line):
        if quote:
            if skip:
                skip = False
            elif sign == "\\" and quote == '"':
                skip = True
            elif sign == quote:
                quote, before = "", sign
                result.append(sign)
                continue
            result.append(BLOT)
            continue
        if sign == "#":
            result += " " * (len(line) - index)
            break
        if sign in "\"'" and (not before or before in OPENS):
            quote = sign
        if not sign.isspace():
            before = sign
        result.append(sign)
    return "".join(result)


def shown(text: str, most: int = 60) -> str:
    """Return a stretch of a file as a message quotes it: on one line, not too long."""
    plain = " ".join("".join(c if c.isprintable() else "?" for c in text).split())
    return plain if len(plain) <= most else plain[: most - 3].rstrip() + "..."


def replaced(line: str, start: int, end: int, new: str) -> str:
    """Return a line with a stretch of it replaced."""
    return line[:start] + new + line[end:]


def quoted(text: str) -> str:
    """Return text as a TOML string."""
    plain = text.strip().strip("\"'").strip()
    return f'"{plain}"' if '"' not in plain and "\\" not in plain else f"'{plain}'"


def statement(line: str) -> str:
    """Return a mended line as a message shows it, without its comment."""
    return shown(line[: len(masked(line).rstrip())].strip().rstrip(","), 70)


KEY = re.compile(r"^\s*(?P<key>[\w-]+|\"[^\"]+\"|'[^']+')\s*=")
"""A line that sets a key."""

HEADER = re.compile(r"^\s*(?P<open>\[+)\s*(?P<name>[^\[\]=,{}]+?)\s*(?P<close>\]+)\s*$")
"""A line that begins a table."""


def key_of(line: str) -> str | None:
    """Key that a line sets, or None."""
    found = KEY.match(line)
    return found["key"].strip("\"'") if found else None
