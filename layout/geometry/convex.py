"""Convex parts of a polygon: triangles merged across shared edges while they stay convex.

Hertel and Mehlhorn, Fast triangulation of simple polygons, FCT 1983: at most four times the least
number of parts.
"""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray


def is_convex(points: FloatArray) -> bool:
    """Whether a counter-clockwise ring, shape (N, 2), bulges at every corner (or runs straight)."""
    before, after = points - np.roll(points, 1, 0), np.roll(points, -1, 0) - points
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    size = np.ptp(points, axis=0).max()
    return bool((turn >= -1e-12 * size * size).all())


def convex_parts(points: FloatArray) -> list[FloatArray]:
    """Split a counter-clockwise ring, shape (N, 2), into convex counter-clockwise rings."""
    if is_convex(points):
        return [points]
    parts = _triangles(points)
    merged = True
    while merged:
        merged = False
        owners: dict[tuple[int, int], int] = {}
        for index, part in enumerate(parts):
            for k, vertex in enumerate(part):
                owners[(vertex, part[(k + 1) % len(part)])] = index
        # The longest shared edge first leaves rounder parts.
        shared = sorted(
            ((u, v) for (u, v) in owners if u < v and (v, u) in owners),
            key=lambda edge: -float(np.hypot(*(points[edge[0]] - points[edge[1]]))),
        )
        gone: set[int] = set()
        fresh: list[list[int]] = []
        for u, v in shared:
            one, two = owners[(u, v)], owners[(v, u)]
            if one in gone or two in gone:
                continue
            union = _joined(parts[one], parts[two], u, v)
            if is_convex(points[union]):
                gone |= {one, two}
                fresh.append(union)
                merged = True
        parts = [part for index, part in enumerate(parts) if index not in gone] + fresh
    return [points[part] for part in parts]


def _joined(one: list[int], two: list[int], u: int, v: int) -> list[int]:
    """Join two rings across the edge u-v of the first (v-u of the second)."""
    start_one = one.index(v)
    start_two = two.index(u)
    around = one[start_one:] + one[:start_one]
    back = two[start_two:] + two[:start_two]
    return around + back[1:-1]


def _triangles(points: FloatArray) -> list[list[int]]:
    import shapely
    from shapely.geometry import Polygon

    index = {(float(x), float(y)): k for k, (x, y) in enumerate(points)}
    result = []
    for triangle in shapely.constrained_delaunay_triangles(Polygon(points)).geoms:
        corners = [index[(float(x), float(y))] for x, y in triangle.exterior.coords[:-1]]
        result.append(corners if triangle.exterior.is_ccw else corners[::-1])
    return result
