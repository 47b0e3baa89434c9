"""The picture of a piece while it is typed: whatever can be drawn of it already."""

from __future__ import annotations

import math
from typing import Any

from pieces.drafting.draft import Draft, point_along
from pieces.drafting.garment import Garment
from pieces.files.toml_file import Table
from pieces.geometry_types import Point
from pieces.lengths import LengthError, System, parse_length
from pieces.outline import Edge, OutlineError, ring_of, signed_area
from pieces.piece import Piece
from pieces.readers.edge_table import drawn_edges
from plans.drawing.garment.light import (
    APART,
    Lines,
    extents,
    garment_picture,
    path_data,
    piece_lines,
    piece_words,
)

MOST_MM = 1e6
"""Farther away is a slip of typing; a picture that showed it would show nothing else."""

MOST_EDGES = 60
"""Of a piece that is tried edge by edge; nobody types more."""


def draft_picture(
    data: dict[str, Any], number: int, garment: Garment | None, system: System
) -> dict[str, Any]:
    """Draw one piece of a draft: lines, edges by name, and every point that was typed.

    Parameters
    ----------
    data : dict
        What the file would say.
    number : int
        Which piece, counted from 0.
    garment : Garment or None
        What was made of it.
    system : System
        Units of the text alternative.
    """
    entry = data["piece"][number]
    unit = data.get("units") if isinstance(data.get("units"), str) else None
    piece, draft = _made(entry, garment)
    points = _typed_points(entry, unit)
    edges = draft.edges if draft is not None else _edges_so_far(entry, unit)
    lines: Lines = piece_lines(piece) if piece is not None else ()
    everything = [*lines, *(("edge", edge.points, False) for edge in edges)]
    everything += [("point", [at], False) for _, at in points]
    if not everything:
        return {"words": "nothing can be drawn yet: type the first edge", "lines": []}
    left, bottom, right, top = extents(everything)
    largest = max(right - left, top - bottom, 10.0)
    room = APART * 2 * largest
    box = (left - room, -top - room, right - left + 2 * room, top - bottom + 2 * room)
    words = piece_words(piece, system) if piece is not None else _so_far(entry, edges)
    return {
        "box": " ".join(f"{figure:.1f}" for figure in box),
        "lines": [[kind, path_data(line, closed)] for kind, line, closed in lines],
        "edges": [_edge(edge, _inwards(edges)) for edge in edges],
        "notches": [[x, -y] for x, y in (piece.notches if piece is not None else ())],
        "points": [[field, x, -y] for field, (x, y) in points],
        "words": words,
    }


def _made(entry: dict[str, Any], garment: Garment | None) -> tuple[Piece | None, Draft | None]:
    if garment is None:
        return None, None
    name = entry.get("name")
    piece = next((one for one in garment.pieces if one.name == name), None)
    drafts = (*garment.drafts, *garment.blocks)
    return piece, next((one for one in drafts if one.name == name), None)


def _inwards(edges: tuple[Edge, ...]) -> float:
    """On which side of the edges the piece lies: 1 for left, as one walks, or -1."""
    return 1.0 if signed_area(ring_of(edges)) >= 0.0 else -1.0


def _edge(edge: Edge, side: float) -> list[Any]:
    """Name, path, its middle, and which way is inwards there."""
    x, y = point_along(edge, edge.length / 2.0)
    (x1, y1), (x2, y2) = (
        point_along(edge, edge.length * 0.48),
        point_along(edge, edge.length * 0.52),
    )
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    inwards = (-side * (y2 - y1) / length, -side * (x2 - x1) / length)
    return [edge.name, path_data(edge.points), round(x, 1), round(-y, 1), *inwards]


