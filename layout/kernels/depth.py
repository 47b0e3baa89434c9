"""How deep a position lies in a no-fit polygon, and the shortest way out.

The depth is the distance to the polygon's boundary, exact, plus a slack; a position within the
slack outside counts as touching with what is left of it. Depth as a measure of overlap that falls
linearly to zero: Umetani, Yagiura, Imahori et al., Solving the irregular strip packing problem via
guided local search for overlap minimization, ITOR 16, 2009.
"""

from __future__ import annotations

import math

from layout.kernels.compiled import kernel
from layout.kernels.grid import INSIDE, MIXED_IN, MIXED_OUT


@kernel
def depth(q, x, y, bounds, inverse, cells, cell, candidates, edges, slack, enough):
    """Depth of relative position (x, y) in no-fit polygon q, plus slack; 0 where it is clear.

    Where the cell alone tells that the depth reaches `enough`, the cell's least depth is returned:
    a position that is too bad anyway need not be measured.

    Parameters
    ----------
    bounds : (Q, 4) array
    inverse : (Q, 5) array
        Cells per mm in x and y, mm per cell, and mm per unit of the least depth.
    cells : int
    cell, candidates, edges
        As of `grid.build_grids`.
    slack, enough : float
        mm.
    """
    column = int((x - bounds[q, 0]) * inverse[q, 0])
    row = int((y - bounds[q, 1]) * inverse[q, 1])
    if (
        x < bounds[q, 0] or y < bounds[q, 1]
        or column < 0 or row < 0 or column >= cells or row >= cells
    ):  # fmt: skip
        return 0.0
    c = q * cells * cells + row * cells + column
    packed = cell[c, 1]
    if packed == 0:
        return 0.0
    begin = cell[c, 0]
    end = begin + ((packed & 0xFFFF) >> 2)
    known = packed & 3
    nearest = 1e300
    if known == INSIDE:
        least = (packed >> 16) * inverse[q, 4]
        if least >= enough:
            return least
        for k in range(begin, end):
            e = candidates[k]
            dx = edges[e, 2]
            dy = edges[e, 3]
            rx = x - edges[e, 0]
            ry = y - edges[e, 1]
            t = min(max((rx * dx + ry * dy) * edges[e, 4], 0.0), 1.0)
            rx -= t * dx
            ry -= t * dy
            nearest = min(nearest, rx * rx + ry * ry)
        return math.sqrt(nearest) + slack
    centre_x = (column + 0.5) * inverse[q, 2] + bounds[q, 0]
    centre_y = (row + 0.5) * inverse[q, 3] + bounds[q, 1]
    inside = known == MIXED_IN
    sx = x - centre_x
    sy = y - centre_y
    for k in range(begin, end):
        e = candidates[k]
        dx = edges[e, 2]
        dy = edges[e, 3]
        rx = x - edges[e, 0]
        ry = y - edges[e, 1]
        # Each edge that the way from the cell's centre crosses changes sides.
        ax = edges[e, 0] - centre_x
        ay = edges[e, 1] - centre_y
        o1 = sx * ay - sy * ax
        o2 = o1 + sx * dy - sy * dx
        if (o1 > 0.0) != (o2 > 0.0):
            o3 = dx * (-ay) - dy * (-ax)
            o4 = dx * ry - dy * rx
            if (o3 > 0.0) != (o4 > 0.0):
                inside = not inside
        t = min(max((rx * dx + ry * dy) * edges[e, 4], 0.0), 1.0)
        rx -= t * dx
        ry -= t * dy
        nearest = min(nearest, rx * rx + ry * ry)
    d = math.sqrt(nearest)
    if inside:
        return d + slack
    if d < slack:
        return slack - d
    return 0.0


@kernel
def way_out(q, x, y, bounds, inverse, cells, cell, candidates, edges, slack, out):
    """As `depth`; `out[0:2]` is the vector that moves the position just out of the polygon."""
    column = int((x - bounds[q, 0]) * inverse[q, 0])
    row = int((y - bounds[q, 1]) * inverse[q, 1])
    if (
        x < bounds[q, 0] or y < bounds[q, 1]
        or column < 0 or row < 0 or column >= cells or row >= cells
    ):  # fmt: skip
        return 0.0
    c = q * cells * cells + row * cells + column
    packed = cell[c, 1]
    if packed == 0:
        return 0.0
    begin = cell[c, 0]
    end = begin + ((packed & 0xFFFF) >> 2)
    known = packed & 3
    centre_x = (column + 0.5) * inverse[q, 2] + bounds[q, 0]
    centre_y = (row + 0.5) * inverse[q, 3] + bounds[q, 1]
    inside = known != MIXED_OUT
    sx = x - centre_x
    sy = y - centre_y
    nearest = 1e300
    mx = my = ex = ey = 0.0
    for k in range(begin, end):
        e = candidates[k]
        dx = edges[e, 2]
        dy = edges[e, 3]
        rx = x - edges[e, 0]
        ry = y - edges[e, 1]
        if known != INSIDE:
            ax = edges[e, 0] - centre_x
            ay = edges[e, 1] - centre_y
            o1 = sx * ay - sy * ax
            o2 = o1 + sx * dy - sy * dx
            if (o1 > 0.0) != (o2 > 0.0):
                o3 = dx * (-ay) - dy * (-ax)
                o4 = dx * ry - dy * rx
                if (o3 > 0.0) != (o4 > 0.0):
                    inside = not inside
        t = min(max((rx * dx + ry * dy) * edges[e, 4], 0.0), 1.0)
        rx -= t * dx
        ry -= t * dy
        d2 = rx * rx + ry * ry
        if d2 < nearest:
            nearest = d2
            mx = rx
            my = ry
            ex = dx
            ey = dy
    d = math.sqrt(nearest)
    length = math.sqrt(ex * ex + ey * ey)
    # Outward normal of a ring that keeps its polygon on the left.
    nx = ey / length
    ny = -ex / length
    if inside:
        if d > 1e-9:
            nx = -mx / d
            ny = -my / d
        out[0] = nx * (d + 1.000001 * slack)
        out[1] = ny * (d + 1.000001 * slack)
        return d + slack
    if d < slack:
        out[0] = nx * (slack * 1.000001 - d)
        out[1] = ny * (slack * 1.000001 - d)
        return slack - d
    return 0.0
