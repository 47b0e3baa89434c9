"""A small sketch of how the cloth is folded, with the figures that a person measures.

Lengthwise folds are seen from the cut end, folds across from a side. Short ticks stand on the
right side of the cloth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fabrics.spread import Faces
from pieces.lengths import System, format_length
from plans.drawing import look
from plans.drawing.writing import say, tied
from plans.plan import SectionPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SIZE_MM = (78.0, 19.5)
"""Width and height of a sketch, mm of paper."""

LEFT, RIGHT = 9.0, 69.0
LOWER, UPPER = 8.4, 11.4
"""Where the plies are drawn, mm from the lower left corner."""

ALL_BUT_MET_MM = 13.0
"""A gap between two flaps that is narrower is not measured: the selvages all but meet."""


def draw_fold_sketch(axes: Axes, section: SectionPlan, system: System) -> None:
    """Draw the sketch of a section on axes of `SIZE_MM`."""
    wide, high = SIZE_MM
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, high)
    axes.axis("off")
    if section.spread.doubled:
        _across(axes, section, system)
    else:
        _along(axes, section, system)


def _along(axes: Axes, section: SectionPlan, system: System) -> None:
    """Seen from the cut end: the edge at lay y = 0 is at the right hand."""
    spread = section.spread
    height = spread.lay_height
    folds = {edge.at: spread.plies[edge.plies[1]] for edge in spread.fold_edges}

    def at(y: float) -> float:
        return RIGHT - (RIGHT - LEFT) * y / height

    up = spread.faces is Faces.IN
    _ply(axes, LEFT, RIGHT, LOWER, up)
    for edge, flap in sorted(folds.items()):
        depth = flap.y_to - flap.y_from
        end = at(depth if edge == 0.0 else height - depth)
        _ply(axes, at(edge), end, UPPER, not up)
        _bend(axes, at(edge), right=edge == 0.0)
        _measure(axes, at(edge), end, UPPER + 2.3, format_length(depth, system), True)
        name = "fold" if len(folds) == 1 else ("right fold" if edge == 0.0 else "left fold")
        if edge == 0.0:
            _name(axes, RIGHT + 2.2, name, "left")
        else:
            _name(axes, LEFT - 2.2, name, "right")
    depths = [flap.y_to - flap.y_from for flap in folds.values()]
    rest = height - sum(depths)
    if folds and rest > ALL_BUT_MET_MM:
        first = at(folds[0.0].y_to) if 0.0 in folds else RIGHT
        _measure(axes, first, first - (RIGHT - LEFT) * rest / height, LOWER - 2.0,
                 f"single layer {format_length(rest, system)}", False)  # fmt: skip
    elif not folds:
        _measure(
            axes, LEFT, RIGHT, LOWER - 2.0, f"single layer {format_length(height, system)}", False
        )
    selvage = "selvages" if spread.fold.in_half else "selvage"
    if 0.0 not in folds:
        _name(axes, RIGHT + 2.2, selvage, "left")
    if height not in folds:
        _name(axes, LEFT - 2.2, selvage, "right")
    _foot(axes, "seen from the cut end")


def _across(axes: Axes, section: SectionPlan, system: System) -> None:
    """Seen from a side: the fold, or the cut along it, at the left."""
    up = section.spread.faces is Faces.IN
    half = (section.cloth_to - section.cloth_from) / 2.0
    above = half if section.folded_at is None else section.folded_at - section.cloth_from
    below = section.cloth_to - section.cloth_from - above
    # The ply that is longer reaches to the right end; most folds are in half.
    scale = (RIGHT - LEFT) / max(above, below)
    _ply(axes, LEFT, LEFT + scale * below, LOWER, up)
    _ply(axes, LEFT, LEFT + scale * above, UPPER, not up)
    _measure(axes, LEFT, LEFT + scale * above, UPPER + 2.3, format_length(above, system), True)
    if section.spread.folded_across:
        _bend(axes, LEFT, right=False)
        _name(axes, LEFT - 2.2, "fold", "right")
        _name(axes, RIGHT + 2.0, "cut ends", "left")
        _foot(axes, "seen from a selvage")
        return
    _name(axes, LEFT - 1.5, "cut", "right")
    _name(axes, RIGHT + 1.5, "ends", "left")
    for y in (LOWER - 1.6, UPPER + 1.0):
        axes.annotate(
            "", (LEFT + 14.0, y), (LEFT + 4.0, y),
            arrowprops={"arrowstyle": "->", "linewidth": 0.6, "color": look.INK},
        )  # fmt: skip
    say(axes, LEFT + 15.0, LOWER - 1.8, "nap, both plies", fontsize=5.5, va="center",
        color=look.INK)  # fmt: skip
    _foot(axes, "cut, upper ply turned half round; from a selvage")


def _ply(axes: Axes, x1: float, x2: float, y: float, right_side_up: bool) -> None:
    """One ply seen edge-on, with ticks on its right side."""
    axes.plot([x1, x2], [y, y], color=look.INK, linewidth=1.3, solid_capstyle="butt")
    tick = 0.55 if right_side_up else -0.55
    for x in np.arange(min(x1, x2) + 1.0, max(x1, x2) - 0.5, 2.0):
        axes.plot([x, x], [y, y + tick], color=look.INK, linewidth=0.45)


def _bend(axes: Axes, x: float, right: bool) -> None:
    """The fold between the plies."""
    angles = np.linspace(-np.pi / 2.0, np.pi / 2.0, 24)
    radius = (UPPER - LOWER) / 2.0
    side = 1.0 if right else -1.0
    axes.plot(
        x + side * radius * np.cos(angles), (UPPER + LOWER) / 2.0 + radius * np.sin(angles),
        color=look.INK, linewidth=1.3,
    )  # fmt: skip


def _measure(axes: Axes, x1: float, x2: float, y: float, text: str, above: bool) -> None:
    axes.annotate(
        "", (x1, y), (x2, y),
        arrowprops={"arrowstyle": "<->", "linewidth": 0.5, "color": look.INK, "shrinkA": 0,
                    "shrinkB": 0, "mutation_scale": 5},
    )  # fmt: skip
    say(
        axes, (x1 + x2) / 2.0, y + (0.6 if above else -0.6), tied(text), fontsize=6.5,
        ha="center", va="bottom" if above else "top", color=look.INK,
    )  # fmt: skip


def _name(axes: Axes, x: float, text: str, side: str) -> None:
    say(
        axes, x, (LOWER + UPPER) / 2.0, text, fontsize=6.0, ha=side, va="center", style="italic",
        color=look.INK, rotation=90 if len(text) > 4 else 0,
    )  # fmt: skip


def _foot(axes: Axes, text: str) -> None:
    say(
        axes, SIZE_MM[0] / 2.0, 0.2, f"{text}; ticks: right side of the cloth", fontsize=5.2,
        ha="center", va="bottom", color=look.QUIET,
    )  # fmt: skip
