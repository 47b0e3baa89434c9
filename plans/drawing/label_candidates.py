"""Places at which a label is tried, the best first."""

from __future__ import annotations

import math

import numpy as np

from pieces.geometry_types import Point

TRIES = 40_000
"""Places on a drawing that are tried for a label that has none near its piece."""


def around(end: Point, wide: float, high: float, reach: float) -> np.ndarray:
    """Middles of a box that stands next to a point, the best place first."""
    return np.array(
        [
            (end[0] + sx * (wide / 2 + reach), end[1] + sy * (high / 2 + reach))
            for sx, sy in ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1),
                           (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1))
        ]
    )  # fmt: skip


def rings_around(x: float, y: float, half_x: float, half_y: float, scale: float) -> np.ndarray:
    """Places around a piece of given half size, the nearest first."""
    found = []
    for distance in (2.5, 4.0, 6.0, 9.0, 13.0, 18.0, 25.0):
        for k in range(24):
            angle = 2.0 * math.pi * k / 24
            found.append(
                (
                    x + (half_x + distance * scale) * math.cos(angle),
                    y + (half_y + distance * scale) * math.sin(angle),
                )
            )
    return np.array(found)


def all_over(frame: tuple[float, float, float, float], middle: Point, scale: float) -> np.ndarray:
    """Places all over a frame (x_from, y_from, x_to, y_to), the nearest to a point first."""
    x1, y1, x2, y2 = frame
    pitch = max(1.5 * scale, math.sqrt((x2 - x1) * (y2 - y1) / TRIES))
    xs, ys = np.meshgrid(np.arange(x1, x2, pitch), np.arange(y1, y2, pitch))
    grid = np.column_stack([xs.ravel(), ys.ravel()])
    distances = np.hypot(grid[:, 0] - middle[0], grid[:, 1] - middle[1])
    return np.asarray(grid[np.argsort(distances, kind="stable")])
