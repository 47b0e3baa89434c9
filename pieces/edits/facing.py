"""A facing: the part of a piece within a stated width of one of its edges."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.edits.cutting import LENGTH, EditError, edge_index, winding
from pieces.geometry_types import Point
from pieces.outline import Edge, ring_of, signed_area

ON_LINE_MM = 1e-3
"""A point this near to an edge lies on it."""

INNER = "inner"
"""Name of the edge that a facing has inside the piece."""


def facing_draft(draft: Draft, name: str, width: float) -> Draft:
    """Draft a facing of a piece along one edge, with the grain, fold and allowances of the piece.

    Its inner edge keeps the stated distance (mm) from the edge that it faces; the other edges keep
    their names as far as they reach.

    Raises
    ------
    EditError
        If there is no such edge, or the width leaves no facing in one part.
    """
    from shapely.geometry import LineString, Polygon

    edge = draft.edges[edge_index(draft.edges, name)]
    whole = Polygon(ring_of(draft.edges))
    strip = LineString(edge.points).buffer(width, quad_segs=64)
    part = whole.intersection(strip)
    parts = [p for p in getattr(part, "geoms", [part]) if p.geom_type == "Polygon"]
    parts = [p for p in parts if p.distance(LineString(edge.points)) < ON_LINE_MM]
    if len(parts) != 1 or part.area >= whole.area - 1.0:
        raise EditError(
            f"a facing {LENGTH} wide takes the whole piece; make it narrower"
            if part.area >= whole.area - 1.0
            else f"a facing {LENGTH} wide along '{name}' comes apart",
            width,
        )
    outline = parts[0].simplify(0.01)
    if outline.interiors:
        raise EditError(f"a facing {LENGTH} wide along '{name}' would be a ring", width)
    ring = [(float(x), float(y)) for x, y in list(outline.exterior.coords)[:-1]]
    # It runs the way the piece does, so that notches keep their distance from where edges begin.
    if (signed_area(tuple(ring)) > 0.0) != (winding(draft.edges) > 0.0):
        ring.reverse()
    edges = _named(ring, draft)
    names = {each.name for each in edges}
    fold = draft.fold if draft.fold in names else None
    return replace(
        draft,
        edges=edges,
        allowances={n: w for n, w in draft.allowances.items() if n in names},
        fold=fold,
        turned_up=frozenset(),
        notches=tuple(notch for notch in draft.notches if notch.edge == name),
        match_places=(),
        match_points=(),
        grain=_arrow(draft, ring),
        notes=(),
        steps=(),
    )


def _named(ring: list[Point], draft: Draft) -> tuple[Edge, ...]:
    """Part a ring into edges: spans that lie on an edge of the piece bear its name."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Spot

    lines = {edge.name: LineString(edge.points) for edge in draft.edges}

    def owner(a: Point, b: Point) -> str:
        middle = Spot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        near = min(lines, key=lambda name: middle.distance(lines[name]))
        # A chord of a simplified curve leaves it by what it was simplified by.
        on = middle.distance(lines[near]) < 0.05
        return near if on else INNER

    count = len(ring)
    owners = [owner(ring[k], ring[(k + 1) % count]) for k in range(count)]
    starts = [k for k in range(count) if owners[k] != owners[k - 1]]
    edges: list[Edge] = []
    for index, k in enumerate(starts):
        stop = starts[(index + 1) % len(starts)]
        steps = (stop - k) % count or count
        points = tuple(ring[(k + step) % count] for step in range(steps + 1))
        edges.append(Edge(owners[k], points))
    names = [edge.name for edge in edges]
    if len(set(names)) != len(names):
        raise EditError("the facing meets one edge of the piece twice; make it narrower")
    return tuple(edges)


def _arrow(draft: Draft, ring: list[Point]) -> tuple[Point, Point]:
    """A grain arrow inside the facing, in the direction of the piece's."""
    from shapely.geometry import LineString, Polygon

    (ax, ay), (bx, by) = draft.grain
    length = math.hypot(bx - ax, by - ay)
    way = ((bx - ax) / length, (by - ay) / length)
    polygon = Polygon(ring)
    spot = polygon.representative_point()
    reach = 1e5
    line = LineString(
        [
            (spot.x - reach * way[0], spot.y - reach * way[1]),
            (spot.x + reach * way[0], spot.y + reach * way[1]),
        ]
    ).intersection(polygon)
    part = min(getattr(line, "geoms", [line]), key=lambda g: g.distance(spot))
    (x1, y1), (x2, y2) = part.coords[0], part.coords[-1]
    if (x2 - x1) * way[0] + (y2 - y1) * way[1] < 0:
        x1, y1, x2, y2 = x2, y2, x1, y1
    dx, dy = x2 - x1, y2 - y1
    return (x1 + 0.2 * dx, y1 + 0.2 * dy), (x1 + 0.8 * dx, y1 + 0.8 * dy)
