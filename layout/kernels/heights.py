"""Heights of the reliefs of all no-fit polygons (see `relief`), as fine as there is room for."""

from __future__ import annotations

import math

import numpy as np

from layout.kernels.arrays import NoFits, Reliefs
from layout.kernels.compiled import kernel
from layout.kernels.depth import depth

PHASES = 2
"""Lattices each way, shifted by a part of the step: places of units are rounded to that part."""

STEPS_ACROSS = 20
"""Steps of the lattice across the lay: finer ones cost more than they show (measured)."""

FEWEST_ACROSS = 10
"""A coarser lattice would show too little: then there are no reliefs."""

MOST_HEIGHTS = 4_000_000
"""Heights of all pairs, about: 16 MB, made in a tenth of a second; small ones are rounded up."""

NO_RELIEFS = Reliefs(
    1.0, np.zeros(0, np.int64), np.zeros((0, 2), np.int64), np.zeros(0, np.float32)
)


@kernel
def fill_heights(
    heights, begin, size, step, bounds, inverse, cells, cell, candidates, edges, slack
):  # fmt: skip
    """Fill the heights of every no-fit polygon's relief: for each phase, rows of depths (mm)."""
    at = 0
    for q in range(len(begin)):
        for phase in range(PHASES * PHASES):
            up = (phase // PHASES) / PHASES
            along = (phase % PHASES) / PHASES
            for row in range(size[q, 0]):
                y = bounds[q, 1] + (row + up) * step
                for column in range(size[q, 1]):
                    x = bounds[q, 0] + (column + along) * step
                    heights[at] = depth(
                        q, x, y, bounds, inverse, cells, cell, candidates, edges, slack, 1e300
                    )
                    at += 1


def with_reliefs(nofits: NoFits, across: float) -> NoFits:
    """Give no-fit polygons their reliefs; `across` is what the lay measures across, mm."""
    wide = nofits.bounds[:, 2] - nofits.bounds[:, 0]
    high = nofits.bounds[:, 3] - nofits.bounds[:, 1]
    area = PHASES**2 * float((wide * high).sum())
    step = max(across / STEPS_ACROSS, math.sqrt(area / MOST_HEIGHTS))
    if not 0.0 < step <= across / FEWEST_ACROSS:
        return nofits
    size = np.column_stack([np.ceil(high / step), np.ceil(wide / step)]).astype(np.int64)
    begin = np.concatenate([[0], np.cumsum(PHASES**2 * size.prod(axis=1))]).astype(np.int64)
    heights = np.zeros(int(begin[-1]), dtype=np.float32)
    n = nofits
    fill_heights(
        heights, begin[:-1], size, step, n.bounds, n.inverse, n.cells, n.cell, n.candidates,
        n.edges, n.slack,
    )  # fmt: skip
    return nofits._replace(reliefs=Reliefs(step, begin[:-1], size, heights))
