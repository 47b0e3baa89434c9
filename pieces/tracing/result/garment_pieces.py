"""The pieces of a garment from those of all photographs: named, met again, turned to their fold."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pieces.drawings.outline_edges import SIDES, straight_sides
from pieces.errors import PieceError
from pieces.geometry_types import FloatArray, Point
from pieces.tracing.outlines.alignment import aligned, mean_line
from pieces.tracing.outlines.edges import outline_of
from pieces.tracing.outlines.traced import Outline, TracedEdge
from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.traced_photo import TracedPhoto, TracedPiece

LOOK_THE_SAME_MM = 3.0
"""Pieces of two photographs that differ by less may be one."""

SURE_PARTS = 2.0
"""A piece met again may differ by so many times the stated errors' root sum of squares."""


LEFT_OUT = "-"
"""Stands for the name of what is no piece."""


class NamingError(PieceError):
    """Names or folds that do not suit the pieces found; the message says what there is."""


@dataclass(frozen=True)
class GarmentPiece:
    """A piece of the garment file.

    Attributes
    ----------
    name : str
    numbers : tuple of int
        Its numbers in the pictures: several if it was met again.
    outline : Outline
    length, width, error : float
        As in `TracedPiece`, mm.
    difference : float or None
        How far (mm) the outlines were apart at most, if it was met again.
    fold : str or None
        Name of the edge on the fold.
    grain : (Point, Point) or None
        Tail and head of an arrow that is drawn on it.
    """

    name: str
    numbers: tuple[int, ...]
    outline: Outline
    length: float
    width: float
    error: float
    difference: float | None = None
    fold: str | None = None
    grain: tuple[Point, Point] | None = None


def garment_pieces(photos: Sequence[TracedPhoto], names: Sequence[str]) -> list[GarmentPiece]:
    """Name the pieces of all photographs; those of one name are one piece, met again.

    Parameters
    ----------
    photos : sequence of TracedPhoto
    names : sequence of str
        In the order of the numbers in the pictures; none at all for "piece 1" and so on; "-" leaves
        out what is no piece.

    Raises
    ------
    NamingError
        If there are more or fewer names than pieces.
    UntraceableError
        If a piece met again differs by more than the stated errors.
    """
    found = [piece for photo in photos for piece in photo.pieces]
    if names and len(names) != len(found):
        raise NamingError(
            f"{len(names)} name{'s' if len(names) != 1 else ''} for {len(found)} "
            f"piece{'s' if len(found) != 1 else ''}: name each by its number in the picture"
        )
    named = list(names) or [f"piece {piece.number}" for piece in found]
    groups: dict[str, list[TracedPiece]] = {}
    for name, piece in zip(named, found, strict=True):
        if name != LEFT_OUT:
            groups.setdefault(name, []).append(piece)
    if not groups:
        raise NamingError("--names leaves out every piece")
    return [_one_of(name, group) for name, group in groups.items()]


def look_the_same(photos: Sequence[TracedPhoto]) -> list[tuple[int, int, float]]:
    """Pairs of numbers of pieces in different photographs that may be one, and their distance."""
    found = []
    for one, other in itertools.combinations(photos, 2):
        for a, b in itertools.product(one.pieces, other.pieces):
            if abs(a.length - b.length) > 4.0 or abs(a.width - b.width) > 4.0:
                continue
            _, off = aligned(b.outline.line, a.outline.line)
            if off <= LOOK_THE_SAME_MM:
                found.append((a.number, b.number, off))
    return found


def on_fold(piece: GarmentPiece, edge: str) -> GarmentPiece:
    """Put an edge on the fold, and turn the piece so that it is upright or level.

    Parameters
    ----------
    piece : GarmentPiece
    edge : str
        Its name, or the side of the piece that it faces: left, right, bottom, top.

    Raises
    ------
    NamingError
        If there is no such edge, or it is not straight.
    """
    sides = straight_sides(tuple(e.drawn for e in piece.outline.edges if e.straight))
    wanted = [e.name for e, side in sides if edge in (side, e.name)]
    if not wanted:
        straight = ", ".join(f"{e.name} ({side})" for e, side in sides) or "none"
        there = edge in SIDES or edge in {e.name for e in piece.outline.edges}
        reason = "is not straight" if there else "is not there"
        raise NamingError(f"'{piece.name}': {edge} {reason}; straight edges are {straight}")
    index = next(k for k, e in enumerate(piece.outline.edges) if e.name == wanted[0])
    (x1, y1), (x2, y2) = piece.outline.edges[index].points
    angle = math.atan2(y2 - y1, x2 - x1)
    quarter = round(angle / (math.pi / 2)) * math.pi / 2
    return replace(_turned(piece, quarter - angle, index), fold=wanted[0])


def _turned(piece: GarmentPiece, angle: float, index: int) -> GarmentPiece:
    """A piece turned (radians), one of its edges made exactly upright or level."""
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array([[c, s], [-s, c]])
    ring = np.vstack([np.asarray(edge.drawn.points) @ turn for edge in piece.outline.edges])
    low = ring.min(axis=0)
    rows = [np.asarray(edge.points) @ turn - low for edge in piece.outline.edges]
    axis = int(np.abs(rows[index][1] - rows[index][0]).argmin())
    level = rows[index][:, axis].mean()
    rows[index][:, axis] = level
    rows[index - 1][-1, axis] = rows[(index + 1) % len(rows)][0, axis] = level
    edges = tuple(
        TracedEdge(edge.name, tuple((round(float(x), 1) + 0.0, round(float(y), 1) + 0.0)
                                    for x, y in row))
        for edge, row in zip(piece.outline.edges, rows, strict=True)
    )  # fmt: skip
    line = piece.outline.line @ turn - low
    grain = piece.grain
    if grain is not None:
        tail, head = (np.asarray(grain) @ turn - low).round(1)
        grain = (float(tail[0]), float(tail[1])), (float(head[0]), float(head[1]))
    return replace(piece, outline=replace(piece.outline, edges=edges, line=line), grain=grain)


def _one_of(name: str, group: list[TracedPiece]) -> GarmentPiece:
    first = group[0]
    piece = GarmentPiece(
        name, tuple(p.number for p in group), first.outline, first.length, first.width,
        first.error, grain=first.arrow,
    )  # fmt: skip
    if len(group) == 1:
        return piece
    line: FloatArray = first.outline.line
    farthest = 0.0
    for count, other in enumerate(group[1:], start=1):
        moved, off = aligned(other.outline.line, first.outline.line)
        allowed = SURE_PARTS * math.hypot(first.error, other.error)
        if off > allowed:
            raise UntraceableError(
                f"'{name}' is {off:.1f} mm different between pieces {first.number} and "
                f"{other.number}, and the stated errors explain at most {allowed:.1f} mm: are they "
                "the same piece, and do all papers lie flat?"
            )
        farthest = max(farthest, off)
        line = line + (mean_line(line, moved) - line) * 2.0 / (count + 1)
    middle = [float(np.mean([getattr(p, key) for p in group])) for key in ("length", "width")]
    error = math.sqrt(sum(p.error**2 for p in group)) / len(group)
    outline = outline_of(line)
    if first.arrow is not None:
        x, y = (line - outline.line)[0]
        (x1, y1), (x2, y2) = first.arrow
        piece = replace(piece, grain=((x1 - x, y1 - y), (x2 - x, y2 - y)))
    return replace(
        piece, outline=outline, length=middle[0], width=middle[1],
        error=error, difference=farthest,
    )  # fmt: skip
