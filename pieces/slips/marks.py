"""Signs that a word processor or another habit puts where TOML wants plain ones."""

from __future__ import annotations

import re
import unicodedata

from pieces.slips.line import LineSlip, masked, replaced, shown, statement

CURLY = "“”„‟«»‘’‚‛"
DASHES = "–—−‒"
DOUBLE_QUOTES = "“”„‟«»"


def curly_quotes(line: str) -> LineSlip | None:
    """Curly quotes around a text."""
    outside = masked(line)
    places = [i for i, sign in enumerate(outside) if sign in CURLY]
    if not places and line.count('"') % 2:
        # Opened straight, closed curly (or the other way round).
        places = [i for i, sign in enumerate(line) if sign in DOUBLE_QUOTES]
    if not places:
        return None
    mended = "".join('"' if i in places else sign for i, sign in enumerate(line))
    first = places[0] if len(places) > 1 else max(line.rfind('"', 0, places[0]), 0)
    part = shown(line[first : places[-1] + 1])
    return LineSlip(f"{part} has curly quotes", f"straight ones: {statement(mended)}", mended)


def odd_spaces(line: str) -> LineSlip | None:
    """Blanks that look like one but are none, as copying from a web page leaves them."""
    outside = masked(line)
    for index, sign in enumerate(outside):
        if sign not in "\t \n\x01" and unicodedata.category(sign) in ("Zs", "Cf", "Cc"):
            name = unicodedata.name(sign, f"U+{ord(sign):04X}").lower()
            around = shown(line[max(0, index - 12) : index + 12])
            spaced = [
                " " if masked_sign == sign else given
                for given, masked_sign in zip(line, outside.ljust(len(line)), strict=True)
            ]
            return LineSlip(
                f"an invisible sign ({name}) stands near '{around}'",
                f"delete it and type a plain blank: {statement(''.join(spaced))}",
                "".join(spaced),
            )
    return None


def dashes(line: str) -> LineSlip | None:
    """A long dash for minus."""
    outside = masked(line)
    found = re.search(rf"[{DASHES}]\s*(?=[\d.])", outside)
    if found is None:
        return None
    part = shown(line[found.start() : found.end() + 4].split(",")[0].split("]")[0])
    mended = replaced(line, found.start(), found.end(), "-")
    return LineSlip(f"'{part}' has a long dash", f"a plain minus: {statement(mended)}", mended)


def round_brackets(line: str) -> LineSlip | None:
    """Round brackets around a point or a list."""
    outside = masked(line)
    if "(" not in outside and ")" not in outside:
        return None
    mended = "".join(
        {"(": "[", ")": "]"}.get(sign, sign) if sign == outside[i : i + 1] else sign
        for i, sign in enumerate(line)
    )
    first = min(i for i in (outside.find("("), outside.find(")")) if i >= 0)
    part = shown(line[first : outside.rfind(")") + 1] or line[first:], 40)
    return LineSlip(f"{part} has round brackets", f"square ones: {statement(mended)}", mended)


def other_comments(line: str) -> LineSlip | None:
    """A remark that is begun as elsewhere."""
    found = re.search(r"(?<!\S)(//|/\*|--|;|%|<!--)", masked(line))
    if found is None:
        return None
    mended = replaced(line, found.start(), found.end(), "#")
    return LineSlip(f"'{found[1]}' begins no remark here", "a remark begins with #", mended)


def backslashes(line: str) -> LineSlip | None:
    """A backslash in a string in double quotes, as in a path of Windows."""
    for found in re.finditer(r'"((?:[^"\\]|\\.)*)"?', line):
        text = found[1]
        if re.search(r"\\(?![btnfr\"\\]|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8})", text):
            mended = replaced(line, found.start(1), found.end(1), text.replace("\\", "/"))
            return LineSlip(
                f"{shown(found[0])} has a backslash, which has a meaning of its own in quotes",
                f"a plain stroke: {statement(mended)}",
                mended,
            )
    return None


def control_signs(line: str) -> LineSlip | None:
    """A control character inside a string."""
    for index, sign in enumerate(line):
        if unicodedata.category(sign) == "Cc" and sign != "\t":
            return LineSlip(
                f"a control character (U+{ord(sign):04X}) stands after "
                f"'{shown(line[max(0, index - 15) : index])}'",
                "delete it",
                line.replace(sign, ""),
            )
    return None


RULES = (control_signs, curly_quotes, odd_spaces, dashes, round_brackets, backslashes)
"""Tried in this order."""

LATE_RULES = (other_comments,)
"""Tried when nothing else explains the line."""
