"""A leftover with the pieces that are cut from it, to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from pieces.lengths import System
from plans.drawing import look
from plans.drawing.diagram import draw_arrow, draw_label, draw_mark, label_wordings
from plans.drawing.fills import fill_of, told_by_fill
from plans.drawing.label_places import Labelled, Places
from plans.drawing.leftovers.leftover_marks import draw_region_outline, leftover_wordings
from plans.drawing.leftovers.leftover_sheet import draw_outline
from plans.drawing.picture import svg_of_figure
from plans.plan import LeftoverCut
from plans.words.account_lines import leftover_letter, leftover_size
from plans.words.leftover_lines import end_figures

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROOM_MM = (260.0, 105.0)
"""Largest drawing, mm of paper."""

SCALES = (2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)


def leftover_figure(cut: LeftoverCut, system: System) -> Figure:
    """Draw one leftover by itself, without words: the report says beside it what it is."""
    from matplotlib.figure import Figure

    wide, high, scale = size_on_paper(cut)
    figure = Figure(figsize=(wide / 25.4, high / 25.4))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_leftover(axes, cut, scale, system)
    return figure


def svg_of(cut: LeftoverCut, system: System) -> str:
    """Return the picture of one leftover as SVG text."""
    return svg_of_figure(leftover_figure(cut, system))


def size_on_paper(cut: LeftoverCut) -> tuple[float, float, float]:
    """Size on paper (mm) and scale."""
    x1, y1, x2, y2 = Polygon(cut.outline).bounds
    needed = max((x2 - x1) / ROOM_MM[0], (y2 - y1) / ROOM_MM[1])
    scale = next((scale for scale in SCALES if scale >= needed), needed)
    return (x2 - x1) / scale + 2.0, (y2 - y1) / scale + 2.0, scale


def draw_leftover(axes: Axes, cut: LeftoverCut, scale: float, system: System) -> None:
    """Draw a leftover, its copies and what will be left of it, at a scale."""
    x1, y1, x2, y2 = Polygon(cut.outline).bounds
    axes.set_xlim(x1 - scale, x2 + scale)
    axes.set_ylim(y1 - scale, y2 + scale)
    axes.axis("off")
    draw_outline(axes, cut.outline, cut.holes)
    told = told_by_fill(cut)
    fills = {copy.number: fill_of(told, copy) for copy in cut.copies}
    for copy in cut.copies:
        xs, ys = zip(*copy.outline, strict=True)
        axes.fill(
            xs, ys, facecolor=fills[copy.number], edgecolor=look.INK,
            linewidth=look.OUTLINE_WIDTH, hatch=look.FACE_DOWN_HATCH if copy.face_down else None,
        )  # fmt: skip
        draw_arrow(axes, copy.grain)
    for left in cut.left:
        draw_region_outline(axes, Polygon(left.outline, left.holes))
    places = label_room(cut, scale, system)
    for label in places.labels():
        draw_label(axes, label, fills[label.number])
    for note in places.figures():
        draw_label(axes, note, fills[note.number], dot=False)
    for k, left in enumerate(cut.left):
        wordings = leftover_wordings(leftover_letter(k), leftover_size(left, system), "")
        spot = places.free_spot(Polygon(left.outline, left.holes), wordings)
        if spot is not None:
            draw_mark(axes, spot, look.QUIET)


def label_room(cut: LeftoverCut, scale: float, system: System) -> Places:
    """What wants labels on a leftover, and the room for them."""
    wanted = [
        Labelled(
            copy.number,
            Polygon(copy.outline),
            copy.grain,
            label_wordings(str(copy.number), copy, copy.label),
            tuple(zip(end_figures(cut, copy, system), copy.grain, strict=True)),
        )
        for copy in cut.copies
    ]
    return Places(wanted, scale, Polygon(cut.outline).bounds)
