"""One picture of a fabric's whole lay: SVG or PNG, all sections below each other."""

from __future__ import annotations

import io
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import System, format_length
from plans import look
from plans.diagram import MARGIN_MM, draw_section
from plans.facts import buy_words, purchase_text
from plans.plan import FabricPlan

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDEST_MM, TALLEST_MM = 340.0, 190.0
"""Largest drawing of one section, mm of paper."""

HEAD_MM, BETWEEN_MM = 13.0, 8.0

DPI = 130


def lay_figure(entry: FabricPlan, system: System) -> Figure:
    """Draw every section that carries something, at one scale."""
    from matplotlib.figure import Figure

    shown = [k for k, section in enumerate(entry.sections) if section.extent > 0.0]
    longest = max(entry.sections[k].extent for k in shown)
    highest = entry.sections[shown[0]].spread.lay_height
    scale = max(longest / (WIDEST_MM - 2 * MARGIN_MM), highest / (TALLEST_MM - 2 * MARGIN_MM), 3.0)
    wide = max(longest / scale + 2 * MARGIN_MM, 150.0)
    heights = [entry.sections[k].spread.lay_height / scale + 2 * MARGIN_MM for k in shown]
    tall = HEAD_MM + sum(heights) + BETWEEN_MM * len(shown)
    figure = Figure(figsize=(wide / 25.4, tall / 25.4))
    figure.text(
        4.0 / wide, 1.0 - 5.0 / tall,
        f"{entry.fabric.title}  ({', '.join(entry.roles)})", fontsize=10, weight="bold",
        va="center", color=look.INK,
    )  # fmt: skip
    figure.text(
        4.0 / wide, 1.0 - 10.0 / tall,
        f"{taught_name(Fold(entry.fold))}, {format_length(entry.length, system)}, "
        f"{buy_words(entry)} {purchase_text(entry, entry.purchase.bought, system)}; "
        "hatched pieces lie face down",
        fontsize=7.5, va="center", color=look.INK,
    )  # fmt: skip
    top = tall - HEAD_MM
    for k, height in zip(shown, heights, strict=True):
        section = entry.sections[k]
        width = section.extent / scale + 2 * MARGIN_MM
        top -= BETWEEN_MM
        if len(shown) > 1:
            figure.text(
                4.0 / wide, (top + 3.0) / tall, f"Section {section.name}", fontsize=8, va="center"
            )
        axes = figure.add_axes((0.0, (top - height) / tall, width / wide, height / tall))
        draw_section(entry, k, system, axes, scale)
        top -= height
    return figure


def write_svg(entry: FabricPlan, path: Path, system: System) -> None:
    """Write the lay as SVG."""
    path.write_text(svg_text(entry, system), encoding="utf-8")


@lru_cache(maxsize=8)
def svg_text(entry: FabricPlan, system: System) -> str:
    """Return the lay as SVG text; the same plan gives the same text."""
    import matplotlib as mpl

    figure = lay_figure(entry, system)
    stream = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": "laywright", "svg.fonttype": "path"}):
        figure.savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


def write_png(entry: FabricPlan, path: Path, system: System) -> None:
    """Write the lay as PNG."""
    lay_figure(entry, system).savefig(path, format="png", dpi=DPI)
