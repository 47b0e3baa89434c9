"""Segments of SVG path data as points: lines, cubics, and arcs after SVG 1.1 appendix F.6."""

from __future__ import annotations

import cmath
import math

from pieces.outline import OutlineError

Segment = tuple[str, tuple[complex, ...], tuple[float, ...]]
"""Kind ("L", "C" or "A"), points from first to last, and the five numbers of an arc before its
end."""

MOST_STEPS = 20_000
"""A curve that needs more chords is far larger than any piece."""


def flatten(segment: Segment, flat: float) -> list[complex]:
    """Return the points of a segment, first and last included.

    Parameters
    ----------
    segment : Segment
    flat : float
        Farthest that a chord may lie from the curve, in the units of the segment.

    Raises
    ------
    OutlineError
        If it would take absurdly many points.
    """
    kind, points, numbers = segment
    if kind == "L":
        return list(points)
    if kind == "A":
        return _arc(points[0], points[1], numbers, flat)
    p0, p1, p2, p3 = points
    # A chord over a step of length s leaves a cubic by at most s^2 / 8 times its second derivative.
    bend = max(abs(p0 - 2 * p1 + p2), abs(p1 - 2 * p2 + p3)) * 6.0
    steps = _steps(math.sqrt(bend / (8.0 * flat)))
    return [
        (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t * t * p2 + t**3 * p3
        for t in (k / steps for k in range(steps + 1))
    ]


def _steps(wanted: float) -> int:
    if not wanted <= MOST_STEPS:
        raise OutlineError("the path has a curve far larger than any piece")
    return max(1, math.ceil(wanted))


def _arc(start: complex, end: complex, numbers: tuple[float, ...], flat: float) -> list[complex]:
    rx, ry, tilt, large, sweep = numbers
    rx, ry = abs(rx), abs(ry)
    if rx == 0.0 or ry == 0.0 or start == end:
        return [start, end]
    turn = cmath.exp(1j * math.radians(tilt))
    half = (start - end) / 2.0 / turn
    x, y = half.real / rx, half.imag / ry
    grow = math.hypot(x, y)
    if grow > 1.0:
        rx, ry, x, y = rx * grow, ry * grow, x / grow, y / grow
    square = x * x + y * y
    if square <= 1e-30:
        return [start, end]  # Radii so large that the arc is its chord.
    # Radii that were too small span the chord exactly: its middle is the centre.
    rest = 0.0 if grow > 1.0 else max(0.0, 1.0 / square - 1.0)
    sign = -1.0 if bool(large) == bool(sweep) else 1.0
    cx, cy = sign * math.sqrt(rest) * y, -sign * math.sqrt(rest) * x
    first = math.atan2(y - cy, x - cx)
    last = math.atan2(-y - cy, -x - cx)
    span = last - first
    if sweep and span < 0:
        span += 2 * math.pi
    if not sweep and span > 0:
        span -= 2 * math.pi
    radius = max(rx, ry)
    step = 2 * math.acos(max(0.0, 1 - flat / radius)) if flat < radius else math.pi / 2
    count = max(2, _steps(abs(span) / step) if step > 0.0 else _steps(math.inf))
    middle = (start + end) / 2.0
    points = [
        middle
        + turn
        * complex(
            rx * (cx + math.cos(first + span * k / count)),
            ry * (cy + math.sin(first + span * k / count)),
        )
        for k in range(count + 1)
    ]
    points[0], points[-1] = start, end
    return points
