"""What is wrong with a text that is no TOML: every slip that is recognised, in plain words.

The parser stops at the first fault and speaks of its own affairs. Here its line is looked at as a
person would; the slip is named, put right in a copy, and the copy read on, so that all slips
of a file are told at once.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from typing import Any

from pieces.findings import Finding
from pieces.slips import keys, marks, values
from pieces.slips.brackets import bracket_slip, depth_before
from pieces.slips.line import KEY, LineSlip, Slip, key_of, masked, shown
from pieces.slips.repeated import repeated_slip, repeated_within

MOST_SLIPS = 25
"""More slips than this are not told at once."""

LINE_RULES: tuple[Callable[[str], LineSlip | None], ...] = (
    *marks.RULES,
    *values.RULES,
    *keys.RULES,
    *values.LATE_RULES,
    *keys.LATE_RULES,
    *marks.LATE_RULES,
)

OUTERMOST_RULES = (keys.sign_at_end, keys.stray_text)
"""Rules for lines that stand outside all brackets."""

LONGEST_LINE = 2000
"""Longer lines are not typed by hand; no rule looks at them."""

ADVICE = (
    "each line is KEY = VALUE; words and lengths with a unit stand in quotes, points in [x, y], "
    "with a comma between any two; every quote and bracket is closed; a remark begins with #"
)


def explain_toml(text: str, file: str) -> tuple[list[Finding], dict[str, Any] | None]:
    """Explain why a text is no TOML; empty if it is.

    Returns
    -------
    (list of Finding, dict or None)
        The slips in the order of their lines, and what the text says with all of them put right,
        if that can be told.
    """
    lines = tuple(text.replace("\r\n", "\n").split("\n"))
    found: list[Slip] = []
    data: dict[str, Any] | None = None
    rest: int | None = None
    for _ in range(MOST_SLIPS):
        try:
            data = tomllib.loads("\n".join(lines))
            break
        except tomllib.TOMLDecodeError as error:
            at = _line_of(error, lines)
            slip = find_slip(lines, at, str(error))
        except (RecursionError, ValueError, OverflowError):
            at, slip = 0, None
        again = [s for s in found if slip is not None and s.line == slip.line]
        if slip is None or slip in found or len(again) > 3:
            rest = at
            break
        found.append(slip)
        if slip.lines == lines:
            break
        lines = slip.lines
    original = text.replace("\r\n", "\n").split("\n")
    findings = [_finding(original, slip, file) for slip in sorted(found, key=lambda s: s.line)]
    if rest is not None and not any(rest - 2 <= slip.line <= rest for slip in found):
        findings.append(_unknown(original, rest, file))
    return findings, data


def find_slip(lines: tuple[str, ...], at: int, reason: str) -> Slip | None:
    """Find the slip that makes the parser stop at a line (counted from 0)."""
    if reason.startswith("Cannot"):
        return repeated_slip(lines, at) or repeated_within(lines, at)
    if reason.startswith("Duplicate"):
        return repeated_within(lines, at)
    slip = _over_lines(lines, at) or _by_line(lines, at)
    if slip is not None:
        return slip
    before = _line_before(lines, at)
    if before is not None:
        slip = _between(lines, before, at) or _by_line(lines, before)
        if slip is not None:
            return slip
    return bracket_slip(lines)


def _by_line(lines: tuple[str, ...], at: int) -> Slip | None:
    if len(lines[at]) > LONGEST_LINE:
        return None
    outermost = depth_before(lines, at) == 0
    for rule in (*LINE_RULES, *(OUTERMOST_RULES if outermost else ())):
        slip = rule(lines[at])
        if slip is not None and slip.mended != lines[at]:
            mended = (*lines[:at], slip.mended, *lines[at + 1 :])
            return Slip(at, slip.message, slip.write, mended)
    return None


def _over_lines(lines: tuple[str, ...], at: int) -> Slip | None:
    """A text in quotes that goes on in the next line."""
    line, after = lines[at], lines[at + 1] if at + 1 < len(lines) else ""
    opens = re.search(r"[=\[,]\s*\"[^\"]*$", line)
    if opens is None or "=" in after or not re.match(r"^[^\"]+\"\s*[,\]}]*\s*$", after):
        return None
    joined = f"{line.rstrip()} {after.strip()}"
    return Slip(
        at,
        f"the text {shown(opens[0].lstrip('=[, '), 40)} goes on over the end of the line",
        f"all of it on one line: {shown(joined, 70)}",
        (*lines[:at], joined, "", *lines[at + 2 :]),
    )


def _between(lines: tuple[str, ...], before: int, at: int) -> Slip | None:
    """A comma that is missing at the end of the line before."""
    ends, begins = masked(lines[before]).rstrip(), masked(lines[at]).lstrip()
    if not ends or not begins or ends[-1] not in "}]\"'" or begins[0] not in "{[\"'":
        return None
    if KEY.match(masked(lines[at])) or re.match(r"\[\[?\s*[A-Za-z]", begins):
        return None
    if depth_before(lines, at) == 0:
        return None
    mended = lines[before][: len(ends)] + "," + lines[before][len(ends) :]
    tail = shown(lines[before][: len(ends)].strip()[-24:])
    return Slip(
        before,
        f"a comma is missing after '{tail}'",
        "a comma between any two edges, points or texts",
        (*lines[:before], mended, *lines[before + 1 :]),
    )


def _line_of(error: tomllib.TOMLDecodeError, lines: tuple[str, ...]) -> int:
    found = re.search(r"\(at line (\d+)", str(error))
    if found:
        return min(int(found.group(1)), len(lines)) - 1
    last = _line_before(lines, len(lines))
    return 0 if last is None else last


def _line_before(lines: tuple[str, ...], at: int) -> int | None:
    return next((i for i in range(at - 1, -1, -1) if masked(lines[i]).strip()), None)


def _finding(lines: list[str], slip: Slip, file: str) -> Finding:
    piece, key = place_of(lines, slip.line)
    return Finding(file, slip.message, piece, key, slip.write, line=slip.line + 1)


def _unknown(lines: list[str], at: int, file: str) -> Finding:
    piece, key = place_of(lines, at)
    stands = f"'{shown(lines[at].strip())}'" if lines[at].strip() else "this line"
    message = f"{stands} cannot be read; the slip is here or on the line before"
    return Finding(file, message, piece, key, ADVICE, line=at + 1)


def place_of(lines: list[str], at: int) -> tuple[str | None, str | None]:
    """Return the piece and the key that a line (counted from 0) belongs to."""
    key = key_of(lines[at])
    inside = depth_before(tuple(lines), at) > 0
    name: str | None = None
    for index in range(at, -1, -1):
        line = lines[index]
        if inside and not line.startswith(" ") and (key is None or index == at):
            key = key_of(line)
        found = re.match(r"^\s*name\s*=\s*[\"'“]?([^\"'”\n]+)", line)
        if found and not line.lstrip().startswith("{"):
            name = found[1].strip()
        if re.match(r"^\s*\[+\s*pieces?\s*\]+", line):
            if name is None:
                later = (
                    re.match(r"^\s*name\s*=\s*[\"'“]?([^\"'”\n]+)", x) for x in lines[at : at + 4]
                )
                name = next((m[1].strip() for m in later if m), None)
            return name, key
    return None, key
