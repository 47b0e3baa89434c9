"""Rulers and edge names around a drawn lay."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fabrics.lay_edges import end_name, lay_edges
from pieces.geometry_types import Point
from pieces.lengths import INCH_MM, System
from plans.drawing import look
from plans.drawing.writing import say
from plans.plan import SectionPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes

RULER_MM = 6.2
"""Distance of a ruler from the lay, mm of paper."""

SAME_END_MM = 1.0
"""Two plies whose ends lie no farther apart end alike, mm of cloth."""

LEAST_MM = 8.0
"""Least distance of two figures on a ruler, mm of paper."""


def draw_rulers(
    axes: Axes, section: SectionPlan, system: System, scale: float, low: float, high: float,
    zero: float,
) -> None:  # fmt: skip
    """Draw rulers below and at the left, in cm or inches; `zero` is the lay x of the cut end."""
    from matplotlib.collections import LineCollection

    unit, major, name = (10.0, 10, "cm") if system is System.METRIC else (INCH_MM, 4, "in")
    while major * unit / scale < LEAST_MM:
        major *= 2 if major in (10, 4, 40) else 5 if major in (20,) else 2
    fine = unit / scale >= 0.6
    height = section.spread.lay_height
    base = -RULER_MM * scale
    axes.plot([low, high], [base, base], color=look.QUIET, linewidth=0.5)
    first = math.ceil((low - zero) / unit - 1e-9)
    last = math.floor((high - zero) / unit + 1e-9)
    named = False
    # All at once: a long lay has tens of thousands of them.
    ticks: list[tuple[Point, Point]] = []
    for k in range(first, last + 1):
        tall = k % major == 0
        if not tall and not fine:
            continue
        at = zero + k * unit
        length = (1.6 if tall else 0.7) * scale
        ticks.append(((at, base), (at, base + length)))
        if tall:
            # The first figure says the unit; a centred one would reach beyond the paper.
            say(
                axes, at, base - 0.4 * scale, f"{k}" if named else f"{k} {name}",
                fontsize=5.5, ha="center", va="top", color=look.INK,
            )  # fmt: skip
            named = True
    side = low - RULER_MM * scale
    axes.plot([side, side], [0.0, height], color=look.QUIET, linewidth=0.5)
    for k in range(math.floor(height / unit + 1e-9) + 1):
        tall = k % major == 0
        if not tall and not fine:
            continue
        length = (1.6 if tall else 0.7) * scale
        ticks.append(((side, k * unit), (side + length, k * unit)))
        if tall:
            say(
                axes, side - 0.4 * scale, k * unit, f"{k}", fontsize=5.5, ha="right", va="center",
                color=look.INK,
            )  # fmt: skip
    axes.add_collection(
        LineCollection(ticks, colors=look.QUIET, linewidths=0.4, capstyle="projecting"),
        autolim=False,
    )


def draw_edges(
    axes: Axes, section: SectionPlan, scale: float, low: float, high: float,
    ends: tuple[float, float],
) -> None:  # fmt: skip
    """Mark fold edges, selvages and ends, and name them; `ends` are those of the whole lay."""
    spread = section.spread
    height = spread.lay_height
    for edge in spread.fold_edges:
        line = ([low, high], [edge.at, edge.at]) if edge.along else ([0.0, 0.0], [0.0, height])
        if edge.along or low <= 0.0:
            axes.plot(
                *line, zorder=6, color=look.INK, linewidth=look.FOLD_WIDTH,
                linestyle=look.FOLD_STYLE,
            )  # fmt: skip
    for named in lay_edges(spread):
        below = named.at == 0.0
        say(
            axes, low + (high - low) * 0.06, named.at + (-1.4 if below else 1.4) * scale,
            named.name.value,
            fontsize=6.5, color=look.INK, ha="left", va="top" if below else "bottom",
            style="italic", zorder=8,
        )  # fmt: skip
    if low <= ends[0] + 1e-6:
        say(
            axes, low - 1.6 * scale, height / 2.0, end_name(spread), fontsize=6.5, rotation=90,
            ha="right", va="center", color=look.INK, style="italic", zorder=8,
        )  # fmt: skip
    if high >= ends[1] - 1e-6 and len({len(zone.plies) for zone in spread.zones}) > 1:
        for zone in spread.zones:
            words = "two plies" if len(zone.plies) == 2 else "single ply"
            say(
                axes, high + 1.2 * scale, (zone.y_from + zone.y_to) / 2.0, words, fontsize=5.5,
                rotation=90, ha="left", va="center", color=look.QUIET, zorder=8,
            )  # fmt: skip


def draw_single_end(
    axes: Axes, section: SectionPlan, ends: tuple[float, ...], scale: float, low: float,
    high: float,
) -> None:  # fmt: skip
    """Shade where only one of two plies lies, beyond the end of the other, and name the end.

    `ends` are the lay x at which the lower ply ends and the upper; empty if they end alike.
    """
    from matplotlib.patches import Rectangle

    if not ends or abs(ends[0] - ends[1]) < SAME_END_MM or min(ends) >= high:
        return
    begins = max(low, min(ends))
    for zone in section.spread.zones:
        axes.add_patch(
            Rectangle(
                (begins, zone.y_from), high - begins, zone.height, facecolor=look.SINGLE,
                edgecolor=look.QUIET, linewidth=0.3, zorder=1.5,
            )
        )  # fmt: skip
    height = section.spread.lay_height
    shorter, longer = ("lower", "upper") if ends[0] < ends[1] else ("upper", "lower")
    if min(ends) > low:
        axes.plot([begins, begins], [0.0, height], color=look.INK, linewidth=0.6, zorder=1.6)
        say(
            axes, begins, height + 1.4 * scale, f"{shorter} ply ends", fontsize=5.5, ha="center",
            va="bottom", color=look.QUIET, zorder=8,
        )  # fmt: skip
    say(
        axes, high + 1.2 * scale, height / 2.0, f"{longer} ply alone", fontsize=5.5, rotation=90,
        ha="left", va="center", color=look.QUIET, zorder=8,
    )  # fmt: skip
