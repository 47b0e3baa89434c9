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

NAME_OFF, SLANT = 0.03, 0.35
"""How far inside its edge a name stands, as a share of the larger extent; and how steep an edge is
for the name to stand beside it."""

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
        "unit": largest / 100.0,
        "lines": [[kind, path_data(line, closed)] for kind, line, closed in lines],
        "edges": [_edge(edge, *_inwards(edges, largest)) for edge in edges],
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


def _inwards(edges: tuple[Edge, ...], largest: float) -> tuple[float, float]:
    """On which side of the edges their names stand (1 for left, as one walks), and how far off."""
    return (1.0 if signed_area(ring_of(edges)) >= 0.0 else -1.0), largest * NAME_OFF


def _edge(edge: Edge, side: float, off: float) -> list[Any]:
    """Name, path, and where the name stands: beside the middle, inside the piece."""
    x, y = point_along(edge, edge.length / 2.0)
    (x1, y1), (x2, y2) = (
        point_along(edge, edge.length * 0.48),
        point_along(edge, edge.length * 0.52),
    )
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    across, up = -side * (y2 - y1) / length, side * (x2 - x1) / length
    anchor = "start" if across > SLANT else "end" if across < -SLANT else "middle"
    x, y = x + across * off, y + up * off - off / 3.0
    return [edge.name, path_data(edge.points), round(x, 1), round(-y, 1), anchor]


def garment_view(garment: Garment | None) -> dict[str, Any]:
    """Draw all pieces of a garment, as far as it can be drawn."""
    if garment is None or not garment.pieces:
        return {"words": "no piece can be drawn yet", "lines": []}
    picture = garment_picture(garment)
    return {
        "box": picture.view_box,
        "unit": picture.unit,
        "lines": [[line.kind, line.data] for line in picture.lines],
        "texts": [[text.words, text.x, text.y] for text in picture.texts],
        "edges": [],
        "notches": [],
        "points": [],
        "words": picture.words,
    }


def _edges_so_far(entry: dict[str, Any], unit: str | None) -> tuple[Edge, ...]:
    """Edges that can be drawn although others cannot, each from where the last one ended."""
    listed = entry.get("edges")
    if not isinstance(listed, list):
        return ()
    if len(listed) > MOST_EDGES:
        return _drawn(entry, unit) or ()
    found: tuple[Edge, ...] = ()
    sound: list[Any] = []
    for one in listed:
        tried = _drawn({**entry, "edges": [*sound, one]}, unit)
        if tried is not None and all(_is_near(point) for edge in tried for point in edge.points):
            found = tried
            sound.append(one)
    return found


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
