"""Convex regions in which one shape may move against another without touching it.

The free side of a no-fit polygon is not convex; a linear programme can only hold a position in a
convex part of it. The part is found from the present position: the line of the nearest edge, then
that of the nearest edge of what lies on the free side of it, until nothing is left within reach.
Each half-plane keeps the pair apart from what it was drawn for, so that all together keep it apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray, IntArray

DEEP_MM = 1e-3
"""A position deeper than this in a no-fit polygon overlaps; less is touching, and is put right."""

BEYOND_MM = 1e-7
"""What reaches over a line by no more than this lies on it."""

HalfPlane = tuple[float, float, float]
"""(nx, ny, c): positions (x, y) with nx * x + ny * y >= c, mm."""


@dataclass(frozen=True)
class Border:
    """The edges of a no-fit polygon, which lies on their left.

    Attributes
    ----------
    start, vector, normal : (E, 2) array
        Normals are of length 1 and point out of the polygon.
    before, after : (E,) array
        Neighbours of each edge on its ring.
    """

    start: FloatArray
    vector: FloatArray
    normal: FloatArray
    before: IntArray
    after: IntArray


def border(rings: tuple[FloatArray, ...]) -> Border:
    """Return the edges of rings: the outer one counter-clockwise, holes clockwise."""
    starts, vectors, before, after = [], [], [], []
    count = 0
    for ring in rings:
        vector = np.roll(ring, -1, 0) - ring
        here = np.arange(len(ring), dtype=np.int32)
        starts.append(ring)
        vectors.append(vector)
        before.append(count + np.roll(here, 1))
        after.append(count + np.roll(here, -1))
        count += len(ring)
    vector = np.vstack(vectors)
    length = np.maximum(np.hypot(vector[:, 0], vector[:, 1]), 1e-300)
    normal = np.column_stack([vector[:, 1], -vector[:, 0]]) / length[:, None]
    return Border(np.vstack(starts), vector, normal, np.concatenate(before), np.concatenate(after))


def free_region(
    edges: Border, x: float, y: float, reach: float, sideways: bool
) -> list[HalfPlane] | None:
    """Half-planes around (x, y) that keep clear of a no-fit polygon, or None if that lies in it.

    Parameters
    ----------
    edges : Border
    x, y : float
        Present relative position, mm.
    reach : float
        It will move no further than this in x and in y, mm.
    sideways : bool
        At a corner, whether to take the edge along which x can come nearest to 0, rather than the
        one that lies furthest off.
    """
    live = _Live(edges, np.array([x, y]), reach)
    found: list[HalfPlane] = []
    while True:
        nearest = live.nearest()
        if nearest is None:
            return None if not found and _inside(edges, live.at) else found
        normal = _normal(edges, live.at, *nearest, sideways)
        if normal is None and found:
            # Of an edge that earlier lines have cut the nearest point is none of a polygon's.
            normal = _across(live.at - nearest[2])
        if normal is None:
            return None
        plane = (float(normal[0]), float(normal[1]), float(normal @ nearest[2]))
        found.append(plane)
        live.cut(*plane)


class _Live:
    """The stretches of edges that are within reach and on the free side of all lines so far."""

    def __init__(self, edges: Border, at: FloatArray, reach: float) -> None:
        self.at = at
        self.edges = edges
        # Where each edge's line enters and leaves the square that is within reach.
        with np.errstate(divide="ignore", invalid="ignore"):
            one = (at - reach - edges.start) / edges.vector
            other = (at + reach - edges.start) / edges.vector
        level = edges.vector == 0.0
        beside = level & ((edges.start < at - reach) | (edges.start > at + reach))
        begin = np.where(level, 0.0, np.minimum(one, other)).max(axis=1, initial=0.0)
        end = np.where(level, 1.0, np.maximum(one, other)).min(axis=1, initial=1.0)
        self.index = np.flatnonzero((begin < end) & ~beside.any(axis=1))
        self.begin, self.end = begin[self.index], end[self.index]

    def nearest(self) -> tuple[int, float, FloatArray] | None:
        """Nearest edge, where on it (0 to 1) and the point, or None if none is left."""
        if not len(self.index):
            return None
        start, vector = self.edges.start[self.index], self.edges.vector[self.index]
        square = np.maximum((vector * vector).sum(axis=1), 1e-300)
        share = ((self.at - start) * vector).sum(axis=1) / square
        share = np.minimum(np.maximum(share, self.begin), self.end)
        off = start + share[:, None] * vector - self.at
        k = int(np.argmin((off * off).sum(axis=1)))
        return int(self.index[k]), float(share[k]), self.at + off[k]

    def cut(self, nx: float, ny: float, c: float) -> None:
        """Keep only what lies on the free side of a line."""
        if not len(self.index):
            return
        normal = np.array([nx, ny])
        offset = self.edges.start[self.index] @ normal - c
        slope = self.edges.vector[self.index] @ normal
        first, last = offset + slope * self.begin, offset + slope * self.end
        kept = np.flatnonzero(np.maximum(first, last) > BEYOND_MM)
        self.index, self.begin, self.end = self.index[kept], self.begin[kept], self.end[kept]
        if len(kept):
            first, last, offset, slope = first[kept], last[kept], offset[kept], slope[kept]
            crossing = -offset / np.where(slope == 0.0, 1.0, slope)
            self.begin = np.where(first < 0.0, crossing, self.begin)
            self.end = np.where(last < 0.0, crossing, self.end)


def _normal(
    edges: Border, at: FloatArray, edge: int, share: float, point: FloatArray, sideways: bool
) -> FloatArray | None:
    """Normal of an edge through the nearest point that faces the position, if there is one."""
    away = at - point
    normal: FloatArray = edges.normal[edge]
    side = float(away @ normal)
    if 0.0 < share < 1.0:
        if side >= -DEEP_MM:
            return normal
    else:
        other = int(edges.before[edge] if share <= 0.0 else edges.after[edge])
        first, then = (other, edge) if share <= 0.0 else (edge, other)
        bulging = _cross(edges.vector[first], edges.vector[then]) > 0.0
        choice: list[tuple[float, FloatArray]] = [(side, normal)]
        if bulging:
            choice.append((float(away @ edges.normal[other]), edges.normal[other]))
        choice = [one for one in choice if one[0] >= -DEEP_MM]
        if choice:
            toward = 1.0 if at[0] > 0.0 else -1.0
            weight = 0.0 if sideways else 1.0
            # At the corner itself, too, the edge along which x can come nearest to 0.
            best = max(choice, key=lambda one: weight * one[0] - 1e-3 * toward * float(one[1][0]))
            return best[1]
    return None


def _inside(edges: Border, at: FloatArray) -> bool:
    """Whether a position far from all edges is inside: a ray from it crosses an odd number."""
    low = edges.start[:, 1]
    high = low + edges.vector[:, 1]
    crossed = (low > at[1]) != (high > at[1])
    share = (at[1] - low[crossed]) / edges.vector[crossed, 1]
    right = edges.start[crossed, 0] + share * edges.vector[crossed, 0] > at[0]
    return bool(int(right.sum()) % 2)


def _across(away: FloatArray) -> FloatArray | None:
    """Direction straight from the nearest point to the position."""
    distance = float(np.hypot(away[0], away[1]))
    return np.asarray(away / distance) if distance > DEEP_MM else None


def _cross(a: FloatArray, b: FloatArray) -> float:
    return float(a[0] * b[1] - a[1] * b[0])
