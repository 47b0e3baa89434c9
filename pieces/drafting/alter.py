"""Pieces made from others: shortened or lengthened, mirrored, opened out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pieces.drafting.draft import Draft
from pieces.geometry_types import FloatArray, Point, Ring
from pieces.outline import Edge, OutlineError, ring_of, signed_area
from pieces.piece import Piece

OVER_FOLD_MM = 0.05
"""A half that reaches farther over its fold line than this is none."""

FAR_MM = 10_000.0
"""Lines are extended by this much to find where they meet."""


def move_edge(draft: Draft, name: str, by: float) -> Draft:
    """Shorten (by < 0) or lengthen (by > 0) a draft at a named edge, mm.

    The edge moves along the grain, away from the piece to lengthen it; the neighbouring edges are
    trimmed or extended to meet it, every other edge stays as it is.

    Raises
    ------
    OutlineError
        If there is no such edge, it runs along the grain, or the neighbours do not meet it.
    """
    index = _index(draft, name)
    shift = _away(draft, draft.edges[index]) * by
    moved = [(p[0] + shift[0], p[1] + shift[1]) for p in draft.edges[index].points]
    count = len(draft.edges)
    before, after = draft.edges[index - 1], draft.edges[(index + 1) % count]
    trimmed_before, start = _trim(before.points, moved, f"'{name}' and '{before.name}'")
    reversed_after, end = _trim(after.points[::-1], moved[::-1], f"'{name}' and '{after.name}'")
    edges = list(draft.edges)
    edges[index - 1] = Edge(before.name, trimmed_before)
    edges[(index + 1) % count] = Edge(after.name, reversed_after[::-1])
    edges[index] = Edge(name, _between(moved, start, end))
    return replace(draft, edges=tuple(edges))


def move_line(draft: Draft, through: Point, by: float) -> Draft:
    """Shorten or lengthen a draft at a line across the grain through a point, mm.

    To lengthen, the piece is cut apart there and the sides filled in along the grain; to shorten, a
    tuck of that depth is taken on the tail side of the line, and the sides are left to be trued.

    Raises
    ------
    OutlineError
        If the line misses the piece or the tuck takes all of it.
    """
    along = _grain(draft)
    level = float(np.asarray(through) @ along)
    ends = np.asarray(ring_of(draft.edges)) @ along
    if not ends.min() + max(0.0, -by) < level < ends.max():
        raise OutlineError(
            "the line across the grain misses the piece, or the tuck takes all that lies below it; "
            "choose a point further inside"
        )
    edges = tuple(Edge(edge.name, _across(edge.points, along, level, by)) for edge in draft.edges)
    if any(len(edge.points) < 2 for edge in edges):
        gone = next(edge.name for edge in edges if len(edge.points) < 2)
        raise OutlineError(f"shortening there takes all of '{gone}' away; shorten by less")

    def move(point: Point) -> Point:
        return _shifted(point, along, level, by)

    return replace(
        draft,
        edges=edges,
        grain=(move(draft.grain[0]), move(draft.grain[1])),
        match_points=tuple(replace(m, at=move(m.at)) for m in draft.match_points),
    )


def mirror_draft(draft: Draft) -> Draft:
    """Return a draft of the other hand: mirrored in its grain line."""
    axis = _grain(draft)
    origin = np.asarray(draft.grain[0])

    def turn(point: Point) -> Point:
        return _reflected(point, origin, axis)

    return replace(
        draft,
        edges=tuple(Edge(e.name, tuple(turn(p) for p in e.points)) for e in draft.edges),
        grain=(turn(draft.grain[0]), turn(draft.grain[1])),
        match_points=tuple(replace(m, at=turn(m.at)) for m in draft.match_points),
        drawn_hand=None if draft.drawn_hand is None else draft.drawn_hand.other,
    )


def open_out(piece: Piece) -> Piece:
    """Return the whole of a piece drawn as a half; other pieces as they are."""
    if piece.fold is None:
        return piece
    whole = _opened(piece.outline, piece.fold)
    stitching = None if piece.stitching is None else _opened(piece.stitching, piece.fold)
    return replace(piece, outline=whole, stitching=stitching, fold=None)


def _opened(ring: Ring, fold: tuple[Point, Point]) -> Ring:
    """Join a half to its mirror image along the fold line; counter-clockwise."""
    origin = np.asarray(fold[0])
    axis = np.asarray(fold[1]) - origin
    axis = axis / np.hypot(*axis)
    normal = np.array([-axis[1], axis[0]])
    points = np.asarray(ring)
    off = (points - origin) @ normal
    on_line = np.abs(off) < 1e-3
    if off.min() < -OVER_FOLD_MM and off.max() > OVER_FOLD_MM:
        raise OutlineError(
            "drawn as a half, it reaches over the line of its fold; all of it must lie on one side"
        )
    # Begin just after the fold edge, so that the half is one run of points off the line.
    count = len(ring)
    starts = [i for i in range(count) if on_line[i - 1] and not on_line[i]]
    if len(starts) != 1:
        raise OutlineError(
            "drawn as a half, it touches the line of its fold at more than the fold edge; all else "
            "must keep clear of that line"
        )
    order = [(starts[0] + k) % count for k in range(count)]
    run = [ring[i] for i in order if not on_line[i]]
    first = _onto(ring[starts[0] - 1], origin, axis)
    last_index = order[len(run)]
    last = _onto(ring[last_index], origin, axis)
    half = [first, *run, last]
    mirrored = [_reflected(p, origin, axis) for p in reversed(run)]
    whole = tuple(half + mirrored)
    cleaned = _without_straight(whole, (0, len(half) - 1))
    return cleaned if signed_area(cleaned) > 0 else cleaned[::-1]


def _without_straight(ring: Ring, corners: tuple[int, int]) -> Ring:
    """Drop the two points on the fold line where the whole runs straight through them."""
    drop = set()
    for i in corners:
        a, b, c = (np.asarray(ring[(i + k) % len(ring)]) for k in (-1, 0, 1))
        u, v = b - a, c - b
        if abs(u[0] * v[1] - u[1] * v[0]) < 1e-9 * max(1.0, float(np.hypot(*u) * np.hypot(*v))):
            drop.add(i)
    return tuple(p for i, p in enumerate(ring) if i not in drop)


def _onto(point: Point, origin: FloatArray, axis: FloatArray) -> Point:
    at = origin + axis * float((np.asarray(point) - origin) @ axis)
    return (float(at[0]), float(at[1]))


def _reflected(point: Point, origin: FloatArray, axis: FloatArray) -> Point:
    offset = np.asarray(point) - origin
    turned = origin + 2.0 * axis * float(offset @ axis) - offset
    return (float(turned[0]), float(turned[1]))


def _grain(draft: Draft) -> FloatArray:
    arrow = np.asarray(draft.grain[1]) - np.asarray(draft.grain[0])
    return np.asarray(arrow / np.hypot(*arrow))


def _index(draft: Draft, name: str) -> int:
    names = draft.edge_names
    if name not in names:
        raise OutlineError(f"there is no edge '{name}'; its edges are {', '.join(names)}")
    return names.index(name)


def _away(draft: Draft, edge: Edge) -> FloatArray:
    """Grain direction that leads out of the piece at an edge."""
    along = _grain(draft)
    ends = np.asarray(ring_of(draft.edges)) @ along
    middle = float((np.asarray(edge.points) @ along).mean())
    return along if middle > (ends.min() + ends.max()) / 2.0 else -along


def _trim(
    neighbour: tuple[Point, ...], moved: list[Point], names: str
) -> tuple[tuple[Point, ...], Point]:
    """Trim or extend `neighbour` (which ends at the edge) to where it meets the moved edge."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Place

    line = LineString([*neighbour, _beyond(neighbour[-2], neighbour[-1])])
    edge = LineString([_beyond(moved[1], moved[0]), *moved, _beyond(moved[-2], moved[-1])])
    crossing = line.intersection(edge)
    places = [g for g in getattr(crossing, "geoms", [crossing]) if g.geom_type == "Point"]
    if not places:
        raise OutlineError(
            f"after that {names} no longer meet; change it by less, or at a line across the grain"
        )
    best = min(places, key=lambda g: g.distance(Place(moved[0])))
    at = line.project(best)
    end = (float(best.x), float(best.y))
    kept: list[Point] = []
    done = 0.0
    for k, point in enumerate(neighbour):
        if k:
            done += math.dist(neighbour[k - 1], point)
        if done < at - 1e-9:
            kept.append(point)
    return (*kept, end), end


