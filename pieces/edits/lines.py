"""Edges redrawn: a corner dropped or raised, a line trued, ease added."""

from __future__ import annotations

import cmath
import itertools
import math
from dataclasses import replace

import numpy as np

from pieces.drafting.draft import Draft
from pieces.edits.carrying import by_share, carried
from pieces.edits.cutting import LENGTH, EditError, edge_index, split_line, unit_vector, winding
from pieces.edits.whole import not_the_fold
from pieces.geometry_types import Point
from pieces.outline import FLATNESS_MM, Edge

SMOOTH_TURN = math.radians(20.0)
"""Chords of a flattened curve turn by less than this; a sharper turn is a corner."""

MOST_EASE = 0.2
"""More ease than this share of an edge is refused: that is a gather, not ease."""


def move_corner(draft: Draft, name: str, along: str, by: float) -> Draft:
    """Drop (by > 0) or raise (by < 0) the end of an edge along the edge that it meets, mm.

    The corner of 'neck' and 'centre front' moves along 'centre front'; 'neck' is redrawn in
    proportion: its other end stays, and what lies between moves the less the farther it is.

    Raises
    ------
    EditError
        If the edges do not meet, or the edge along which it moves is too short.
    """
    edges = list(draft.edges)
    i, j = edge_index(draft.edges, name), edge_index(draft.edges, along)
    not_the_fold(draft, name)
    count = len(edges)
    if j == (i + 1) % count:
        at_end = True
    elif j == (i - 1) % count:
        at_end = False
    else:
        raise EditError(f"'{name}' and '{along}' do not meet")
    rail = edges[j].points if at_end else edges[j].points[::-1]
    corner = rail[0]
    if by >= edges[j].length:
        raise EditError(f"'{along}' is only {LENGTH} long", edges[j].length)
    if by >= 0.0:
        shorter = split_line(rail, by)[1]
    else:
        back = unit_vector(rail[0], rail[1])
        end = (float(corner[0] + by * back[0]), float(corner[1] + by * back[1]))
        shorter = (end, *rail[1:])
    end = shorter[0]
    edges[j] = Edge(along, shorter if at_end else shorter[::-1])
    line = edges[i].points if at_end else edges[i].points[::-1]
    edges[i] = Edge(name, _dragged(line, end)[:: 1 if at_end else -1])
    after = replace(draft, edges=tuple(edges))
    return carried(draft, after, by_share(draft, after, name))


def _dragged(line: tuple[Point, ...], end: Point) -> tuple[Point, ...]:
    """Move the last point of a line to a place; the others follow by their share of its length.

    A share t follows by 3 t^2 - 2 t^3, whose slope is 0 at both ends: the line keeps its directions
    there, and a neckline stays square to the centre.
    """
    if len(line) == 2:
        return line[0], end
    steps = [math.dist(a, b) for a, b in itertools.pairwise(line)]
    total = sum(steps)
    dx, dy = end[0] - line[-1][0], end[1] - line[-1][1]
    shares = [0.0, *(done / total for done in itertools.accumulate(steps))]
    moved = [
        (x + (3.0 - 2.0 * t) * t * t * dx, y + (3.0 - 2.0 * t) * t * t * dy)
        for (x, y), t in zip(line, shares, strict=True)
    ]
    return (*moved[:-1], end)


def true_edge(draft: Draft, name: str, square: frozenset[str] = frozenset()) -> Draft:
    """Redraw an edge as one smooth curve through its ends, as with a curved ruler.

    One cubic that sets out and arrives as the edge did, and between comes as near to the old line
    as such a curve can (least squares over its two reaches). It is square to the fold where it
    meets it, and to its neighbour at the ends that `square` names ("start", "end").

    Raises
    ------
    EditError
        If there is no such edge, or it is the fold.
    """
    i = edge_index(draft.edges, name)
    not_the_fold(draft, name)
    edge = draft.edges[i]
    count = len(draft.edges)
    back = _arrives(edge.points[::-1])
    ways = (-back[0], -back[1]), _arrives(edge.points)
    before, after = draft.edges[i - 1], draft.edges[(i + 1) % count]
    if draft.fold == before.name or "start" in square:
        ways = _square(before.points[-2:], ways[0]), ways[1]
    if draft.fold == after.name or "end" in square:
        ways = ways[0], _square(after.points[:2], ways[1])
    return _with_line(draft, i, _one_cubic(edge, *ways))


def _square(line: tuple[Point, ...], way: Point) -> Point:
    """Unit vector square to a line of two points, on the side of a direction."""
    along = unit_vector(line[0], line[-1])
    square = (float(-along[1]), float(along[0]))
    side = square[0] * way[0] + square[1] * way[1]
    return square if side >= 0.0 else (-square[0], -square[1])


