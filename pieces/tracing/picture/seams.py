"""Whether a line can be seen across paper, as where one sheet ends and another begins."""

from __future__ import annotations

import cv2
import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.picture.papers import linear
from pieces.tracing.picture.photo import Photo

REACH_PX = 14
"""How far on each side of a line it is looked."""

MOVED_PX = 4
"""How far it may run beside the straight line between its ends."""

STANDS_OUT = 0.025
"""Least share of the paper's light by which the seam is darker or brighter than both sides, or by
which the sides differ."""

PARTS, SEEN_PARTS = 8, 6
"""The line is looked at in so many parts, and must be seen in so many."""


def seam_seen(photo: Photo, a: FloatArray, b: FloatArray) -> bool:
    """Whether the picture shows a line between two spots (px)."""
    length = float(np.hypot(*(b - a)))
    if length < 2.0 * PARTS:
        return True
    way = (b - a) / length
    side = np.array([-way[1], way[0]])
    along = np.arange(0.04 * length, 0.96 * length, 1.0)
    across = np.arange(-REACH_PX, REACH_PX + 1.0)
    spots = (
        a + way * along[:, None, None] + side * across[None, :, None]
    ).astype(np.float32)  # fmt: skip
    light = linear(cv2.remap(photo.pixels, spots[:, :, 0], spots[:, :, 1], cv2.INTER_LINEAR)).mean(
        axis=2
    )
    return sum(_stands_out(part) for part in np.array_split(light, PARTS)) >= SEEN_PARTS


def _stands_out(light: FloatArray) -> bool:
    """Whether the middle of a strip differs from its sides, or these from each other."""
    profile = light.mean(axis=0).astype(float)
    middle = REACH_PX
    near = slice(middle - MOVED_PX, middle + MOVED_PX + 1)
    left, right = (
        np.median(profile[: middle - MOVED_PX - 1]),
        np.median(profile[middle + MOVED_PX + 2 :]),
    )
    level = max((left + right) / 2.0, 1e-3)
    scatter = max(
        float(np.std(profile[: middle - MOVED_PX - 1])),
        float(np.std(profile[middle + MOVED_PX + 2 :])),
    )
    least = max(STANDS_OUT * level, 4.0 * scatter)
    straight = np.linspace(left, right, 2 * MOVED_PX + 1)
    line = float(np.abs(profile[near] - straight).max())
    return bool(line > least or abs(left - right) > 2.0 * least)