def _beyond(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return (b[0] + (b[0] - a[0]) / length * FAR_MM, b[1] + (b[1] - a[1]) / length * FAR_MM)


def _between(moved: list[Point], start: Point, end: Point) -> tuple[Point, ...]:
    """Return the part of the moved edge between its new ends."""
    from shapely.geometry import LineString
    from shapely.geometry import Point as Place

    line = LineString([_beyond(moved[1], moved[0]), *moved, _beyond(moved[-2], moved[-1])])
    low, high = line.project(Place(start)), line.project(Place(end))
    done = FAR_MM
    inner: list[Point] = []
    for k, point in enumerate(moved):
        if k:
            done += math.dist(moved[k - 1], point)
        if low + 1e-6 < done < high - 1e-6:
            inner.append(point)
    return (start, *inner, end)


def _shifted(point: Point, along: FloatArray, level: float, by: float) -> Point:
    if float(np.asarray(point) @ along) >= level:
        return point
    moved = np.asarray(point) - along * by
    return (float(moved[0]), float(moved[1]))


def _across(
    points: tuple[Point, ...], along: FloatArray, level: float, by: float
) -> tuple[Point, ...]:
    """Move the tail side of an edge, leaving out what a tuck takes."""
    tuck = max(0.0, -by)
    result: list[Point] = []
    for k, point in enumerate(points):
        if k:
            result += _crossings(points[k - 1], point, along, level, tuck, by)
        height = float(np.asarray(point) @ along)
        if height >= level:
            result.append(point)
        elif height <= level - tuck:
            result.append(_shifted(point, along, level, by))
    cleaned = [p for i, p in enumerate(result) if i == 0 or math.dist(p, result[i - 1]) > 1e-9]
    return tuple(cleaned)


def _crossings(
    a: Point, b: Point, along: FloatArray, level: float, tuck: float, by: float
) -> list[Point]:
    ha, hb = float(np.asarray(a) @ along), float(np.asarray(b) @ along)
    cuts = []
    for height, shifted in ((level, False), (level - tuck, True)):
        if (ha - height) * (hb - height) < 0:
            t = (height - ha) / (hb - ha)
            at = np.asarray(a) + t * (np.asarray(b) - np.asarray(a))
            if shifted:
                at = at - along * by
            cuts.append((t, (float(at[0]), float(at[1]))))
    cuts.sort()
    # Without a tuck both cuts are one place; going tail to head the moved copy comes first.
    if tuck == 0.0 and len(cuts) == 2:
        cuts = [cuts[1], cuts[0]] if _moved_last(cuts, along, level) == (ha < hb) else cuts
    return [point for _, point in cuts]


def _moved_last(cuts: list[tuple[float, Point]], along: FloatArray, level: float) -> bool:
    return float(np.asarray(cuts[1][1]) @ along) < level - 1e-9
