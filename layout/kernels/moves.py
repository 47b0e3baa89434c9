"""Relocating one unit: candidates, exact contact moves, and descents where those do not do.

Contact moves push a unit out of one neighbour, or solve for the corner that two neighbours (or a
neighbour and a wall) leave. Positions are judged by weighted overlap with every other unit.
"""

from __future__ import annotations

import math

from layout.kernels.candidates import drawn, surveyed
from layout.kernels.compiled import kernel
from layout.kernels.depth import way_out
from layout.kernels.overlap import gather, overlap, overlap_near
from layout.kernels.ranges import position_range, random, snapped

HERE_ROUNDS, THERE_ROUNDS = 2, 4
"""Rounds of contact moves where a unit lies, and where it might."""

NEAR_STEPS = 4.0
"""Steps of a descent in which a unit gets no further than the list of its neighbours reaches."""

NEAR_SHARE = 0.1
"""Contact moves of at most this share of a unit's size are judged by a list of neighbours."""


@kernel
def descend(i, way, x, y, value, step, least, low_x, high_x, low_y, high_y,
            seed, near, units, ways, nofits, count, done):  # fmt: skip
    """Coordinate descent with steps that grow on success and halve on failure."""
    shape = ways.shape[way]
    ext = ways.extent[way]
    pitch = ways.pitch[way]
    step_x = step if high_x > low_x else 0.0
    step_y = step if high_y > low_y else 0.0
    if pitch[0] > 0.0 and step_x > 0.0:
        step_x = max(step_x, pitch[0])
    if pitch[2] > 0.0 and step_y > 0.0:
        step_y = max(step_y, pitch[2])
    # Only those that a few steps can bring it to are looked at.
    margin = NEAR_STEPS * max(step_x, step_y)
    at_x = x
    at_y = y
    n = gather(i, x, y, ext, margin + nofits.slack, near, count, units)
    while (step_x > least or step_y > least) and value > 0.0:
        if pitch[0] > 0.0 and step_x < 0.5 * pitch[0]:
            step_x = 0.0
        if pitch[2] > 0.0 and step_y < 0.5 * pitch[2]:
            step_y = 0.0
        if step_x <= least and step_y <= least:
            break
        axis = int(random(seed) * 4)
        if step_x <= least:
            axis = 1
        elif step_y <= least:
            axis = 0
        dx = step_x if axis != 1 else 0.0
        dy = step_y if axis != 0 else 0.0
        if axis == 3:
            dy = -dy
        x1 = snapped(x + dx, low_x, high_x, pitch[0], pitch[1])
        y1 = snapped(y + dy, low_y, high_y, pitch[2], pitch[3])
        x2 = snapped(x - dx, low_x, high_x, pitch[0], pitch[1])
        y2 = snapped(y - dy, low_y, high_y, pitch[2], pitch[3])
        if (
            x1 - at_x > margin or at_x - x2 > margin
            or max(y1, y2) - at_y > margin or at_y - min(y1, y2) > margin
        ):  # fmt: skip
            margin = NEAR_STEPS * max(step_x, step_y)
            at_x = x
            at_y = y
            n = gather(i, x, y, ext, margin + nofits.slack, near, count, units)
        first = overlap_near(i, shape, x1, y1, ext, value, near, n, units, nofits, done)
        best = min(value, first)
        second = overlap_near(i, shape, x2, y2, ext, best, near, n, units, nofits, done)
        better = True
        if second < best:
            x = x2
            y = y2
            value = second
        elif first < value:
            x = x1
            y = y1
            value = first
        else:
            better = False
        if axis == 0:
            step_x *= 1.1 if better else 0.5
        elif axis == 1:
            step_y *= 1.1 if better else 0.5
        else:
            factor = 1.1 if better else math.sqrt(0.5)
            step_x *= factor
            step_y *= factor
    return x, y, value


