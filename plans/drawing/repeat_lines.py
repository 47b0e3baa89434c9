"""The design of matched cloth on a drawing: its repeat and the match points, in true phase."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from plans.drawing import look
from plans.plan import FabricPlan, PlacedPiece

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Span = tuple[float, float, float, float]


def draw_repeat(axes: Axes, entry: FabricPlan, index: int, low: float, high: float) -> None:
    """Draw the repeat under the pieces of a section and their match points over them."""
    placed = [one for one in entry.placements if one.section == index]
    for x1, y1, x2, y2 in repeat_lines(entry, index, low, high):
        axes.plot(
            [x1, x2], [y1, y2], color=look.REPEAT, linewidth=0.45, linestyle=look.REPEAT_STYLE,
            zorder=4.5,
        )  # fmt: skip
    for x, y in match_points(placed):
        if low <= x <= high:
            axes.plot(
                [x], [y], marker="o", markersize=3.4, markerfacecolor="none",
                markeredgecolor=look.INK, markeredgewidth=0.5, zorder=7,
            )  # fmt: skip
            axes.plot([x], [y], marker="+", markersize=5.0, markeredgewidth=0.5, color=look.INK,
                      zorder=7)  # fmt: skip


def match_points(placements: list[PlacedPiece]) -> list[tuple[float, float]]:
    """Match points of placements on the lay."""
    return [mark.at for placed in placements for mark in placed.match]


def repeat_lines(entry: FabricPlan, index: int, low: float, high: float) -> tuple[Span, ...]:
    """Lines of the repeat on a section's lay as x1, y1, x2, y2 (mm); none where nothing matches.

    Those across the cloth go through the match points of each group, a repeat apart: that is where
    the design must lie, for the cut end slides along it. Those along it lie where the axes of the
    design are between the selvages, on every ply.
    """
    repeat = entry.fabric.repeat
    section = entry.sections[index]
    placed = [one for one in entry.placements if one.section == index and one.match]
    if repeat is None or not placed:
        return ()
    lines: list[Span] = []
    height = section.spread.lay_height
    if repeat.along > 0.0:
        groups = {mark.group: mark.at[0] for one in placed for mark in one.match}
        for first in dict.fromkeys(round(x % repeat.along, 1) for x in groups.values()):
            for k in range(
                math.ceil((low - first) / repeat.along - 1e-9),
                math.floor((high - first) / repeat.along + 1e-9) + 1,
            ):
                x = first + k * repeat.along
                lines.append((x, 0.0, x, height))
    if repeat.across > 0.0 and repeat.axis is not None:
        found: set[float] = set()
        for ply in section.spread.plies:
            edges = sorted((ply.y0 + ply.sy * ply.y_from, ply.y0 + ply.sy * ply.y_to))
            for k in range(
                math.ceil((edges[0] - repeat.axis) / repeat.across - 1e-9),
                math.floor((edges[1] - repeat.axis) / repeat.across + 1e-9) + 1,
            ):
                found.add(round((repeat.axis + k * repeat.across - ply.y0) * ply.sy, 2))
        lines += [(low, y, high, y) for y in sorted(found)]
    return tuple(lines)
