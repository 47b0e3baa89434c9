"""Slash and spread, slash and overlap: a piece cut from an edge to a pivot and swung about it."""

from __future__ import annotations

import math
from dataclasses import replace

from pieces.drafting.draft import Draft
from pieces.edits.carrying import Parting, carried
from pieces.edits.cutting import (
    EditError,
    Place,
    cut_apart,
    first_stays,
    moved,
    one_edge,
    point_at,
    ring_without_points,
    split_line,
    turn_about,
    winding,
)
from pieces.edits.whole import not_the_fold
from pieces.outline import Edge


def slash(draft: Draft, start: Place, pivot: Place, by: float) -> Draft:
    """Cut from a place on an edge to a pivot on the outline and swing one part about the pivot.

    Parameters
    ----------
    start : Place
        Where the cut begins; the edge there opens (or closes).
    pivot : Place
        Where the parts keep together.
    by : float
        How far (mm, straight) the two cut ends at `start` part; less than 0: they overlap.

    The part that bears the fold stays, else the larger one. With the cut of length r the swing is
    2 asin(by / 2r), the angle of a chord.

    Raises
    ------
    EditError
        If the cut leaves the piece, both places lie on one edge, or the swing is more than the
        cut allows.
    """
    if start.edge == pivot.edge:
        raise EditError(f"the slash begins and ends on '{start.edge}': it must reach another")
    edges = draft.edges
    not_the_fold(draft, start.edge, pivot.edge)
    radius = math.dist(point_at(edges, start), point_at(edges, pivot))
    if abs(by) > radius:
        raise EditError("it is swung farther than the cut is long; cut from farther away")
    first, second = cut_apart(edges, start, pivot)
    angle = 2.0 * math.asin(by / (2.0 * radius)) * winding(edges)
    at = point_at(edges, pivot)
    # Seen from the pivot the first part lies counter-clockwise of the cut, if the outline does.
    if first_stays(draft, first, second):
        parting = Parting(edges, start, pivot, second=turn_about(at, -angle))
    else:
        parting = Parting(edges, start, pivot, first=turn_about(at, angle))
    first, second = moved(first, parting.first), moved(second, parting.second)
    opened = _opened(start.edge, second[-1], first[0], by, math.dist(*_ends(second, first)))
    kept = one_edge(pivot.edge, first[-1].points, second[0].points)
    whole = (opened, *first[1:-1], kept, *second[1:-1])
    after = replace(draft, edges=ring_without_points(_rolled(whole, edges[0].name)))
    return carried(draft, after, parting.at, parting.motion)


def _ends(
    second: tuple[Edge, ...], first: tuple[Edge, ...]
) -> tuple[tuple[float, float], tuple[float, float]]:
    return second[-1].points[-1], first[0].points[0]


def _opened(name: str, before: Edge, after: Edge, by: float, gap: float) -> Edge:
    """The edge that was cut: with the gap bridged, or without what the overlap covers."""
    if by >= 0.0:
        return one_edge(name, before.points, after.points)
    left, right = before.length - gap / 2.0, gap / 2.0
    if left <= 0.0 or right >= after.length:
        raise EditError(f"the overlap takes more than there is of '{name}' beside the cut")
    return one_edge(name, split_line(before.points, left)[0], split_line(after.points, right)[1])


def _rolled(edges: tuple[Edge, ...], first: str) -> tuple[Edge, ...]:
    """The same outline from the edge of a name on, so that edges keep their order."""
    names = [edge.name for edge in edges]
    k = names.index(first) if first in names else 0
    return edges[k:] + edges[:k]
