"""Leftovers drawn to scale: the sheet that goes with them, and the picture of one."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from fabrics.stash.records import LeftoverRecord
from pieces.geometry_types import Ring
from pieces.lengths import System, format_length
from pieces.system_words import system_words
from plans.drawing import look
from plans.drawing.writing import say, tied, write_figure, write_pages
from plans.errors import PlanError
from plans.words.columns import format_area

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PAGE_MM = (210.0, 297.0)
"""Upright A4 (ISO 216)."""

EDGE_MM, HEAD_MM, CELL_MM = 12.0, 20.0, 92.0
"""Margins, the title's height, and the greatest height of one drawing, mm of paper."""

TEXT_MM = 16.0
"""Height of the words under a drawing."""

SCALES = (1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)
KINDS = (".png", ".svg", ".pdf")


def write_leftover_sheet(
    leftovers: list[LeftoverRecord], path: Path, title: str, system: System
) -> None:
    """Draw leftovers with their tags, to scale, on as many A4 pages as they need.

    A PNG or SVG file holds one page only, so that many leftovers ask for a PDF.

    Raises
    ------
    PlanError
        If the ending names no picture, a single page does not hold them, or it cannot be written.
    """
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise PlanError(f"{path}: the ending must be one of {', '.join(KINDS)}")
    pages = _pages(leftovers, title, system)
    if kind != ".pdf" and len(pages) > 1:
        raise PlanError(f"{path}: {len(leftovers)} leftovers need {len(pages)} pages; name a .pdf")
    try:
        if kind == ".pdf":
            write_pages(pages, path, title)
        else:
            # A picture is cut to what is on it; a page keeps its size.
            write_figure(pages[0], path, dpi=130, bbox_inches="tight", pad_inches=0.2)
    except OSError as error:
        raise PlanError(f"{path}: cannot be written: {system_words(error)}") from error


def _pages(leftovers: list[LeftoverRecord], title: str, system: System) -> list[Figure]:
    from matplotlib.figure import Figure

    wide, tall = PAGE_MM
    scale = _scale(leftovers)
    pages: list[Figure] = []
    at, left, row = tall, EDGE_MM, 0.0
    for one in leftovers:
        size_x, size_y = _size(one)
        cell_x = max(size_x / scale, 78.0)
        cell_y = size_y / scale + TEXT_MM
        if left > EDGE_MM and left + cell_x > wide - EDGE_MM:
            at, left, row = at + row + 5.0, EDGE_MM, 0.0
        if not pages or at + cell_y > tall - EDGE_MM:
            pages.append(Figure(figsize=(wide / 25.4, tall / 25.4)))
            say(
                pages[-1], EDGE_MM / wide, 1.0 - 11.0 / tall,
                f"{title}, scale 1 : {scale:.3g}", fontsize=11,
                weight="bold", va="center", color=look.INK,
            )  # fmt: skip
            at, left, row = HEAD_MM, EDGE_MM, 0.0
        _draw(pages[-1], one, left, at, scale, system)
        left += cell_x + 6.0
        row = max(row, cell_y)
    return pages


def _scale(leftovers: list[LeftoverRecord]) -> float:
    wide = PAGE_MM[0] - 2 * EDGE_MM
    needed = max(
        (max(size[0] / wide, size[1] / CELL_MM) for size in map(_size, leftovers)), default=1.0
    )
    return next((scale for scale in SCALES if scale >= needed), math.ceil(needed / 10.0) * 10.0)


def _size(one: LeftoverRecord) -> tuple[float, float]:
    xs, ys = zip(*one.region.outline, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def _draw(
    figure: Figure, one: LeftoverRecord, left: float, top: float, scale: float, system: System
) -> None:
    """Draw one at a place given in mm from the upper left corner of the page."""
    wide, tall = PAGE_MM
    size_x, size_y = _size(one)
    low_x = min(x for x, _ in one.region.outline)
    low_y = min(y for _, y in one.region.outline)
    pad = 1.0
    axes = figure.add_axes(
        (
            (left - pad) / wide,
            1.0 - (top + size_y / scale + pad) / tall,
            (size_x / scale + 2 * pad) / wide,
            (size_y / scale + 2 * pad) / tall,
        )
    )
    axes.set_xlim(low_x - pad * scale, low_x + size_x + pad * scale)
    axes.set_ylim(low_y - pad * scale, low_y + size_y + pad * scale)
    axes.axis("off")
    draw_region(axes, one)
    words = [
        f"{one.tag}   {one.fabric.title or one.fabric.name}",
        f"largest rectangle {format_length(one.region.long, system)} along the grain x "
        f"{format_length(one.region.wide, system)}",
        f"{format_area(one.region.area, system)}; arrow: warp, right side up",
    ]
    for number, text in enumerate(words):
        say(
            figure, left / wide, 1.0 - (top + size_y / scale + 3.5 + 4.0 * number) / tall,
            tied(text),
            fontsize=8.5 if number == 0 else 7.0, weight="bold" if number == 0 else "normal",
            va="center", color=look.INK,
        )  # fmt: skip


def draw_outline(axes: Axes, outline: Ring, holes: tuple[Ring, ...]) -> None:
    """Draw the cloth of a leftover."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Curve

    curves = [Curve([*ring, ring[0]], closed=True) for ring in (outline, *holes)]
    axes.add_patch(
        PathPatch(
            Curve.make_compound_path(*curves), facecolor=look.CLOTH, edgecolor=look.INK,
            linewidth=look.OUTLINE_WIDTH,
        )
    )  # fmt: skip


def draw_region(axes: Axes, one: LeftoverRecord) -> None:
    """Draw outline, holes, largest rectangle, grain and tag of a leftover on its own axes."""
    draw_outline(axes, one.region.outline, one.region.holes)
    x1, y1, x2, y2 = one.region.rectangle
    axes.plot(
        [x1, x2, x2, x1, x1], [y1, y1, y2, y2, y1], linestyle="--", linewidth=0.7,
        color=look.LEFTOVER,
    )  # fmt: skip
    middle = (y1 + y2) / 2.0
    axes.annotate(
        "", (x1 + 0.85 * (x2 - x1), middle), (x1 + 0.15 * (x2 - x1), middle),
        arrowprops={"arrowstyle": "->", "color": look.QUIET, "linewidth": 0.8},
    )  # fmt: skip
    say(
        axes, (x1 + x2) / 2.0, middle, one.tag, fontsize=10, weight="bold", ha="center",
        va="center",
        color=look.INK, bbox={"facecolor": look.CLOTH, "edgecolor": "none", "pad": 1.5},
    )  # fmt: skip
