"""The edges of a piece: straight, smooth through measured points, or arcs, one after another."""

from __future__ import annotations

import cmath
import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

from pieces.drafting.arcs import TURNS, arc_by_angle, arc_by_radius, arc_to
from pieces.files.toml_file import Table
from pieces.geometry_types import Point
from pieces.outline import CLOSED_MM, Edge, OutlineError, curve_directions, smooth_curve

WAYS = ("to", "smooth", "arc")

MOST_SMOOTH = 1000
"""Points of one curve: a person measures a dozen, and the work grows with their square."""

ENDLESS_MM = 1e9
"""Longer than any edge."""

SQUARE_WORDS = ("start", "end", "both")


@dataclass(frozen=True)
class _Drawn:
    """An edge as typed: its given points, the start included, and how they are joined.

    `line` is the flattened edge as far as it does not depend on its neighbours; `leaves` and
    `arrives` are the directions of its ends then.
    """

    table: Table
    name: str
    points: tuple[Point, ...]
    line: tuple[Point, ...]
    leaves: Point
    arrives: Point
    smooth: bool = False
    square: str = ""


def drawn_edges(table: Table) -> tuple[Edge, ...] | None:
    """Read `edges`, from `start` on; None if they cannot be drawn."""
    start = table.point("start", table.data["start"]) if table.has("start") else (0.0, 0.0)
    listed = table.data["edges"]
    if start is None:
        return None
    if not isinstance(listed, list) or not listed:
        table.fault(
            "edges",
            "needs at least one edge",
            'write edges = [ { name = "hem", to = [x, y] }, ... ]',
        )
        return None
    drawn: list[_Drawn] = []
    at = start
    sound = True
    for index, entry in enumerate(listed, start=1):
        edge = _one_edge(table, index, entry, at)
        if edge is None:
            sound = False
            at = _end_of(table, entry) or at
            continue
        drawn.append(edge)
        at = edge.points[-1]
    if not sound:
        return None
    names = [edge.name for edge in drawn]
    for name in sorted({name for name in names if names.count(name) > 1}):
        table.fault("edges", f"two edges are named '{name}'", "give each its own name")
        return None
    first, last = drawn[0].points[0], drawn[-1]
    if at != first and near(at, first):
        drawn[-1] = replace(last, points=(*last.points[:-1], first), line=(*last.line[:-1], first))
    return _squared(drawn)


def edges_as_named(listed: Any) -> tuple[Edge, ...]:
    """Return edges that cannot be drawn by their names, so long that any place lies on them.

    They stand for the outline where what refers to its edges is read for faults of its own.
    """
    if not isinstance(listed, list):
        return ()
    names = [
        entry.get("name", f"edge {index}") if isinstance(entry, dict) else f"edge {index}"
        for index, entry in enumerate(listed, start=1)
    ]
    return tuple(Edge(str(name), ((0.0, 0.0), (ENDLESS_MM, 0.0))) for name in names)


def near(a: Point, b: Point) -> bool:
    """Whether two points are one, within what closes an outline."""
    return abs(a[0] - b[0]) <= CLOSED_MM and abs(a[1] - b[1]) <= CLOSED_MM


def _end_of(table: Table, entry: Any) -> Point | None:
    """Where an edge that is at fault ends, as far as that can be told, without new findings."""
    if not isinstance(entry, dict):
        return None
    arc = entry.get("arc")
    listed = entry.get("to", entry.get("smooth", arc.get("to") if isinstance(arc, dict) else None))
    if not isinstance(listed, list) or not listed:
        return None
    last = listed[-1] if isinstance(listed[-1], list) else listed
    quiet = Table({}, table.file, [], table.piece, unit=table.unit or "cm")
    return quiet.point("to", last)


def _one_edge(table: Table, index: int, entry: Any, at: Point) -> _Drawn | None:
    field = f"edges[{index}]"
    if not isinstance(entry, dict):
        table.fault(field, "is not an edge", 'write { name = "hem", to = [x, y] }')
        return None
    inner = Table(entry, table.file, table.findings, table.piece, f"{field}.", table.unit)
    inner.known(("name", *WAYS, "square"))
    ways = [way for way in WAYS if inner.has(way)]
    name = inner.text("name", f"edge {index}")
    square = inner.text("square", "", SQUARE_WORDS)
    if len(ways) != 1:
        if not ways and inner.meant & set(WAYS):
            return None  # Told already: the key is misspelt.
        inner.fault(
            "to",
            f"is drawn in two ways: {' and '.join(ways)}" if ways else "leads nowhere",
            "write one of to (straight), smooth (a curve through points) or arc",
        )
        return None
    if square and ways != ["smooth"]:
        inner.fault("square", "only a smooth edge can be made to meet its neighbour squarely")
    if ways == ["arc"]:
        line = _arc(inner, at)
        return None if line is None else _Drawn(inner, name, line, line, *_arc_ends(line))
    points = _points(inner, ways[0], at)
    if points is None:
        return None
    smooth = ways == ["smooth"]
    if smooth and len(points) > MOST_SMOOTH:
        inner.fault(
            "smooth",
            f"'{name}' goes through {len(points) - 1} points; more than {MOST_SMOOTH} "
            "make no curve",
            "write to for a line through so many",
        )
        return None
    if smooth and len(points) == 2 and not square:
        inner.fault(
            "smooth",
            f"'{name}' is a curve through one point only, which is a straight line",
            "give one more point on the way, or write to for a straight edge",
            fatal=False,
        )
    try:
        line = smooth_curve(points) if smooth else points
    except OutlineError as error:
        inner.fault("smooth", str(error))
        return None
    ends = (_way(points[0], points[1]), _way(points[-2], points[-1]))
    return _Drawn(
        inner, name, points, line, *(curve_directions(points) if smooth else ends), smooth, square
    )


