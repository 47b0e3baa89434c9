"""Fewer corners for the search: an outline simplified outward only.

Two steps are repeated, the one that adds least area first: a hollow corner is bridged, or a short
edge between two bulging corners is left out by prolonging its neighbours. Each step is taken only
while the outline stays within the tolerance of the true one; the result contains it, so what does
not overlap in the search does not overlap in truth.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pieces.geometry_types import Point, Ring

FloatArray = NDArray[np.float64]

TOLERANCE_MM = 0.5
"""Greatest distance of the simplified outline from the true one (design)."""


def simplify_outward(
    ring: Ring,
    tolerance: float = TOLERANCE_MM,
    fixed: tuple[Point, Point] | None = None,
) -> FloatArray:
    """Simplify a counter-clockwise ring outward, shape (N, 2) in mm.

    Parameters
    ----------
    ring : Ring
    tolerance : float
        Greatest deviation, mm.
    fixed : (Point, Point), optional
        Ends of a straight edge whose line must not move (a fold edge).
    """
    points = [(float(x), float(y)) for x, y in ring]
    locked = [_on_line(points[i], points[(i + 1) % len(points)], fixed) for i in range(len(points))]
    spent = [0.0] * len(points)
    while len(points) > 4:
        step = _cheapest(points, locked, spent, tolerance)
        if step is None:
            break
        _take(step, points, locked, spent)
    result = np.array(points)
    return result if _contains(result, ring, tolerance) else np.array(ring, dtype=float)


_Step = tuple[float, bool, int, Point, float]
"""Area added, whether an edge is left out, index, new corner, deviation."""


def _cheapest(
    points: list[Point], locked: list[bool], spent: list[float], tolerance: float
) -> _Step | None:
    best: _Step | None = None
    count = len(points)
    for i in range(count):
        a, b, c = points[i - 1], points[i], points[(i + 1) % count]
        turn = _cross(a, b, c)
        if turn <= 0.0:
            if locked[i - 1] or locked[i]:
                continue
            height = -turn / max(math.dist(a, c), 1e-12)
            deviation = height + max(spent[i - 1], spent[i])
            if deviation <= tolerance and (best is None or -turn < best[0]):
                best = (-turn, False, i, b, deviation)
            continue
        d = points[(i + 2) % count]
        if locked[i] or _cross(b, c, d) <= 0.0:
            continue
        corner = _prolonged(a, b, d, c)
        if corner is None:
            continue
        area = _cross(b, corner, c)
        height = abs(area) / max(math.dist(b, c), 1e-12)
        after = (i + 1) % count
        deviation = height + max(spent[i - 1], spent[i], spent[after])
        if deviation <= tolerance and (best is None or abs(area) < best[0]):
            best = (abs(area), True, i, corner, deviation)
    return best


def _take(step: _Step, points: list[Point], locked: list[bool], spent: list[float]) -> None:
    _, leave_out, i, corner, deviation = step
    spent[i - 1] = max(spent[i - 1], deviation)
    if not leave_out:
        del points[i], locked[i], spent[i]
        return
    after = (i + 1) % len(points)
    points[i] = corner
    spent[i], locked[i] = max(spent[after], deviation), locked[after]
    del points[after], locked[after], spent[after]


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
