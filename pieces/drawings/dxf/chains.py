"""Lines whose ends meet, joined: an outline may be drawn in many strokes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from pieces.geometry_types import Point
from pieces.outline import CLOSED_MM

MOST_MEETING = 20
"""Of lines that all meet near one point only so many are looked at."""


@dataclass(frozen=True)
class Stroke:
    """A line in mm; the first point of a closed one is not repeated at its end."""

    points: tuple[Point, ...]
    closed: bool

    @property
    def ends(self) -> tuple[Point, Point]:
        """First and last point."""
        return self.points[0], self.points[-1]

    @property
    def length(self) -> float:
        """Length along it, mm."""
        ring = (*self.points, self.points[0]) if self.closed else self.points
        return sum(math.dist(a, b) for a, b in itertools.pairwise(ring))


def stroke_of(points: Iterable[Point], closed: bool) -> Stroke | None:
    """Make a stroke without points that repeat; None if there is nothing of it."""
    kept: list[Point] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    closed = closed or (len(kept) > 3 and math.dist(kept[0], kept[-1]) <= CLOSED_MM)
    if closed:
        while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= 1e-6:
            kept.pop()
        if len(kept) > 3 and math.dist(kept[0], kept[-1]) <= CLOSED_MM:
            kept.pop()
    if len(kept) < 2:
        return None
    return Stroke(tuple(kept), closed and len(kept) > 2)


def joined(strokes: Iterable[Stroke]) -> list[Stroke]:
    """Join strokes whose ends lie within `CLOSED_MM` of each other, the nearest ends first.

    Each end is used once, so that a line which branches is joined one way.
    """
    given = list(strokes)
    open_ones = [stroke for stroke in given if not stroke.closed]
    mates = _mates(open_ones)
    done = [stroke for stroke in given if stroke.closed]
    left = dict.fromkeys(range(len(open_ones)))
    # From loose ends first, so that what remains runs in circles.
    starts = [(n, s) for n in left for s in (0, 1) if (n, s) not in mates]
    for start in [*starts, *((n, 0) for n in list(left))]:
        if start[0] in left:
            stroke = _walk(open_ones, mates, left, start)
            if stroke is not None:
                done.append(stroke)
    return done


End = tuple[int, int]
"""A stroke's number and which end: 0 its first point, 1 its last."""


def _walk(
    strokes: list[Stroke], mates: dict[End, End], left: dict[int, None], at: End
) -> Stroke | None:
    points: list[Point] = []
    place: End | None = at
    while place is not None and place[0] in left:
        number, side = place
        del left[number]
        run = strokes[number].points if side == 0 else strokes[number].points[::-1]
        points += run[1:] if points and math.dist(points[-1], run[0]) <= CLOSED_MM else run
        place = mates.get((number, 1 - side))
    return stroke_of(points, place is not None and len(points) > 2)


def _mates(strokes: list[Stroke]) -> dict[End, End]:
    """Which end goes with which, nearest first."""
    cells: dict[tuple[int, int], list[End]] = {}
    for number, stroke in enumerate(strokes):
        for side, point in enumerate(stroke.ends):
            cells.setdefault(_cell(point), []).append((number, side))

    def place(end: End) -> Point:
        return strokes[end[0]].ends[end[1]]

    near: list[tuple[float, End, End]] = []
    for number, stroke in enumerate(strokes):
        for side, point in enumerate(stroke.ends):
            x, y = _cell(point)
            around = [e for i in (-1, 0, 1) for j in (-1, 0, 1) for e in cells.get((x + i, y + j),
                      ())[:MOST_MEETING]]  # fmt: skip
            near += [
                (gap, (number, side), other)
                for other in around
                if other > (number, side)
                and (gap := math.dist(point, place(other))) <= CLOSED_MM
                and (other[0] != number or stroke.length > 4.0 * CLOSED_MM)
            ]
    mates: dict[End, End] = {}
    for _, one, other in sorted(near):
        if one not in mates and other not in mates:
            mates[one], mates[other] = other, one
    return mates


def _cell(point: Point) -> tuple[int, int]:
    return math.floor(point[0] / CLOSED_MM), math.floor(point[1] / CLOSED_MM)
