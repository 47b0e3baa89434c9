"""Outlines: closed rings in mm made of named edges, straight or smooth."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pieces.errors import PieceError
from pieces.geometry_types import FloatArray, Point, Ring

FLATNESS_MM = 0.05
"""Curves are flattened so that no point lies farther than this from them (design)."""

CLOSED_MM = 0.5
"""An outline whose last point lies within this of its start is closed."""


class OutlineError(PieceError):
    """An outline that no piece can have; the message says what is wrong."""


@dataclass(frozen=True)
class Edge:
    """A named stretch of an outline: its points in order, first and last included (mm)."""

    name: str
    points: tuple[Point, ...]

    @property
    def length(self) -> float:
        """Length along the edge, mm."""
        return float(np.hypot(*np.diff(np.asarray(self.points), axis=0).T).sum())


def ring_of(edges: tuple[Edge, ...]) -> Ring:
    """Join edges to a ring, not repeating the points where they meet."""
    points: list[Point] = []
    for edge in edges:
        points += edge.points[:-1]
    return tuple(points)


def ring_area(ring: Ring | FloatArray) -> float:
    """Area of a simple ring, whichever way it runs, mm2."""
    return abs(signed_area(ring))


def ring_length(ring: Ring) -> float:
    """Length of a ring all round, mm."""
    return sum(math.dist(a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))


def signed_area(ring: Ring | FloatArray) -> float:
    """Area in mm2, positive if the ring runs counter-clockwise (shoelace formula)."""
    x, y = np.asarray(ring, dtype=float).T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def counter_clockwise(edges: tuple[Edge, ...]) -> tuple[Edge, ...]:
    """Return edges so that their ring runs counter-clockwise."""
    if signed_area(ring_of(edges)) >= 0.0:
        return edges
    return tuple(Edge(edge.name, edge.points[::-1]) for edge in reversed(edges))


def smooth_curve(
    points: tuple[Point, ...], start: Point | None = None, end: Point | None = None
) -> tuple[Point, ...]:
    """Flatten the smooth curve through measured points, as drawn along a curved ruler.

    A cubic spline by cumulative chord length with natural ends (free, like the ends of a flexible
    ruler); de Boor, A Practical Guide to Splines, 1978, chapter IV. Flattened within 0.05 mm.

    Parameters
    ----------
    points : tuple of Point
        First and last included, mm.
    start, end : Point, optional
        Unit vectors that the curve sets out along and arrives along; an end without one is free.

    Raises
    ------
    OutlineError
        If two points that follow one another are the same.
    """
    given = np.asarray(points, dtype=float)
    if len(given) < 3 and start is None and end is None:
        return tuple(map(_point, given))
    chords = np.hypot(*np.diff(given, axis=0).T)
    if (chords <= 0.0).any():
        raise OutlineError("two measured points of a smooth edge are the same")
    knots = np.concatenate([[0.0], np.cumsum(chords)])
    moments = _moments(knots, given, start, end)
    flat: list[Point] = [_point(given[0])]
    for k in range(len(given) - 1):
        flat += _flatten_span(knots, given, moments, k)
    return tuple(flat)


def curve_directions(points: tuple[Point, ...]) -> tuple[Point, Point]:
    """Vectors along which the smooth curve with free ends sets out and arrives (any length)."""
    given = np.asarray(points, dtype=float)
    if len(given) < 3:
        way = _point(given[-1] - given[0])
        return way, way
    knots = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(given, axis=0).T))])
    moments = _moments(knots, given, None, None)
    h = np.diff(knots)
    first = (given[1] - given[0]) / h[0] - h[0] * (2 * moments[0] + moments[1]) / 6
    last = (given[-1] - given[-2]) / h[-1] + h[-1] * (moments[-2] + 2 * moments[-1]) / 6
    return _point(first), _point(last)


def _moments(
    knots: FloatArray, values: FloatArray, start: Point | None, end: Point | None
) -> FloatArray:
    """Second derivatives at the knots of the cubic spline, shape (N, 2)."""
    n = len(knots)
    h = np.diff(knots)
    slopes = np.diff(values, axis=0) / h[:, None]
    system = np.zeros((n, n))
    right = np.zeros((n, 2))
    system[0, 0] = system[-1, -1] = 1.0
    if start is not None:
        system[0, :2] = 2 * h[0], h[0]
        right[0] = 6 * (slopes[0] - np.asarray(start))
    if end is not None:
        system[-1, -2:] = h[-1], 2 * h[-1]
        right[-1] = 6 * (np.asarray(end) - slopes[-1])
    for i in range(1, n - 1):
        system[i, i - 1], system[i, i], system[i, i + 1] = h[i - 1], 2 * (h[i - 1] + h[i]), h[i]
        right[i] = 6 * (slopes[i] - slopes[i - 1])
    return np.asarray(np.linalg.solve(system, right))


def _flatten_span(
    knots: FloatArray, values: FloatArray, moments: FloatArray, k: int
) -> list[Point]:
    h = knots[k + 1] - knots[k]
    # A chord over a step of length s leaves a cubic by at most s^2 / 8 times its second derivative.
    bend = float(max(np.hypot(*moments[k]), np.hypot(*moments[k + 1])))
    steps = max(1, math.ceil(h * math.sqrt(bend / (8 * FLATNESS_MM))))
    t = np.linspace(0.0, h, steps + 1)[1:, None]
    left, right = h - t, t
    curve = (
        (moments[k] * left**3 + moments[k + 1] * right**3) / (6 * h)
        + (values[k] / h - moments[k] * h / 6) * left
        + (values[k + 1] / h - moments[k + 1] * h / 6) * right
    )
    curve[-1] = values[k + 1]
    return [_point(p) for p in curve]


def _point(values: FloatArray) -> Point:
    return (float(values[0]), float(values[1]))


def is_straight(points: tuple[Point, ...], tolerance: float = 0.1) -> bool:
    """Whether all points lie within `tolerance` mm of the line from first to last."""
    array = np.asarray(points)
    start, end = array[0], array[-1]
    span = end - start
    length = float(np.hypot(*span))
    if length <= 0.0:
        return False
    off = (array - start) @ np.array([-span[1], span[0]]) / length
    return bool(np.abs(off).max() <= tolerance)
