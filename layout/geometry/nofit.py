"""No-fit polygons: where a shape may not be put because of another.

The no-fit polygon of A and B is A (+) (-B): the positions of B's reference, relative to A's, at
which they overlap, a Minkowski sum (Bennell and Oliveira, The geometry of nesting problems, EJOR
184, 2008). A gap is a Minkowski sum with a disc: edges move out by exactly the gap, arcs around
corners are approximated outward.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.geometry.sums import Tracing, minkowski_sum
from layout.layout import pose_matrix
from layout.problem import Pose
from pieces.geometry_types import FloatArray

ARC_STEPS = 4
"""Segments of a quarter circle around a corner where a gap is kept."""

ARC_REACH = 1.0 / math.cos(1.5 * math.pi / (4 * ARC_STEPS))
"""Radius drawn for a gap of 1: GEOS rounds the number of segments of a corner, so that one may
span one and a half times its share, and the middle of a segment must still keep the gap."""

MITRE_LIMIT = 1.5
"""How far, in gaps, prolonged edges may reach before the arcs cut them off."""

DOUBLED_MM = 1e-7
"""Corners of a union that are no further apart are one."""

HOLE_SHARE = 1e-9
"""Holes of a no-fit polygon below this share of its area are rounding."""

MOST_KEPT = 20_000
"""No-fit polygons kept in a process (about 1 kB each)."""

NOWHERE: FloatArray = np.array([[-1e7, -1e7], [1.0 - 1e7, -1e7], [-1e7, 1.0 - 1e7]])
"""The no-fit polygon of what never overlaps: farther away than any cloth is long, mm."""

_Key = tuple[bytes, bytes, float, bool, float]
"""Two base polygons, the pose of the second as seen from the first, and the gap."""

_KEPT: dict[_Key, tuple[FloatArray, ...]] = {}


@dataclass(frozen=True)
class OrientedShape:
    """A posed, outward-simplified polygon; its origin is that of the item frame.

    Attributes
    ----------
    base : int
        Index of the simplified base polygon; equal polygons share one.
    pose : Pose
    points : (N, 2) array
        Counter-clockwise, mm.
    gapless : bool
        Whether no gap is kept to it (the outside of a bounded piece of cloth).
    flawed_ply : int or None
        Of a flaw the ply on which it is; only what is cut through that ply keeps clear of it.
    cut_plies : tuple of int or None
        The plies that are cut where not all are that lie there; None if it meets every flaw.
    """

    base: int
    pose: Pose
    points: FloatArray
    gapless: bool = False
    flawed_ply: int | None = None
    cut_plies: tuple[int, ...] | None = None

    def spares(self, other: OrientedShape) -> bool:
        """Whether it is cut beside a flaw however it lies: the flaw is on another ply."""
        on = other.flawed_ply
        return on is not None and self.cut_plies is not None and on not in self.cut_plies


class NoFitTable:
    """No-fit polygons of oriented shapes, made when first asked for.

    Pairs with the same relative pose share one: only the first is computed, the others are turned.
    They are kept between tables too, since a planner lays the same pieces in one fold after
    another.
    """

    def __init__(self, bases: tuple[FloatArray, ...], gap: float) -> None:
        self.gap = gap
        self._bases = bases
        self._keys = [base.tobytes() for base in bases]
        self._tracings: dict[int, Tracing] = {}
        self._rings: dict[tuple[int, Pose, int, Pose, bool], tuple[FloatArray, ...]] = {}

    def rings(self, a: OrientedShape, b: OrientedShape) -> tuple[FloatArray, ...]:
        """Rings of the positions of b relative to a that overlap or come nearer than the gap.

        The outer ring first, counter-clockwise; holes clockwise. Shapes (N, 2), mm.
        """
        if a.spares(b) or b.spares(a):
            return (NOWHERE,)
        with_gap = not (a.gapless or b.gapless)
        key = (a.base, a.pose, b.base, b.pose, with_gap)
        found = self._rings.get(key)
        if found is None:
            relative = self._in_frame_of(a.base, b.base, *_relative(a.pose, b.pose), with_gap)
            matrix = pose_matrix(a.pose).T
            found = tuple(
                np.ascontiguousarray((ring @ matrix)[::-1] if a.pose.flip else ring @ matrix)
                for ring in relative
            )
            self._rings[key] = found
        return found

    def key(self, a: OrientedShape, b: OrientedShape) -> tuple[object, ...]:
        """What two pairs of shapes have in common if their no-fit polygons are the same."""
        if a.spares(b) or b.spares(a):
            return ()
        gap = self.gap if not (a.gapless or b.gapless) else 0.0
        return (self._keys[a.base], a.pose, self._keys[b.base], b.pose, gap)

    def _in_frame_of(
        self, a: int, b: int, angle: float, flip: bool, with_gap: bool
    ) -> tuple[FloatArray, ...]:
        gap = self.gap if with_gap else 0.0
        # A (+) -(T B) = -T (B (+) -(T^-1 A)): of the two questions always the same one is worked
        # out, so that rounding does not depend on which was asked first.
        key = (self._keys[a], self._keys[b], angle, flip, gap)
        inverse = angle if flip else (-angle) % 360.0
        mirrored = (self._keys[b], self._keys[a], inverse, flip, gap)
        if mirrored < key:
            matrix = -pose_matrix(Pose(angle, flip)).T
            other = self._worked_out(mirrored, b, a)
            return tuple((ring @ matrix)[::-1] if flip else ring @ matrix for ring in other)
        return self._worked_out(key, a, b)

    def _worked_out(self, key: _Key, a: int, b: int) -> tuple[FloatArray, ...]:
        found = _KEPT.get(key)
        if found is None:
            _, _, angle, flip, gap = key
            found = _no_fit(self._tracing(a), self._bases[b], Pose(angle, flip), gap)
            if len(_KEPT) >= MOST_KEPT:
                _KEPT.clear()
            _KEPT[key] = found
        return found

    def _tracing(self, base: int) -> Tracing:
        if base not in self._tracings:
            self._tracings[base] = Tracing.of(self._bases[base])
        return self._tracings[base]


def _relative(a: Pose, b: Pose) -> tuple[float, bool]:
    """Pose of b seen from the frame of a."""
    angle = (b.angle_deg - a.angle_deg) if not a.flip else (a.angle_deg - b.angle_deg)
    return angle % 360.0, a.flip != b.flip


def _no_fit(a: Tracing, b: FloatArray, pose: Pose, gap: float) -> tuple[FloatArray, ...]:
    """Rings of the no-fit polygon of two base polygons, the second posed as seen from the first."""
    turned = b @ pose_matrix(pose).T
    whole = minkowski_sum(a, Tracing.of(-turned[::-1] if pose.flip else -turned))
    if gap > 0.0:
        whole = _in_one(_grown(whole, gap))
    whole = _in_one(whole.simplify(DOUBLED_MM))
    rings = [np.array(whole.exterior.coords)[:-1]]
    if not whole.exterior.is_ccw:
        rings[0] = rings[0][::-1]
    for hole in whole.interiors:
        if Polygon(hole).area > HOLE_SHARE * whole.area:
            ring = np.array(hole.coords)[:-1]
            rings.append(ring[::-1] if hole.is_ccw else ring)
    return tuple(rings)


def _grown(region: Polygon, gap: float) -> BaseGeometry:
    """Region with all that is nearer to it than a gap (mm), and a little more around corners.

    Edges prolonged to their corners keep it exactly along the edges, arcs drawn outward keep it
    around the corners: what both hold is enough.
    """
    # Corners that rounding has doubled have no direction to go on in.
    region = shapely.remove_repeated_points(region, DOUBLED_MM)
    with np.errstate(divide="ignore", invalid="ignore"):
        straight = region.buffer(gap, join_style="mitre", mitre_limit=MITRE_LIMIT)
    return straight.intersection(region.buffer(gap * ARC_REACH, quad_segs=ARC_STEPS))


def _in_one(region: BaseGeometry) -> Polygon:
    """A no-fit polygon is connected: what rounding splits off (far below 1 mm2) is none of it."""
    return max(getattr(region, "geoms", [region]), key=lambda part: part.area)
