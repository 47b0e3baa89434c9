"""From the stitching line to the cutting line: an allowance for each edge.

Offset lines are extended to meet (mitred) and trimmed beyond twice the allowance. A hem that is
turned up is mirrored about the hem line, so that it lies flat on a flared piece. Common practice,
no source.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from pieces.geometry_types import FloatArray, Point, Ring
from pieces.outline import Edge, OutlineError

if TYPE_CHECKING:
    from shapely.geometry import Point as PlacePoint
    from shapely.geometry.base import BaseGeometry

TRIM = 2.0
"""A corner is trimmed at this many times the allowance."""

HAIR_MM = 0.05
"""An allowance may be so much narrower: curves are flattened no better than that."""


class AllowanceError(OutlineError):
    """An allowance that does not suit its outline."""


def cutting_line(
    edges: tuple[Edge, ...],
    allowances: dict[str, float],
    turned_up: frozenset[str] = frozenset(),
    fold: str | None = None,
) -> Ring:
    """Add allowances to a counter-clockwise stitching line.

    Parameters
    ----------
    edges : tuple of Edge
        Closed, counter-clockwise.
    allowances : dict
        Allowance by edge name, mm; 0 for fold edges.
    turned_up : frozenset of str
        Edges (hems) whose allowance is mirrored about the hem line.
    fold : str, optional
        The edge on the fold: a hem runs straight on there, for the whole has no corner.

    Raises
    ------
    OutlineError
        If the allowance is too wide for the outline's curves.
    """
    points, widths, names = _segments(edges, allowances)
    count = len(points)
    corners: list[list[Point]] = []
    for i in range(count):
        before, here, after = points[i - 1], points[i], points[(i + 1) % count]
        mirrored = fold not in (names[i - 1], names[i])
        hems = tuple(mirrored and name in turned_up for name in (names[i - 1], names[i]))
        corners.append(_corner(before, here, after, widths[i - 1], widths[i], hems[0], hems[1]))
    ring = [point for corner in corners for point in corner]
    lines = [edge.points for edge in edges if edge.name == fold]
    strips = _strips(points, widths, [name in turned_up for name in names], corners)
    if lines:
        start, end = lines[0][0], lines[0][-1]
        ring = this_side(ring, start, end)
        strips = [this_side(strip, start, end) for strip in strips]
    return _sound(ring, points, strips)


def this_side(ring: list[Point], start: Point, end: Point) -> list[Point]:
    """Bring back onto the fold line what a tight hollow beside it carried over.

    The outline runs counter-clockwise: all of it lies left of its fold.
    """
    way = _unit(np.asarray(end) - np.asarray(start))
    normal = np.array([-way[1], way[0]])
    kept: list[Point] = []
    for point in ring:
        over = float((np.asarray(point) - np.asarray(start)) @ normal)
        kept.append(_point(np.asarray(point) - over * normal) if over < -1e-9 else point)
    return kept


def _segments(
    edges: tuple[Edge, ...], allowances: dict[str, float]
) -> tuple[list[FloatArray], list[float], list[str]]:
    """Corner points, and for the segment that leaves each its allowance and its edge's name."""
    points: list[FloatArray] = []
    widths: list[float] = []
    names: list[str] = []
    for edge in edges:
        for start, end in zip(edge.points, edge.points[1:], strict=False):
            if math.dist(start, end) < 1e-9:
                continue
            points.append(np.asarray(start, dtype=float))
            widths.append(allowances[edge.name])
            names.append(edge.name)
    return points, widths, names


def _corner(
    before: FloatArray,
    here: FloatArray,
    after: FloatArray,
    first: float,
    second: float,
    hem_first: bool,
    hem_second: bool,
) -> list[Point]:
    d1, d2 = _unit(here - before), _unit(after - here)
    n1, n2 = _outward(d1), _outward(d2)
    turn = _turn(d1, d2)
    if first <= 0.0 and second <= 0.0:
        return [_point(here)]
    if abs(turn) < 1e-6 and float(d1 @ d2) > 0:
        ends = [here + first * n1, here + second * n2]
        return [_point(ends[0])] if abs(first - second) < 1e-9 else [_point(p) for p in ends]
    if hem_first != hem_second and turn > 0.0:
        return _hem_corner(here, d1, d2, n1, n2, first, second, hem_first)
    meet = _meet(here + first * n1, d1, here + second * n2, d2)
    limit = TRIM * max(first, second)
    if turn > 0.0 and (meet is None or math.dist(meet, here) > limit + 1e-9):
        return _trimmed(here, d1, d2, n1, n2, first, second, limit)
    if meet is None:
        return [_point(here + first * n1), _point(here + second * n2)]
    return [_point(meet)]


def _hem_corner(
    here: FloatArray,
    d1: FloatArray,
    d2: FloatArray,
    n1: FloatArray,
    n2: FloatArray,
    first: float,
    second: float,
    hem_first: bool,
) -> list[Point]:
    """Corner of a hem and a side: the side's cutting line reflected in the hem line."""
    side, side_normal, side_width = (d2, n2, second) if hem_first else (d1, n1, first)
    hem, hem_normal, hem_width = (d1, n1, first) if hem_first else (d2, n2, second)
    fold_point = _meet(here + side_width * side_normal, side, here, hem)
    if fold_point is None or hem_width <= 0.0:
        meet = _meet(here + first * n1, d1, here + second * n2, d2)
        return [_point(here if meet is None else meet)]
    mirrored = side - 2.0 * float(side @ hem_normal) * hem_normal
    foot = _meet(fold_point, mirrored, here + hem_width * hem_normal, hem)
    if foot is None:
        return [_point(fold_point)]
    corner = [_point(foot), _point(fold_point)]
    return corner if hem_first else corner[::-1]


