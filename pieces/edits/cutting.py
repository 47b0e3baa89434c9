"""Cutting an outline apart from one place on it to another, and putting parts together again."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pieces.drafting.draft import Draft
from pieces.geometry_types import Point
from pieces.lengths import format_in
from pieces.outline import Edge, OutlineError, ring_of, signed_area

NEAR_MM = 1e-6
"""Places nearer together than this are one."""

INSIDE_MM = 0.05
"""A cut may leave the piece by no more than this: curves are flattened within it."""


LENGTH = "{length}"
"""Stands for a length in the text of a refusal."""


class EditError(OutlineError):
    """An edit that cannot be made; each `LENGTH` in its text stands for a length, mm."""

    def __init__(self, text: str, *lengths: float) -> None:
        self.text = text
        self.lengths = lengths
        super().__init__(self.told("cm"))

    def told(self, unit: str | None) -> str:
        """The reason with its lengths in the unit of a file."""
        told = [format_in(length, unit) for length in self.lengths]
        parts = self.text.split(LENGTH)
        return "".join(a + b for a, b in itertools.zip_longest(parts, told, fillvalue=""))


Move = Callable[[Point], Point]


@dataclass(frozen=True)
class Place:
    """A place on an outline: an edge and the distance (mm) along it from its start."""

    edge: str
    along: float


def edge_index(edges: tuple[Edge, ...], name: str) -> int:
    """Index of a named edge.

    Raises
    ------
    EditError
        If there is none.
    """
    names = [edge.name for edge in edges]
    if name not in names:
        raise EditError(f"there is no edge '{name}'; its edges are {', '.join(names)}")
    return names.index(name)


def point_at(edges: tuple[Edge, ...], place: Place) -> Point:
    """Point of a place."""
    return split_line(edges[edge_index(edges, place.edge)].points, place.along)[0][-1]


def split_line(
    points: tuple[Point, ...], along: float
) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Cut a line in two at a distance (mm) from its start; both parts hold the place."""
    done = 0.0
    for k, (a, b) in enumerate(itertools.pairwise(points)):
        step = math.dist(a, b)
        if along <= done + step or k == len(points) - 2:
            share = 1.0 if step <= 0.0 else min(max((along - done) / step, 0.0), 1.0)
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            return _distinct((*points[: k + 1], at)), _distinct((at, *points[k + 1 :]))
        done += step
    return points, points[-1:]


def cut_apart(
    edges: tuple[Edge, ...], start: Place, end: Place
) -> tuple[tuple[Edge, ...], tuple[Edge, ...]]:
    """Cut an outline from one place to another, straight through the piece.

    Returns
    -------
    (tuple of Edge, tuple of Edge)
        The chain that runs on from `start` to `end`, and the one from `end` round to `start`. The
        parts of an edge that is cut bear its name, one in each chain; a part may be a mere point.

    Raises
    ------
    EditError
        If the places are one, or the line between them leaves the piece.
    """
    i, j = edge_index(edges, start.edge), edge_index(edges, end.edge)
    p, q = point_at(edges, start), point_at(edges, end)
    if math.dist(p, q) < NEAR_MM:
        raise EditError("the cut has no length: it begins and ends at one place")
    _within(edges, p, q)
    before_p, after_p = split_line(edges[i].points, start.along)
    before_q, after_q = split_line(edges[j].points, end.along)
    if i == j:
        if start.along < end.along:
            middle = split_line(after_p, end.along - start.along)[0]
            inner = (Edge(start.edge, middle),)
            outer = (Edge(end.edge, after_q), *_between(edges, i, i), Edge(start.edge, before_p))
            return inner, outer
        back, on = cut_apart(edges, end, start)
        return on, back
    first = (Edge(start.edge, after_p), *_between(edges, i, j), Edge(end.edge, before_q))
    second = (Edge(end.edge, after_q), *_between(edges, j, i), Edge(start.edge, before_p))
    return first, second


def moved(edges: tuple[Edge, ...], move: Move) -> tuple[Edge, ...]:
    """Edges with every point moved."""
    return tuple(Edge(edge.name, tuple(move(p) for p in edge.points)) for edge in edges)


def turn_about(pivot: Point, angle: float) -> Move:
    """Rotation about a point by an angle in radians, counter-clockwise."""
    cos, sin = math.cos(angle), math.sin(angle)

    def move(point: Point) -> Point:
        dx, dy = point[0] - pivot[0], point[1] - pivot[1]
        return pivot[0] + cos * dx - sin * dy, pivot[1] + sin * dx + cos * dy

    return move


def shift_by(dx: float, dy: float) -> Move:
    """Translation by a vector, mm."""
    return lambda point: (point[0] + dx, point[1] + dy)


def one_edge(name: str, *parts: tuple[Point, ...]) -> Edge:
    """Parts one after another as one edge, with straight lines between them."""
    return Edge(name, _distinct(tuple(point for part in parts for point in part)))


def ring_without_points(edges: tuple[Edge, ...]) -> tuple[Edge, ...]:
    """Edges without those that have shrunk to a point."""
    return tuple(edge for edge in edges if len(edge.points) > 1)


def winding(edges: tuple[Edge, ...]) -> float:
    """+1 for an outline that runs counter-clockwise, else -1."""
    return 1.0 if signed_area(ring_of(edges)) >= 0.0 else -1.0


def chain_area(chain: tuple[Edge, ...]) -> float:
    """Area (mm2) between a chain and the straight line that closes it."""
    points = [p for edge in chain for p in edge.points[:-1]] + [chain[-1].points[-1]]
    return abs(signed_area(tuple(points)))


def _between(edges: tuple[Edge, ...], i: int, j: int) -> tuple[Edge, ...]:
    """Edges after the i-th and before the j-th, round the outline."""
    count = len(edges)
    steps = (j - i) % count or count
    return tuple(edges[(i + k) % count] for k in range(1, steps))


def _within(edges: tuple[Edge, ...], p: Point, q: Point) -> None:
    from shapely.geometry import LineString, Polygon

    outside = LineString([p, q]).difference(Polygon(ring_of(edges)).buffer(INSIDE_MM))
    if not outside.is_empty:
        at = outside.centroid
        raise EditError(
            f"the straight line from one place to the other leaves the piece near x = {LENGTH}, "
            f"y = {LENGTH}; choose places that see each other",
            float(at.x),
            float(at.y),
        )


def _distinct(points: tuple[Point, ...]) -> tuple[Point, ...]:
    kept = [p for k, p in enumerate(points) if k == 0 or math.dist(p, points[k - 1]) > NEAR_MM]
    return tuple(kept)


def unit_vector(a: Point, b: Point) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Vector of length 1 from a to b."""
    way = np.asarray(b, dtype=float) - np.asarray(a, dtype=float)
    return np.asarray(way / np.hypot(*way))


def first_stays(draft: Draft, first: tuple[Edge, ...], second: tuple[Edge, ...]) -> bool:
    """Whether the first of two parts keeps its place: it bears the fold, else it is the larger."""
    if draft.fold is not None:
        lengths = [
            sum(edge.length for edge in part if edge.name == draft.fold) for part in (first, second)
        ]
        if lengths[0] != lengths[1]:
            return lengths[0] > lengths[1]
    return chain_area(first) >= chain_area(second)
