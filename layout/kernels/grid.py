"""A grid over each no-fit polygon that keeps, for each cell, the edges that can be nearest."""

from __future__ import annotations

import math

import numpy as np

from layout.kernels.compiled import allocating_kernel, kernel

OUTSIDE, INSIDE, MIXED_OUT, MIXED_IN = 0, 1, 2, 3
"""What is known of a cell: all outside, all inside, or mixed with its centre out or in."""

LEAST_UNITS = 32767
"""The least depth of a cell is kept in this many parts of its polygon's greater side."""


@kernel
def distance_squared(px, py, ax, ay, dx, dy, inverse):
    """Squared distance of a point from the edge at (ax, ay) with vector (dx, dy)."""
    t = min(max(((px - ax) * dx + (py - ay) * dy) * inverse, 0.0), 1.0)
    ex = px - ax - t * dx
    ey = py - ay - t * dy
    return ex * ex + ey * ey


@allocating_kernel
def build_grids(edges, first, bounds, cells, slack):
    """Classify the cells of every no-fit polygon.

    Parameters
    ----------
    edges : (E, 5) array
        Start, vector and inverse squared length of each edge.
    first : (Q + 1,) array
        Where the edges of each polygon begin.
    bounds : (Q, 4) array
        Box that its grid covers.
    cells : int
        Cells each way.
    slack : float
        Distance outside an edge that must still be told, mm.

    Returns
    -------
    cell : (Q * cells * cells, 2) int32 array
        Where the cell's edges begin; and packed in one number, from its low bits on: what is known
        of the cell (2 bits), the number of its edges (14), and the least depth in a cell that is
        all inside (15, see `LEAST_UNITS`). Small records keep the grids in the cache.
    candidates : int32 array
        Edge indices.
    """
    count = len(first) - 1
    cell = np.zeros((count * cells * cells, 2), np.int32)
    capacity = count * cells * cells * 4 + 64
    candidates = np.empty(capacity, np.int32)
    used = 0
    longest = 0
    for q in range(count):
        longest = max(longest, first[q + 1] - first[q])
    distance = np.empty(longest)
    for q in range(count):
        wide = (bounds[q, 2] - bounds[q, 0]) / cells
        high = (bounds[q, 3] - bounds[q, 1]) / cells
        half = 0.5 * math.sqrt(wide * wide + high * high)
        for row in range(cells):
            for column in range(cells):
                c = q * cells * cells + row * cells + column
                x = bounds[q, 0] + (column + 0.5) * wide
                y = bounds[q, 1] + (row + 0.5) * high
                nearest = 1e300
                inside = False
                for e in range(first[q], first[q + 1]):
                    d = math.sqrt(
                        distance_squared(
                            x, y, edges[e, 0], edges[e, 1], edges[e, 2], edges[e, 3], edges[e, 4]
                        )
                    )
                    distance[e - first[q]] = d
                    nearest = min(nearest, d)
                    low = edges[e, 1]
                    top = low + edges[e, 3]
                    crosses = (low > y) != (top > y)
                    if crosses and x < edges[e, 0] + (y - low) / (top - low) * edges[e, 2]:
                        inside = not inside
                cell[c, 0] = used
                if not inside and nearest > half + slack:
                    continue
                known = INSIDE if nearest > half else MIXED_IN
                if not inside:
                    known = MIXED_OUT
                least = 0
                if known == INSIDE:
                    side = max(wide, high) * cells
                    least = min(LEAST_UNITS, int((nearest - half) / side * LEAST_UNITS))
                begin = used
                for e in range(first[q], first[q + 1]):
                    if distance[e - first[q]] <= nearest + 2.0 * half + slack:
                        if used == capacity:
                            capacity *= 2
                            larger = np.empty(capacity, np.int32)
                            larger[:used] = candidates[:used]
                            candidates = larger
                        candidates[used] = e
                        used += 1
                cell[c, 1] = (least << 16) | ((used - begin) << 2) | known
    return cell, candidates[:used].copy()
