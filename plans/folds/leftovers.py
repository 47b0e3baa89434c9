"""What remains of the cloth and is worth keeping."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from fabrics.region import Region
from pieces.geometry_types import FloatArray, Ring

NECK_MM = 50.0
"""Regions are parted where they are narrower than this (design)."""

LEAST_MM = (150.0, 150.0)
"""A leftover holds a rectangle of at least this size along the grain (design)."""

GRID = 60
"""Lines each way of the grid on which the largest rectangle is looked for."""


def find_leftovers(
    usable: Polygon,
    copies: Sequence[Polygon],
    gap: float,
    neck: float = NECK_MM,
    least: tuple[float, float] = LEAST_MM,
) -> tuple[Region, ...]:
    """List the regions worth keeping, the largest first.

    Parameters
    ----------
    usable : Polygon
        Usable cloth, mm, cloth coordinates.
    copies : sequence of Polygon
        Everything that was cut.
    gap : float
        Margin left around cut edges, mm.
    neck : float
        Width below which regions are parted and slivers dropped, mm.
    least : (float, float)
        Sides of the rectangle that a leftover must hold, either way round, mm.
    """
    free = usable.difference(shapely.union_all(list(copies)).buffer(1.03 * gap, quad_segs=4))
    # Without the jags of a traced outline, which would make the opening quadratic.
    opened = free.simplify(0.2).buffer(-neck / 2.0, quad_segs=4).buffer(neck / 2.0, quad_segs=4)
    regions = opened.simplify(0.2).intersection(free)
    found = []
    for region in _polygons(regions):
        x1, y1, x2, y2 = region.bounds
        if not _large(x2 - x1, y2 - y1, least):
            continue
        rectangle = largest_rectangle(region, least)
        if _large(rectangle[2] - rectangle[0], rectangle[3] - rectangle[1], least):
            found.append(
                Region(
                    ring_of(region.exterior.coords),
                    tuple(ring_of(hole.coords) for hole in region.interiors),
                    float(region.area),
                    rectangle,
                )
            )
    return tuple(sorted(found, key=lambda leftover: -leftover.area))


def largest_rectangle(
    region: Polygon, least: tuple[float, float] = (0.0, 0.0)
) -> tuple[float, float, float, float]:
    """Largest axis-parallel rectangle inside a region: x_from, y_from, x_to, y_to, mm.

    Looked for on a grid through the region's corners and evenly spaced lines, then grown to the
    region's edge; never reaches outside. One that holds `least` (mm, either way round) comes before
    any that does not, however large: a long tail must not hide a square beside it.
    """
    xs, ys = _lines(region, 0), _lines(region, 1)
    cells = shapely.box(
        *np.broadcast_arrays(xs[:-1, None], ys[None, :-1], xs[1:, None], ys[None, 1:])
    )
    roomy = region.buffer(1e-6)
    shapely.prepare(roomy)
    inside = shapely.covers(roomy, cells)
    best = _best_block(inside, np.diff(xs), np.diff(ys), least)
    if best is None:
        x, y = region.representative_point().coords[0]
        return (x, y, x, y)
    i, k, j, m = best
    return _grown(region, (float(xs[i]), float(ys[k]), float(xs[j]), float(ys[m])))


def _lines(region: Polygon, axis: int) -> FloatArray:
    corners = shapely.get_coordinates(region)[:, axis]
    low, high = float(corners.min()), float(corners.max())
    lines = np.concatenate([np.linspace(low, high, GRID), corners])
    lines = np.unique(np.round(lines, 3))
    if len(lines) > 3 * GRID:
        lines = np.unique(
            np.concatenate([np.linspace(low, high, GRID), lines[:: len(lines) // GRID]])
        )
    return np.asarray(lines)


def _best_block(
    inside: np.ndarray, widths: FloatArray, heights: FloatArray, least: tuple[float, float]
) -> tuple[int, int, int, int] | None:
    """Largest block of cells that are all inside: first and last line in x, in y.

    Blocks that hold `least`, or may once they are grown by up to a cell, come before others.
    """
    cell = float(widths.max()), float(heights.max())
    columns, rows = inside.shape
    tops = np.concatenate([[0.0], np.cumsum(heights)])
    lefts = np.concatenate([[0.0], np.cumsum(widths)])
    depth = np.zeros(rows)
    start = np.zeros(rows, dtype=int)
    best: tuple[tuple[int, float], tuple[int, int, int, int]] | None = None
    for i in range(columns):
        fresh = ~inside[i]
        start = np.where(fresh, i + 1, start)
        depth = np.where(fresh, 0.0, lefts[i + 1] - lefts[start])
        stack: list[tuple[int, int]] = []
        for k in range(rows + 1):
            here = depth[k] if k < rows else 0.0
            low = k
            while stack and depth[stack[-1][1]] >= here:
                low, index = stack.pop()
                along, across = float(depth[index]), float(tops[k] - tops[low])
                holds = _large(along, across, least)
                may_hold = holds or _large(along + cell[0], across + cell[1], least)
                worth = holds + may_hold, along * across
                if worth[1] > 0.0 and (best is None or worth > best[0]):
                    best = (worth, (int(start[index]), low, i + 1, k))
            if k < rows:
                stack.append((low, k))
    return None if best is None else best[1]


def _grown(
    region: Polygon, rectangle: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    """Move each side out as far as the region allows."""
    sides = list(rectangle)
    bounds = region.bounds
    shapely.prepare(region)
    for side in range(4):
        near, far = sides[side], bounds[side]
        for _ in range(20):
            middle = (near + far) / 2.0
            tried = list(sides)
            tried[side] = middle
            if region.covers(box(*tried)):
                near = middle
            else:
                far = middle
        sides[side] = near
    if not region.covers(box(*sides)):
        sides = [sides[0] + 1e-3, sides[1] + 1e-3, sides[2] - 1e-3, sides[3] - 1e-3]
    return (sides[0], sides[1], sides[2], sides[3])


def _large(along: float, across: float, least: tuple[float, float]) -> bool:
    return (along >= least[0] and across >= least[1]) or (along >= least[1] and across >= least[0])


def _polygons(geometry: Polygon | MultiPolygon) -> list[Polygon]:
    return [part for part in getattr(geometry, "geoms", [geometry]) if not part.is_empty]


def ring_of(coords: Sequence[tuple[float, ...]]) -> Ring:
    """Make a ring, counter-clockwise and open, of closed coordinates."""
    ring = Polygon(coords)
    points = list(ring.exterior.coords)[:-1]
    if not ring.exterior.is_ccw:
        points.reverse()
    return tuple((float(p[0]), float(p[1])) for p in points)
