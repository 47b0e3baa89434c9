"""The size of a piece as people say it."""

from __future__ import annotations

import numpy as np

from pieces.geometry_types import FloatArray


def rectangle(ring: FloatArray) -> tuple[float, float]:
    """Sides of the smallest rectangle round a ring, the longer first."""
    from shapely import MultiPoint

    corners = np.asarray(MultiPoint(ring).minimum_rotated_rectangle.exterior.coords)
    one, two = np.hypot(*(corners[1] - corners[0])), np.hypot(*(corners[2] - corners[1]))
    return float(max(one, two)), float(min(one, two))
