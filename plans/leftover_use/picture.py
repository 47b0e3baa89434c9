"""A leftover with the pieces that are cut from it, to scale."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from pieces.lengths import System
from plans import look
from plans.labels import find_spot
from plans.leftover_sheet import draw_outline
from plans.leftover_use.words import FRAME_WORDS, HEADS, cut_line, pin_rows, remaining_words
from plans.paper import EDGE_MM, PAPERS, Pages
from plans.plan import LeftoverCut, Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROOM_MM = (260.0, 105.0)
"""Largest drawing, mm of paper."""

SCALES = (2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)


def leftover_figure(cut: LeftoverCut) -> Figure:
    """Draw one leftover by itself, without words: the report says beside it what it is."""
    from matplotlib.figure import Figure

    wide, high, scale = _size(cut)
    figure = Figure(figsize=(wide / 25.4, high / 25.4))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    _draw(axes, cut, scale)
    return figure


def svg_of(cut: LeftoverCut) -> str:
    """Return the picture of one leftover as SVG text."""
    import matplotlib as mpl

    stream = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": "laywright", "svg.fonttype": "path"}):
        leftover_figure(cut).savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


def write_leftover_pdf(plan: Plan, path: Path, system: System, paper: str) -> None:
    """Write a page or more for each leftover that a plan uses: picture, then table."""
    from matplotlib.backends.backend_pdf import PdfPages

    pages = Pages(PAPERS[paper], f"{plan.title} - leftovers - laywright")
    for cut in plan.on_leftovers:
        pages.new_page()
        pages.heading(f"Leftover {cut.tag}: {cut.fabric.title}", 13.0)
        pages.paragraph(cut_line(cut))
        wide, high, scale = _size(cut)
        page_wide, page_high = pages.paper
        axes = pages.figures[-1].add_axes(
            (
                EDGE_MM / page_wide,
                1.0 - (pages.at + high + 2.0) / page_high,
                wide / page_wide,
                high / page_high,
            )
        )
        _draw(axes, cut, scale)
        pages.at += high + 6.0
        pages.paragraph(f"Scale 1 : {scale:.3g}. {FRAME_WORDS}", 8.0)
        pages.table(
            HEADS,
            pin_rows(cut, system),
            (0.5, 2.0, 1.4, 1.0, 1.1, 1.1, 1.1, 1.1),
            8.0,
            (4, 5, 6, 7),
        )
        rest = remaining_words(cut, system)
        if rest:
            pages.paragraph(rest)
    with PdfPages(path, metadata={"Title": plan.title, "CreationDate": None}) as pdf:
        for figure in pages.figures:
            pdf.savefig(figure)


def _size(cut: LeftoverCut) -> tuple[float, float, float]:
    """Size on paper (mm) and scale."""
    x1, y1, x2, y2 = Polygon(cut.outline).bounds
    needed = max((x2 - x1) / ROOM_MM[0], (y2 - y1) / ROOM_MM[1])
    scale = next((scale for scale in SCALES if scale >= needed), needed)
    return (x2 - x1) / scale + 2.0, (y2 - y1) / scale + 2.0, scale


def _draw(axes: Axes, cut: LeftoverCut, scale: float) -> None:
    x1, y1, x2, y2 = Polygon(cut.outline).bounds
    axes.set_xlim(x1 - scale, x2 + scale)
    axes.set_ylim(y1 - scale, y2 + scale)
    axes.axis("off")
    draw_outline(axes, cut.outline, cut.holes)
    roles = tuple(dict.fromkeys(copy.role for copy in cut.copies))
    for copy in cut.copies:
        xs, ys = zip(*copy.outline, strict=True)
        axes.fill(
            xs, ys, facecolor=look.role_fill(roles, copy.role), edgecolor=look.INK,
            linewidth=look.OUTLINE_WIDTH, hatch=look.FACE_DOWN_HATCH if copy.face_down else None,
        )  # fmt: skip
        tail, head = copy.grain
        axes.annotate(
            "", head, tail,
            arrowprops={"arrowstyle": "->", "color": look.QUIET, "linewidth": 0.7},
        )  # fmt: skip
        spot = find_spot(
            Polygon(copy.outline),
            (
                (f"{copy.number}  {copy.piece}", copy.label),
                (f"{copy.number} {copy.piece}",),
                (str(copy.number),),
            ),
            scale,
            copy.grain,
        )
        middle = Polygon(copy.outline).representative_point()
        text, x, y, size, turn = str(copy.number), middle.x, middle.y, look.SMALLEST_TEXT, 0.0
        if spot is not None:
            text, x, y, size, turn = "\n".join(spot.lines), spot.x, spot.y, spot.size, spot.turn
        axes.text(
            x, y, text, fontsize=size, rotation=turn, ha="center", va="center", color=look.INK,
            zorder=10, linespacing=1.1,
            bbox={"boxstyle": "square,pad=0.12", "linewidth": 0,
                  "facecolor": look.role_fill(roles, copy.role)},
        )  # fmt: skip
