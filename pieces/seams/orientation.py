"""Which way two edges run along each other when they are sewn."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from pieces.geometry_types import Point
from pieces.seams.corners import corner_angle, neighbour
from pieces.seams.measured import WalkedEdge, WalkedSide

MOST_EDGES = 8
"""Seams of more edges than this are measured, and their notches left alone."""

DOUBLE_NOTCH_MM = 15.0
"""Notches nearer together than this are one double notch (common practice, no source)."""


@dataclass(frozen=True)
class Way:
    """How both sides of a seam are walked: for each edge, whether from its end to its start.

    `turned_round` tells whether the edges of the second side follow one another the other way
    round: the back armhole first, say.
    """

    first: tuple[bool, ...]
    second: tuple[bool, ...]
    turned_round: bool = False

    def order(self, second: WalkedSide) -> tuple[WalkedEdge, ...]:
        """Edges of the second side in the order in which they are walked."""
        return second.edges[::-1] if self.turned_round else second.edges


@dataclass(frozen=True)
class NotchMark:
    """A notch, or a double notch, at a distance (mm) from where the walk of its side begins."""

    along: float
    edge: WalkedEdge
    on_edge: float
    """The same from where its edge begins."""


def best_way(first: WalkedSide, second: WalkedSide) -> Way | None:
    """Walk so that like edges meet at the ends, then notches, then so that corners come out true.

    None where there are too many edges to try.
    """
    a, b = len(first.edges), len(second.edges)
    if not a or not b or a + b > MOST_EDGES:
        return None
    # Walking both sides backwards is the same walk: the first edge keeps its direction.
    ways = [
        Way((False, *turns[: a - 1]), turns[a - 1 :], round_)
        for round_ in ((False, True) if b > 1 else (False,))
        for turns in itertools.product((False, True), repeat=a + b - 1)
    ]
    return min(
        ways,
        key=lambda way: (
            -_same_neighbours(first, second, way),
            _notch_distance(first, second, way),
            _corner_error(first, second, way),
        ),
    )


def notch_marks(edges: tuple[WalkedEdge, ...], turned: tuple[bool, ...]) -> list[NotchMark]:
    """Notches of edges by their distance along the walk; double ones at their middle."""
    marks: list[NotchMark] = []
    begun = 0.0
    for walked, back in zip(edges, turned, strict=True):
        length = walked.edge.length
        places = sorted(
            notch.along for notch in walked.draft.notches if notch.edge == walked.named.edge
        )
        for group in _double(places):
            middle = sum(group) / len(group)
            marks.append(NotchMark(begun + (length - middle if back else middle), walked, middle))
        begun += length
    return sorted(marks, key=lambda mark: mark.along)


def joined_ends(
    first: WalkedSide, second: WalkedSide, way: Way
) -> Iterator[tuple[WalkedEdge, bool, WalkedEdge, bool]]:
    """Yield the two ends of a seam: each side's edge there and whether that is its last point."""
    for at_end in (False, True):
        index = -1 if at_end else 0
        one, two = first.edges[index], way.order(second)[index]
        yield one, at_end != way.first[index], two, at_end != way.second[index]


def end_point(walked: WalkedEdge, last: bool) -> Point:
    """First or last point of an edge."""
    return walked.edge.points[-1 if last else 0]


def _double(places: list[float]) -> list[list[float]]:
    groups: list[list[float]] = []
    for place in places:
        if groups and place - groups[-1][-1] < DOUBLE_NOTCH_MM:
            groups[-1].append(place)
        else:
            groups.append([place])
    return groups


def _same_neighbours(first: WalkedSide, second: WalkedSide, way: Way) -> int:
    return sum(
        neighbour(one, one_last).name == neighbour(two, two_last).name
        for one, one_last, two, two_last in joined_ends(first, second, way)
    )


def _notch_distance(first: WalkedSide, second: WalkedSide, way: Way) -> float:
    ours = notch_marks(first.edges, way.first)
    theirs = notch_marks(way.order(second), way.second)
    if not ours or not theirs:
        return 0.0
    return sum(min(abs(a.along - b.along) for b in theirs) for a in ours)


def _corner_error(first: WalkedSide, second: WalkedSide, way: Way) -> float:
    return sum(
        abs(180.0 - corner_angle(one, one_last) - corner_angle(two, two_last))
        for one, one_last, two, two_last in joined_ends(first, second, way)
    )
