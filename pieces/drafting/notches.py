"""Notches on the cutting line: where each stands, square to the edge that it is on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pieces.drafting.allowance import AllowanceError
from pieces.geometry_types import Point, Ring
from pieces.outline import Edge

BASE_MM, HEIGHT_MM = 8.0, 5.0
"""Size of the outward notch triangles."""

HALF_LOOK_MM = 0.5
"""The way of an edge at a place is that between two places so far to both sides on it."""

SQUARE = math.cos(math.radians(20.0))
"""A curve and its cutting line run alike within this; beyond it lies another edge."""

BESIDE_MM = 1.0
"""Half of a notch is left out where the cutting line lies farther than this from its base."""

HAIR_MM = 1e-6


@dataclass(frozen=True)
class Foot:
    """Where a notch stands on the cutting line (mm), and the unit vector that points outward."""

    at: Point
    out: Point

    def inward(self, depth: float) -> Point:
        """The place so deep (mm) within the piece, square to the edge."""
        return (self.at[0] - depth * self.out[0], self.at[1] - depth * self.out[1])


def outward_at(edge: Edge, along: float, is_ccw: bool) -> Point:
    """Unit vector square to an edge at a distance (mm) along it, out of an outline that runs so.

    Only the edge itself is looked at, so that its very ends are square to it and not to the corner.
    """
    from shapely.geometry import LineString

    line = LineString(edge.points)
    here = min(max(along, 0.0), line.length)
    a = line.interpolate(max(here - HALF_LOOK_MM, 0.0))
    b = line.interpolate(min(here + HALF_LOOK_MM, line.length))
    length = math.hypot(b.x - a.x, b.y - a.y) or 1.0
    side = 1.0 if is_ccw else -1.0
    return (side * (b.y - a.y) / length, side * (a.x - b.x) / length)


def foot_of(ring: Ring, place: Point, out: Point, allowance: float) -> Foot:
    """Where a notch of a place on its edge stands on the cutting line.

    That is the nearest place of the line, unless it belongs to another edge: beside a corner the
    line of that may lie as near, or nearer.
    """
    from shapely.geometry import LinearRing, LineString, Polygon
    from shapely.geometry import Point as Place

    line = LinearRing(ring)
    near = line.interpolate(line.project(Place(place)))
    dx, dy = near.x - place[0], near.y - place[1]
    away = math.hypot(dx, dy)
    is_square = away > HAIR_MM and dx * out[0] + dy * out[1] >= SQUARE * away
    if allowance > 0.0 and not is_square:
        x1, y1, x2, y2 = line.bounds
        far = math.hypot(x2 - x1, y2 - y1)
        ray = LineString([place, (place[0] + far * out[0], place[1] + far * out[1])])
        # Along a fold the ray runs on the line itself.
        inside = ray.intersection(Polygon(ring).buffer(HAIR_MM, join_style="mitre"))
        parts = [part for part in getattr(inside, "geoms", [inside]) if part.length > 0.0]
        if parts:
            first = min(parts, key=lambda part: part.distance(Place(place)))
            end = max(map(Place, first.coords), key=lambda spot: spot.distance(Place(place)))
            near = line.interpolate(line.project(end))
    return Foot((float(near.x), float(near.y)), out)


def add_notches(ring: Ring, feet: tuple[Foot, ...]) -> Ring:
    """Add outward notches to a counter-clockwise ring.

    Raises
    ------
    AllowanceError
        If one does not touch its edge.
    """
    from shapely.geometry import Polygon

    polygon = Polygon(ring)
    for foot in feet:
        polygon = polygon.union(Polygon(_triangle(ring, foot)))
    if polygon.geom_type != "Polygon":
        raise AllowanceError("a notch does not touch its edge; move it away from the corner")
    shell = Polygon(polygon.exterior)
    coords = list(shell.exterior.coords)[:-1]
    if not shell.exterior.is_ccw:
        coords.reverse()
    return tuple((float(x), float(y)) for x, y in coords)


def _triangle(ring: Ring, foot: Foot) -> list[Point]:
    """A notch and a strip below it: on the line as it runs, or, beside a corner, along its edge."""
    from shapely.geometry import LinearRing
    from shapely.geometry import Point as Place

    line = LinearRing(ring)
    half = BASE_MM / 2.0
    along = line.project(Place(foot.at))
    a, b = (line.interpolate((along + step) % line.length) for step in (-half, half))
    one, two = (a.x, a.y), (b.x, b.y)
    wide = math.dist(one, two)
    out = ((two[1] - one[1]) / wide, (one[0] - two[0]) / wide) if wide > 0.0 else foot.out
    top = _moved(((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0), out, HEIGHT_MM)
    if out[0] * foot.out[0] + out[1] * foot.out[1] < SQUARE:
        out = foot.out
        way = (-out[1], out[0])
        one, two = (
            end if line.distance(Place(end)) <= BESIDE_MM else foot.at
            for end in (_moved(foot.at, way, -half), _moved(foot.at, way, half))
        )
        top = _moved(foot.at, out, HEIGHT_MM)
    return [_moved(one, out, -0.5), _moved(two, out, -0.5), two, top, one]


def _moved(place: Point, way: Point, far: float) -> Point:
    return (place[0] + far * way[0], place[1] + far * way[1])
