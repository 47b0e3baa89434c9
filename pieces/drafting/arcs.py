"""Arcs of circles, by radius or by centre, flattened within 0.05 mm."""

from __future__ import annotations

import cmath
import math

from pieces.geometry_types import Point
from pieces.lengths import format_in
from pieces.outline import CLOSED_MM, FLATNESS_MM, OutlineError

TURNS = {"left": 1.0, "right": -1.0}
"""Which way an arc bends for one who walks along it, as the sign of its angle."""

LONGEST_ARC_MM = 1_000_000.0
"""A longer arc is a slip of the pen, and would be millions of points."""


def arc_by_radius(
    start: Point, end: Point, radius: float, turn: str, long_way: bool = False,
    unit: str | None = None,
) -> tuple[Point, ...]:  # fmt: skip
    """Return the arc from one point to another with a radius (mm).

    Parameters
    ----------
    turn : str
        "left" or "right": the way it bends for one who walks from start to end.
    long_way : bool
        Take the part of the circle that is more than half of it.
    unit : str, optional
        Unit of the file, for messages.

    Raises
    ------
    OutlineError
        If the ends are the same or farther apart than the circle is wide, or the arc is longer than
        a kilometre.
    """
    a, b = complex(*start), complex(*end)
    half = abs(b - a) / 2.0
    if half <= 0.0:
        raise OutlineError("the arc ends where it begins; give its centre and angle instead")
    if radius < half - CLOSED_MM / 2.0:
        raise OutlineError(
            f"a radius of {format_in(radius, unit)} is too small: the ends are "
            f"{format_in(2 * half, unit)} apart, so it is at least {format_in(half, unit)}"
        )
    radius = max(radius, half)
    side = 1j * (b - a) / abs(b - a) * TURNS[turn] * (-1.0 if long_way else 1.0)
    centre = (a + b) / 2.0 + side * math.sqrt(max(0.0, radius * radius - half * half))
    return _flat(a, b, centre, _span(a, b, centre, turn))


def arc_to(
    start: Point, end: Point, centre: Point, turn: str, unit: str | None = None
) -> tuple[Point, ...]:
    """Return the arc about a centre from one point to another.

    Raises
    ------
    OutlineError
        If the ends are not equally far from the centre (within 1 mm), or the arc is longer than a
        kilometre.
    """
    a, b, c = complex(*start), complex(*end), complex(*centre)
    if abs(abs(a - c) - abs(b - c)) > 2 * CLOSED_MM:
        raise OutlineError(
            f"it begins {format_in(abs(a - c), unit)} from the centre and ends "
            f"{format_in(abs(b - c), unit)} from it; on an arc both are the same"
        )
    if abs(a - c) <= 0.0 or a == b:
        raise OutlineError("the arc has no length")
    return _flat(a, b, c, _span(a, b, c, turn))


def arc_by_angle(start: Point, centre: Point, angle: float, turn: str) -> tuple[Point, ...]:
    """Return the arc about a centre through an angle (degrees, more than 0 and up to 360).

    Raises
    ------
    OutlineError
        If the start is the centre, the angle is none, or the arc is longer than a kilometre.
    """
    a, c = complex(*start), complex(*centre)
    if a == c:
        raise OutlineError("the arc begins at its own centre")
    if not 0.0 < angle <= 360.0:
        raise OutlineError(f"an angle of {angle:g} is none; more than 0 and up to 360 degrees")
    span = math.radians(angle) * TURNS[turn]
    return _flat(a, c + (a - c) * cmath.exp(1j * span), c, span)


def _span(a: complex, b: complex, centre: complex, turn: str) -> float:
    """Signed angle from a to b about a centre, walking left (positive) or right (negative)."""
    turned = cmath.phase((b - centre) / (a - centre))
    sign = TURNS[turn]
    return turned if turned * sign > 1e-12 else turned + 2.0 * math.pi * sign


def _flat(a: complex, b: complex, centre: complex, span: float) -> tuple[Point, ...]:
    radius = abs(a - centre)
    if not abs(span) * radius <= LONGEST_ARC_MM:
        raise OutlineError("the arc is longer than a kilometre")
    # A chord leaves its arc by radius * (1 - cos(half the step)).
    step = 2.0 * math.acos(max(0.0, 1.0 - FLATNESS_MM / radius))
    count = max(2, math.ceil(abs(span) / step))
    # Where the ends differ a little in their distance from the centre, it passes over evenly.
    grow = abs(b - centre) / radius
    points = [
        centre + (a - centre) * (1.0 + (grow - 1.0) * k / count) * cmath.exp(1j * span * k / count)
        for k in range(count + 1)
    ]
    points[0], points[-1] = a, b
    return tuple((p.real, p.imag) for p in points)
