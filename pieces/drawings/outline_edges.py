"""From a closed line to named edges: cut at its corners, and where it lies on the fold."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from pieces.geometry_types import Point
from pieces.outline import Edge, is_straight, ring_of, signed_area

CORNER_DEGREES = 25.0
"""Where a line turns by more than this, one edge ends and the next begins."""

FOLD_NEAR_MM = 1.0
"""A fold line lies on the outline if the outline is no farther from it than this."""

SAME_MM = 1e-6

NUMBERED = "edge "
"""Edges without a name of their own are called by this and a number."""

SIDES = ("left", "right", "bottom", "top")
"""Which way an edge of a piece faces, as drawn."""


def ring_points(points: Sequence[Point]) -> tuple[Point, ...]:
    """Drop what repeats in a closed line, its first point at the end included."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > SAME_MM:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_MM:
        kept.pop()
    return tuple(kept)


def edges_of(points: Sequence[Point]) -> tuple[Edge, ...]:
    """Cut a closed line at its corners into edges named "edge 1", "edge 2", ...

    Parameters
    ----------
    points : sequence of Point
        In order, mm; the first may be repeated at the end.
    """
    ring = ring_points(points)
    corners = [i for i in range(len(ring)) if _turn(ring, i) > CORNER_DEGREES] or [0]
    return _cut_at(ring, corners, {})


def with_fold(
    edges: tuple[Edge, ...], line: tuple[Point, Point], name: str = "fold"
) -> tuple[tuple[Edge, ...], str] | None:
    """Make the stretch of an outline that lies on a fold line an edge of its own.

    Returns the edges and the name of that one, or None if no stretch of the outline lies beside
    at least half of the line.

    Parameters
    ----------
    edges : tuple of Edge
        Closed, mm.
    line : (Point, Point)
        The fold line as drawn; it may be shorter than the edge, or run on a little beyond it.
    name : str
        What to call the edge.
    """
    ring = ring_points([point for edge in edges for point in edge.points])
    length = math.dist(*line)
    if len(ring) < 3 or length <= SAME_MM:
        return None
    run = _longest_run(ring, line)
    if run is None:
        return None
    first, count = run
    stop = (first + count) % len(ring)
    inside = {(first + k) % len(ring) for k in range(1, count)}
    straight = [ring[i] for i in range(len(ring)) if i not in inside]
    starts = {edge.points[0]: edge.name for edge in edges}
    ends = (ring[first], ring[stop])
    corners = [i for i, point in enumerate(straight) if point in starts or point in ends]
    called = starts.get(ring[first], "")
    if called and not called.startswith(NUMBERED):
        name = called  # The drawing names that edge itself.
    taken = {edge.name for edge in edges} - {called}
    while name in taken:
        name += " line"
    names = {corner: starts.get(straight[corner], "") for corner in corners}
    names[straight.index(ring[first])] = name
    return _cut_at(tuple(straight), corners, names), name


def straight_sides(edges: tuple[Edge, ...]) -> list[tuple[Edge, str]]:
    """Return the straight edges of an outline and the side that each faces, the longest first."""
    turned = 1.0 if signed_area(ring_of(edges)) >= 0.0 else -1.0
    found = []
    for edge in edges:
        if not is_straight(edge.points):
            continue
        (x1, y1), (x2, y2) = edge.points[0], edge.points[-1]
        outward = ((y2 - y1) * turned, (x1 - x2) * turned)
        across = abs(outward[0]) >= abs(outward[1])
        side = SIDES[int(outward[0] > 0.0)] if across else SIDES[2 + int(outward[1] > 0.0)]
        found.append((edge, side))
    return sorted(found, key=lambda entry: -entry[0].length)


def _cut_at(
    ring: tuple[Point, ...], corners: Sequence[int], names: dict[int, str]
) -> tuple[Edge, ...]:
    """Cut a ring at some of its points; edges without a name of their own get a number."""
    taken = set(names.values())
    free = (f"{NUMBERED}{number}" for number in itertools.count(1))
    edges = []
    for number, corner in enumerate(corners, start=1):
        after = corners[number % len(corners)]
        count = (after - corner) % len(ring) or len(ring)
        points = tuple(ring[(corner + k) % len(ring)] for k in range(count + 1))
        name = names.get(corner) or next(name for name in free if name not in taken)
        edges.append(Edge(name, points))
    return tuple(edges)


def _turn(ring: tuple[Point, ...], i: int) -> float:
    """Degrees by which a ring turns at one of its points."""
    (ax, ay), (bx, by), (cx, cy) = ring[i - 1], ring[i], ring[(i + 1) % len(ring)]
    ux, uy, vx, vy = bx - ax, by - ay, cx - bx, cy - by
    return abs(math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)))


def _longest_run(ring: tuple[Point, ...], line: tuple[Point, Point]) -> tuple[int, int] | None:
    """First point and number of steps of the longest stretch of a ring along a line."""
    (x1, y1), (x2, y2) = line
    length = math.dist(*line)
    ux, uy = (x2 - x1) / length, (y2 - y1) / length

    def near(p: Point) -> bool:
        return abs((p[0] - x1) * uy - (p[1] - y1) * ux) <= FOLD_NEAR_MM

    def along(p: Point) -> float:
        return (p[0] - x1) * ux + (p[1] - y1) * uy

    count = len(ring)
    on = [near(point) for point in ring]
    if all(on):
        return None
    best: tuple[float, int, int] | None = None
    for first in range(count):
        if not on[first] or on[first - 1]:
            continue
        steps = 0
        while on[(first + steps + 1) % count]:
            steps += 1
        # Only what lies beside the drawn line counts.
        ends = sorted((along(ring[first]), along(ring[(first + steps) % count])))
        beside = min(ends[1], length) - max(ends[0], 0.0)
        if steps and beside >= length / 2.0 and (best is None or beside > best[0]):
            best = (beside, first, steps)
    return None if best is None else best[1:]
