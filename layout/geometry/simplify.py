"""Fewer corners for the search: an outline simplified outward only.

Two steps are repeated, the one that adds least area first: a hollow corner is bridged, or a short
edge between two bulging corners is left out by prolonging its neighbours. Each step is taken only
while the outline stays within the tolerance of the true one; the result contains it, so what does
not overlap in the search does not overlap in truth.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from layout.geometry.coarsen import coarsened
from layout.geometry.steps import cross, is_on_line, prolonged
from pieces.geometry_types import FloatArray, Point, Ring
from pieces.outline import signed_area

TOLERANCE_MM = 0.5
"""Greatest distance of the simplified outline from the true one (design)."""


MANY_CORNERS, MANY_HOLLOWS = 128, 72
"""Outlines that keep more corners, or more hollow ones, than this within the tolerance are
coarsened. Hollow corners count for more: they are what an outline is parted at."""

FEW_CORNERS = 60
"""Corners of a coarsened outline with many hollows: about what a well-drawn piece has."""


@dataclass(frozen=True)
class Coarseness:
    """What a coarsened outline costs: greatest distance from the true one (mm), and area (mm2)."""

    distance: float
    area: float


@lru_cache(maxsize=4096)
def search_outline(
    ring: Ring,
    tolerance: float = TOLERANCE_MM,
    fixed: tuple[Point, Point] | None = None,
) -> FloatArray:
    """Outline that the search lays instead of a ring: never more than `MANY_CORNERS` corners.

    Simplified outward within the tolerance; where too many corners are left (a tracing, a jagged
    drawing), coarsened further. Parameters as of `simplify_outward`; do not write to the result.
    """
    fine = simplify_outward(ring, tolerance, fixed)
    most = _most_corners(fine)
    if most is None:
        return fine
    result = coarsened(fine, most, tolerance, fixed)
    return result if _contains(result, ring, math.inf) else _hull(ring)


def coarseness(ring: Ring, fixed: tuple[Point, Point] | None = None) -> Coarseness | None:
    """What the search's outline of a ring costs beyond the usual tolerance; None if nothing."""
    if _most_corners(simplify_outward(ring, TOLERANCE_MM, fixed)) is None:
        return None
    result = search_outline(ring, TOLERANCE_MM, fixed)
    return Coarseness(departure(result, ring), signed_area(result) - signed_area(ring))


def _most_corners(fine: FloatArray) -> int | None:
    """How many corners an outline is coarsened to, or None if it may stay as it is."""
    before, after = fine - np.roll(fine, 1, 0), np.roll(fine, -1, 0) - fine
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    if int((turn < 0.0).sum()) > MANY_HOLLOWS:
        return FEW_CORNERS
    return MANY_CORNERS if len(fine) > MANY_CORNERS else None


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


@lru_cache(maxsize=1024)
def simplify_inward(
    ring: Ring,
    tolerance: float = TOLERANCE_MM,
    fixed: tuple[Point, Point] | None = None,
) -> FloatArray:
    """The same inward: what the result overlaps, the ring overlaps, too. Do not write to it.

    What lies around a ring is to the left of one that goes the other way about.
    """
    from shapely.geometry import Polygon

    result = _Simplifier(ring[::-1], tolerance, fixed).run()[::-1]
    inner, outer = Polygon(result), Polygon(ring)
    kept = inner.is_valid and inner.difference(outer).area <= 1e-9 * outer.area
    return result if kept else np.array(ring, dtype=float)


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
            is_on_line(self.points[i], self.points[(i + 1) % count], fixed) for i in range(count)
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
        turn = cross(pa, pb, pc)
        if turn <= 0.0:
            # A corner within the fold edge goes; one at its end would tilt it.
            if self.locked[a] != self.locked[i]:
                return
            deviation = -turn / max(math.dist(pa, pc), 1e-12) + max(self.spent[a], self.spent[i])
            if deviation <= self.tolerance:
                entry = (-turn, i, self.version[i], False, pb, deviation)
                heapq.heappush(self.heap, entry)
            return
        pd = self.points[self.after[c_index]]
        if self.locked[i] or cross(pb, pc, pd) <= 0.0:
            return
        corner = prolonged(pa, pb, pd, pc)
        if corner is None:
            return
        area = abs(cross(pb, corner, pc))
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


def _hull(ring: Ring) -> FloatArray:
    """Convex hull, counter-clockwise: a fold edge lies on it."""
    from shapely.geometry import Polygon
    from shapely.geometry.polygon import orient

    return np.array(orient(Polygon(ring).convex_hull).exterior.coords)[:-1]


def _contains(result: FloatArray, ring: Ring, tolerance: float) -> bool:
    from shapely.geometry import Polygon

    outer, inner = Polygon(result), Polygon(ring)
    if not outer.is_valid:
        return False
    lost = inner.difference(outer).area
    return bool(lost <= 1e-9 * inner.area and departure(result, ring) <= 4.0 * tolerance)


def departure(result: FloatArray, ring: Ring) -> float:
    """Greatest distance (mm) of a corner of either outline from the other."""
    import shapely

    one, other = shapely.linearrings(result), shapely.linearrings(np.array(ring, dtype=float))
    greatest = 0.0
    for line, corners in ((one, other), (other, one)):
        # Prepared, a line is searched by a tree: thousands of corners take no longer than a few.
        shapely.prepare(line)
        points = shapely.points(shapely.get_coordinates(corners))
        greatest = max(greatest, float(shapely.distance(line, points).max()))
    return greatest
