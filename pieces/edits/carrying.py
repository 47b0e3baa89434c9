"""What lies on a draft and goes with it through an edit: notches, match points, the grain arrow."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from pieces.drafting.draft import Draft, MatchPlace, Notch
from pieces.edits.cutting import Move, Place, edge_index, point_at
from pieces.geometry_types import Point
from pieces.outline import Edge

ON_EDGE_MM = 1.0
"""What lies farther from every edge after an edit was on cloth that is gone."""

Carry = Callable[[Place, Point], Point | None]
"""Where a place on the outline (and its point) goes; None where its cloth is cut away."""


def stay(point: Point) -> Point:
    """Move nothing."""
    return point


@dataclass(frozen=True)
class Parting:
    """An outline cut from one place to another, and how either part moves."""

    edges: tuple[Edge, ...]
    start: Place
    end: Place
    first: Move = stay
    second: Move = stay

    def at(self, place: Place, point: Point) -> Point:
        """Where a place on the outline goes."""
        return (self.first if self.holds(place) else self.second)(point)

    def holds(self, place: Place) -> bool:
        """Whether a place lies on the chain that runs on from `start` to `end`."""
        i, j, k = (edge_index(self.edges, p.edge) for p in (self.start, self.end, place))
        count = len(self.edges)
        if i == j:
            low, high = sorted((self.start.along, self.end.along))
            between = k == i and low <= place.along <= high
            return between if self.start.along < self.end.along else not between
        if k == i:
            return place.along >= self.start.along
        if k == j:
            return place.along <= self.end.along
        return (k - i) % count < (j - i) % count

    def motion(self, point: Point) -> Move:
        """How the part that holds a point inside the outline moves."""
        from shapely.geometry import Point as Spot
        from shapely.geometry import Polygon

        p, q = point_at(self.edges, self.start), point_at(self.edges, self.end)
        chain = [p]
        i, j = edge_index(self.edges, self.start.edge), edge_index(self.edges, self.end.edge)
        steps = (j - i) % len(self.edges)
        for k in range(1, steps + 1):
            chain.append(self.edges[(i + k) % len(self.edges)].points[0])
            if k < steps:
                chain += self.edges[(i + k) % len(self.edges)].points[1:]
        chain += [*self._tail(j), q]
        polygon = Polygon(chain).buffer(0.0) if len(chain) > 2 else Polygon()
        return self.first if polygon.contains(Spot(point)) else self.second

    def _tail(self, index: int) -> list[Point]:
        """Points of the edge that the cut ends on, before its end."""
        done, kept = 0.0, []
        points = self.edges[index].points
        for k, point in enumerate(points):
            done += math.dist(points[k - 1], point) if k else 0.0
            if k > 0 and done < self.end.along:
                kept.append(point)
        return kept


def carried(
    before: Draft, after: Draft, at: Carry, motion: Callable[[Point], Move] | None = None
) -> Draft:
    """Put notches and match points of a draft where an edit takes them, the grain arrow with them.

    `motion` tells how the part moves that holds a point inside the outline; None leaves them.
    """
    moves = motion or (lambda _: stay)
    (ax, ay), (bx, by) = before.grain
    turn = moves(((ax + bx) / 2.0, (ay + by) / 2.0))
    notches = [
        Notch(place.edge, place.along, notch.name)
        for notch in before.notches
        for place in [_found(before, after, Place(notch.edge, notch.along), at)]
        if place is not None
    ]
    matches = [
        MatchPlace(match.point, place.edge, place.along)
        for match in before.match_places
        for place in [_found(before, after, Place(match.edge, match.along), at)]
        if place is not None
    ]
    return replace(
        after,
        notches=tuple(notches),
        match_places=tuple(matches),
        match_points=tuple(replace(m, at=moves(m.at)(m.at)) for m in before.match_points),
        grain=(turn(before.grain[0]), turn(before.grain[1])) if motion else after.grain,
    )


def by_share(draft: Draft, after: Draft, name: str) -> Carry:
    """For an edge that is redrawn: its places keep their share of its length, the others stay."""
    old, new = draft.edge(name), after.edge(name)

    def at(place: Place, point: Point) -> Point:
        if place.edge != name or old.length <= 0.0:
            return point
        return point_at(after.edges, Place(name, place.along / old.length * new.length))

    return at


def _found(before: Draft, after: Draft, place: Place, at: Carry) -> Place | None:
    """The place after an edit: on the edge that is nearest, of its old name if several are."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Spot

    if place.edge not in before.edge_names:
        return None
    point = at(place, point_at(before.edges, place))
    if point is None:
        return None
    spot = Spot(point)
    lines = [(edge.name, LineString(edge.points)) for edge in after.edges]
    name, line = min(lines, key=lambda one: (round(one[1].distance(spot), 6), one[0] != place.edge))
    return Place(name, float(line.project(spot))) if line.distance(spot) <= ON_EDGE_MM else None
