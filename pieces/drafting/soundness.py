"""What is unsound about an outline, in the words and the unit of the file it was typed in."""

from __future__ import annotations

import math

from pieces.geometry_types import Point
from pieces.lengths import format_in, format_point
from pieces.outline import CLOSED_MM, Edge, ring_of, signed_area

LEAST_AREA_MM2 = 1.0
"""An outline that encloses less is none."""

TOUCH_MM = 1e-6


def faults(edges: tuple[Edge, ...], unit: str | None = None) -> list[str]:
    """List what is unsound about an outline: open, crossing itself, without area.

    Parameters
    ----------
    edges : tuple of Edge
        In order, as drawn.
    unit : str, optional
        Unit of the file, in which places are told.
    """
    first, last = edges[0].points[0], edges[-1].points[-1]
    gap = math.dist(first, last)
    if gap > CLOSED_MM:
        return [
            f"the outline is open: '{edges[-1].name}' ends at {format_point(last, unit)}, "
            f"{format_in(gap, unit)} from where '{edges[0].name}' begins, "
            f"{format_point(first, unit)}; the last edge must lead back there"
        ]
    if len(ring_of(edges)) < 3:
        return ["an outline needs at least three points; this one runs out and back"]
    crossing = _crossing(edges)
    if crossing is not None:
        one, other, place, verb = crossing
        met = "itself" if one == other else f"'{one}'"
        return [f"'{other}' {verb} {met} near {format_point(place, unit)}"]
    if abs(signed_area(ring_of(edges))) < LEAST_AREA_MM2:
        return ["the outline encloses no area; its edges lie on one another"]
    return []


def _crossing(edges: tuple[Edge, ...]) -> tuple[str, str, Point, str] | None:
    """Names of the first two edges that meet where they should not, the place, and how."""
    from shapely import STRtree
    from shapely.geometry import LineString, Polygon

    if Polygon(ring_of(edges)).is_valid:
        return None
    spans: list[tuple[str, Point, Point]] = []
    for edge in edges:
        for a, b in zip(edge.points, edge.points[1:], strict=False):
            if math.dist(a, b) > TOUCH_MM:
                spans.append((edge.name, a, b))
    lines = [LineString([a, b]) for _, a, b in spans]
    tree = STRtree(lines)
    count = len(spans)
    found: list[tuple[int, int, Point]] = []
    for i, line in enumerate(lines):
        for j in (int(k) for k in tree.query(line, predicate="intersects")):
            if j <= i:
                continue
            meets = line.intersection(lines[j])
            following = j == i + 1 or (i == 0 and j == count - 1)
            if following and meets.length <= TOUCH_MM:
                continue  # Only their common corner.
            at = meets.interpolate(0.5, normalized=True) if meets.length > 0.0 else meets.centroid
            found.append((i, j, (float(at.x), float(at.y))))
    if not found:
        return None
    i, j, place = min(found, key=lambda entry: entry[:2])
    ends = (*spans[i][1:], *spans[j][1:])
    verb = "touches" if min(math.dist(place, end) for end in ends) < TOUCH_MM else "crosses"
    return spans[i][0], spans[j][0], place, verb
