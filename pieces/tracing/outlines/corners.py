"""Where a traced line has corners: it turns within a few millimetres, not over a long way."""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray

GAP_MM = 1.5
"""Left out on each side of a corner: blur rounds it."""

NEAR_MM, FAR_MM = 4.0, 9.0
"""Lengths of line on each side that tell its direction."""

CORNER_DEGREES = 24.0
SUDDEN = 0.62
"""Part of the turn that is there over the short way already; of a round bend it is 0.5."""

APART_MM = 7.0
"""Corners are no nearer to each other than this."""


def find_corners(line: FloatArray) -> list[int]:
    """Return indices of the corners of a closed line, a point about every millimetre, in order."""
    far, near = np.abs(turns(line, FAR_MM)), np.abs(turns(line, NEAR_MM))
    strong = np.where((far > CORNER_DEGREES) & (near > SUDDEN * far), near + far, 0.0)
    count = len(line)
    reach = max(1, round(APART_MM))
    found = []
    for i in np.flatnonzero(strong).tolist():
        around = strong[np.arange(i - reach, i + reach + 1) % count]
        if strong[i] >= around.max():
            found.append(i)
    kept: list[int] = []
    for i in found:
        if not kept or i - kept[-1] > reach:
            kept.append(i)
    return kept


def turns(line: FloatArray, length: float) -> FloatArray:
    """Degrees by which the line turns to the left at each point, told by chords of a length.

    The direction of a chord is that of the least-squares line through its points.
    """
    gap, size = max(1, round(GAP_MM)), max(3, round(length))
    count = len(line)
    index = np.arange(count)[:, None]
    steps = np.arange(gap, gap + size)
    before = _way(line[(index - steps[::-1]) % count])
    after = _way(line[(index + steps) % count])
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.degrees(np.arctan2(cross, (before * after).sum(axis=1))))


def _way(points: FloatArray) -> FloatArray:
    """Directions of rows of points, (rows, 2), along their order."""
    t = np.arange(points.shape[1]) - (points.shape[1] - 1) / 2.0
    return np.asarray((points * t[None, :, None]).sum(axis=1))