@kernel
def touch(i, way, x, y, value, rounds, low_x, high_x, low_y, high_y,
          scratch, listed, units, ways, nofits, count, done):  # fmt: skip
    """Contact moves: out of one neighbour, or into the corner of two."""
    shape = ways.shape[way]
    ext = ways.extent[way]
    pitch = ways.pitch[way]
    out_x = scratch[4]
    out_y = scratch[5]
    deep = scratch[6]
    out = scratch[7]
    slack = nofits.slack
    # Only those that a short move can bring it to are looked at.
    margin = NEAR_SHARE * units.reach[i]
    for _ in range(rounds):
        if value <= 0.0:
            break
        done[0] += 1
        near = 0
        x0 = x + ext[0] - slack
        x1 = x + ext[2] + slack
        y0 = y + ext[1] - slack
        y1 = y + ext[3] + slack
        n = gather(i, x, y, ext, margin + slack, listed, count, units)
        for k in range(n):
            j = listed[k]
            if (
                x0 >= units.box[1, j] or x1 <= units.box[0, j]
                or y0 >= units.box[3, j] or y1 <= units.box[2, j]
            ):  # fmt: skip
                continue
            d = way_out(
                nofits.pair[units.shape[j], shape], x - units.x[j], y - units.y[j],
                nofits.bounds, nofits.inverse, nofits.cells, nofits.cell, nofits.candidates,
                nofits.edges, slack, out,
            )  # fmt: skip
            if d > 0.0 and near < 6:
                out_x[near] = out[0]
                out_y[near] = out[1]
                deep[near] = d
                near += 1
        best_x = x
        best_y = y
        best = value
        for a in range(near):
            for b in range(a, near + 2):
                if a == b:
                    vx = out_x[a]
                    vy = out_y[a]
                else:
                    ax = out_x[a] / deep[a]
                    ay = out_y[a] / deep[a]
                    # The last two are walls: slide along one.
                    bx = 0.0 if b == near else 1.0
                    by = 1.0 if b == near else 0.0
                    reach = 0.0
                    if b < near:
                        bx = out_x[b] / deep[b]
                        by = out_y[b] / deep[b]
                        reach = deep[b]
                    det = ax * by - ay * bx
                    if abs(det) < 0.05:
                        continue
                    vx = (deep[a] * by - reach * ay) / det * 1.000001
                    vy = (ax * reach - bx * deep[a]) / det * 1.000001
                tx = snapped(x + vx, low_x, high_x, pitch[0], pitch[1])
                ty = snapped(y + vy, low_y, high_y, pitch[2], pitch[3])
                if abs(tx - x) <= margin and abs(ty - y) <= margin:
                    tried = overlap_near(i, shape, tx, ty, ext, best, listed, n, units, nofits,
                                         done)  # fmt: skip
                else:
                    tried = overlap(i, shape, tx, ty, ext, best, count, units, nofits, done)
                if tried < best:
                    best = tried
                    best_x = tx
                    best_y = ty
        if best >= value * 0.9999:
            break
        x = best_x
        y = best_y
        value = best
    return x, y, value


@kernel
def settle(i, way, x, y, value, step, rounds, length, work, units, ways, nofits, count):
    """Move unit i from a position to one near it where it overlaps less; return it and its value.

    Contact moves go there at once. On a lattice they mostly miss its points, and without reliefs a
    place is too far off: there a descent with steps from `step` (mm) on goes before them.
    """
    low_x, high_x, low_y, high_y = position_range(way, length, ways)
    if ways.pitch[way, 0] > 0.0 or ways.pitch[way, 2] > 0.0 or len(work.found) == 0:
        x, y, value = descend(i, way, x, y, value, step, units.reach[i] * 0.002, low_x, high_x,
                              low_y, high_y, work.seed, work.near, units, ways, nofits, count,
                              work.done)  # fmt: skip
    return touch(i, way, x, y, value, rounds, low_x, high_x, low_y, high_y, work.scratch,
                 work.near, units, ways, nofits, count, work.done)  # fmt: skip


@kernel
def relocate(i, length, tunables, work, units, ways, nofits, count):
    """Move unit i to the best place found, if that lessens its weighted overlap."""
    old_way = units.way[i]
    value = overlap(i, ways.shape[old_way], units.x[i], units.y[i], ways.extent[old_way], 1e300,
                    count, units, nofits, work.done)  # fmt: skip
    if value <= 0.0:
        return
    size = units.reach[i]
    best = 1e300
    best_x = units.x[i]
    best_y = units.y[i]
    best_way = old_way
    if len(work.found) > 0:
        best, best_x, best_y, best_way = surveyed(i, length, work, units, ways, nofits, count)
    best, best_x, best_y, best_way = drawn(
        i, length, best, best_x, best_y, best_way, tunables, work, units, ways, nofits, count
    )
    if best > 0.0:
        x, y, here = settle(i, old_way, units.x[i], units.y[i], value, size * 0.02, HERE_ROUNDS,
                            length, work, units, ways, nofits, count)  # fmt: skip
        if best < 1e299:
            best_x, best_y, best = settle(i, best_way, best_x, best_y, best, size * 0.05,
                                          THERE_ROUNDS, length, work, units, ways, nofits,
                                          count)  # fmt: skip
        if here <= best:
            best = here
            best_x = x
            best_y = y
            best_way = old_way
    if best < value:
        put(i, best_way, best_x, best_y, units, ways)


@kernel
def put(i, way, x, y, units, ways):
    """Lay unit i down."""
    units.way[i] = way
    units.x[i] = x
    units.y[i] = y
    units.shape[i] = ways.shape[way]
    units.box[0, i] = x + ways.extent[way, 0]
    units.box[1, i] = x + ways.extent[way, 2]
    units.box[2, i] = y + ways.extent[way, 1]
    units.box[3, i] = y + ways.extent[way, 3]
