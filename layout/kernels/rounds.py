"""Rounds of guided local search: relocate what overlaps, weigh what goes on overlapping.

Weights of overlapping pairs grow, those of others decay (guided local search: Egeblad, Nielsen and
Odgaard, EJOR 183, 2007; Umetani et al. 2009).
"""

from __future__ import annotations

from layout.kernels.compiled import kernel
from layout.kernels.moves import put, relocate
from layout.kernels.overlap import depth_in
from layout.kernels.ranges import random

SOLVED, STUCK, SPENT, GOING = 1, 2, 3, 0
"""How a stretch of rounds ends."""


@kernel
def overlaps(matrix, count, movable, units, nofits):
    """Fill the matrix of true depths (0 if they only touch) and return their sum."""
    total = 0.0
    slack = nofits.slack
    for i in range(movable):
        for j in range(i + 1, count):
            d = 0.0
            if not (
                units.box[0, i] >= units.box[1, j] or units.box[1, i] <= units.box[0, j]
                or units.box[2, i] >= units.box[3, j] or units.box[3, i] <= units.box[2, j]
            ):  # fmt: skip
                d = depth_in(j, units.shape[i], units.x[i], units.y[i], 1e300, units, nofits)
                if d <= slack:
                    d = 0.0
            matrix[i, j] = d
            matrix[j, i] = d
            total += d
    return total


@kernel
def separate(
    rounds, patience, length, limit, tunables, work, least, count, movable, units, ways, nofits
):
    """Run up to `rounds` rounds at a fixed lay length (mm).

    `work.memory` holds the least total overlap so far and the rounds since; where units lay then is
    kept in `least`. Ends SOLVED without overlap, STUCK after `patience`
    rounds without progress, SPENT when `work.done` reaches `limit` evaluations, else GOING.
    """
    memory, matrix, order = work.memory, work.matrix, work.order
    for i in range(movable):
        put(i, units.way[i], units.x[i], units.y[i], units, ways)
    for _ in range(rounds):
        total = overlaps(matrix, count, movable, units, nofits)
        if total < memory[0]:
            memory[0] = total
            memory[1] = 0.0
            for i in range(movable):
                least.way[i] = units.way[i]
                least.x[i] = units.x[i]
                least.y[i] = units.y[i]
        else:
            memory[1] += 1.0
        if total == 0.0:
            return SOLVED
        if memory[1] > patience:
            return STUCK
        if work.done[0] >= limit:
            return SPENT
        deepest = 0.0
        for i in range(movable):
            for j in range(i + 1, count):
                deepest = max(deepest, matrix[i, j])
        hit_count = 0
        for i in range(movable):
            hit = False
            for j in range(count):
                if matrix[i, j] > 0.0:
                    units.weight[i, j] *= 1.2 + 0.8 * matrix[i, j] / deepest
                    hit = True
                else:
                    units.weight[i, j] = max(units.base[i, j], units.weight[i, j] * 0.95)
            if hit:
                order[hit_count] = i
                hit_count += 1
        for a in range(hit_count - 1, 0, -1):
            b = int(random(work.seed) * (a + 1))
            keep = order[a]
            order[a] = order[b]
            order[b] = keep
        for a in range(hit_count):
            relocate(order[a], length, tunables, work, units, ways, nofits, count)
    return GOING
