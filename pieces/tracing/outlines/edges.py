"""From a traced line to edges: straight ones fitted, curves through as few points as they need."""

from __future__ import annotations

import itertools
import math

import numpy as np

from pieces.geometry_types import FloatArray, Point
from pieces.outline import smooth_curve
from pieces.tracing.outlines.corners import GAP_MM, find_corners
from pieces.tracing.outlines.traced import Outline, TracedEdge

WITHIN_MM = 0.4
"""How far an edge may be from the traced line; with figures rounded to 0.1 mm it is within 0.5."""

LOCAL_MM = 16.0
"""Length of line beside a corner that tells how a curve runs on into it."""

MOST_POINTS = 24
"""Of one curve."""

NEARER_ENDS = (0.0, 1.5, 5.0)
"""How much nearer points are tried to stand at the ends of a curve."""

SMOOTHED_MM = 2.0
"""Standard deviation of the weights that take the last tremble out of a curve."""


def outline_of(line: FloatArray) -> Outline:
    """Make an outline of a closed line.

    Parameters
    ----------
    line : FloatArray
        A point about every millimetre, counter-clockwise, mm.
    """
    found = find_corners(line)
    corners = found or [int(line[:, 1].argmin())]
    if len(corners) == 1:
        # A curve that closes in itself is two edges: its ends would else be told to be one.
        corners = sorted((corners[0], (corners[0] + len(line) // 2) % len(line)))
    # The first edge sets out from the corner that is lowest and farthest to the left.
    lowest = min(range(len(corners)), key=lambda k: float(line[corners[k]].sum()))
    corners = [*corners[lowest:], *(corner + len(line) for corner in corners[:lowest])]
    stretches = [
        line[np.arange(a, b + 1) % len(line)]
        for a, b in itertools.pairwise([*corners, corners[0] + len(line)])
    ]
    straight = [_is_straight(stretch) for stretch in stretches]
    ends = []
    for k, corner in enumerate(corners):
        if corner % len(line) not in found:
            ends.append(line[corner % len(line)])
            continue
        before = _towards(stretches[k - 1][::-1], straight[k - 1])
        after = _towards(stretches[k], straight[k])
        ends.append(_meeting(before, after, line[corner % len(line)]))
    drawn = []
    for k, stretch in enumerate(stretches):
        a, b = ends[k], ends[(k + 1) % len(ends)]
        inner = () if straight[k] else _curve(stretch, a, b)
        drawn.append(np.array([a, *inner, b]))
    low = np.min([points.min(axis=0) for points in drawn], axis=0)
    edges = [
        TracedEdge(f"edge {k}", tuple(_rounded(point - low) for point in points))
        for k, points in enumerate(drawn, start=1)
    ]
    return Outline(tuple(edges), line - low, _farthest(edges, line - low, ends - low))


def _is_straight(stretch: FloatArray) -> bool:
    """Whether a stretch, its ends left out, stays beside its own straight line."""
    middle = _inner(stretch)
    if len(middle) < 4:
        return True
    centre = middle.mean(axis=0)
    way = np.linalg.svd(middle - centre, full_matrices=False)[2][0]
    off = (middle - centre) @ np.array([-way[1], way[0]])
    return bool(np.abs(_blended(off[:, None])).max() <= WITHIN_MM)


def _inner(stretch: FloatArray) -> FloatArray:
    """A stretch without its ends, which blur has rounded."""
    gap = min(max(1, round(GAP_MM)), (len(stretch) - 2) // 2)
    return stretch[gap : len(stretch) - gap] if gap > 0 else stretch


def _towards(stretch: FloatArray, straight: bool) -> FloatArray:
    """How a stretch runs on to its first point and beyond, as dense points."""
    inner = _inner(stretch)
    if not straight:
        inner = inner[: max(4, round(LOCAL_MM))]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(inner, axis=0).T))])
    degree = 1 if straight or len(inner) < 6 else 2
    at = np.arange(-8.0, 5.0, 0.04)
    return np.column_stack([np.polyval(np.polyfit(along, inner[:, k], degree), at) for k in (0, 1)])


