"""A photograph with what was found in it: outlines, numbers, lengths, references, what is wrong."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from pieces.lengths import System, format_length
from pieces.tracing.picture.photo import Photo
from pieces.tracing.refusal import Place
from pieces.tracing.result.traced_photo import TracedPhoto, TracedPiece
from plans.drawing.writing import saving, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LONGEST_SIDE = 1800
"""Of the picture that is drawn on, about, px."""

DPI = 150

COMPRESSION = 1
"""Of zlib: photographs hardly become smaller by more, which takes twice as long."""

OUTLINE, REFERENCE, WRONG = "#d6006c", "#0072b2", "#d55e00"
FOLD, GRAIN = "#56b4e9", "#007a5a"
"""After Okabe and Ito; each also told by its line style and its words."""

LABEL_PX = (64.0, 16.0)
"""Room of a length: two whose middles are nearer both ways would cover each other."""

LEAST_SHOWN_MM = 25.0
"""Shorter edges bear no length."""


def overlay_png(
    traced: TracedPhoto, system: System, folds: Mapping[int, str] | None = None
) -> bytes:
    """Draw a photograph with its pieces and references, as PNG.

    Parameters
    ----------
    traced : TracedPhoto
    system : System
    folds : mapping of int to str, optional
        By the number of a piece: name of its edge on the fold.
    """
    figure, axes, scale = _picture(traced.photo)
    for corners, check in zip(traced.references, traced.checks, strict=True):
        ring = np.vstack([corners, corners[:1]]) * scale
        axes.plot(*ring.T, color=REFERENCE, linewidth=1.2, linestyle=(0, (6, 2)))
        x, y = ring[:-1].mean(axis=0)
        _note(axes, (x, y), f"within {check.off:.2f} mm", REFERENCE)
    if traced.known is not None:
        ends = np.asarray(traced.known.spots) * scale
        axes.plot(*ends.T, color=REFERENCE, linewidth=1.2, marker="+", markersize=14)
        x, y = ends.mean(axis=0)
        words = f"{traced.known.measured:.1f} mm, known {traced.known.told:.0f}"
        _note(axes, (x, y), words, REFERENCE)
    taken: list[tuple[float, float]] = []
    for piece in traced.pieces:
        _draw_piece(axes, piece, scale, system, taken, (folds or {}).get(piece.number))
    return _png(figure)


def refusal_png(photo: Photo, places: Sequence[Place]) -> bytes:
    """Draw a photograph with marks where the trouble is, as PNG."""
    figure, axes, scale = _picture(photo)
    for place in places:
        x, y = place.at[0] * scale, place.at[1] * scale
        axes.plot(
            [x], [y], marker="o", markersize=34, markerfacecolor="none", markeredgecolor=WRONG,
            markeredgewidth=2.5,
        )  # fmt: skip
        _note(axes, (x, y - 34.0), place.words, WRONG)
    return _png(figure)


def _picture(photo: Photo) -> tuple[Figure, Axes, float]:
    from matplotlib.figure import Figure

    every = max(1, round(max(photo.size) / LONGEST_SIDE))
    shown = photo.pixels[::every, ::every, ::-1]
    high, wide = shown.shape[:2]
    figure = Figure(figsize=(wide / DPI, high / DPI), dpi=DPI)
    # Pixel for pixel: an image on axes would be scaled, which takes as long as all the rest.
    figure.figimage(shown, origin="upper", zorder=-1)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(-0.5, wide - 0.5)
    axes.set_ylim(high - 0.5, -0.5)
    axes.axis("off")
    return figure, axes, 1.0 / every


def _draw_piece(
    axes: Axes, piece: TracedPiece, scale: float, system: System, taken: list[tuple[float, float]],
    fold: str | None,
) -> None:  # fmt: skip
    """Draw a piece; lengths keep off the spots that are `taken`, and take their own."""
    ring = np.vstack([piece.seen, piece.seen[:1]]) * scale
    axes.plot(*ring.T, color=OUTLINE, linewidth=1.4)
    for edge, (start, middle, end) in zip(piece.outline.edges, piece.edge_spots, strict=True):
        if edge.name == fold:
            axes.plot(
                *(np.array([start, end]) * scale).T, color=FOLD, linewidth=3.2,
                linestyle=(0, (5, 1.5, 1, 1.5)),
            )  # fmt: skip
        if edge.drawn.length >= LEAST_SHOWN_MM:
            number = edge.name.removeprefix("edge ")
            words = f"{number}: {format_length(edge.drawn.length, system)}"
            words += ", fold" if edge.name == fold else ""
            index = int(np.hypot(*(piece.seen - np.asarray(middle)).T).argmin())
            spot = _free_spot(ring, index, taken)
            if spot is not None:
                taken.append(spot)
                _note(axes, spot, words, OUTLINE, 5.0)
    if piece.arrow_seen is not None:
        _draw_grain(axes, np.asarray(piece.arrow_seen) * scale)
    _note(axes, _inside(ring), f"{piece.number}", OUTLINE, 12.0)


def _draw_grain(axes: Axes, ends: Any) -> None:
    """Draw the arrow that was found, and call it by its name a quarter along it."""
    tail, head = ends
    axes.annotate(
        "", xy=tuple(head), xytext=tuple(tail),
        arrowprops={"arrowstyle": "-|>", "color": GRAIN, "linewidth": 2.0, "mutation_scale": 16},
    )  # fmt: skip
    x, y = tail + 0.25 * (head - tail)
    _note(axes, (float(x), float(y)), "grain", GRAIN, 5.5)


def _free_spot(
    ring: Any, index: int, taken: list[tuple[float, float]]
) -> tuple[float, float] | None:
    """A spot beside an edge's middle, or a little along it, that no other length covers."""
    count = len(ring) - 1
    for along in (0, 24, -24, 48, -48, 72, -72):
        spot = _beside(ring, (index + along) % count)
        if all(abs(spot[0] - x) > LABEL_PX[0] or abs(spot[1] - y) > LABEL_PX[1] for x, y in taken):
            return spot
    return None


