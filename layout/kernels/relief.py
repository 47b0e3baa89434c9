"""Reliefs: roughly how much a unit would overlap, at every place of a lattice at once.

How deep the shapes of a pair lie in each other is kept on a lattice. Weighted and added up over all
other units that gives the overlap all over the lay for what some twenty exact judgements cost, so
that the best places need not be found by chance; they are then judged exactly.
"""

from __future__ import annotations

import math

import numpy as np

from layout.kernels.compiled import kernel
from layout.kernels.heights import PHASES

AT_ONE = 1500
"""Heights added up or looked at in the time in which one position is judged exactly; measured."""

AT_EACH = 100
"""As many as could be added up while one unit is found; an estimate."""


@kernel
def raise_ground(i, shape, x, y, rows, columns, ground, count, units, nofits):
    """Weighted overlap of unit i all over a lattice that begins at (x, y), row by row.

    Weights count as shares of the greatest of unit i, which may be beyond what single precision
    holds. Returns how many heights were added.
    """
    reliefs = nofits.reliefs
    step = reliefs.step
    # Unsigned numbers of places let the compiler add many at a time.
    for k in range(np.uint64(rows * columns)):
        ground[k] = 0.0
    greatest = 0.0
    for j in range(count):
        if j != i:
            greatest = max(greatest, units.weight[i, j])
    added = 0
    for j in range(count):
        if j == i:
            continue
        q = nofits.pair[units.shape[j], shape]
        away_x = (x - units.x[j] - nofits.bounds[q, 0]) / step
        away_y = (y - units.y[j] - nofits.bounds[q, 1]) / step
        near_x = math.floor(away_x * PHASES + 0.5)
        near_y = math.floor(away_y * PHASES + 0.5)
        right = near_x // PHASES
        up = near_y // PHASES
        wide = reliefs.size[q, 1]
        high = reliefs.size[q, 0]
        first = max(0, -right)
        last = min(columns, wide - right)
        low = max(0, -up)
        top = min(rows, high - up)
        if first >= last or low >= top:
            continue
        phase = (near_y - up * PHASES) * PHASES + near_x - right * PHASES
        begin = reliefs.begin[q] + phase * high * wide
        weight = np.float32(units.weight[i, j] / greatest)
        span = np.uint64(last - first)
        for row in range(low, top):
            a = np.uint64(row * columns + first)
            b = np.uint64(begin + (row + up) * wide + first + right)
            for k in range(span):
                ground[a + k] += weight * reliefs.heights[b + k]
        added += (last - first) * (top - low)
    return added


@kernel
def lowest(ground, rows, columns, found):
    """Find the lowest places that have no lower neighbour; return how many.

    Parameters
    ----------
    ground : (rows * columns or more,) float32 array
    found : (most, 3) array
        Filled with height, row and column of each, the lowest first.
    """
    most = len(found)
    n = 0
    bar = np.float32(3e38)
    for row in range(rows):
        for column in range(columns):
            at = row * columns + column
            here = ground[at]
            if (
                here >= bar
                or (column > 0 and ground[at - 1] < here)
                or (column + 1 < columns and ground[at + 1] < here)
                or (row > 0 and ground[at - columns] < here)
                or (row + 1 < rows and ground[at + columns] < here)
            ):  # fmt: skip
                continue
            k = n
            if n < most:
                n += 1
            else:
                k = most - 1
            while k > 0 and found[k - 1, 0] > here:
                found[k, 0] = found[k - 1, 0]
                found[k, 1] = found[k - 1, 1]
                found[k, 2] = found[k - 1, 2]
                k -= 1
            found[k, 0] = here
            found[k, 1] = row
            found[k, 2] = column
            if n == most:
                bar = np.float32(found[most - 1, 0])
    return n