def _meeting(one: FloatArray, two: FloatArray, near: FloatArray) -> FloatArray:
    """Where two lines meet; the corner as it was found if they do not."""
    from shapely.geometry import LineString

    crossing = LineString(one).intersection(LineString(two))
    spots = [
        np.array(part.coords[0])
        for part in getattr(crossing, "geoms", [crossing])
        if not part.is_empty
    ]
    best = min(spots, key=lambda spot: float(math.dist(spot, near)), default=near)
    return best if math.dist(best, near) <= 5.0 else near


def _curve(stretch: FloatArray, start: FloatArray, end: FloatArray) -> tuple[FloatArray, ...]:
    """Points on the way of a curve, as few as keep it within the tolerance."""
    inner = _inner(stretch)
    # Carried on to the corners at both ends, so that smoothing does not pull it in.
    way = np.vstack([start, _blended(inner), end])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))])
    demands = [_demand(way, along, ends) for ends in NEARER_ENDS]
    best: tuple[float, tuple[FloatArray, ...]] | None = None
    for count in range(1, MOST_POINTS + 1):
        for demand in demands:
            at = np.interp(np.arange(1, count + 1) / (count + 1), demand / demand[-1], along)
            points = tuple(
                np.array([np.interp(s, along, way[:, 0]), np.interp(s, along, way[:, 1])])
                for s in at
            )
            off = _off([start, *points, end], way)
            if best is None or off < best[0]:
                best = off, points
        if best is not None and best[0] <= WITHIN_MM:
            break
    return best[1] if best else ()


def _demand(way: FloatArray, along: FloatArray, ends: float) -> FloatArray:
    """Rises along a curve, faster where it bends: points are set at equal steps of it.

    A curve through points runs out straight at its ends: one that bends there needs some nearer.
    """
    size = 8
    smooth = _blended(way) if len(way) > 20 else way
    index = np.arange(len(smooth))
    low, high = np.maximum(index - size, 0), np.minimum(index + size, len(smooth) - 1)
    chords_in, chords_out = smooth - smooth[low], smooth[high] - smooth
    cross = chords_in[:, 0] * chords_out[:, 1] - chords_in[:, 1] * chords_out[:, 0]
    bend = np.abs(np.arctan2(cross, (chords_in * chords_out).sum(axis=1))) / size
    pace = np.sqrt(bend) + 0.25 * float(np.sqrt(bend).mean()) + 1e-4
    reach = 0.12 * along[-1]
    pace *= 1.0 + ends * (np.exp(-along / reach) + np.exp((along - along[-1]) / reach))
    return np.concatenate([[0.0], np.cumsum((pace[1:] + pace[:-1]) / 2.0 * np.diff(along))])


def _off(points: list[FloatArray], way: FloatArray) -> float:
    """How far (mm) a line is at most from the curve through some points."""
    from shapely import distance, linestrings
    from shapely import points as spots

    curve = linestrings(smooth_curve(tuple((float(x), float(y)) for x, y in points)))
    return float(distance(spots(way), curve).max())


def _farthest(edges: list[TracedEdge], line: FloatArray, ends: FloatArray) -> float:
    """How far (mm) the traced line is at most from the edges, corners left out."""
    from shapely import distance, linestrings, points

    ring = [point for edge in edges for point in edge.drawn.points[:-1]]
    curve = linestrings([*ring, ring[0]])
    apart = np.min([np.hypot(*(line - end).T) for end in ends], axis=0)
    kept = line[apart > 2.0 * GAP_MM]
    return float(distance(points(kept), curve).max()) if len(kept) else 0.0


def _blended(values: FloatArray) -> FloatArray:
    """Rows smoothed along their order; ends are mirrored through themselves."""
    reach = int(min(3 * SMOOTHED_MM, len(values) - 1))
    if reach < 1:
        return values
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / SMOOTHED_MM) ** 2)
    weights /= weights.sum()
    head = 2.0 * values[0] - values[reach:0:-1]
    tail = 2.0 * values[-1] - values[-2 : -reach - 2 : -1]
    long = np.vstack([head, values, tail])
    return np.column_stack(
        [np.convolve(long[:, k], weights, mode="valid") for k in range(values.shape[1])]
    )


def _rounded(point: FloatArray) -> Point:
    return round(float(point[0]), 1) + 0.0, round(float(point[1]), 1) + 0.0
