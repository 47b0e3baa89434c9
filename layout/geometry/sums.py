"""Minkowski sums of simple polygons, from the convolution of their outlines.

Going around both outlines at once, in step of their directions, gives one closed curve: each edge
of the one, moved to every corner of the other that turns through the edge's direction. How often
that curve winds around a point is the number of parts that the one shape and the other's point
reflection there have in common, so the sum is where it winds at all (Guibas, Ramshaw and Stolfi,
A kinetic framework for computational geometry, FOCS 1983). The curve has little more edges than
both outlines together, where the sums of convex parts are as many as there are pairs of parts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.geometry.convex import convex_parts
from pieces.geometry_types import FloatArray

Counts = NDArray[np.int64]
TURN = 1 << 40
"""A full turn in steps of direction. Directions are whole numbers, so that to compare them is
exact: edges that are parallel but for rounding are parallel, and the curve is always closed."""

SAME_MM = 1e-6
"""How exact a sum's extent must be to be believed."""

SAME_MM2 = 1e-5
"""How exactly faces must make up the area that a curve winds around: a slit is found missing."""

ROUNDED = 3.0
"""What a grid may add to that, in grids times the root of the curve's squared edges."""

GRIDS_MM = (0.0, 1e-7, 1e-6)
"""Grids that crossings are rounded to, one after another, until a sum can be believed; 0: none."""


@dataclass(frozen=True)
class Tracing:
    """A counter-clockwise ring with the directions of its edges and the turns at its corners.

    Attributes
    ----------
    ring, after : (N, 2) arrays
        Corners, and the corner that follows each, mm.
    way : (N,) array
        Direction of the edge from each corner on.
    is_left : (N,) array
        Whether the ring turns left at the corner (or goes straight on).
    first, turn : (N,) arrays
        The directions that it turns through: the first counter-clockwise, and how far they reach.
    """

    ring: FloatArray
    after: FloatArray
    way: Counts
    is_left: NDArray[np.bool_]
    first: Counts
    turn: Counts

    @classmethod
    def of(cls, ring: FloatArray) -> Tracing:
        """Trace a counter-clockwise ring, shape (N, 2)."""
        after = np.concatenate([ring[1:], ring[:1]])
        edges = after - ring
        angles = np.arctan2(edges[:, 1], edges[:, 0])
        way = np.rint(angles * (TURN / (2.0 * math.pi))).astype(np.int64) % TURN
        before = np.concatenate([way[-1:], way[:-1]])
        turn = (way - before) % TURN
        is_left = turn < TURN // 2
        return cls(
            ring,
            after,
            way,
            is_left,
            np.where(is_left, before, way),
            np.where(is_left, turn, TURN - turn),
        )

    @property
    def is_convex(self) -> bool:
        """Whether it turns left throughout."""
        return bool(self.is_left.all())


def minkowski_sum(a: Tracing, b: Tracing) -> Polygon:
    """All sums of a point of one shape and a point of another; it may have holes."""
    if a.is_convex and b.is_convex:
        return Polygon(_convex_sum(a, b))
    curve = _convolution(a, b)
    for grid in GRIDS_MM:
        whole = _wound(*curve, grid)
        if whole is not None and _is_believed(whole, a, b):
            return whole
    return _by_parts(a, b)


def _convex_sum(a: Tracing, b: Tracing) -> FloatArray:
    """The edges of two convex rings in order of direction."""
    from_a, from_b = _in_order(a), _in_order(b)
    ways = np.concatenate([a.way[from_a], b.way[from_b]])
    is_a = (np.arange(len(ways)) < len(from_a))[np.argsort(ways, kind="stable")]
    steps_a: Counts = np.cumsum(is_a) - is_a
    steps_b = np.arange(len(ways)) - steps_a
    corners_a, corners_b = np.append(from_a, from_a[:1]), np.append(from_b, from_b[:1])
    return np.asarray(a.ring[corners_a[steps_a]] + b.ring[corners_b[steps_b]])


def _in_order(convex: Tracing) -> Counts:
    """The edges of a convex ring from the one of least direction on; several may have the same."""
    falls = np.flatnonzero(convex.way < np.roll(convex.way, 1))
    return np.roll(np.arange(len(convex.way)), -int(falls[0]))


