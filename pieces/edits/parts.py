"""Pieces parted and put together: split at a line, joined at an edge, spread for pleats."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pieces.drafting.draft import Draft
from pieces.edits.carrying import Parting, carried
from pieces.edits.cutting import (
    INSIDE_MM,
    LENGTH,
    EditError,
    Move,
    Place,
    cut_apart,
    edge_index,
    first_stays,
    moved,
    one_edge,
    point_at,
    ring_without_points,
    shift_by,
    turn_about,
    winding,
)
from pieces.edits.whole import not_the_fold
from pieces.geometry_types import Point
from pieces.outline import Edge, counter_clockwise, is_straight, ring_of

JOIN_MM = 2.0
"""Edges that are joined differ in length by no more than this."""

SHAPE_MM = 1.0
"""And lie on each other within this."""


def split(
    draft: Draft, start: Place, end: Place, keep: str, name: str, allowance: float | None
) -> Draft:
    """Cut a piece in two along a straight line and keep the part that bears an edge.

    Parameters
    ----------
    keep : str
        An edge that lies wholly on the part to keep.
    name : str
        Name of the new edge.
    allowance : float or None
        Allowance at the new edge, mm; None: as elsewhere on the piece.

    Raises
    ------
    EditError
        If the line leaves the piece, the edge to keep is cut itself, or the name is taken.
    """
    if name in draft.edge_names:
        raise EditError(f"there is an edge '{name}' already; give the new one its own name")
    from shapely.geometry import Point as Spot
    from shapely.geometry import Polygon

    edge_index(draft.edges, keep)
    parts = [ring_without_points(part) for part in cut_apart(draft.edges, start, end)]
    holding = [part for part in parts if keep in {edge.name for edge in part}]
    if len(holding) != 1:
        raise EditError(f"the line cuts '{keep}' itself; name an edge that is not cut")
    (part,) = holding
    if len(part) == 1 and len(part[0].points) < 3:
        raise EditError("the line runs along an edge: nothing is cut off")
    closing = Edge(name, (part[-1].points[-1], part[0].points[0]))
    names = {edge.name for edge in part}
    allowances = {edge: width for edge, width in draft.allowances.items() if edge in names}
    if allowance is not None:
        allowances[name] = allowance
    after = replace(
        draft,
        edges=(*part, closing),
        allowances=allowances,
        fold=draft.fold if draft.fold in names else None,
        turned_up=draft.turned_up & names,
        grain=_inside(draft, (*part, closing)),
    )
    parting = Parting(draft.edges, start, end)
    first = part is parts[0]
    kept = carried(
        draft, after, lambda place, point: point if parting.holds(place) == first else None
    )

    polygon = Polygon(ring_of(after.edges)).buffer(INSIDE_MM)
    return replace(
        kept, match_points=tuple(m for m in draft.match_points if polygon.contains(Spot(m.at)))
    )


def join(draft: Draft, name: str, other: Draft, its: str) -> Draft:
    """Put another piece against this one at an edge, so that the seam between them goes.

    The other piece is turned and moved, never mirrored. Edges whose names are taken bear the
    name of the other piece, too.

    Raises
    ------
    EditError
        If the edges differ in length or in shape.
    """
    i, j = edge_index(draft.edges, name), edge_index(other.edges, its)
    not_the_fold(draft, name)
    not_the_fold(other, its)
    if draft.net != other.net:
        raise EditError("one is drawn net and the other with its allowance; draw them alike")
    ours, theirs = _same_way(draft.edges, i), _same_way(other.edges, j)
    edges, line = ours
    its_edges, its_line = theirs
    if abs(line.length - its_line.length) > JOIN_MM:
        raise EditError(
            f"'{name}' is {LENGTH} and '{its}' {LENGTH}; edges that are joined are equal",
            line.length,
            its_line.length,
        )
    move = _onto(its_line.points, line.points)
    _lies_on(tuple(move(p) for p in its_line.points), line.points, name, its)
    k = edge_index(its_edges, its)
    rest = moved((*its_edges[k + 1 :], *its_edges[:k]), move)
    taken = set(draft.edge_names) - {name}
    named = tuple(
        Edge(edge.name if edge.name not in taken else f"{other.name} {edge.name}", edge.points)
        for edge in rest
    )
    at = edge_index(edges, name)
    start, end = line.points[0], line.points[-1]
    own = {after.name: before.name for before, after in zip(rest, named, strict=True)}
    if other.fold is not None and draft.fold is not None:
        own |= {new: draft.fold for new, old in own.items() if old == other.fold}
    whole = _run_on(edges, at, _snapped(named, start, end), own)
    widths = dict(draft.allowances)
    for before, after in zip(rest, named, strict=True):
        widths[after.name] = other.allowances.get(before.name, other.allowance)
    names = {edge.name for edge in whole}
    hems = {after.name for before, after in zip(rest, named, strict=True)
            if before.name in other.turned_up}  # fmt: skip
    made = replace(
        draft,
        edges=whole,
        allowances={n: w for n, w in widths.items() if n in names},
        turned_up=frozenset((draft.turned_up | hems) & names),
    )
    ours_kept = carried(draft, made, lambda place, point: None if place.edge == name else point)
    theirs_kept = carried(
        other, made, lambda place, point: None if place.edge == its else move(point)
    )
    return replace(
        ours_kept,
        notches=(*ours_kept.notches, *theirs_kept.notches),
        match_places=(*ours_kept.match_places, *theirs_kept.match_places),
        match_points=(
            *draft.match_points,
            *(replace(m, at=move(m.at)) for m in other.match_points),
        ),
    )


def pleat(draft: Draft, start: Place, end: Place, depth: float) -> Draft:
    """Part a piece along a line and move one part away by twice the depth of a pleat or tuck, mm.

    Raises
    ------
    EditError
        If the line leaves the piece or both places lie on one edge.
    """
    if start.edge == end.edge:
        raise EditError(f"the line of the pleat begins and ends on '{start.edge}'")
    not_the_fold(draft, start.edge, end.edge)
    first, second = cut_apart(draft.edges, start, end)
    p, q = point_at(draft.edges, start), point_at(draft.edges, end)
    length = math.dist(p, q)
    # The first part lies left of the way from end to start, where the outline is left-handed.
    side = winding(draft.edges)
    normal = (-(p[1] - q[1]) / length * side, (p[0] - q[0]) / length * side)
    way = shift_by(2 * depth * normal[0], 2 * depth * normal[1])
    back = shift_by(-2 * depth * normal[0], -2 * depth * normal[1])
    if first_stays(draft, first, second):
        parting = Parting(draft.edges, start, end, second=back)
    else:
        parting = Parting(draft.edges, start, end, first=way)
    first, second = moved(first, parting.first), moved(second, parting.second)
    opened = one_edge(start.edge, second[-1].points, first[0].points)
    closing = one_edge(end.edge, first[-1].points, second[0].points)
    whole = ring_without_points((opened, *first[1:-1], closing, *second[1:-1]))
    return carried(draft, replace(draft, edges=whole), parting.at, parting.motion)


def _same_way(edges: tuple[Edge, ...], index: int) -> tuple[tuple[Edge, ...], Edge]:
    """Edges counter-clockwise, and the one that was the index-th."""
    name = edges[index].name
    turned = counter_clockwise(edges)
    return turned, turned[edge_index(turned, name)]


def _onto(line: tuple[Point, ...], target: tuple[Point, ...]) -> Move:
    """Motion that lays a line backwards along another: its start on the other's end."""
    a, b = line[0], line[-1]
    c, d = target[-1], target[0]
    angle = math.atan2(d[1] - c[1], d[0] - c[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
    turn = turn_about(a, angle)
    shift = shift_by(c[0] - a[0], c[1] - a[1])
    return lambda point: shift(turn(point))


def _lies_on(line: tuple[Point, ...], target: tuple[Point, ...], name: str, its: str) -> None:
    from shapely.geometry import LineString

    far = LineString(line).hausdorff_distance(LineString(target))
    if far > max(SHAPE_MM, JOIN_MM if is_straight(line) and is_straight(target) else 0.0):
        raise EditError(
            f"'{name}' and '{its}' are shaped differently: laid on each other they part by "
            f"{LENGTH}",
            far,
        )


def _snapped(run: tuple[Edge, ...], start: Point, end: Point) -> tuple[Edge, ...]:
    """Let a run of edges begin and end exactly at the corners that it is put between."""
    edges = list(run)
    edges[0] = Edge(edges[0].name, (start, *edges[0].points[1:]))
    edges[-1] = Edge(edges[-1].name, (*edges[-1].points[:-1], end))
    return tuple(edges)


def _run_on(
    edges: tuple[Edge, ...], at: int, run: tuple[Edge, ...], own: dict[str, str]
) -> tuple[Edge, ...]:
    """Put a run in the place of an edge; where like edges meet at its ends they become one.

    `own` gives for each edge of the run the name under which it may run on.
    """
    before, after = edges[at - 1], edges[(at + 1) % len(edges)]
    around = [edges[(at + k) % len(edges)] for k in range(1, len(edges))]
    run_list = list(run)
    if len(run_list) > 1 and own[run_list[0].name] == before.name:
        around[-1] = one_edge(before.name, before.points, run_list.pop(0).points)
    if run_list and len(around) > 1 and own[run_list[-1].name] == after.name:
        around[0] = one_edge(after.name, run_list.pop().points, after.points)
    return (*run_list, *around)


def _inside(draft: Draft, edges: tuple[Edge, ...]) -> tuple[Point, Point]:
    """The grain arrow, moved into the part if it lies outside of it."""
    from shapely.geometry import Point as Spot
    from shapely.geometry import Polygon

    points = [p for edge in edges for p in edge.points[:-1]]
    polygon = Polygon(points)
    tail, head = draft.grain
    if polygon.contains(Spot(tail)) and polygon.contains(Spot(head)):
        return draft.grain
    middle = polygon.representative_point()
    way = np.asarray(head) - np.asarray(tail)
    way = way / np.hypot(*way) * math.sqrt(polygon.area) / 6.0
    return (
        (float(middle.x - way[0]), float(middle.y - way[1])),
        (float(middle.x + way[0]), float(middle.y + way[1])),
    )
