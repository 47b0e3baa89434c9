"""No-fit polygons shrunk by 0.02 micrometres.

So exact fits, which would be regions without area, stay open.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from layout.geometry.nofit import MOST_KEPT, NoFitTable, OrientedShape
from pieces.geometry_types import FloatArray

SHRINK_MM = 2e-5
"""How much no-fit polygons are shrunk; twice this, over a metre of contact, is 0.04 mm2."""


@dataclass(frozen=True)
class ShrunkNoFit:
    """A shrunk no-fit polygon: closed rings of each part (shell first), and its bounds."""

    parts: tuple[tuple[FloatArray, ...], ...]
    bounds: FloatArray


_KEPT: dict[tuple[object, ...], ShrunkNoFit] = {}
"""Kept between models: a planner lays the same pieces again and again."""


def shrunk(table: NoFitTable, a: OrientedShape, b: OrientedShape) -> ShrunkNoFit:
    """Shrunk no-fit polygon of two shapes of a table."""
    key = table.key(a, b)
    found = _KEPT.get(key)
    if found is None:
        rings = table.rings(a, b)
        polygon = Polygon(rings[0], rings[1:]).buffer(-SHRINK_MM, join_style="mitre")
        parts = [
            tuple(shapely.get_coordinates(ring) for ring in (part.exterior, *part.interiors))
            for part in getattr(polygon, "geoms", [polygon])
        ]
        found = ShrunkNoFit(tuple(parts), np.array(polygon.bounds))
        if len(_KEPT) >= MOST_KEPT:
            _KEPT.clear()
        _KEPT[key] = found
    return found
