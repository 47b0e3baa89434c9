"""SVG path data (W3C SVG 1.1, section 8.3) as edges; y-down is turned into y-up.

Commands M L H V C S Q T A Z, absolute and relative; one closed subpath. Curves are flattened
within 0.05 mm. Arcs follow the conversion of SVG 1.1 appendix F.6.
"""

from __future__ import annotations

import cmath
import itertools
import math
import re

from pieces.geometry_types import Point
from pieces.outline import FLATNESS_MM, Edge, OutlineError

_TOKEN = re.compile(r"([MmLlHhVvCcSsQqTtAaZz])|([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


def edges_from_path(data: str, scale: float) -> tuple[Edge, ...]:
    """Read path data into edges, one for each segment, named "1", "2", ...

    Parameters
    ----------
    data : str
        The `d` attribute.
    scale : float
        Length of one user unit, mm.

    Raises
    ------
    OutlineError
        If the data is no path, has more than one subpath, or is not closed by Z.
    """
    segments = _segments(_commands(data))
    edges = []
    for name, segment in enumerate(segments, start=1):
        points = tuple((z.real * scale, -z.imag * scale) for z in _flatten(segment, scale))
        if len(points) > 1 and math.dist(points[0], points[-1]) + _length(points) > 0.0:
            edges.append(Edge(str(name), points))
    if not edges:
        raise OutlineError("the path draws nothing")
    return tuple(edges)


def _length(points: tuple[Point, ...]) -> float:
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))


def _commands(data: str) -> list[tuple[str, list[float]]]:
    rest = _TOKEN.sub("", data).replace(",", " ").strip()
    if rest:
        raise OutlineError(f"path data holds '{rest.split()[0]}', which is no path command")
    result: list[tuple[str, list[float]]] = []
    for letter, number in _TOKEN.findall(data):
        if letter:
            result.append((letter, []))
        elif not result:
            raise OutlineError("path data must begin with M")
        else:
            result[-1][1].append(float(number))
    if not result or result[0][0] not in "Mm":
        raise OutlineError("path data must begin with M")
    return result


Segment = tuple[str, tuple[complex, ...], tuple[float, ...]]


def _segments(commands: list[tuple[str, list[float]]]) -> list[Segment]:
    """Resolve relative and shorthand commands into lines, cubics and arcs."""
    segments: list[Segment] = []
    at = start = control = 0j
    closed = False
    for letter, numbers in commands:
        kind, base = letter.upper(), letter.islower()
        count = _COUNTS[kind]
        if count and (not numbers or len(numbers) % count):
            raise OutlineError(f"command {letter} of the path needs numbers by the {count}")
        groups = [numbers[i : i + count] for i in range(0, len(numbers), count)] if count else [[]]
        for index, group in enumerate(groups):
            if closed:
                raise OutlineError("the path has more than one part; a piece is one closed outline")
            offset = at if base else 0j
            if kind == "M" and index == 0:
                if segments:
                    raise OutlineError("the path has more than one part")
                at = start = offset + complex(*group)
            elif kind in "ML":
                end = offset + complex(*group)
                segments.append(("L", (at, end), ()))
                at = end
            elif kind in "HV":
                end = _one_axis(kind, group[0], at, base)
                segments.append(("L", (at, end), ()))
                at = end
            elif kind == "Z":
                if abs(at - start) > 1e-9:
                    segments.append(("L", (at, start), ()))
                at, closed = start, True
            elif kind == "A":
                end = offset + complex(group[5], group[6])
                segments.append(("A", (at, end), tuple(group[:5])))
                at = end
            else:
                points, control = _cubic(kind, group, at, offset, control, segments)
                segments.append(("C", points, ()))
                at = points[3]
                continue
            control = at
    if not closed:
        raise OutlineError("the outline is open: path data must end with Z")
    return segments


def _one_axis(kind: str, value: float, at: complex, relative: bool) -> complex:
    if kind == "H":
        return complex((at.real if relative else 0.0) + value, at.imag)
    return complex(at.real, (at.imag if relative else 0.0) + value)


def _cubic(
    kind: str,
    group: list[float],
    at: complex,
    offset: complex,
    control: complex,
    segments: list[Segment],
) -> tuple[tuple[complex, complex, complex, complex], complex]:
    """Return the cubic of a C, S, Q or T command and the control point to reflect next."""
    points = [offset + complex(*group[i : i + 2]) for i in range(0, len(group), 2)]
    reflected = 2 * at - control if segments else at
    if kind == "C":
        return (at, points[0], points[1], points[2]), points[1]
    if kind == "S":
        return (at, reflected, points[0], points[1]), points[0]
    middle, end = (points[0], points[1]) if kind == "Q" else (reflected, points[0])
    first = at + 2 / 3 * (middle - at)
    second = end + 2 / 3 * (middle - end)
    return (at, first, second, end), middle


def _flatten(segment: Segment, scale: float) -> list[complex]:
    kind, points, numbers = segment
    if kind == "L":
        return list(points)
    flat = FLATNESS_MM / scale
    if kind == "C":
        p0, p1, p2, p3 = points
        bend = max(abs(p0 - 2 * p1 + p2), abs(p1 - 2 * p2 + p3)) * 6.0
        steps = max(1, math.ceil(math.sqrt(bend / (8.0 * flat))))
        return [
            (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t * t * p2 + t**3 * p3
            for t in (k / steps for k in range(steps + 1))
        ]
    return _arc(points[0], points[1], numbers, flat)


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
    rest = max(0.0, 1.0 / (x * x + y * y) - 1.0)
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
    count = max(2, math.ceil(abs(span) / step))
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