def _points(inner: Table, field: str, at: Point) -> tuple[Point, ...] | None:
    listed = inner.data[field]
    if isinstance(listed, list) and listed and not any(isinstance(v, list) for v in listed):
        listed = [listed]
    if not isinstance(listed, list) or not listed:
        inner.fault(field, "needs points", "write [x, y], or [[x, y], [x, y]]")
        return None
    points: list[Point] = [at]
    sound = True
    for value in listed:
        point = inner.point(field, value)
        if point is None:
            sound = False
        elif point != points[-1]:
            points.append(point)
    if not sound:
        return None
    if len(points) < 2:
        inner.fault(field, "the edge has no length: it ends where the last one ended")
        return None
    return tuple(points)


def _arc(inner: Table, at: Point) -> tuple[Point, ...] | None:
    """Read `arc = { to, radius, turn }`, `{ centre, to, turn }` or `{ centre, angle, turn }`."""
    arc = inner.table("arc")
    if arc is None:
        return None
    arc.known(("to", "radius", "centre", "angle", "turn", "long_way"))
    turn = arc.text("turn", "left", tuple(TURNS))
    if not arc.has("turn"):
        arc.fault(
            "turn", "is missing", '"left" or "right": how the edge bends as you walk along it'
        )
    end = arc.point("to", arc.data["to"]) if arc.has("to") else None
    centre = arc.point("centre", arc.data["centre"]) if arc.has("centre") else None
    radius = arc.length("radius", positive=True)
    angle = arc.number("angle")
    long_way = arc.flag("long_way")
    if (arc.has("to") and end is None) or (arc.has("centre") and centre is None):
        return None
    try:
        if centre is not None and angle is not None and end is None and radius is None:
            return arc_by_angle(at, centre, angle, turn)
        if centre is not None and end is not None and angle is None and radius is None:
            return arc_to(at, end, centre, turn, inner.unit)
        if radius is not None and end is not None and angle is None and centre is None:
            return arc_by_radius(at, end, radius, turn, long_way, inner.unit)
    except OutlineError as error:
        inner.fault("arc", str(error))
        return None
    unread = (arc.has("radius") and radius is None) or (arc.has("angle") and angle is None)
    if not unread:
        inner.fault(
            "arc",
            "needs to and radius, or centre and to, or centre and angle (in degrees)",
            'such as arc = { to = [0, 20], radius = 20, turn = "left" }',
        )
    return None


def _squared(drawn: list[_Drawn]) -> tuple[Edge, ...]:
    """Make the curves that meet a neighbour squarely do so."""
    edges = []
    for index, edge in enumerate(drawn):
        if not edge.square or not edge.smooth:
            edges.append(Edge(edge.name, edge.line))
            continue
        before, after = drawn[index - 1], drawn[(index + 1) % len(drawn)]
        start = end = None
        if edge.square in ("start", "both"):
            start = _across(before.arrives, edge.points[0], edge.points[1])
            _check_neighbour(edge, before, ("end", "both"))
        if edge.square in ("end", "both"):
            end = _across(after.leaves, edge.points[-2], edge.points[-1])
            _check_neighbour(edge, after, ("start", "both"))
        try:
            line = smooth_curve(edge.points, start, end)
        except OutlineError as error:
            edge.table.fault("smooth", str(error))
            line = edge.line
        edges.append(Edge(edge.name, line))
    return tuple(edges)


def _check_neighbour(edge: _Drawn, neighbour: _Drawn, words: tuple[str, ...]) -> None:
    if neighbour.square in words:
        edge.table.fault(
            "square",
            f"'{edge.name}' and '{neighbour.name}' are each to be square to the other there",
            "leave it out at one of them, which then gives the direction",
        )


def _across(way: Point, inner: Point, outer: Point) -> Point:
    """Unit vector square to a direction, on the side that leads from inner to outer."""
    length = math.hypot(*way)
    square = (-way[1] / length, way[0] / length)
    side = square[0] * (outer[0] - inner[0]) + square[1] * (outer[1] - inner[1])
    return square if side >= 0.0 else (-square[0], -square[1])


def _way(a: Point, b: Point) -> Point:
    return (b[0] - a[0], b[1] - a[1])


def _arc_ends(line: tuple[Point, ...]) -> tuple[Point, Point]:
    """Directions of the ends of a flattened arc: half a step beyond its first and last chord."""
    chords = [complex(*_way(a, b)) for a, b in itertools.pairwise(line)]
    half = cmath.phase(chords[1] / chords[0]) / 2.0
    first = chords[0] * cmath.exp(-1j * half)
    last = chords[-1] * cmath.exp(1j * half)
    return (first.real, first.imag), (last.real, last.imag)
