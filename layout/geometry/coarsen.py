"""Bounding the corners of an intricate outline, outward: what it costs is area, not time.

No-fit polygons pair the convex parts of two outlines, so that a jagged tracing of thousands of
corners would take minutes. Here corners go one after another, the one that adds least area first,
however far that departs from the outline, until few enough are left. Hollow corners are bridged and
short edges between bulging ones left out, as in `simplify`; every step is checked against the rest
of the outline, so that the result never crosses itself.
"""

from __future__ import annotations

import heapq
import math

import numpy as np
from numpy.typing import NDArray

from layout.geometry.steps import cross, is_on_line, prolonged
from pieces.geometry_types import FloatArray, Point

CLEAR_MM = 1e-6
"""Other corners stay farther than this from what a step adds."""

GROWTH = 1.5
"""How much higher the steps of a round may be than those of the one before."""

_Step = tuple[float, int, int, bool, Point]
"""Twice the area added, the corner and its version, whether its edge is left out, and where to."""


def coarsened(
    ring: FloatArray, most: int, begin: float, fixed: tuple[Point, Point] | None = None
) -> FloatArray:
    """Reduce a sound counter-clockwise ring, shape (N, 2) in mm, to `most` corners, outward.

    Parameters
    ----------
    ring : (N, 2) array
    most : int
        Corners that are left, but for those that a fold edge keeps; at least 4.
    begin : float
        Height (mm) of the steps of the first round.
    fixed : (Point, Point), optional
        Ends of a straight edge whose line must not move (a fold edge).
    """
    return _Coarsener(ring, fixed).run(max(4, most), begin)