def _one_cubic(edge: Edge, out: Point, home: Point) -> tuple[Point, ...]:
    """Fit a Bezier cubic from end to end with given directions; flattened within 0.05 mm."""
    line = _dense(edge.points)
    steps = np.hypot(*np.diff(line, axis=0).T)
    t = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    start, end = line[0], line[-1]
    b0, b1 = (1 - t) ** 3, 3 * t * (1 - t) ** 2
    b2, b3 = 3 * t**2 * (1 - t), t**3
    rest = line - np.outer(b0 + b1, start) - np.outer(b2 + b3, end)
    columns = np.stack([np.outer(b1, out).ravel(), -np.outer(b2, home).ravel()], axis=1)
    reach = np.linalg.lstsq(columns, rest.ravel(), rcond=None)[0]
    low, high = 0.05 * edge.length, 0.9 * edge.length
    first, second = (float(min(max(r, low), high)) for r in reach)
    controls = np.stack(
        [start, start + first * np.asarray(out), end - second * np.asarray(home), end]
    )
    bend = 6.0 * max(
        float(np.hypot(*(controls[k] - 2 * controls[k + 1] + controls[k + 2]))) for k in (0, 1)
    )
    # A chord over a step s of the parameter leaves a curve by at most s^2 / 8 times its bend.
    parts = max(2, math.ceil(math.sqrt(bend / (8 * FLATNESS_MM))))
    u = np.linspace(0.0, 1.0, parts + 1)[:, None]
    curve = (
        (1 - u) ** 3 * controls[0]
        + 3 * u * (1 - u) ** 2 * controls[1]
        + 3 * u**2 * (1 - u) * controls[2]
        + u**3 * controls[3]
    )
    points = tuple((float(x), float(y)) for x, y in curve)
    return (edge.points[0], *points[1:-1], edge.points[-1])


def _arrives(points: tuple[Point, ...]) -> Point:
    """Unit vector along which a flattened line arrives: half a step beyond its last chord."""
    last = complex(*unit_vector(*points[-2:]))
    if len(points) > 2:
        turn = last / complex(*unit_vector(*points[-3:-1]))
        if abs(cmath.phase(turn)) < SMOOTH_TURN:
            last *= cmath.exp(0.5j * cmath.phase(turn))
    return last.real, last.imag


def ease_edge(draft: Draft, name: str, by: float) -> Draft:
    """Make an edge longer by so much (mm) without moving its ends: it swells outward.

    Each point moves out by h sin(pi t), t being its share of the length; h is found by bisection.

    Raises
    ------
    EditError
        If there is no such edge, it is the fold, or the ease is too much for it.
    """
    i = edge_index(draft.edges, name)
    not_the_fold(draft, name)
    edge = draft.edges[i]
    if not 0.0 < by <= MOST_EASE * edge.length:
        raise EditError(
            f"'{name}' is {LENGTH} long and takes up to {LENGTH} of ease",
            edge.length,
            MOST_EASE * edge.length,
        )
    line = _dense(edge.points)
    steps = np.hypot(*np.diff(line, axis=0).T)
    share = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    way = np.gradient(line, axis=0)
    out = np.column_stack([way[:, 1], -way[:, 0]]) / np.hypot(*way.T)[:, None]
    out *= winding(draft.edges) * np.sin(np.pi * share)[:, None]
    low, high = 0.0, edge.length
    for _ in range(60):
        middle = (low + high) / 2.0
        length = float(np.hypot(*np.diff(line + middle * out, axis=0).T).sum())
        low, high = (middle, high) if length < edge.length + by else (low, middle)
    swelled = line + low * out
    points = tuple((float(x), float(y)) for x, y in swelled)
    return _with_line(draft, i, (edge.points[0], *points[1:-1], edge.points[-1]))


def _dense(points: tuple[Point, ...]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """The line with points at most 2 mm apart, so that a straight one can swell."""
    found: list[Point] = [points[0]]
    for a, b in itertools.pairwise(points):
        parts = max(1, math.ceil(math.dist(a, b) / 2.0))
        found += [
            (a[0] + (b[0] - a[0]) * k / parts, a[1] + (b[1] - a[1]) * k / parts)
            for k in range(1, parts + 1)
        ]
    return np.asarray(found)


def _with_line(draft: Draft, index: int, points: tuple[Point, ...]) -> Draft:
    edges = list(draft.edges)
    name = edges[index].name
    edges[index] = Edge(name, points)
    after = replace(draft, edges=tuple(edges))
    return carried(draft, after, by_share(draft, after, name))
