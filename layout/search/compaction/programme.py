"""The linear programme of one round: the least length, every pair in its convex region.

Solved by HiGHS, a general-purpose solver for linear programmes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layout.linear.highs import highs, quiet_solver
from pieces.geometry_types import FloatArray, IntArray

SORT_SHARE = 1e-4
"""Weight of the places of all units together, beside that of the length: what does not decide the
length is moved to the left, and across to the low side, too."""

EXACT = 1e-9
"""How far a solution may miss a line, mm."""


@dataclass(frozen=True)
class Lines:
    """Half-planes: nx * (x_b - x_a) + ny * (y_b - y_a) >= c, one row each.

    `first` is -1 where that is an obstacle; its place is then part of `c`.
    """

    first: IntArray
    second: IntArray
    normal: FloatArray
    least: FloatArray

    def missed_by(self, places: FloatArray) -> float:
        """By how much places, shape (N, 2) in mm, miss the line that they miss most."""
        if not len(self.least):
            return 0.0
        between = places[self.second]
        between = between - np.where(self.first[:, None] >= 0, places[self.first], 0.0)
        return float((self.least - (self.normal * between).sum(axis=1)).max())


@dataclass(frozen=True)
class Programme:
    """Ranges of the units' places, their reach beyond it, and the lines between them.

    Attributes
    ----------
    low, high : (N, 2) array
        Least and greatest place of each unit, mm; equal ones fix it.
    reach : (N,) array
        Place plus reach must not exceed the length, mm.
    lines : Lines
    """

    low: FloatArray
    high: FloatArray
    reach: FloatArray
    lines: Lines


def solve(programme: Programme) -> FloatArray | None:
    """Return the places, shape (N, 2) in mm; None if the lines contradict each other."""
    highspy = highs()
    count = len(programme.reach)
    columns = 2 * count + 1
    first, second = programme.lines.first, programme.lines.second
    rows = len(programme.lines.least)
    number = np.arange(rows)
    of_first = number[first >= 0]
    units = np.arange(count)
    # x of unit k is column 2 k, y the next; the length is the last.
    row = np.concatenate([of_first, of_first, number, number, rows + units, rows + units])
    column = np.concatenate(
        [
            2 * first[of_first], 2 * first[of_first] + 1,
            2 * second[number], 2 * second[number] + 1,
            2 * units, np.full(count, columns - 1),
        ]
    )  # fmt: skip
    normal = programme.lines.normal
    value = np.concatenate(
        [
            -normal[of_first, 0], -normal[of_first, 1],
            normal[number, 0], normal[number, 1],
            np.full(count, -1.0), np.ones(count),
        ]
    )  # fmt: skip
    kept = value != 0.0
    row, column, value = row[kept], column[kept], value[kept]
    order = np.lexsort((column, row))
    row, column, value = row[order], column[order], value[order]

    lp = highspy.HighsLp()
    lp.num_col_ = columns
    lp.num_row_ = rows + count
    cost = np.full(columns, SORT_SHARE / max(1, count))
    cost[1::2] *= 0.1
    cost[-1] = 1.0
    lp.col_cost_ = cost
    lp.col_lower_ = np.append(programme.low.ravel(), 0.0)
    lp.col_upper_ = np.append(programme.high.ravel(), highspy.kHighsInf)
    lp.row_lower_ = np.concatenate([programme.lines.least, programme.reach])
    lp.row_upper_ = np.full(rows + count, highspy.kHighsInf)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.searchsorted(row, np.arange(rows + count + 1)).astype(np.int32)
    lp.a_matrix_.index_ = column.astype(np.int32)
    lp.a_matrix_.value_ = value
    solver = quiet_solver(
        parallel="off", solver="simplex",
        primal_feasibility_tolerance=EXACT, dual_feasibility_tolerance=EXACT,
    )  # fmt: skip
    solver.passModel(lp)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    values = np.array(solver.getSolution().col_value)
    return np.asarray(values[:-1].reshape(count, 2))
