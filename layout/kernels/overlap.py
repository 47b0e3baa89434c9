"""How much one unit overlaps the others at a position, weighted."""

from __future__ import annotations

from layout.kernels.compiled import kernel
from layout.kernels.depth import depth


@kernel
def depth_in(j, shape, x, y, enough, units, nofits):
    """Depth of a shape at (x, y) in what unit j forbids; see `depth`."""
    return depth(
        nofits.pair[units.shape[j], shape], x - units.x[j], y - units.y[j], nofits.bounds,
        nofits.inverse, nofits.cells, nofits.cell, nofits.candidates, nofits.edges, nofits.slack,
        enough,
    )  # fmt: skip


@kernel
def overlap(i, shape, x, y, ext, limit, count, units, nofits, done):
    """Weighted overlap of unit i at (x, y) with all others; gives up beyond `limit`."""
    total = 0.0
    done[0] += 1
    slack = nofits.slack
    box = units.box
    x0 = x + ext[0] - slack
    x1 = x + ext[2] + slack
    y0 = y + ext[1] - slack
    y1 = y + ext[3] + slack
    for j in range(count):
        if x0 >= box[1, j] or x1 <= box[0, j] or y0 >= box[3, j] or y1 <= box[2, j] or j == i:
            continue
        d = depth_in(j, shape, x, y, (limit - total) / units.weight[i, j], units, nofits)
        if d > 0.0:
            total += units.weight[i, j] * d
            if total >= limit:
                return total
    return total


@kernel
def gather(i, x, y, ext, margin, near, count, units):
    """List units whose boxes come within a margin of unit i's at (x, y); return how many."""
    box = units.box
    x0 = x + ext[0] - margin
    x1 = x + ext[2] + margin
    y0 = y + ext[1] - margin
    y1 = y + ext[3] + margin
    n = 0
    for j in range(count):
        if x0 < box[1, j] and x1 > box[0, j] and y0 < box[3, j] and y1 > box[2, j] and j != i:
            near[n] = j
            n += 1
    return n


@kernel
def overlap_near(i, shape, x, y, ext, limit, near, n, units, nofits, done):
    """Weighted overlap of unit i at (x, y) with those listed; gives up beyond `limit`."""
    total = 0.0
    done[0] += 1
    slack = nofits.slack
    box = units.box
    x0 = x + ext[0] - slack
    x1 = x + ext[2] + slack
    y0 = y + ext[1] - slack
    y1 = y + ext[3] + slack
    for k in range(n):
        j = near[k]
        if x0 >= box[1, j] or x1 <= box[0, j] or y0 >= box[3, j] or y1 <= box[2, j]:
            continue
        d = depth_in(j, shape, x, y, (limit - total) / units.weight[i, j], units, nofits)
        if d > 0.0:
            total += units.weight[i, j] * d
            if total >= limit:
                return total
    return total
