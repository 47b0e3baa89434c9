"""Full-width stretches of a band across a region: the one computation behind strips and rows."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box

TOUCH_MM = 1e-6
"""A band may reach over the region's edge by this much: an exact fit counts."""

Interval = tuple[float, float]


def full_stretches(region: Polygon, y: float, height: float) -> list[Interval]:
    """Ranges of x in which the whole band from y to y + height (mm) lies inside a region.

    They are what remains of the region's extent when the shadow of all that is missing of the
    band is taken away.
    """
    x1, _, x2, _ = region.bounds
    band = box(x1, y + TOUCH_MM, x2, y + height - TOUCH_MM)
    missing = band.difference(region)
    shadows = sorted(
        (part.bounds[0], part.bounds[2])
        for part in getattr(missing, "geoms", [missing])
        if part.area > TOUCH_MM
    )
    result: list[Interval] = []
    at = x1
    for low, high in shadows:
        if low > at:
            result.append((at, low))
        at = max(at, high)
    if at < x2:
        result.append((at, x2))
    return result


def sheared(region: Polygon, slope: float) -> Polygon:
    """The region with x moved by slope * y: ends that lean by it become upright."""
    return affinity.affine_transform(region, [1.0, slope, 0.0, 1.0, 0.0, 0.0])


def levels(region: Polygon, height: float, count: int) -> list[float]:
    """Heights (mm) at which a first band may begin: at the region's corners, and in between."""
    _, y1, _, y2 = region.bounds
    corners = shapely.get_coordinates(region)[:, 1]
    offsets = np.concatenate(
        [np.mod(corners - y1, height), np.linspace(0.0, height, count, endpoint=False)]
    )
    # A corner just below a whole band is one at its end.
    offsets = np.where(height - offsets < 1e-6, 0.0, offsets)
    return [float(y1 + o) for o in np.unique(np.round(offsets, 6)) if y1 + o + height <= y2 + 1e-6]
