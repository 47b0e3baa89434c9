"""Light drawings of a garment's pieces: SVG path data by itself, for pages that are drawn anew.

Drawn from outlines without a figure, in less than a millisecond a piece, from any thread. What the
lines look like is settled by the page that shows them, through the name of their kind.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pieces.drafting.garment import Garment
from pieces.geometry_types import Point
from pieces.lengths import System, format_length
from pieces.piece import Piece

APART = 0.04
"""Room between pieces and around them, as a share of the widest or tallest of all."""

WIDE = 1.6
"""A picture of several pieces is so many times as wide as it is high, about."""

HEAD_MM = 30.0
"""The head of a grain arrow is no longer than this."""

Lines = Sequence[tuple[str, Sequence[Point], bool]]
"""Kind, points in mm with y up, and whether the line is closed."""


@dataclass(frozen=True)
class LightLine:
    """One line: its kind (the class that a page gives it a look by) and SVG path data."""

    kind: str
    data: str


@dataclass(frozen=True)
class LightText:
    """A word in the picture: where its middle lies, in units of the picture."""

    words: str
    x: float
    y: float


@dataclass(frozen=True)
class LightPicture:
    """A picture in mm with y down.

    Attributes
    ----------
    box : (float, float, float, float)
        Left, top, width and height: the SVG `viewBox`.
    lines : tuple of LightLine
    texts : tuple of LightText
    words : str
        What it shows, for who does not see it.
    """

    box: tuple[float, float, float, float]
    lines: tuple[LightLine, ...]
    texts: tuple[LightText, ...] = field(default=())
    words: str = ""

    @property
    def view_box(self) -> str:
        """The box as SVG takes it."""
        return " ".join(f"{figure:.1f}" for figure in self.box)

    @property
    def unit(self) -> float:
        """A hundredth of its larger side, for whatever is to look the same at any scale."""
        return max(self.box[2:]) / 100.0


def path_data(points: Iterable[Point], closed: bool = False, move: Point = (0.0, 0.0)) -> str:
    """SVG path data of a line in mm with y up, moved and turned to y down."""
    steps = (f"{x + move[0]:.1f} {-(y + move[1]):.1f}" for x, y in points)
    return f"M{'L'.join(steps)}{'Z' if closed else ''}"


def piece_lines(piece: Piece) -> Lines:
    """Lines of one piece: cutting line, stitching line, fold, grain."""
    lines: list[tuple[str, Sequence[Point], bool]] = [("piece", piece.outline, True)]
    if piece.stitching is not None:
        lines.append(("stitching", piece.stitching, True))
    if piece.fold is not None:
        lines.append(("fold", piece.fold, False))
    lines.append(("grain", arrow(piece.grain), False))
    return lines


def arrow(grain: tuple[Point, Point]) -> list[Point]:
    """The grain arrow in one stroke, its head included."""
    (x1, y1), (x2, y2) = grain
    share = min(0.08, HEAD_MM / max(math.hypot(x2 - x1, y2 - y1), HEAD_MM))
    dx, dy = (x2 - x1) * share, (y2 - y1) * share
    left = (x2 - 1.5 * dx - 0.7 * dy, y2 - 1.5 * dy + 0.7 * dx)
    right = (x2 - 1.5 * dx + 0.7 * dy, y2 - 1.5 * dy - 0.7 * dx)
    return [(x1, y1), (x2, y2), left, (x2, y2), right]


def extents(lines: Lines) -> tuple[float, float, float, float]:
    """Least and greatest x and y of lines, mm: left, bottom, right, top."""
    points = [point for _, line, _ in lines for point in line]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def garment_picture(garment: Garment) -> LightPicture:
    """Draw all pieces of a garment to one scale, in rows."""
    drawn = [(piece.name, piece_lines(piece)) for piece in garment.pieces]
    boxes = [extents(lines) for _, lines in drawn]
    sizes = [(box[2] - box[0], box[3] - box[1]) for box in boxes]
    room = APART * max(max(size) for size in sizes)
    area = sum((wide + room) * (high + room) for wide, high in sizes)
    most = max(max(wide for wide, _ in sizes), (area * WIDE) ** 0.5)
    lines: list[LightLine] = []
    texts: list[LightText] = []
    left = top = row = right = 0.0
    order = sorted(range(len(drawn)), key=lambda k: -sizes[k][1])
    for k in order:
        (wide, high), box = sizes[k], boxes[k]
        if left > 0.0 and left + wide > most:
            left, top, row = 0.0, top + row + room, 0.0
        move = (left - box[0], -top - box[3])
        lines += [
            LightLine(kind, path_data(points, closed, move)) for kind, points, closed in drawn[k][1]
        ]
        texts.append(LightText(drawn[k][0], left + wide / 2.0, top + high / 2.0))
        left, row, right = left + wide + room, max(row, high), max(right, left + wide)
    box = (-room, -room, right + 2 * room, top + row + 2 * room)
    count = len(garment.pieces)
    words = f"{garment.title}: {count} piece{'s' if count != 1 else ''} drawn to one scale: " + (
        ", ".join(garment.pieces[k].name for k in range(count))
    )
    return LightPicture(box, tuple(lines), tuple(texts), words)


def piece_picture(piece: Piece, system: System) -> LightPicture:
    """Draw one piece by itself."""
    lines = piece_lines(piece)
    left, bottom, right, top = extents(lines)
    room = APART * max(right - left, top - bottom)
    return LightPicture(
        (left - room, -top - room, right - left + 2 * room, top - bottom + 2 * room),
        tuple(LightLine(kind, path_data(points, closed)) for kind, points, closed in lines),
        words=piece_words(piece, system),
    )


def piece_words(piece: Piece, system: System) -> str:
    """What the picture of a piece shows, in words."""
    left, bottom, right, top = extents([("piece", piece.outline, True)])
    wide, high = format_length(right - left, system), format_length(top - bottom, system)
    said = [f"{piece.name}: {wide} wide and {high} high"]
    said.append("with its allowance outside the stitching line" if piece.net else "as it is cut")
    if piece.fold is not None:
        said.append("one edge on the fold")
    if piece.notches:
        said.append(f"{len(piece.notches)} notch{'es' if len(piece.notches) != 1 else ''}")
    return ", ".join(said)
