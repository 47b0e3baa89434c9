"""Pictures of a fabric's lay: SVG or PNG of the whole, and one SVG for each sheet of the report."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from fabrics.fold_words import taught_name
from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.diagram import draw_section
from plans.drawing.fills import told_by_fill
from plans.drawing.fold_marks import SIZE_MM
from plans.drawing.fold_sketch import draw_fold_sketch
from plans.drawing.pages.joining import mark_joints
from plans.drawing.pages.legend import draw_fills, legend_words
from plans.drawing.pages.paper import wrap
from plans.drawing.sheets import MARGIN_MM, Sheet, rows_of, sheets_of
from plans.drawing.writing import saving, say, tied, write_figure
from plans.plan import FabricPlan
from plans.words.facts import spread_words, titled
from plans.words.purchase_words import buy_words, purchase_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDEST_MM, TALLEST_MM = 340.0, 190.0
"""Largest drawing of one section, mm of paper."""

LEAST_WIDE_MM = 170.0
"""A picture is at least this wide, for its words."""

HEAD_MM, BETWEEN_MM, EDGE_MM = 13.0, 5.0, 4.0

SCREEN_MM = (255.0, 150.0)
"""Room for the lay on one sheet of the report, mm of paper."""

DPI = 130


def lay_figure(entry: FabricPlan, system: System) -> Figure:
    """Draw every section that carries something, each under the sketch of its fold."""
    from matplotlib.figure import Figure

    shown = [k for k, section in enumerate(entry.sections) if section.extent > 0.0]
    room = (WIDEST_MM - 2 * MARGIN_MM, TALLEST_MM - 2 * MARGIN_MM)
    rows = [(k, row) for k in shown for row in rows_of(entry, k, *room)]
    scale = max(row.scale for _, row in rows)
    rows = [(k, replace(row, scale=scale)) for k, row in rows]
    longest = max(row.high - row.low for _, row in rows)
    wide = max(longest / scale + 2 * MARGIN_MM, LEAST_WIDE_MM)
    legend = wrap(legend_words(entry, system), wide - 2 * EDGE_MM, 7.0)
    heights = [entry.sections[k].spread.lay_height / scale + 2 * MARGIN_MM for k, _ in rows]
    head = HEAD_MM + 3.2 * len(legend)
    tall = head + sum(heights) + (BETWEEN_MM + SIZE_MM[1]) * len(shown)
    figure = Figure(figsize=(wide / 25.4, tall / 25.4))
    say(
        figure, EDGE_MM / wide, 1.0 - 5.0 / tall,
        titled(entry), fontsize=10, weight="bold",
        va="center", color=look.INK,
    )  # fmt: skip
    say(
        figure, EDGE_MM / wide, 1.0 - 10.0 / tall,
        tied(
            f"{taught_name(entry.fold)}, {format_length(entry.length, system)}, "
            f"{buy_words(entry)} {purchase_text(entry, entry.purchase.bought, system)}"
        ),
        fontsize=8.0, va="center", color=look.INK,
    )  # fmt: skip
    draw_fills(figure, told_by_fill(entry), wide - EDGE_MM, 10.0)
    for n, line in enumerate(legend):
        say(
            figure, EDGE_MM / wide, 1.0 - (14.5 + 3.2 * n) / tall, line, fontsize=7.0, va="center",
            color=look.QUIET,
        )  # fmt: skip
    top = tall - head
    for (k, row), height in zip(rows, heights, strict=True):
        if row.number == 1:
            top -= BETWEEN_MM
            _sketch(figure, entry, k, top, system)
            top -= SIZE_MM[1]
        width = (row.high - row.low) / scale + 2 * MARGIN_MM
        axes = figure.add_axes((0.0, (top - height) / tall, width / wide, height / tall))
        draw_section(entry, k, system, axes, scale, (row.low, row.high))
        mark_joints(axes, row, entry.sections[k].spread.lay_height)
        top -= height
    return figure


def _sketch(figure: Figure, entry: FabricPlan, index: int, top: float, system: System) -> None:
    """Draw how to fold a section, and say it beside it; `top` in mm from the lower edge."""
    wide, tall = (float(size) * 25.4 for size in figure.get_size_inches())
    section = entry.sections[index]
    width, height = SIZE_MM
    axes = figure.add_axes((EDGE_MM / wide, (top - height) / tall, width / wide, height / tall))
    draw_fold_sketch(axes, section, system)
    words = spread_words(entry, index, system)
    left = EDGE_MM + width + 4.0
    for n, line in enumerate(wrap(tied(words), wide - left - EDGE_MM, 8.0)):
        say(
            figure, left / wide, (top - 3.0 - 3.8 * n) / tall, line, fontsize=8.0, va="center",
            color=look.INK,
        )  # fmt: skip


def sheet_figures(entry: FabricPlan, system: System) -> tuple[tuple[str, Figure], ...]:
    """Draw each sheet of a lay by itself, as the report shows them, with a caption for each."""
    from matplotlib.figure import Figure

    figures: list[tuple[str, Figure]] = []
    for index, section in enumerate(entry.sections):
        if section.extent <= 0.0:
            continue
        for sheet in sheets_of(entry, index, *SCREEN_MM):
            wide = (sheet.high - sheet.low) / sheet.scale + 2 * MARGIN_MM
            high = section.spread.lay_height / sheet.scale + 2 * MARGIN_MM
            sketched = SIZE_MM[1] if sheet.number == 1 else 0.0
            wide = max(wide, LEAST_WIDE_MM if sketched else 0.0)
            tall = high + sketched
            figure = Figure(figsize=(wide / 25.4, tall / 25.4))
            if sketched:
                _sketch(figure, entry, index, tall, system)
            width = (sheet.high - sheet.low) / sheet.scale + 2 * MARGIN_MM
            axes = figure.add_axes((0.0, 0.0, width / wide, high / tall))
            draw_section(entry, index, system, axes, sheet.scale, (sheet.low, sheet.high))
            mark_joints(axes, sheet, section.spread.lay_height)
            figures.append((_caption(entry, index, sheet), figure))
    return tuple(figures)


def _caption(entry: FabricPlan, index: int, sheet: Sheet) -> str:
    parts = []
    if len(entry.sections) > 1:
        parts.append(f"section {entry.sections[index].name}")
    if sheet.count > 1:
        parts.append(f"sheet {sheet.number} of {sheet.count}: join them at the letters")
    return ", ".join(parts).capitalize()


def svg_text(entry: FabricPlan, system: System) -> str:
    """Return the lay as SVG text; the same plan gives the same text."""
    return svg_of_figure(lay_figure(entry, system))


@lru_cache(maxsize=8)
def sheet_svgs(entry: FabricPlan, system: System) -> tuple[tuple[str, str], ...]:
    """Return caption and SVG text of every sheet of the report."""
    return tuple(
        (caption, svg_of_figure(figure)) for caption, figure in sheet_figures(entry, system)
    )


def svg_of_figure(figure: Figure) -> str:
    """Return a figure as SVG text, the same for the same figure."""
    stream = io.StringIO()
    with saving():
        figure.savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


class LayPicture:
    """A fabric's lay that is drawn once, whatever formats it is written in. Not for two threads."""

    def __init__(self, entry: FabricPlan) -> None:
        self._figure = lru_cache(maxsize=1)(partial(lay_figure, entry))

    def write_svg(self, path: Path, system: System) -> None:
        """Write the lay as SVG; the same plan gives the same file."""
        path.write_text(svg_of_figure(self._figure(system)), encoding="utf-8")

    def write_png(self, path: Path, system: System) -> None:
        """Write the lay as PNG."""
        write_figure(self._figure(system), path, dpi=DPI)