def garment_view(garment: Garment | None) -> dict[str, Any]:
    """Draw all pieces of a garment, as far as it can be drawn."""
    if garment is None or not garment.pieces:
        return {"words": "no piece can be drawn yet", "lines": []}
    picture = garment_picture(garment)
    return {
        "box": picture.view_box,
        "lines": [[line.kind, line.data] for line in picture.lines],
        "texts": [[text.words, text.x, text.y] for text in picture.texts],
        "edges": [],
        "notches": [],
        "points": [],
        "words": picture.words,
    }


def _edges_so_far(entry: dict[str, Any], unit: str | None) -> tuple[Edge, ...]:
    """Edges that can be drawn although others cannot; of those only what can be read."""
    listed = entry.get("edges")
    if not isinstance(listed, list):
        return ()
    if len(listed) > MOST_EDGES:
        return _drawn(entry, unit) or ()
    found: tuple[Edge, ...] = ()
    sound: list[Any] = []
    for number, one in enumerate(listed, start=1):
        for tried in (one, _readable(one, number, unit)):
            drawn = _drawn({**entry, "edges": [*sound, tried]}, unit)
            if drawn is not None and all(_is_near(at) for edge in drawn for at in edge.points):
                found = drawn
                sound.append(tried)
                break
    return found


def _readable(edge: Any, number: int, unit: str | None) -> Any:
    """What can be read of an edge that is half typed: its points, or where it leads to."""
    if not isinstance(edge, dict):
        return None
    arc = edge.get("arc")
    way = "smooth" if isinstance(edge.get("smooth"), list) else "to"
    value = arc.get("to") if isinstance(arc, dict) else edge.get(way)
    if not isinstance(value, list):
        return None
    points: list[tuple[str, Point]] = []
    for one in value if any(isinstance(one, list) for one in value) else [value]:
        _point("", one, unit, points)
    written = [[f"{x} mm", f"{y} mm"] for _, (x, y) in points]
    return {"name": edge.get("name", f"edge {number}"), way: written}


def _drawn(entry: dict[str, Any], unit: str | None) -> tuple[Edge, ...] | None:
    quiet = Table(entry, "", [], unit=unit)
    try:
        return drawn_edges(quiet)
    except OutlineError:
        return None


def _is_near(point: Point) -> bool:
    return abs(point[0]) < MOST_MM and abs(point[1]) < MOST_MM


def _typed_points(entry: dict[str, Any], unit: str | None) -> list[tuple[str, Point]]:
    """Every point that can be read, with its field."""
    found: list[tuple[str, Point]] = []
    _point("start", entry.get("start"), unit, found)
    edges = entry.get("edges")
    for number, edge in enumerate(edges if isinstance(edges, list) else (), start=1):
        if not isinstance(edge, dict):
            continue
        at = f"edges[{number}]"
        for way in ("to", "smooth"):
            value = edge.get(way)
            if not isinstance(value, list):
                continue
            nested = value if any(isinstance(one, list) for one in value) else [value]
            for k, one in enumerate(nested, start=1):
                _point(f"{at}.{way}[{k}]", one, unit, found)
        arc = edge.get("arc")
        if isinstance(arc, dict):
            for key in ("to", "centre"):
                _point(f"{at}.arc.{key}", arc.get(key), unit, found)
    match = entry.get("match")
    for number, one in enumerate(match if isinstance(match, list) else [match], start=1):
        if isinstance(one, dict):
            where = f"match[{number}]" if isinstance(match, list) else "match"
            _point(f"{where}.at", one.get("at"), unit, found)
    return found


def _point(field: str, value: Any, unit: str | None, found: list[tuple[str, Point]]) -> None:
    if not isinstance(value, list) or len(value) != 2:
        return
    try:
        at = (parse_length(value[0], unit, True), parse_length(value[1], unit, True))
    except (LengthError, TypeError, AttributeError):
        return
    if _is_near(at):
        found.append((field, at))


def _so_far(entry: dict[str, Any], edges: tuple[Edge, ...]) -> str:
    listed = ", ".join(edge.name for edge in edges)
    return f"{entry.get('name', 'piece')}, not finished: {len(edges)} edges so far: {listed}"
