"""Where a place lies in a no-go region, and the lines of which one must be behind it.

A region is a set of places that a unit cannot have beside another (a no-fit polygon, or what
several have in common): edges of its rings, each between `first` and `last` of `edges` as x1, y1,
x2, y2. Around a place within it a convex part of the region grows until edges stop it: whatever
place is permitted lies behind one of its sides.
"""

from __future__ import annotations

import math

from layout.kernels.compiled import kernel

MOST_SIDES = 24
"""Sides of a convex part at most."""

PLAIN_SIDES = 6
"""Sides that may touch the region's edges; later ones stay nearer to the place."""

NEARER = 0.85
"""How near, as a share: so that a side goes past several short edges of a curve at once."""


@kernel
def depth_within(x, y, first, last, edges):
    """Distance (mm) from a place to the region's edges; 0 if the place is not within it."""
    is_within = False
    nearest = 1e300
    for k in range(first, last):
        x1, y1, x2, y2 = edges[k, 0] - x, edges[k, 1] - y, edges[k, 2] - x, edges[k, 3] - y
        if (y1 > 0.0) != (y2 > 0.0) and (x1 * y2 - x2 * y1 > 0.0) == (y2 > y1):
            is_within = not is_within
        ex, ey = x2 - x1, y2 - y1
        t = -(x1 * ex + y1 * ey) / (ex * ex + ey * ey + 1e-300)
        t = min(1.0, max(0.0, t))
        px, py = x1 + t * ex, y1 + t * ey
        distance = px * px + py * py
        if distance < nearest:
            nearest = distance
    return math.sqrt(nearest) if is_within else 0.0


@kernel
def clipped(count, nx, ny, far, left):
    """Keep of edges what lies on the near side of a line, nx * x + ny * y < far; how many."""
    kept = 0
    for k in range(count):
        x1, y1, x2, y2 = left[k, 0], left[k, 1], left[k, 2], left[k, 3]
        a, b = x1 * nx + y1 * ny, x2 * nx + y2 * ny
        if min(a, b) >= far - 1e-9:
            continue
        if a > far:
            t = (far - a) / (b - a)
            x1, y1 = x1 + t * (x2 - x1), y1 + t * (y2 - y1)
        elif b > far:
            t = (far - a) / (b - a)
            x2, y2 = x1 + t * (x2 - x1), y1 + t * (y2 - y1)
        left[kept, 0], left[kept, 1], left[kept, 2], left[kept, 3] = x1, y1, x2, y2
        kept += 1
    return kept


@kernel
def sides_around(x, y, first, last, edges, reach, i, j, lines, used, left, normal, least):
    """Sides of a convex part of the region around a place within it; how many.

    -1 if they would be too many; 0 if the region is all that the place can have.

    Parameters
    ----------
    x, y : float
        The place, mm.
    first, last, edges
        The region.
    reach : (4,) array
        Least and greatest x, least and greatest y that a place can have: edges beyond do not stop
        the part.
    i, j, lines, used
        Nor do edges behind those of the `used` lines that hold between units i and j.
    left : (E, 4) array
        Room for what is left of the edges; written to.
    normal, least : (MOST_SIDES, 2), (MOST_SIDES,) arrays
        Written to: a place is behind side s if normal[s] . place >= least[s].
    """
    count = 0
    for k in range(first, last):
        x1, y1, x2, y2 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
        # What may not move along an axis is stopped by a corner on its line, too.
        if max(x1, x2) < reach[0] or min(x1, x2) > reach[1]:
            continue
        if max(y1, y2) < reach[2] or min(y1, y2) > reach[3]:
            continue
        left[count, 0], left[count, 1] = x1 - x, y1 - y
        left[count, 2], left[count, 3] = x2 - x, y2 - y
        count += 1
    for k in range(used):
        if lines.first[k] == i and lines.second[k] == j:
            nx, ny = -lines.normal[k, 0], -lines.normal[k, 1]
            count = clipped(count, nx, ny, -lines.least[k] - nx * x - ny * y, left)
    sides = 0
    while count > 0:
        if sides == MOST_SIDES:
            return -1
        nearest, nx, ny = 1e300, 0.0, 0.0
        for k in range(count):
            ax, ay = left[k, 0], left[k, 1]
            ex, ey = left[k, 2] - ax, left[k, 3] - ay
            t = -(ax * ex + ay * ey) / (ex * ex + ey * ey + 1e-300)
            t = min(1.0, max(0.0, t))
            px, py = ax + t * ex, ay + t * ey
            distance = math.sqrt(px * px + py * py)
            if distance < nearest:
                nearest, nx, ny = distance, px, py
        if nearest < 1e-6:
            return -1
        nx, ny = nx / nearest, ny / nearest
        far = nearest if sides < PLAIN_SIDES else NEARER * nearest
        normal[sides, 0], normal[sides, 1] = nx, ny
        least[sides] = nx * x + ny * y + far
        sides += 1
        count = clipped(count, nx, ny, far, left)
    return sides