class _Coarsener:
    """A ring as a linked list, with its corners and edges in arrays to check steps against.

    `locked[i]` tells whether the edge from corner i lies on the fold edge. A step is noted with the
    version of its corner; what is too high now, or has something in its way, waits for the next
    round.
    """

    def __init__(self, ring: FloatArray, fixed: tuple[Point, Point] | None) -> None:
        count = len(ring)
        self.points: list[Point] = [(float(x), float(y)) for x, y in ring]
        self.after = [(i + 1) % count for i in range(count)]
        self.before = [(i - 1) % count for i in range(count)]
        self.locked = [
            is_on_line(self.points[i], self.points[(i + 1) % count], fixed) for i in range(count)
        ]
        self.alive = [True] * count
        self.version = [0] * count
        self.left = count
        self.heap: list[_Step] = []
        self._gather()

    def run(self, most: int, begin: float) -> FloatArray:
        """Take low steps before high ones, and fill hollows before anything is prolonged."""
        largest = float(np.hypot(*np.ptp(self.from_, axis=0)))
        height = begin
        before = self.left + 1
        # A step that others stood in the way of may be free after them: on while it gets on.
        while self.left > most and (height < 2.0 * largest or self.left < before):
            before = self.left
            for both in (False, True):
                self._round(most, height, both)
            height *= GROWTH
        return np.array([self.points[i] for i in self._order()])

    def _round(self, most: int, height: float, both: bool) -> None:
        """Take steps up to a height, the one that adds least area first."""
        self.heap = []
        for i in self._order():
            self._note(i, height, both)
        while self.heap and self.left > most:
            _, i, version, leave_out, corner = heapq.heappop(self.heap)
            if not self.alive[i] or version != self.version[i]:
                continue
            if not self._is_clear(i, leave_out, corner):
                continue
            self._take(i, leave_out, corner)
            a, c = self.before[i], self.after[i]
            for k in {self.before[self.before[a]], self.before[a], a, c, self.after[c]}:
                self.version[k] += 1
                self._note(k, height, both)

    def _order(self) -> list[int]:
        start = next(i for i, alive in enumerate(self.alive) if alive)
        order = [start]
        while self.after[order[-1]] != start:
            order.append(self.after[order[-1]])
        return order

    def _gather(self) -> None:
        """Copy the corners that are left into arrays: where each lies, and where its edge ends."""
        order = self._order()
        self.row = dict(zip(order, range(len(order)), strict=True))
        self.from_ = np.array([self.points[i] for i in order])
        self.to = np.roll(self.from_, -1, axis=0)

    def _note(self, i: int, height: float, both: bool) -> None:
        """Put the step at corner i into the heap, if there is one and it is low enough."""
        a, c = self.before[i], self.after[i]
        pa, pb, pc = self.points[a], self.points[i], self.points[c]
        turn = cross(pa, pb, pc)
        if turn <= 0.0:
            # A corner within the fold edge goes; one at its end would tilt it.
            if self.locked[a] == self.locked[i] and -turn <= height * math.dist(pa, pc):
                heapq.heappush(self.heap, (-turn, i, self.version[i], False, pb))
            return
        pd = self.points[self.after[c]]
        if not both or self.locked[i] or cross(pb, pc, pd) <= 0.0:
            return
        corner = prolonged(pa, pb, pd, pc)
        if corner is None:
            return
        # Over its edge, not far beside it: the least detour that a corner of this height makes.
        detour = math.hypot(math.dist(pb, pc), 2.0 * height)
        if math.dist(pb, corner) + math.dist(corner, pc) <= detour:
            area = abs(cross(pb, corner, pc))
            heapq.heappush(self.heap, (area, i, self.version[i], True, corner))

    def _is_clear(self, i: int, leave_out: bool, corner: Point) -> bool:
        """Whether the triangle that a step adds meets nothing else of the outline."""
        a, c = self.before[i], self.after[i]
        if leave_out:
            triangle = (self.points[i], corner, self.points[c])
            own = [i, c]
        else:
            triangle = (self.points[a], self.points[c], self.points[i])
            own = [a, i, c]
        x, y = self.from_.T
        (x1, y1), (x2, y2) = np.min(triangle, axis=0), np.max(triangle, axis=0)
        near = (x >= x1 - CLEAR_MM) & (x <= x2 + CLEAR_MM)
        near &= (y >= y1 - CLEAR_MM) & (y <= y2 + CLEAR_MM)
        near[[self.row[k] for k in own]] = False
        rows = np.flatnonzero(near)
        if len(rows) and _within(triangle, self.from_[rows]).any():
            return False
        # An edge could cut off the new corner with both its ends outside.
        return not leave_out or not self._is_crossed(i, c, corner)

    def _is_crossed(self, i: int, c: int, corner: Point) -> bool:
        """Whether any other edge meets the line from corner i to the new corner."""
        b = np.array(self.points[i])
        u = np.array(corner) - b
        start, end = self.from_ - b, self.to - b
        one = u[0] * start[:, 1] - u[1] * start[:, 0]
        two = u[0] * end[:, 1] - u[1] * end[:, 0]
        hit = (one <= 0.0) != (two <= 0.0)
        hit[[self.row[self.before[i]], self.row[i], self.row[c]]] = False
        rows = np.flatnonzero(hit)
        if not len(rows):
            return False
        share = (one[rows] / (one[rows] - two[rows]))[:, None]
        along = (start[rows] + share * (end[rows] - start[rows])) @ u / float(u @ u)
        return bool(((along >= -1e-9) & (along <= 1.0 + 1e-9)).any())

    def _take(self, i: int, leave_out: bool, corner: Point) -> None:
        a, c = self.before[i], self.after[i]
        gone = self.row.pop(i)
        if leave_out:
            self.points[c] = corner
            self.from_[self.row[c]] = corner
        self.to[self.row[a]] = self.points[c]
        # Off the outline: a corner that is gone stands in no step's way.
        self.from_[gone] = self.to[gone] = np.nan
        self.alive[i] = False
        self.after[a], self.before[c] = c, a
        self.left -= 1
        if self.left > 64 and 2 * self.left < len(self.from_):
            self._gather()


def _within(triangle: tuple[Point, Point, Point], points: FloatArray) -> NDArray[np.bool_]:
    """Which points lie in a triangle or within a hair of it."""
    p, q, r = (np.array(corner) for corner in triangle)
    if cross(*triangle) < 0.0:
        q, r = r, q
    inside = np.ones(len(points), dtype=bool)
    for one, two in ((p, q), (q, r), (r, p)):
        way = two - one
        length = max(float(np.hypot(*way)), 1e-12)
        off = (way[0] * (points[:, 1] - one[1]) - way[1] * (points[:, 0] - one[0])) / length
        inside &= off >= -CLEAR_MM
    return inside
