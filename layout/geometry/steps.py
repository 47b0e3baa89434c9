"""What the two ways of simplifying an outline share: turns, prolonged edges, the fold's line."""

from __future__ import annotations

import math

from pieces.geometry_types import Point


def prolonged(a: Point, b: Point, d: Point, c: Point) -> Point | None:
    """Where a-b and d-c meet when prolonged beyond b and c, or None."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - d[0], c[1] - d[1]
    det = ux * vy - uy * vx
    if abs(det) < 1e-12 * (abs(ux) + abs(uy)) * (abs(vx) + abs(vy)):
        return None
    s = ((d[0] - a[0]) * vy - (d[1] - a[1]) * vx) / det
    t = ((d[0] - a[0]) * uy - (d[1] - a[1]) * ux) / det
    if s < 1.0 or t < 1.0:
        return None
    return (a[0] + s * ux, a[1] + s * uy)


def cross(a: Point, b: Point, c: Point) -> float:
    """Twice the area (mm2) of a triangle, positive if a, b, c run counter-clockwise."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def is_on_line(a: Point, b: Point, fixed: tuple[Point, Point] | None) -> bool:
    """Whether an edge lies on the line of the fixed one (False if there is none)."""
    if fixed is None:
        return False
    length = math.dist(*fixed)
    return all(abs(cross(fixed[0], fixed[1], p)) <= 1e-3 * length for p in (a, b))