def _beside(ring: Any, index: int) -> tuple[float, float]:
    """A spot outside a closed ring, beside one of its points."""
    count = len(ring) - 1
    x, y = ring[index]
    along = ring[(index + 3) % count] - ring[(index - 3) % count]
    away = np.array([along[1], -along[0]]) / max(float(np.hypot(*along)), 1e-9)
    signed = float(np.dot(ring[:-1, 0], ring[1:, 1]) - np.dot(ring[:-1, 1], ring[1:, 0]))
    off = away * math.copysign(1.0, signed) * (13.0 + 16.0 * abs(away[0]))
    return float(x + off[0]), float(y + off[1])


def _inside(ring: Any) -> tuple[float, float]:
    """A spot well inside a ring."""
    from shapely.geometry import Polygon
    from shapely.ops import polylabel

    shape = Polygon(ring[:: max(1, len(ring) // 200)]).buffer(0)
    if shape.geom_type != "Polygon":
        shape = max(shape.geoms, key=lambda part: part.area)
    spot = polylabel(shape, tolerance=4.0)
    return float(spot.x), float(spot.y)


def _note(
    axes: Axes, spot: tuple[float, float], words: str, colour: str, size: float = 6.5
) -> None:
    say(
        axes, spot[0], spot[1], words, fontsize=size, color=colour, ha="center", va="center",
        weight="bold",
        bbox={"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none",
              "alpha": 0.85},
    )  # fmt: skip


def _png(figure: Figure) -> bytes:
    drawn = io.BytesIO()
    with saving():
        figure.savefig(
            drawn, format="png", dpi=DPI, metadata={"Software": None},
            pil_kwargs={"compress_level": COMPRESSION},
        )  # fmt: skip
    return drawn.getvalue()
