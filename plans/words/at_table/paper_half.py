"""The paper of what is traced whole: one half of it, from its fold line on."""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray, Point, Ring

SAME_MM = 0.02
"""Corners that mirror each other lie no further off; files round to a millionth of a mm."""


def fold_of(outline: Ring, arrow: tuple[Point, Point]) -> tuple[Point, Point] | None:
    """The line about which an outline (mm) was opened out: a point of it, and its normal.

    Of several that would do, as of a rectangle, it is one that the arrow does not cross, for an
    arrow is drawn inside the half; of two such the one along the grain, as folds mostly are. None
    if the outline has no two halves that are alike.
    """
    points = np.asarray(outline, dtype=float)
    ends = np.asarray(arrow, dtype=float)
    found: list[tuple[bool, float, Point, Point]] = []
    for shift in range(len(points)):
        line = _mirror(points, points[(shift - np.arange(len(points))) % len(points)])
        if line is None:
            continue
        at, normal = line
        sides = (ends - at) @ normal
        inside = float(sides.min() if sides.sum() > 0.0 else -sides.max())
        if inside >= -SAME_MM:
            slanting = abs(float((ends[1] - ends[0]) @ normal))
            found.append((inside > SAME_MM, -slanting, _point(at), _point(normal)))
    if not found:
        return None
    *_, at_fold, across = max(found)
    return at_fold, across


def _mirror(points: FloatArray, others: FloatArray) -> tuple[FloatArray, FloatArray] | None:
    """The line that mirrors each point onto the other one of its place; None if none does."""
    apart = others - points
    far = int(np.argmax(np.hypot(apart[:, 0], apart[:, 1])))
    size = float(np.hypot(*apart[far]))
    if size <= SAME_MM:
        return None
    normal = apart[far] / size
    at = (points[far] + others[far]) / 2.0
    mirrored = points - 2.0 * ((points - at) @ normal)[:, None] * normal
    return (at, normal) if np.abs(mirrored - others).max() <= SAME_MM else None


def _point(values: FloatArray) -> Point:
    x, y = values.tolist()
    return x, y
