"""A picture of a garment's pieces to scale: outlines, stitching lines, folds, grain, labels."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from pieces.drafting.garment import Garment
from pieces.geometry_types import Point, Ring
from pieces.lengths import System, format_length
from pieces.piece import Piece
from pieces.system_words import system_words
from plans.drawing import look
from plans.drawing.diagram import draw_arrow
from plans.drawing.labels import find_spot
from plans.drawing.writing import say, write_figure
from plans.errors import PlanError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_MM = 360.0
"""Width of a row of pieces, mm of paper."""

CELL_MM = 10.0
"""Paper kept around a piece."""


@dataclass(frozen=True)
class PieceSheet:
    """Pieces drawn to scale in rows, and where each went.

    Attributes
    ----------
    figure, axes : Figure, Axes
        Axes are in mm of garment, x to the right, y up.
    scale : float
        Garment mm for one mm of paper.
    moves : dict of str to Point
        By how much the coordinates of each piece were moved.
    footer : float
        Paper kept free below the pieces, mm.
    """

    figure: Figure
    axes: Axes
    scale: float
    moves: dict[str, Point]
    footer: float


def write_piece_picture(garment: Garment, path: Path, system: System) -> None:
    """Draw the pieces of a garment into a PNG, SVG or PDF file.

    Raises
    ------
    PlanError
        If the ending names no picture or the file cannot be written.
    """
    save_figure(draw_pieces(garment, path, system).figure, path)


def draw_pieces(garment: Garment, path: Path, system: System, footer: float = 0.0) -> PieceSheet:
    """Draw the pieces of a garment; `footer` mm of paper stay free below them.

    Raises
    ------
    PlanError
        If the ending names no picture.
    """
    from matplotlib.figure import Figure

    if path.suffix.lower() not in (".png", ".svg", ".pdf"):
        raise PlanError(f"--picture {path}: the ending must be .png, .svg or .pdf")
    largest = max(max(_size(piece.outline)) for piece in garment.pieces)
    scale = max(2.0, largest / 150.0)
    rows = _rows(garment.pieces, scale)
    heights = [max(_size(p.outline)[1] for p in row) / scale + 2 * CELL_MM for row in rows]
    wide, tall = ROW_MM, sum(heights) + 12.0 + footer
    figure = Figure(figsize=(wide / 25.4, tall / 25.4))
    say(
        figure, 5.0 / wide, 1.0 - 6.0 / tall, f"{garment.title}, scale 1 : {scale:.3g}",
        fontsize=11,
        weight="bold", va="center",
    )  # fmt: skip
    axes = figure.add_axes((0.0, footer / tall, 1.0, 1.0 - (12.0 + footer) / tall))
    axes.set_xlim(0.0, wide * scale)
    axes.set_ylim(0.0, sum(heights) * scale)
    axes.set_aspect("equal")
    axes.axis("off")
    moves: dict[str, Point] = {}
    top = sum(heights) * scale
    for row, height in zip(rows, heights, strict=True):
        left = CELL_MM * scale
        for piece in row:
            moves[piece.name] = _draw(axes, piece, left, top - CELL_MM * scale, scale, system)
            left += max(_size(piece.outline)[0], 28.0 * scale) + 2 * CELL_MM * scale
        top -= height * scale
    return PieceSheet(figure, axes, scale, moves, footer)


def save_figure(figure: Figure, path: Path) -> None:
    """Write a picture that `--picture` asked for.

    Raises
    ------
    PlanError
        If the file cannot be written.
    """
    try:
        write_figure(figure, path, dpi=110)
    except OSError as error:
        raise PlanError(f"--picture {path}: cannot be written: {system_words(error)}") from error


def _rows(pieces: tuple[Piece, ...], scale: float) -> list[list[Piece]]:
    rows: list[list[Piece]] = [[]]
    used = 0.0
    for piece in pieces:
        wide = max(_size(piece.outline)[0] / scale, 28.0) + 2 * CELL_MM
        if rows[-1] and used + wide > ROW_MM:
            rows.append([])
            used = 0.0
        rows[-1].append(piece)
        used += wide
    return rows


def _size(ring: Ring) -> tuple[float, float]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return max(xs) - min(xs), max(ys) - min(ys)


def _draw(axes: Axes, piece: Piece, left: float, top: float, scale: float, system: System) -> Point:
    """Draw one piece with its upper left corner at a place; return by how much it was moved."""
    dx = left - min(x for x, _ in piece.outline)
    dy = top - max(y for _, y in piece.outline)

    def moved(ring: Ring) -> tuple[list[float], list[float]]:
        return [x + dx for x, _ in ring], [y + dy for _, y in ring]

    xs, ys = moved(piece.outline)
    axes.fill(xs, ys, facecolor=look.ROLE_FILLS[0], edgecolor=look.INK, linewidth=1.0, zorder=2)
    if piece.stitching is not None:
        xs, ys = moved((*piece.stitching, piece.stitching[0]))
        axes.plot(xs, ys, color=look.QUIET, linewidth=0.7, linestyle=(0, (4, 2)), zorder=3)
    if piece.fold is not None:
        xs, ys = moved(piece.fold)
        axes.plot(
            xs, ys, color=look.INK, linewidth=look.FOLD_WIDTH, linestyle=look.FOLD_STYLE,
            zorder=4,
        )  # fmt: skip
    (x1, x2), (y1, y2) = moved(piece.grain)
    draw_arrow(axes, ((x1, y1), (x2, y2)))
    wide, high = _size(piece.outline)
    cuts = "; ".join(dict.fromkeys(piece.label_of(cut) for cut in piece.cuts))
    size = f"{format_length(wide, system)} x {format_length(high, system)}"
    inner = piece.stitching or piece.outline
    outline = Polygon([(x + dx, y + dy) for x, y in inner])
    spot = find_spot(
        outline, ((piece.name, cuts, size), (piece.name, cuts)), scale, ((x1, y1), (x2, y2))
    )
    if spot is None:
        say(
            axes, left, top - high - 1.5 * scale, f"{piece.name}: {cuts}, {size}", fontsize=6.2,
            va="top", ha="left",
        )  # fmt: skip
        return dx, dy
    say(
        axes, spot.x, spot.y, "\n".join(spot.lines), fontsize=spot.size, rotation=spot.turn,
        ha="center",
        va="center", zorder=5, linespacing=look.LINE_SPACING,
        bbox={"boxstyle": "square,pad=0.1", "linewidth": 0, "facecolor": look.ROLE_FILLS[0]},
    )  # fmt: skip
    return dx, dy
