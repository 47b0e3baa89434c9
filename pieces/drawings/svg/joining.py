"""Open lines of one group that run into one another all round are the outline of a piece."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict

from pieces.drawings.svg.lines import Line
from pieces.drawings.svg.sheet import Mark
from pieces.geometry_types import Point
from pieces.outline import CLOSED_MM

MOST_LINES = 300
"""Of a group with more open lines none are joined: it is no outline."""


def joined(lines: list[Line], free: frozenset[str]) -> list[Line]:
    """Return the lines with those that close a ring together made one closed line.

    Each of them becomes an edge of it. Lines that are called by one of the words `free` are never
    a part of an outline.
    """
    by_group: dict[tuple[Mark, ...], list[Line]] = defaultdict(list)
    for line in lines:
        if not line.closed and not line.words & free:
            by_group[line.groups].append(line)
    used: set[int] = set()
    rings: list[Line] = []
    for group in by_group.values():
        for ring in _rings(group) if 1 < len(group) <= MOST_LINES else []:
            rings.append(_ring(ring))
            used |= {id(line) for line, _ in ring}
    return [line for line in lines if id(line) not in used or line.is_fold] + rings


def _rings(lines: list[Line]) -> list[list[tuple[Line, bool]]]:
    """Lines that meet in pairs all round, in order; true where one is walked backwards."""
    meets = _meeting(lines)
    rings: list[list[tuple[Line, bool]]] = []
    seen: set[int] = set()
    for first in range(len(lines)):
        if first in seen:
            continue
        ring = []
        at = (first, 0)
        while at[0] not in seen:
            index, begins = at
            seen.add(index)
            ring.append((lines[index], begins == 1))
            others = meets[index, 1 - begins]
            if len(others) != 1:
                ring = []
                break
            at = others[0]
        if len(ring) > 1 and at == (first, 0):
            rings.append(ring)
    return rings


def _meeting(lines: list[Line]) -> dict[tuple[int, int], list[tuple[int, int]]]:
    """For the beginning (0) and end (1) of each line, what other ends lie there."""
    from shapely import STRtree
    from shapely.geometry import Point as Spot

    ends = [(index, side) for index in range(len(lines)) for side in (0, 1)]
    spots = [Spot(lines[index].points[-side]) for index, side in ends]
    tree = STRtree(spots)
    meets: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for end, spot in zip(ends, spots, strict=True):
        near = (ends[int(i)] for i in tree.query(spot, predicate="dwithin", distance=CLOSED_MM))
        # Two more are enough to tell that the outline forks here.
        meets[end] = list(itertools.islice((other for other in near if other != end), 2))
    return meets


def _ring(ring: list[tuple[Line, bool]]) -> Line:
    """One closed line; where two meet, the later one begins exactly where the earlier one ends."""
    starts = [line.points[-1] if backwards else line.points[0] for line, backwards in ring]
    edges: list[tuple[str, tuple[Point, ...]]] = []
    for (line, backwards), start, stop in zip(ring, starts, starts[1:] + starts[:1], strict=True):
        points = line.points[::-1] if backwards else line.points
        inner = points[1:-1] if math.dist(points[-1], stop) <= CLOSED_MM else points[1:]
        edges.append((line.mark.title or line.mark.ident, (start, *inner, stop)))
    points = tuple(point for _, edge in edges for point in edge[:-1])
    first = ring[0][0]
    return Line(first.mark, first.groups, points, True, edges=tuple(edges))