def _trimmed(
    here: FloatArray,
    d1: FloatArray,
    d2: FloatArray,
    n1: FloatArray,
    n2: FloatArray,
    first: float,
    second: float,
    limit: float,
) -> list[Point]:
    """Cut a long point off square to its middle, `limit` mm from the corner."""
    middle = d1 - d2
    length = float(np.hypot(*middle))
    if length < 1e-9:
        middle, length = n1, 1.0
    middle = middle / length
    across = np.array([-middle[1], middle[0]])
    base = here + limit * middle
    one = _meet(here + first * n1, d1, base, across)
    two = _meet(here + second * n2, d2, base, across)
    return [_point(here + first * n1 if one is None else one),
            _point(here + second * n2 if two is None else two)]  # fmt: skip


def _strips(
    points: list[FloatArray], widths: list[float], mirrored: list[bool], corners: list[list[Point]]
) -> list[list[Point]]:
    """Where cloth must be: beside each segment and round each corner between equal allowances.

    Left out is what lies at a hem, which is narrower where it turns up, and at a corner where the
    allowance changes, which runs from the one to the other.
    """
    strips = []
    count = len(points)
    ways = [_unit(points[(i + 1) % count] - points[i]) for i in range(count)]
    outs = [width * _outward(way) for width, way in zip(widths, ways, strict=True)]
    even = [
        widths[i - 1] == widths[i] > 0.0 and not mirrored[i - 1] and not mirrored[i]
        for i in range(count)
    ]
    for i, here in enumerate(points):
        after = points[(i + 1) % count]
        if not even[i]:
            continue
        if even[(i + 1) % count]:
            strips.append([_point(p) for p in (here, here + outs[i], after + outs[i], after)])
        if _turn(ways[i - 1], ways[i]) > 0.0:
            first, second = _point(here + outs[i - 1]), _point(here + outs[i])
            strips.append([_point(here), first, *corners[i], second])
    return strips


def _sound(ring: list[Point], net: list[FloatArray], strips: list[list[Point]]) -> Ring:
    """Take out the loops that offsetting a tight hollow leaves, and put in what it cut off."""
    from shapely import covers, prepare
    from shapely.geometry import MultiPolygon, Polygon
    from shapely.ops import unary_union

    polygon = Polygon(ring)
    sound = polygon.is_valid and polygon.exterior.is_ccw
    beside = [part for strip in strips if (part := Polygon(strip).buffer(0)).area > 0.0]
    if sound:
        grown = polygon.buffer(HAIR_MM)
        prepare(grown)
        beside = [part for part in beside if not covers(grown, part)]
    if not sound or beside:
        inner = Polygon([tuple(p) for p in net])
        whole = unary_union([polygon if sound else _gone_round(ring), inner, *beside])
        if isinstance(whole, MultiPolygon):
            whole = max(whole.geoms, key=lambda part: part.intersection(inner).area)
        polygon = Polygon(whole.exterior)
        if not polygon.is_valid or polygon.area < inner.area - 1e-6:
            raise AllowanceError(
                "the allowance is too wide for the hollows of this outline: its two sides would "
                "run into each other; a narrower one fits"
            )
        if not polygon.exterior.is_ccw:
            polygon = Polygon(list(polygon.exterior.coords)[::-1])
    cleaned = polygon.simplify(1e-7)
    return tuple((float(x), float(y)) for x, y in list(cleaned.exterior.coords)[:-1])


def _gone_round(ring: list[Point]) -> BaseGeometry:
    """What a line that crosses itself goes round counter-clockwise: loops the other way are none.

    Allowances that meet in a hollow turn such loops, which may be far larger than the piece.
    """
    from shapely.geometry import LinearRing
    from shapely.ops import polygonize, unary_union

    faces = polygonize(unary_union(LinearRing(ring)))
    return unary_union([face for face in faces if _turns(ring, face.representative_point()) > 0])


def _turns(ring: list[Point], place: PlacePoint) -> int:
    """How often a ring goes round a place, counter-clockwise."""
    turns = 0
    for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True):
        side = (x2 - x1) * (place.y - y1) - (place.x - x1) * (y2 - y1)
        if y1 <= place.y < y2 and side > 0.0:
            turns += 1
        elif y2 <= place.y < y1 and side < 0.0:
            turns -= 1
    return turns


def _meet(p: FloatArray, d: FloatArray, q: FloatArray, e: FloatArray) -> FloatArray | None:
    """Point where two lines meet, or None if they are parallel."""
    cross = float(d[0] * e[1] - d[1] * e[0])
    if abs(cross) < 1e-9:
        return None
    r = q - p
    return np.asarray(p + d * float(r[0] * e[1] - r[1] * e[0]) / cross)


def _turn(first: FloatArray, second: FloatArray) -> float:
    """Sine of the angle from one direction to another: above 0 to the left."""
    return float(first[0] * second[1] - first[1] * second[0])


def _unit(vector: FloatArray) -> FloatArray:
    return np.asarray(vector / np.hypot(*vector))


def _outward(direction: FloatArray) -> FloatArray:
    """Outward normal of a counter-clockwise ring's edge."""
    return np.array([direction[1], -direction[0]])


def _point(values: FloatArray) -> Point:
    return (float(values[0]), float(values[1]))
