"""Brackets and braces that are not closed, closed twice, or spread over lines."""

from __future__ import annotations

import re

from pieces.slips.line import HEADER, KEY, Slip, masked, shown, statement

_CLOSERS = {"[": "]", "{": "}"}
_BEGINS = re.compile(r"^\s*[A-Za-z\"]")

Opened = tuple[str, int]
"""A bracket and the line that it stands on."""


def bracket_slip(lines: tuple[str, ...]) -> Slip | None:
    """Find the first bracket of a file that has no partner."""
    stack: list[Opened] = []
    last = 0
    for index, line in enumerate(lines):
        outside = masked(line)
        if not outside.strip():
            continue
        if stack and stack[-1][0] == "{" and not _begins_table(outside):
            return _broken_table(lines, stack, last, index)
        if stack and (_begins_table(outside) or KEY.match(outside)):
            return _unclosed(lines, stack, last)
        header = HEADER.match(outside) is not None and not stack
        for place, sign in enumerate(outside if not header else ""):
            if sign in "[{":
                stack.append((sign, index))
            elif sign in "]}":
                if not stack:
                    return _extra(lines, index, place)
                if _CLOSERS[stack[-1][0]] != sign:
                    return _crossed(lines, stack[-1], index, place)
                stack.pop()
        last = index
    return _unclosed(lines, stack, last) if stack else None


def depth_before(lines: tuple[str, ...], at: int) -> int:
    """How many brackets and braces are open where a line (counted from 0) begins."""
    depth = 0
    for line in lines[:at]:
        outside = masked(line)
        if _begins_table(outside):
            depth = 0
            continue
        depth += outside.count("[") + outside.count("{") - outside.count("]") - outside.count("}")
    return max(0, depth)


def _begins_table(outside: str) -> bool:
    header = HEADER.match(outside)
    return header is not None and _BEGINS.match(header["name"]) is not None


def _unclosed(lines: tuple[str, ...], stack: list[Opened], last: int) -> Slip:
    """What is open when another statement begins, or at the end of the file."""
    sign, opened = stack[-1]
    if sign == "{" and len(stack) == 1 and masked(lines[last]).rstrip().endswith((",", "{")):
        return _joined(lines, opened, last)
    closers = "".join(_CLOSERS[s] for s, _ in reversed(stack))
    body = lines[last][: len(masked(lines[last]).rstrip())].rstrip()
    mended = body + closers
    where = "" if opened == last else f" of line {opened + 1}"
    what = shown(lines[stack[0][1]].strip(), 40)
    return Slip(
        last,
        f"the {sign}{where} is not closed ('{what}')",
        f"{_CLOSERS[sign]} where it ends: {statement(mended)}",
        (*lines[:last], mended, *lines[last + 1 :]),
    )


def _broken_table(lines: tuple[str, ...], stack: list[Opened], last: int, index: int) -> Slip:
    """A brace that is still open at the end of its line."""
    before, here = masked(lines[last]).rstrip(), masked(lines[index]).strip()
    if len(stack) == 1 and before.endswith("{") and here.startswith("{"):
        return _list_in_braces(lines, last)
    if here.startswith("{") or (
        here.startswith("]") or not (before.endswith((",", "{")) or here.startswith("}"))
    ):
        body = lines[last][: len(before)].rstrip()
        tail = "," if body.endswith(",") else ""
        mended = body.rstrip(",").rstrip() + " }" + tail
        return Slip(
            last,
            f"the {{ is not closed ('{shown(body.strip(), 40)}')",
            f"}} where it ends: {statement(mended)}",
            (*lines[:last], mended, *lines[last + 1 :]),
        )
    return _joined(lines, stack[-1][1], index)


def _list_in_braces(lines: tuple[str, ...], opened: int) -> Slip:
    """A list of edges or notches whose outer signs are braces."""
    closed = next(
        (k for k in range(opened + 1, len(lines)) if masked(lines[k]).strip() in ("}", "},")), None
    )
    mended = list(lines)
    mended[opened] = "[".join(lines[opened].rsplit("{", 1))
    if closed is not None:
        mended[closed] = lines[closed].replace("}", "]", 1)
    return Slip(
        opened,
        f"a list begins with {{ ('{shown(lines[opened].strip(), 40)}')",
        f"[ before its first entry and ] after its last: {statement(mended[opened])}",
        tuple(mended),
    )


def _joined(lines: tuple[str, ...], first: int, reached: int) -> Slip:
    """Put what stands in braces on one line; the lines that it took are left blank."""
    depth, end = 0, reached
    for index in range(first, len(lines)):
        outside = masked(lines[index])
        depth += outside.count("{") - outside.count("}")
        end = index
        if depth <= 0 or (index > first and HEADER.match(outside)):
            break
    parts = [lines[k][: len(masked(lines[k]).rstrip())].strip() for k in range(first, end + 1)]
    joined = re.sub(r",\s*\}", " }", " ".join(part for part in parts if part))
    indent = lines[first][: len(lines[first]) - len(lines[first].lstrip())]
    blanks = ("",) * (end - first)
    return Slip(
        first,
        "what stands in { } goes on over the end of the line",
        f"all of it on one line: {statement(joined)}",
        (*lines[:first], indent + joined, *blanks, *lines[end + 1 :]),
    )


def _extra(lines: tuple[str, ...], index: int, place: int) -> Slip:
    line = lines[index]
    mended = line[:place] + line[place + 1 :]
    return Slip(
        index,
        f"the {line[place]} closes nothing",
        f"leave it out, or open it before: {statement(mended) or 'nothing'}",
        (*lines[:index], mended, *lines[index + 1 :]),
    )


def _crossed(lines: tuple[str, ...], opened: Opened, index: int, place: int) -> Slip:
    """A closer that is not the partner of what is open."""
    line = lines[index]
    sign, first = opened
    rest = masked(line)[place + 1 :].strip()
    after = next((masked(x).strip() for x in lines[index + 1 :] if masked(x).strip()), "")
    if first == index and rest in ("", ",") and sign == "{" and after[:1] in ("]", "{"):
        mended = line[:place] + "}" + line[place + 1 :]
        return Slip(
            index,
            "the { is closed by ]",
            f"a }} instead: {statement(mended)}",
            (*lines[:index], mended, *lines[index + 1 :]),
        )
    if first == index:
        mended = line[:place].rstrip() + ("" if sign == "[" else " ") + _CLOSERS[sign]
        mended += (" " if line[place] == "}" else "") + line[place:]
    else:
        mended = line[:place] + _CLOSERS[sign] + line[place:]
    where = "" if first == index else f" of line {first + 1}"
    return Slip(
        index,
        f"the {sign}{where} is not closed before the {line[place]}",
        f"{_CLOSERS[sign]} first: {statement(mended)}",
        (*lines[:index], mended, *lines[index + 1 :]),
    )
