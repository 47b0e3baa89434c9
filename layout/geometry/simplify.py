"""Fewer corners for the search: an outline simplified outward only.

Two steps are repeated, the one that adds least area first: a hollow corner is bridged, or a short
edge between two bulging corners is left out by prolonging its neighbours. Each step is taken only
while the outline stays within the tolerance of the true one; the result contains it, so what does
not overlap in the search does not overlap in truth.
"""

from __future__ import annotations

import heapq
import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pieces.geometry_types import Point, Ring

FloatArray = NDArray[np.float64]

TOLERANCE_MM = 0.5
"""Greatest distance of the simplified outline from the true one (design)."""


@lru_cache(maxsize=4096)
def simplify_outward(
    ring: Ring,
    tolerance: float = TOLERANCE_MM,
    fixed: tuple[Point, Point] | None = None,
) -> FloatArray:
    """Simplify a counter-clockwise ring outward, shape (N, 2) in mm; do not write to the result.

    Parameters
    ----------
    ring : Ring
    tolerance : float
        Greatest deviation, mm.
    fixed : (Point, Point), optional
        Ends of a straight edge whose line must not move (a fold edge).
    """
    result = _Simplifier(ring, tolerance, fixed).run()
    return result if _contains(result, ring, tolerance) else np.array(ring, dtype=float)


class _Simplifier:
    """A ring as a linked list, and a heap of the steps that could be taken next.

    `spent[i]` is the deviation that the edge from corner i has taken up, `locked[i]` whether it is
    the fold edge. A step is noted with the version of its corner, so that stale ones are passed
    over.
    """

    def __init__(self, ring: Ring, tolerance: float, fixed: tuple[Point, Point] | None) -> None:
        count = len(ring)
        self.points: list[Point] = [(float(x), float(y)) for x, y in ring]
        self.after = [(i + 1) % count for i in range(count)]
        self.before = [(i - 1) % count for i in range(count)]
        self.locked = [
            _on_line(self.points[i], self.points[(i + 1) % count], fixed) for i in range(count)
        ]
        self.spent = [0.0] * count
        self.version = [0] * count
        self.alive = [True] * count
        self.left = count
        self.tolerance = tolerance
        self.heap: list[tuple[float, int, int, bool, Point, float]] = []
        for i in range(count):
            self._note(i)

    def run(self) -> FloatArray:
        """Take steps until none is within the tolerance."""
        while self.heap and self.left > 4:
            _, i, version, leave_out, corner, deviation = heapq.heappop(self.heap)
            if self.alive[i] and version == self.version[i]:
                self._take(i, leave_out, corner, deviation)
        start = next(i for i, alive in enumerate(self.alive) if alive)
        order = [start]
        while self.after[order[-1]] != start:
            order.append(self.after[order[-1]])
        return np.array([self.points[i] for i in order])

    def _note(self, i: int) -> None:
        """Put the step at corner i into the heap, if there is one within the tolerance."""
        a, c_index = self.before[i], self.after[i]
        pa, pb, pc = self.points[a], self.points[i], self.points[c_index]
        turn = _cross(pa, pb, pc)
        if turn <= 0.0:
            if self.locked[a] or self.locked[i]:
                return
            deviation = -turn / max(math.dist(pa, pc), 1e-12) + max(self.spent[a], self.spent[i])
            if deviation <= self.tolerance:
                entry = (-turn, i, self.version[i], False, pb, deviation)
                heapq.heappush(self.heap, entry)
            return
        pd = self.points[self.after[c_index]]
        if self.locked[i] or _cross(pb, pc, pd) <= 0.0:
            return
        corner = _prolonged(pa, pb, pd, pc)
        if corner is None:
            return
        area = abs(_cross(pb, corner, pc))
        height = area / max(math.dist(pb, pc), 1e-12)
        deviation = height + max(self.spent[a], self.spent[i], self.spent[c_index])
        if deviation <= self.tolerance:
            heapq.heappush(self.heap, (area, i, self.version[i], True, corner, deviation))

    def _take(self, i: int, leave_out: bool, corner: Point, deviation: float) -> None:
        a, c = self.before[i], self.after[i]
        self.spent[a] = max(self.spent[a], deviation)
        if leave_out:
            # The corner after takes the new place; the edge from it goes on as it was.
            self.points[c] = corner
            self.spent[c] = max(self.spent[c], deviation)
        self.alive[i] = False
        self.after[a], self.before[c] = c, a
        self.left -= 1
        near = [self.before[self.before[a]], self.before[a], a, c, self.after[c]]
        for k in dict.fromkeys(near):
            self.version[k] += 1
            self._note(k)


def _prolonged(a: Point, b: Point, d: Point, c: Point) -> Point | None:
    """Where a-b and d-c meet when prolonged beyond b and c, or None."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - d[0], c[1] - d[1]
    det = ux * vy - uy * vx
    if abs(det) < 1e-12 * (abs(ux) + abs(uy)) * (abs(vx) + abs(vy)):
        return None
    s = ((d[0] - a[0]) * vy - (d[1] - a[1]) * vx) / det
    t = ((d[0] - a[0]) * uy - (d[1] - a[1]) * ux) / det
    if s < 1.0 or t < 1.0:
        return None
    return (a[0] + s * ux, a[1] + s * uy)


def _cross(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _on_line(a: Point, b: Point, fixed: tuple[Point, Point] | None) -> bool:
    if fixed is None:
        return False
    length = math.dist(*fixed)
    return all(abs(_cross(fixed[0], fixed[1], p)) <= 1e-3 * length for p in (a, b))


def _contains(result: FloatArray, ring: Ring, tolerance: float) -> bool:
    from shapely.geometry import Polygon

    outer, inner = Polygon(result), Polygon(ring)
    if not outer.is_valid:
        return False
    lost = inner.difference(outer).area
    return bool(lost <= 1e-9 * inner.area and outer.hausdorff_distance(inner) <= 4.0 * tolerance)
