"""On which line of a TOML file a finding stands, from its piece and its field."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from dataclasses import replace

from pieces.findings import Finding
from pieces.slips.line import HEADER, key_of, masked

_PIECE = re.compile(r"^\s*\[\[\s*piece\s*\]\]")
_NAMED = re.compile(r"=\s*([\"'])(.*?)\1")
_PART = re.compile(r"^(?P<key>[^.\[]+)(?:\[(?P<index>\d+)\])?(?:\.(?P<rest>.*))?$")


def with_lines(findings: Iterable[Finding], text: str) -> list[Finding]:
    """Return findings with the line that each speaks of, where it can be told."""
    finder = _Finder(text.split("\n"))
    return [
        finding
        if finding.line is not None
        else replace(finding, line=finder.line(finding.piece, finding.field))
        for finding in findings
    ]


class _Finder:
    """Knows which lines of a file each piece takes."""

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        starts = [i for i, line in enumerate(lines) if _PIECE.match(line)]
        bounds = [*starts, len(lines)]
        self.ranges = [range(start, end) for start, end in itertools.pairwise(bounds)]
        self.first = starts[0] if starts else len(lines)
        self.pieces: dict[str, tuple[range, int]] = {}
        for where in self.ranges:
            head = next((i for i in where if key_of(lines[i]) == "name"), None)
            named = None if head is None else _NAMED.search(lines[head])
            if head is not None and named is not None:
                self.pieces.setdefault(named[2], (where, head))

    def line(self, piece: str | None, field: str | None) -> int | None:
        """Line (counted from 1) of a piece's field, or of the piece, or None."""
        if piece is not None:
            if piece not in self.pieces:
                return None
            where, head = self.pieces[piece]
            found = _in_range(self.lines, where, field) if field else None
            return (head if found is None else found) + 1
        nth = re.match(r"^piece\[(\d+)\](?:\.(.*))?", field or "")
        if nth and int(nth[1]) <= len(self.ranges):
            where = self.ranges[int(nth[1]) - 1]
            at = _in_range(self.lines, where, nth[2]) if nth[2] else None
            return (where.start if at is None else at) + 1
        found = _in_range(self.lines, range(self.first), field) if field else None
        return None if found is None else found + 1


def _in_range(lines: list[str], where: range, field: str) -> int | None:
    part = _PART.match(field)
    if part is None:
        return None
    key, index = part["key"], int(part["index"] or 1)
    for at in where:
        if key_of(lines[at]) == key:
            return _entry(lines, at, index) if part["index"] else at
    headers = []
    for at in where:
        header = HEADER.match(masked(lines[at]))
        if header and header["name"].split(".")[-1].strip("\"' ") == key:
            headers.append(at)
    if len(headers) < index:
        return None
    start = headers[index - 1]
    if not part["rest"]:
        return start
    for at in range(start + 1, where.stop):
        if HEADER.match(masked(lines[at])):
            break
        if key_of(lines[at]) == part["rest"].split(".")[0]:
            return at
    return start


def _entry(lines: list[str], start: int, index: int) -> int:
    """Line on which the index-th entry of the list that begins at a line begins."""
    depth = count = 0
    for at in range(start, len(lines)):
        outside = masked(lines[at])
        for sign in outside[outside.find("=") + 1 :] if at == start else outside:
            if sign in "[{":
                depth += 1
                count += depth == 2
                if count == index and depth == 2:
                    return at
            elif sign in "]}":
                depth -= 1
                if depth <= 0:
                    return start
    return start
