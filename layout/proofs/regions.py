"""Where a unit may not lie beside another, whatever poses of a set they have.

That is what the no-fit polygons of all pairs of poses have in common. They are worked out as they
are asked for and kept in arrays that grow; no-fit polygons are shared with all other tables.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from layout.bounds.terms.relaxation import SLACK_MM
from layout.geometry.nofit import NoFitTable, OrientedShape
from layout.geometry.sums import Tracing, minkowski_sum
from layout.kernels.branches.arrays import Regions
from layout.proofs.places import Kind, Place
from pieces.geometry_types import FloatArray

ARC_STEPS = 3
"""Segments of a quarter circle where a gap is kept around a corner."""

LEAST_AREA = 1.0
"""Parts of a region below this (mm2) are left out: that only permits more."""

GRID_MM = 1e-6
"""Regions are worked out on a grid: where rings almost touch themselves, exact figures lose holes,
which are places that a piece may have."""


class NoGo:
    """The regions of some kinds of units, which keep a gap (mm)."""

    def __init__(self, kinds: Sequence[Kind], gap: float, kept: dict[object, BaseGeometry]) -> None:
        self._kinds = kinds
        self._gap = gap
        self._kept = kept
        most = max(len(kind.sets) for kind in kinds)
        shape = (len(kinds), most, len(kinds), most)
        self._index = np.full(shape, -1, dtype=np.int32)
        self._bounds: list[tuple[float, float, float, float]] = []
        self._edges: list[FloatArray] = []

    def work_out(self, first: int, one: int, second: int, other: int) -> None:
        """Add the region of two kinds with these sets of places."""
        self._index[first, one, second, other] = len(self._bounds)
        region = self._region(first, one, second, other)
        rings = [
            np.array(ring.coords)
            for part in shapely.get_parts(region)
            if part.area > LEAST_AREA
            for ring in (part.exterior, *part.interiors)
        ]
        edges = [np.hstack([ring[:-1], ring[1:]]) for ring in rings]
        self._edges.append(np.vstack(edges) if edges else np.zeros((0, 4)))
        corners = np.vstack(rings) if rings else np.zeros((1, 2))
        (x1, y1), (x2, y2) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        self._bounds.append((x1, x2, y1, y2))

    def arrays(self) -> Regions:
        """All regions so far, for the kernels."""
        counts = [len(edges) for edges in self._edges]
        return Regions(
            self._index,
            np.array(self._bounds).reshape(-1, 4),
            np.concatenate([[0], np.cumsum(counts)]).astype(np.int64),
            np.vstack([np.zeros((0, 4)), *self._edges]),
        )

    def _region(self, first: int, one: int, second: int, other: int) -> BaseGeometry:
        """In the frame of the first: places of the second's middle."""
        kinds = self._kinds
        region: BaseGeometry | None = None
        for a in kinds[first].sets[one]:
            for b in kinds[second].sets[other]:
                polygon = self._no_fit(kinds[first].places[a], kinds[second].places[b])
                if region is not None:
                    polygon = _area(shapely.intersection(region, polygon, grid_size=GRID_MM))
                region = polygon
        return shapely.Polygon() if region is None else region

    def _no_fit(self, a: Place, b: Place) -> BaseGeometry:
        gap = self._gap if a.plies & b.plies else 0.0
        key = (a.key, b.key, gap)
        if key not in self._kept:
            if gap > SLACK_MM:
                table = NoFitTable((a.base, b.base), 0.0)
                shell, *holes = table.rings(
                    OrientedShape(0, a.pose, a.base), OrientedShape(1, b.pose, b.base)
                )
                # Arcs of a buffer are drawn inside of the circle.
                whole = Polygon(shell, holes).buffer(gap - SLACK_MM, quad_segs=ARC_STEPS)
                whole = translate(whole, *(b.middle - a.middle))
            else:
                # What fits exactly has a place without width in the sum, where it would be lost.
                turned = np.ascontiguousarray(-b.outline)
                whole = minkowski_sum(Tracing.of(_shrunk(a.outline)), Tracing.of(turned))
            self._kept[key] = _area(shapely.set_precision(whole, GRID_MM))
        return self._kept[key]


def _area(region: BaseGeometry) -> BaseGeometry:
    """A region without what has none: lines and points that polygons share."""
    parts = [part for part in shapely.get_parts(region) if part.geom_type == "Polygon"]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _shrunk(outline: FloatArray) -> FloatArray:
    """An outline without its rim; where that parts it, the largest part."""
    rest = shapely.Polygon(outline).buffer(-SLACK_MM, join_style="mitre")
    part = max(shapely.get_parts(rest), key=lambda one: float(one.area))
    return np.array(orient(part).exterior.coords)[:-1]
