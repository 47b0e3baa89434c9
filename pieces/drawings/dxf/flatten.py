"""Lines, polylines, arcs, ellipses and splines of a DXF document as points."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from pieces.geometry_types import Point
from pieces.outline import OutlineError

if TYPE_CHECKING:
    from ezdxf.entities.dxfgfx import DXFGraphic

MOST_SPLINE_POINTS = 20_000

STRAIGHT_BULGE = 1e-9
"""A bulge below this is no arc."""


def flatten(entity: DXFGraphic, flat: float, largest: float) -> tuple[list[Point], bool] | None:
    """Return the points of a line in the coordinates of its block, and whether it is closed.

    None for what is no line.

    Parameters
    ----------
    entity : DXFGraphic
    flat : float
        How far points may lie off a curve, in drawing units.
    largest : float
        The largest coordinate or radius that is sound, in drawing units.

    Raises
    ------
    OutlineError
        If figures are endless or absurdly large, or the curve is broken.
    """
    kind = entity.dxftype()
    made: Any = entity
    if kind == "LINE":
        return [_xy(made.dxf.start), _xy(made.dxf.end)], False
    if kind == "LWPOLYLINE":
        bulged = [(float(x), float(y), float(b)) for x, y, b in made.get_points("xyb")]
        return _to_world(_bulged(bulged, made.closed, flat, largest), made), bool(made.closed)
    if kind == "POLYLINE":
        return _polyline(made, flat, largest)
    if kind in ("ARC", "CIRCLE"):
        _sound(largest, made.dxf.radius, *made.dxf.center)
        points = [_xy(p) for p in made.flattening(flat)]
        return points, kind == "CIRCLE"
    if kind == "ELLIPSE":
        _sound(largest, made.dxf.major_axis.magnitude, made.dxf.ratio, *made.dxf.center)
        points = [_xy(p) for p in made.flattening(flat)]
        return points, len(points) > 2 and math.dist(points[0], points[-1]) <= flat
    if kind == "SPLINE":
        return _spline(made, flat, largest)
    return None


def _polyline(made: Any, flat: float, largest: float) -> tuple[list[Point], bool] | None:
    if made.is_2d_polyline:
        # Of a polyline with a fitted curve the frame of control points is no part of the line.
        bulged = [
            (float(v.dxf.location.x), float(v.dxf.location.y), float(v.dxf.get("bulge", 0.0)))
            for v in made.vertices
            if not v.dxf.flags & 16
        ]
        return _to_world(_bulged(bulged, made.is_closed, flat, largest), made), made.is_closed
    if made.is_3d_polyline:
        points = [_xy(v.dxf.location) for v in made.vertices if not v.dxf.flags & 16]
        return points, made.is_closed
    return None


def _spline(made: Any, flat: float, largest: float) -> tuple[list[Point], bool]:
    """Points of a spline on the stretch of its parameter where it is defined.

    That matters for closed curves, whose knots do not repeat at the ends.
    """
    for point in (*made.control_points, *made.fit_points):
        _sound(largest, *point)
    try:
        curve = made.construction_tool()
        knots, degree = list(curve.knots()), int(curve.degree)
        first, last = knots[degree], knots[len(knots) - degree - 1]
        stops = [t for t in dict.fromkeys(knots) if first <= t <= last]
        points = [_xy(curve.point(first))]
        for start, stop in pairwise(stops):
            points += _span(curve, start, stop, flat)
            if len(points) > MOST_SPLINE_POINTS:
                raise OutlineError("it is too intricate a curve for a pattern")
    except (ValueError, TypeError, ZeroDivisionError, IndexError, ArithmeticError) as error:
        raise OutlineError(f"it is no sound curve: {str(error)[:80]}") from error
    return points, len(points) > 3 and math.dist(points[0], points[-1]) <= max(flat, 1e-6)


def _span(curve: Any, start: float, stop: float, flat: float) -> list[Point]:
    """Points after the start of one span: halved until no middle lies off its chord."""
    count = 4
    while True:
        ticks = [start + (stop - start) * k / (2 * count) for k in range(2 * count + 1)]
        fine = [_xy(place) for place in curve.points(ticks)]
        off = max(
            math.dist(fine[k], _middle(fine[k - 1], fine[k + 1])) for k in range(1, 2 * count, 2)
        )
        if off <= flat / 2.0:
            return fine[2::2]
        count *= 2
        if count > MOST_SPLINE_POINTS or not math.isfinite(off):
            raise OutlineError("it is too intricate a curve for a pattern")


def _middle(a: Point, b: Point) -> Point:
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def _bulged(
    points: list[tuple[float, float, float]], closed: bool, flat: float, largest: float
) -> list[Point]:
    """Points of a polyline whose stretches may be arcs (bulge: tangent of a quarter the angle)."""
    for point in points:
        _sound(largest, *point[:2])
    line: list[Point] = []
    last = len(points) - 1
    for at, (x, y, bulge) in enumerate(points):
        line.append((x, y))
        if abs(bulge) <= STRAIGHT_BULGE or (at == last and not closed):
            continue
        end = points[(at + 1) % len(points)]
        line += _arc(complex(x, y), complex(*end[:2]), bulge, flat, largest)
        if at != last:
            line.pop()
    return line


def _arc(start: complex, end: complex, bulge: float, flat: float, largest: float) -> list[Point]:
    """Points of an arc after its start, its end included."""
    chord = end - start
    if chord == 0 or not math.isfinite(bulge):
        return [(end.real, end.imag)]
    angle = 4.0 * math.atan(bulge)
    centre = (start + end) / 2.0 + 1j * chord * (1.0 - bulge * bulge) / (4.0 * bulge)
    radius = abs(start - centre)
    if abs(bulge) > 1.0:
        _sound(largest, radius)
    step = 2.0 * math.acos(1.0 - flat / radius) if flat < radius else math.pi / 4.0
    count = max(2, math.ceil(abs(angle) / step)) if step > 0.0 else 2
    if count > 10_000:
        raise OutlineError("an arc of it is absurdly large")
    points = [
        centre + (start - centre) * cmath.exp(1j * angle * k / count) for k in range(1, count)
    ]
    return [(p.real, p.imag) for p in (*points, end)]


def _to_world(points: list[Point], made: Any) -> list[Point]:
    """From the plane of a flat entity to the drawing's; a turned-over one is mirrored."""
    if not made.dxf.hasattr("extrusion") or made.dxf.extrusion.isclose((0, 0, 1)):
        return points
    ocs = made.ocs()
    return [_xy(ocs.to_wcs((x, y, 0.0))) for x, y in points]


def _sound(largest: float, *figures: float) -> None:
    for figure in figures:
        if not abs(figure) <= largest:
            raise OutlineError("its figures are endless, or farther than 100 m from the origin")


def _xy(vector: Any) -> Point:
    return (float(vector[0]), float(vector[1]))
