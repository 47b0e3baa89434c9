"""A small linear programme, climbed from corner to corner: how short a lay is at least.

The unknowns are the places of the units (x and y by turns) and then the length. A corner is where
as many constraints hold exactly as there are unknowns. While one is broken, the corner moves up to
where that one holds, too, and another is let go: the dual simplex method (Lemke, The dual method of
solving the linear programming problem, Naval Research Logistics Quarterly 1, 1954). Every corner on
the way is a bound from below, so that to break off is safe. Few unknowns and many constraints, each
new programme with a few more than one that is solved: so the inverse is kept whole and small.

Constraints are counted thus, `n` being the unknowns: least places, greatest places, the reach of
each unit, and then lines in their order.
"""

from __future__ import annotations

from layout.kernels.compiled import kernel

SOLVED, IMPOSSIBLE, BEYOND = 0, 1, 2

BROKEN_MM = 1e-7
"""A constraint that is missed by no more than this holds."""

FLAT = 1e-9
"""Coefficients below this are rounding."""

MOST_STEPS = 200
"""Steps after which the present corner is taken as it is."""


@kernel
def wanted(k, n, box, lines):
    """What the left side of constraint k must be at least."""
    if k < n:
        return box.low[k]
    if k < 2 * n:
        return -box.high[k - n]
    k -= 2 * n
    units = (n - 1) // 2
    if k < units:
        return box.reach[k]
    return lines.least[k - units]


@kernel
def combined(k, n, lines, inverse, column):
    """Coefficient of the corner's constraint `column` where k is written in those."""
    if k < n:
        return inverse[k, column]
    if k < 2 * n:
        return -inverse[k - n, column]
    k -= 2 * n
    units = (n - 1) // 2
    if k < units:
        return inverse[n - 1, column] - inverse[2 * k, column]
    k -= units
    i, j = 2 * lines.first[k], 2 * lines.second[k]
    return lines.normal[k, 0] * (inverse[j, column] - inverse[i, column]) + lines.normal[k, 1] * (
        inverse[j + 1, column] - inverse[i + 1, column]
    )


@kernel
def missing(k, n, box, lines, at):
    """By how much the point `at` misses constraint k (mm)."""
    if k < n:
        return box.low[k] - at[k]
    if k < 2 * n:
        return at[k - n] - box.high[k - n]
    k -= 2 * n
    units = (n - 1) // 2
    if k < units:
        return box.reach[k] - at[n - 1] + at[2 * k]
    k -= units
    i, j = 2 * lines.first[k], 2 * lines.second[k]
    return (
        lines.least[k]
        - lines.normal[k, 0] * (at[j] - at[i])
        - lines.normal[k, 1] * (at[j + 1] - at[i + 1])
    )


@kernel
def locate(n, box, lines, corner):
    """Work out the place of the corner from its constraints."""
    for i in range(n):
        corner.at[i] = 0.0
    for column in range(n):
        least = wanted(corner.active[column], n, box, lines)
        if least != 0.0:
            for i in range(n):
                corner.at[i] += corner.inverse[i, column] * least


@kernel
def invert(n, cost, lines, corner, room):
    """Work out the inverse and the duals from the active constraints; False if they are flat.

    `room` is (n, n), written to.
    """
    units = (n - 1) // 2
    for row in range(n):
        for i in range(n):
            room[row, i] = 0.0
            corner.inverse[row, i] = 1.0 if row == i else 0.0
        k = corner.active[row]
        if k < n:
            room[row, k] = 1.0
        elif k < 2 * n:
            room[row, k - n] = -1.0
        elif k < 2 * n + units:
            room[row, n - 1] = 1.0
            room[row, 2 * (k - 2 * n)] = -1.0
        else:
            k -= 2 * n + units
            i, j = 2 * lines.first[k], 2 * lines.second[k]
            room[row, i] = -lines.normal[k, 0]
            room[row, i + 1] = -lines.normal[k, 1]
            room[row, j] = lines.normal[k, 0]
            room[row, j + 1] = lines.normal[k, 1]
    for column in range(n):
        best = column
        for row in range(column + 1, n):
            if abs(room[row, column]) > abs(room[best, column]):
                best = row
        pivot = room[best, column]
        if abs(pivot) < FLAT:
            return False
        for i in range(n):
            a, b = room[best, i], corner.inverse[best, i]
            room[best, i], corner.inverse[best, i] = room[column, i], corner.inverse[column, i]
            room[column, i], corner.inverse[column, i] = a / pivot, b / pivot
        for row in range(n):
            factor = room[row, column]
            if row != column and factor != 0.0:
                for i in range(n):
                    room[row, i] -= factor * room[column, i]
                    corner.inverse[row, i] -= factor * corner.inverse[column, i]
    for column in range(n):
        dual = 0.0
        for i in range(n):
            dual += cost[i] * corner.inverse[i, column]
        corner.dual[column] = max(0.0, dual)
    return True


@kernel
def climb(n, count, limit, cost, box, lines, corner, alpha):
    """Climb until no constraint is broken, or the bound exceeds `limit` (mm).

    `count` lines are in use; `alpha` is (n,), written to.
    """
    total = 2 * n + (n - 1) // 2 + count
    for _ in range(MOST_STEPS):
        value = 0.0
        for i in range(n):
            value += cost[i] * corner.at[i]
        if value > limit:
            return BEYOND
        worst, entering = BROKEN_MM, -1
        for k in range(total):
            miss = missing(k, n, box, lines, corner.at)
            if miss > worst:
                worst, entering = miss, k
        if entering < 0:
            break
        leaving, ratio = -1, 1e300
        for column in range(n):
            alpha[column] = combined(entering, n, lines, corner.inverse, column)
            if alpha[column] > FLAT:
                share = corner.dual[column] / alpha[column]
                if share < ratio:
                    leaving, ratio = column, share
        if leaving < 0:
            return IMPOSSIBLE
        pivot = alpha[leaving]
        for column in range(n):
            if column != leaving:
                corner.dual[column] = max(0.0, corner.dual[column] - ratio * alpha[column])
        corner.dual[leaving] = ratio
        for i in range(n):
            entry = corner.inverse[i, leaving] / pivot
            if entry != 0.0:
                for column in range(n):
                    corner.inverse[i, column] -= alpha[column] * entry
            corner.inverse[i, leaving] = entry
            corner.at[i] += worst * entry
        corner.active[leaving] = entering
    # Steps add up rounding; the constraints themselves do not.
    locate(n, box, lines, corner)
    return SOLVED
