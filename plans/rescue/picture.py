"""A picture of what fits on the cloth on hand, with what does not drawn beside it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pieces.geometry_types import Ring
from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.diagram import draw_section
from plans.drawing.sheets import MARGIN_MM, shown_range
from plans.drawing.writing import say, write_figure
from plans.problem.demand import Demand
from plans.rescue.rescue import Rescue
from plans.rescue.what_fits import Lain, washed_length
from plans.rescue.words import left_out_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDEST_MM, TALLEST_MM = 340.0, 170.0
"""Largest drawing of the cloth, mm of paper."""

HEAD_MM, WORDS_MM, APART_MM = 15.0, 9.0, 9.0
"""Paper for the title, for the words under a piece, and between pieces."""

TEXT_MM = 34.0
"""Least paper for the words under a piece, mm."""

DPI = 130


def write_shortage_picture(rescue: Rescue, path: Path) -> None:
    """Write the picture whole, as PNG."""
    write_figure(shortage_figure(rescue), path, dpi=DPI)


def shortage_figure(rescue: Rescue) -> Figure:
    """Draw the cloth with what lies on it, and below it what is left out, at one scale.

    Raises
    ------
    ValueError
        If the rescue was stopped before anything was laid.
    """
    from matplotlib.figure import Figure

    lain = rescue.lain
    if lain is None:
        raise ValueError("nothing was laid, so there is nothing to draw")
    job = rescue.shortage.job
    length, width = max(washed_length(job), 1.0), job.fabric.width_cut
    scale = max(
        length / (WIDEST_MM - 2 * MARGIN_MM), width / (TALLEST_MM - 2 * MARGIN_MM),
        _largest(lain) / (WIDEST_MM - 2 * APART_MM), 3.0,
    )  # fmt: skip
    rows = _rows(lain, scale)
    heights = [max(_size(d)[1] for d, _ in row) / scale + WORDS_MM + APART_MM for row in rows]
    cloth_high = width / scale + 2 * MARGIN_MM
    wide = max(length / scale + 2 * MARGIN_MM, *(_row_wide(row, scale) for row in rows), 190.0)
    tall = HEAD_MM + cloth_high + (HEAD_MM - 3.0 if rows else 0.0) + sum(heights)
    figure = Figure(figsize=(wide / 25.4, tall / 25.4))
    _title(figure, rescue, wide, tall)
    axes = figure.add_axes(
        (0.0, (tall - HEAD_MM - cloth_high) / tall,
         (length / scale + 2 * MARGIN_MM) / wide, cloth_high / tall)
    )  # fmt: skip
    if lain.entry is not None:
        low, _ = shown_range(lain.entry, 0)
        draw_section(lain.entry, 0, job.system, axes, scale, (low, low + length))
    else:
        axes.axis("off")
    if rows:
        top = tall - HEAD_MM - cloth_high
        say(
            figure, 4.0 / wide, (top - 4.0) / tall, f"Left out: {left_out_words(lain)}", fontsize=9,
            weight="bold", va="center", color=look.INK,
        )  # fmt: skip
        _draw_rows(figure, rows, heights, (wide, tall, top - (HEAD_MM - 3.0)), scale, job.system)
    return figure


def _title(figure: Figure, rescue: Rescue, wide: float, tall: float) -> None:
    job = rescue.shortage.job
    say(
        figure, 4.0 / wide, 1.0 - 5.0 / tall,
        "What fits of "
        + (job.fabric.title if job.fabric.lot else f"{job.fabric.title} ({', '.join(job.roles)})"),
        fontsize=10, weight="bold", va="center", color=look.INK,
    )  # fmt: skip
    state = "washed" if job.fabric.washed else "unwashed"
    say(
        figure, 4.0 / wide, 1.0 - 10.5 / tall,
        f"{format_length(rescue.shortage.on_hand, job.system)} on hand ({state}); single layer, as "
        "many pieces by area as were found to fit; hatched: printed side of the paper down",
        fontsize=7.5, va="center", color=look.INK,
    )  # fmt: skip


def _outline(demand: Demand) -> Ring:
    """The whole piece, moved to the origin."""
    points = np.asarray(demand.whole)
    return tuple((float(x), float(y)) for x, y in points - points.min(axis=0))


def _size(demand: Demand) -> tuple[float, float]:
    x, y = np.ptp(np.asarray(demand.whole), axis=0)
    return float(x), float(y)


def _largest(lain: Lain) -> float:
    return max((_size(demand)[0] for demand, _ in lain.left_out), default=0.0)


def _cell(demand: Demand, scale: float) -> float:
    """Paper that a piece takes along a row, mm: the words under it count, too."""
    return max(_size(demand)[0] / scale, TEXT_MM) + APART_MM


def _row_wide(row: list[tuple[Demand, int]], scale: float) -> float:
    return APART_MM + sum(_cell(demand, scale) for demand, _ in row)


def _rows(lain: Lain, scale: float) -> list[list[tuple[Demand, int]]]:
    rows: list[list[tuple[Demand, int]]] = []
    used = WIDEST_MM
    for demand, count in lain.left_out:
        wide = _cell(demand, scale)
        if used + wide > WIDEST_MM:
            rows.append([])
            used = APART_MM
        rows[-1].append((demand, count))
        used += wide
    return rows


def _draw_rows(
    figure: Figure,
    rows: list[list[tuple[Demand, int]]],
    heights: list[float],
    paper: tuple[float, float, float],
    scale: float,
    system: System,
) -> None:
    """Draw each piece that is left out once, dashed, with its name and size under it."""
    wide, tall, top = paper
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, tall)
    axes.axis("off")
    for row, height in zip(rows, heights, strict=True):
        left = APART_MM
        for demand, count in row:
            size_x, size_y = _size(demand)
            points = np.asarray(_outline(demand)) / scale + [left, top - size_y / scale]
            axes.fill(
                points[:, 0], points[:, 1], facecolor="white", edgecolor=look.INK,
                linewidth=look.OUTLINE_WIDTH, linestyle=(0, (4, 2)),
            )  # fmt: skip
            times = f" x {count}" if count > 1 else ""
            say(
                axes, left, top - size_y / scale - 1.5,
                f"{demand.key}{times}\n{format_length(size_x, system)} x "
                f"{format_length(size_y, system)}",
                fontsize=6.5, va="top", ha="left", color=look.INK, linespacing=1.15,
            )  # fmt: skip
            left += _cell(demand, scale)
        top -= height
