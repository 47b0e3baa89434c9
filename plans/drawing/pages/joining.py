"""Marks that tell how the sheets of a long lay join."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plans.drawing import look
from plans.drawing.sheets import Sheet
from plans.drawing.writing import say

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def mark_joints(axes: Axes, sheet: Sheet, height: float) -> None:
    """Mark where a neighbouring sheet joins: a line, triangles and a letter on both sheets."""
    for joint, at, left in (
        (sheet.number - 1, sheet.low, True),
        (sheet.number, sheet.high, False),
    ):
        if 0 < joint < sheet.count:
            _mark(axes, at, height, joint, sheet.scale, left)


def _mark(axes: Axes, at: float, height: float, joint: int, scale: float, left: bool) -> None:
    letter = chr(ord("A") + (joint - 1) % 26)
    axes.plot([at, at], [0.0, height], color=look.INK, linewidth=0.8, linestyle=":", zorder=12)
    side = -1.0 if left else 1.0
    for y in (0.12 * height, 0.5 * height, 0.88 * height):
        axes.plot(
            [at + side * 0.9 * scale], [y], marker=">" if left else "<", markersize=6,
            color=look.INK, zorder=12,
        )  # fmt: skip
        say(
            axes, at + side * 3.4 * scale, y, letter, fontsize=9, weight="bold", ha="center",
            va="center", color=look.INK, zorder=12,
        )  # fmt: skip
