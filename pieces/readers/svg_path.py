"""SVG path data (W3C SVG 1.1, section 8.3) as lines and curves, and as edges of a piece.

Commands M L H V C S Q T A Z, absolute and relative, numbers and flags written as closely as the
grammar allows. Curves are flattened in `svg_curves.py`. Drawings and the `path` of a garment file
are read here alike; only that a piece of a garment file is one closed part is asked for here.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from pieces.geometry_types import Point
from pieces.outline import FLATNESS_MM, Edge, OutlineError
from pieces.readers.svg_curves import Segment, flatten

MOST_SEGMENTS = 20_000
"""A path of more segments is no outline that a person drew."""

_NUMBER = re.compile(r"[\s,]*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)")
_FLAG = re.compile(r"[\s,]*([01])")
_LETTER = re.compile(r"[\s,]*([MmLlHhVvCcSsQqTtAaZz])")
_REST = re.compile(r"[\s,]*(\S[^\s,]*)")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_FLAGS = (3, 4)
"""Which numbers of an arc are flags: one sign each, which the next number may touch."""


class TooLongError(OutlineError):
    """A line of more segments than anyone draws."""


@dataclass(frozen=True)
class SubPath:
    """One part of a path: segments one after another, and whether Z closes it."""

    segments: tuple[Segment, ...]
    closed: bool


def edges_from_path(data: str, scale: float) -> tuple[Edge, ...]:
    """Read path data into edges, one for each segment, named "1", "2", ...; y is turned up.

    Parameters
    ----------
    data : str
        The `d` attribute.
    scale : float
        Length of one user unit, mm.

    Raises
    ------
    OutlineError
        If the data is no path, has more than one subpath, or is not closed by Z.
    """
    parts = read_path(data)
    if len(parts) > 1:
        raise OutlineError("the path has more than one part; a piece is one closed outline")
    if not parts:
        raise OutlineError("the path draws nothing")
    if not parts[0].closed:
        raise OutlineError("the outline is open: path data must end with Z")
    edges = []
    for name, segment in enumerate(parts[0].segments, start=1):
        points = tuple(
            (z.real * scale, -z.imag * scale) for z in flatten(segment, FLATNESS_MM / scale)
        )
        if len(points) > 1 and _length(points) > 0.0:
            edges.append(Edge(str(name), points))
    if not edges:
        raise OutlineError("the path draws nothing")
    return tuple(edges)


def read_path(data: str) -> tuple[SubPath, ...]:
    """Read path data into its parts, in user units, y down; parts without a segment are left out.

    Raises
    ------
    OutlineError
        If the data is no path.
    TooLongError
        If it is far too long.
    """
    parts: list[SubPath] = []
    segments: list[Segment] = []
    at = start = control = 0j
    before = ""
    for count, (letter, group) in enumerate(_commands(data), start=1):
        if count > MOST_SEGMENTS:
            raise TooLongError(f"the path has more than {MOST_SEGMENTS:,} segments")
        kind = letter.upper()
        offset = at if letter.islower() else 0j
        if kind == "M":
            if segments:
                parts.append(SubPath(tuple(segments), False))
            segments = []
            at = start = offset + complex(*group)
        elif kind == "Z":
            if abs(at - start) > 1e-9:
                segments.append(("L", (at, start), ()))
            if segments:
                parts.append(SubPath(tuple(segments), True))
            segments, at = [], start
        else:
            segment, control = _segment(kind, group, at, offset, control, before)
            segments.append(segment)
            at = segment[1][-1]
        before = kind
    if segments:
        parts.append(SubPath(tuple(segments), False))
    return tuple(parts)


def _length(points: tuple[Point, ...]) -> float:
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers; one that is repeated without its letter stands by itself."""
    at, letter, needed = 0, "", True
    end = len(data.rstrip())
    head = _LETTER.match(data)
    if head is None or head[1] not in "Mm":
        raise OutlineError("path data must begin with M")
    while at < end:
        match = _LETTER.match(data, at)
        if match is not None:
            letter, at = match[1], match.end()
            needed = True
        elif not needed and letter in "Zz":
            raise OutlineError(
                f"path data holds '{_here(data, at)}' after Z, where a command is due"
            )
        if letter in "Zz":
            yield letter, []
        elif needed or _NUMBER.match(data, at) is not None:
            group, at = _numbers(data, at, letter)
            yield letter, group
            # What follows the first point of M is drawn to.
            letter = {"M": "L", "m": "l"}.get(letter, letter)
        elif data[at:end].strip(" \t\r\n\f,"):
            raise OutlineError(f"path data holds '{_here(data, at)}', which is no path command")
        else:
            return
        needed = False


def _numbers(data: str, at: int, letter: str) -> tuple[list[float], int]:
    kind = letter.upper()
    group: list[float] = []
    for index in range(_COUNTS[kind]):
        pattern = _FLAG if kind == "A" and index in _FLAGS else _NUMBER
        match = pattern.match(data, at)
        if match is None:
            rest = _here(data, at)
            held = f"; it has '{rest}'" if rest else ""
            raise OutlineError(
                f"command {letter} of the path needs numbers by the {_COUNTS[kind]}{held}"
            )
        group.append(float(match[1]))
        at = match.end()
    if not all(map(math.isfinite, group)):
        raise OutlineError("the path holds a number without end")
    return group, at


def _here(data: str, at: int) -> str:
    match = _REST.match(data, at)
    return match[1][:20] if match is not None else ""


def _segment(
    kind: str, group: list[float], at: complex, offset: complex, control: complex, before: str
) -> tuple[Segment, complex]:
    """Return a segment, and the control point that a smooth one behind it reflects."""
    if kind == "H":
        return ("L", (at, complex(offset.real + group[0], at.imag)), ()), at
    if kind == "V":
        return ("L", (at, complex(at.real, offset.imag + group[0])), ()), at
    if kind == "A":
        return ("A", (at, offset + complex(*group[5:])), tuple(group[:5])), at
    points = [offset + complex(*group[i : i + 2]) for i in range(0, len(group), 2)]
    if kind == "L":
        return ("L", (at, points[0]), ()), at
    if kind == "C":
        return ("C", (at, *points), ()), points[1]
    if kind == "S":
        # Only the control point of the same family is reflected (SVG 1.1, 8.3.6).
        first = 2 * at - control if before in ("C", "S") else at
        return ("C", (at, first, *points), ()), points[0]
    middle = points[0] if kind == "Q" else (2 * at - control if before in ("Q", "T") else at)
    end = points[-1]
    return ("C", (at, at + 2 / 3 * (middle - at), end + 2 / 3 * (middle - end), end), ()), middle