def _convolution(a: Tracing, b: Tracing) -> tuple[FloatArray, FloatArray, Counts]:
    """Starts and ends of the curve's edges, shape (N, 2), and how each counts: 1 or -1.

    At a corner that turns right, edges are passed backwards. Of parallel edges those of the first
    shape come first.
    """
    edges, corners = np.nonzero((a.way[:, None] - b.first) % TURN < b.turn)
    starts = [a.ring[edges] + b.ring[corners]]
    ends = [a.after[edges] + b.ring[corners]]
    counts = [b.is_left[corners]]
    edges, corners = np.nonzero((b.way[:, None] - a.first - 1) % TURN < a.turn)
    starts.append(a.ring[corners] + b.ring[edges])
    ends.append(a.ring[corners] + b.after[edges])
    counts.append(a.is_left[corners])
    return (
        np.concatenate(starts),
        np.concatenate(ends),
        np.where(np.concatenate(counts), 1, -1),
    )


def _by_parts(a: Tracing, b: Tracing) -> Polygon:
    """The sums of all pairs of convex parts, together: slower, and no crossing can be lost."""
    sums = [
        shapely.MultiPoint((one[:, None] + other).reshape(-1, 2)).convex_hull
        for one in convex_parts(a.ring)
        for other in convex_parts(b.ring)
    ]
    return _largest(shapely.union_all(sums))


def _wound(starts: FloatArray, ends: FloatArray, counts: Counts, grid: float) -> Polygon | None:
    """What a closed curve winds around at least once; None if a part of the curve was lost.

    Where crossings are rounded so that an edge ends beside another, faces are taken for one.
    """
    lines = shapely.union_all(
        shapely.linestrings(np.stack([starts, ends], 1)), grid_size=grid or None
    )
    faces = shapely.get_parts(shapely.polygonize([lines]))
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    windings = _windings(starts, ends, counts, inside)
    area = float((windings * shapely.area(faces)).sum())
    rounding = ROUNDED * grid * float(np.linalg.norm(ends - starts))
    if abs(area - _enclosed(starts, ends, counts)) > SAME_MM2 + rounding:
        return None
    try:
        return _largest(shapely.coverage_union_all(faces[windings > 0]))
    except shapely.errors.GEOSException:
        # Some faces do not share their corners.
        return None


def _largest(whole: BaseGeometry) -> Polygon:
    """A sum is connected: what rounding splits off (far below 1 mm2) is none of it."""
    return max(getattr(whole, "geoms", [whole]), key=lambda part: part.area, default=Polygon())


def _enclosed(starts: FloatArray, ends: FloatArray, counts: Counts) -> float:
    """Area (mm2) that a closed curve winds around, as often as it does."""
    middle = starts.mean(axis=0)
    (x1, y1), (x2, y2) = (starts - middle).T, (ends - middle).T
    return 0.5 * float(counts @ (x1 * y2 - x2 * y1))


def _windings(starts: FloatArray, ends: FloatArray, counts: Counts, points: FloatArray) -> Counts:
    """How often a curve winds around each point, counted to the right of it."""
    x, y = points[:, :1], points[:, 1:]
    (x1, y1), (x2, y2) = starts.T, ends.T
    rising, falling = (y1 <= y) & (y2 > y), (y1 > y) & (y2 <= y)
    side = (x2 - x1) * (y - y1) - (x - x1) * (y2 - y1)
    crossed = (rising & (side > 0.0)).astype(np.int64) - (falling & (side < 0.0))
    return np.asarray(crossed @ counts)


def _is_believed(whole: Polygon, a: Tracing, b: Tracing) -> bool:
    """Whether a sum reaches as far as it must, and is large enough (Brunn and Minkowski)."""
    bounds = np.array(whole.bounds).reshape(2, 2)
    low = a.ring.min(axis=0) + b.ring.min(axis=0)
    high = a.ring.max(axis=0) + b.ring.max(axis=0)
    sides = math.sqrt(Polygon(a.ring).area) + math.sqrt(Polygon(b.ring).area)
    return bool(
        np.abs(bounds - [low, high]).max() <= SAME_MM
        and math.sqrt(whole.area) >= (1.0 - 1e-9) * sides
    )
