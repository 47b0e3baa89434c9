"""The region of a leftover: what is sound, what rectangle fits, how far its grain lies from x."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pieces.geometry_types import Point, Ring

if TYPE_CHECKING:
    from shapely.geometry import Polygon

TOUCH_MM = 1e-6
"""A rectangle of exactly the room's size fits."""

ROUNDING_MM2, ROUNDING_SHARE = 1.0, 1e-4
"""Area that rounding of corners may move, at most this share of the whole."""


@dataclass(frozen=True)
class Region:
    """What is worth keeping of a cloth: as a plan finds it, as it is put in and as it is kept.

    Washed cloth, right side up, with the warp along +x; lengths in mm, the area in mm2.
    """

    outline: Ring
    holes: tuple[Ring, ...]
    area: float
    rectangle: tuple[float, float, float, float]
    """The largest one along the grain: x_from, y_from, x_to, y_to."""

    @property
    def long(self) -> float:
        """Extent of the rectangle along the grain."""
        return self.rectangle[2] - self.rectangle[0]

    @property
    def wide(self) -> float:
        """Extent of the rectangle across the grain."""
        return self.rectangle[3] - self.rectangle[1]

    @property
    def polygon(self) -> Polygon:
        """The region without what rounding did to it; ValueError if it does not hold together."""
        return region_of(self.outline, self.holes)

    def from_origin(self) -> Region:
        """The same in a frame of its own: it begins at the origin."""
        low_x = min(x for x, _ in self.outline)
        low_y = min(y for _, y in self.outline)

        def moved(ring: Ring) -> Ring:
            return tuple((x - low_x, y - low_y) for x, y in ring)

        x1, y1, x2, y2 = self.rectangle
        return Region(
            moved(self.outline),
            tuple(moved(hole) for hole in self.holes),
            self.area,
            (x1 - low_x, y1 - low_y, x2 - low_x, y2 - low_y),
        )


def region_of(outline: Ring, holes: tuple[Ring, ...] = ()) -> Polygon:
    """Make the polygon of a leftover.

    Raises
    ------
    ValueError
        If the outline crosses itself, has no area, or a hole is not inside it.
    """
    from shapely.geometry import Polygon

    if len(outline) < 3:
        raise ValueError("an outline has three corners or more")
    if not all(math.isfinite(c) for ring in (outline, *holes) for point in ring for c in point):
        raise ValueError("a corner is not a number")
    region = Polygon(outline, holes)
    if not region.is_valid:
        mended = _mended(region)
        if mended is None:
            raise ValueError("the outline does not hold together: it crosses itself or a hole")
        region = mended
    if region.area <= 0.0:
        raise ValueError("the outline has no area")
    return region


def _mended(region: Polygon) -> Polygon | None:
    """The same region without what rounding did: a hole that touches the edge, a hair's crossing.

    None if that changes it by more than rounding may.
    """
    from shapely.geometry import Polygon

    area = Polygon(region.exterior).area - sum(Polygon(ring).area for ring in region.interiors)
    mended = region.buffer(0.0)
    allowed = min(ROUNDING_MM2, ROUNDING_SHARE * mended.area)
    if not isinstance(mended, Polygon) or abs(mended.area - area) > allowed:
        return None
    return mended


def turned_to_warp(ring: Ring, warp_deg: float) -> Ring:
    """Turn a ring so that the warp, measured at `warp_deg` (counter-clockwise), lies along +x."""
    angle = math.radians(-warp_deg)
    cos, sin = round(math.cos(angle), 15), round(math.sin(angle), 15)
    turned: list[Point] = [(x * cos - y * sin, x * sin + y * cos) for x, y in ring]
    return tuple(turned)


def holds_rectangle(region: Polygon, long: float, wide: float) -> bool:
    """Whether an axis-parallel rectangle of `long` (x) by `wide` (y), mm, fits into a region.

    The places of its lower left corner are the region eroded by the rectangle: what remains when
    every triangle of the surroundings, spread by the rectangle, is taken away.
    """
    import shapely
    from shapely.geometry import MultiPoint, box

    x1, y1, x2, y2 = region.bounds
    long, wide = long - TOUCH_MM, wide - TOUCH_MM
    if x2 - x1 < long or y2 - y1 < wide or region.area < long * wide:
        return False
    around = box(x1 - 1.0, y1 - 1.0, x2 + 1.0, y2 + 1.0).difference(region)
    spread = []
    for triangle in shapely.constrained_delaunay_triangles(around).geoms:
        corners = list(triangle.exterior.coords)[:3]
        moved = [(x - dx, y - dy) for x, y in corners for dx in (0.0, long) for dy in (0.0, wide)]
        spread.append(MultiPoint(moved).convex_hull)
    places = box(x1, y1, x2 - long, y2 - wide).difference(shapely.union_all(spread))
    return bool(places.area > 0.0)
