"""Whether a traced line goes round two papers that touch: it turns inwards where they meet."""

from __future__ import annotations

import itertools
import math

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.outlines.corners import FAR_MM, find_corners, turns

INWARD_DEGREES = 24.0
SLOT_DEGREES = 110.0
"""A line that turns inwards by more, within a few centimetres, ends a slot between two papers."""

NARROW_MM = (85.0, 120.0, 200.0)
"""What is narrower between two corners that turn inwards is a spot where papers meet; it may be
wider if one of both ends a slot, or both do, for round edges touch over a long way."""

INSIDE, INSIDE_SHORT = 0.85, 0.5
"""Share of the straight line between both that must lie on paper: ends are told to a few mm."""

BOTH_SIDES = 2.0
"""On each side of it the line is longer than so many times its width."""

SLOT_REACH_MM = 14
"""Half of the stretch over which a slot's end turns."""


def inward_pairs(line: FloatArray) -> list[tuple[int, int, bool]]:
    """Pairs of corners of a line that turn inwards and see each other across paper.

    Returns their indices, and whether what is between is so narrow that papers must meet there; of
    the others a picture has to tell. The line is closed and runs counter-clockwise, a point a mm.
    """
    from shapely.geometry import LineString, Polygon

    turned = turns(line, FAR_MM)
    slots = _slot_ends(line)
    plain = [i for i in find_corners(line) if turned[i] < -INWARD_DEGREES and i not in slots]
    shape = Polygon(line).buffer(0)
    found = []
    for a, b in itertools.combinations(sorted([*slots, *plain]), 2):
        across = math.dist(line[a], line[b])
        if _apart(a, b, len(line)) < max(BOTH_SIDES * across, 60.0):
            continue
        chord = LineString([line[a], line[b]])
        inside = chord.intersection(shape).length / across if across > 1.0 else 1.0
        if inside < (INSIDE_SHORT if across <= NARROW_MM[0] else INSIDE):
            continue
        ends = (a in slots) + (b in slots)
        found.append((a, b, across <= NARROW_MM[ends]))
    return found


def _apart(a: int, b: int, count: int) -> int:
    return min(abs(a - b), count - abs(a - b))


def _slot_ends(line: FloatArray) -> list[int]:
    """Where the line turns inwards by more than a corner does."""
    reach, size = SLOT_REACH_MM, 6
    index = np.arange(len(line))

    def way(start: int, stop: int) -> FloatArray:
        return np.asarray(line[(index + stop) % len(line)] - line[(index + start) % len(line)])

    before, after = way(-reach - size, -reach), way(reach, reach + size)
    middle = way(-3, 3)
    # Turned in two steps, so that more than half a circle is not taken for less the other way.
    total = _angle(before, middle) + _angle(middle, after)
    found: list[int] = []
    for i in np.flatnonzero(total < -SLOT_DEGREES).tolist():
        around = total[np.arange(i - reach, i + reach + 1) % len(line)]
        if total[i] <= around.min() and all(_apart(i, k, len(line)) > reach for k in found):
            found.append(i)
    return found


def _angle(a: FloatArray, b: FloatArray) -> FloatArray:
    """Degrees from one direction to another, row by row, positive to the left."""
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return np.asarray(np.degrees(np.arctan2(cross, (a * b).sum(axis=1))))
