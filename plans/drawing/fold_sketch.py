"""A small sketch of how the cloth is folded, drawn on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pieces.lengths import System
from plans.drawing import look
from plans.drawing.fold_marks import SIZE_MM, Mark, Stroke, fold_marks
from plans.drawing.writing import say
from plans.plan import SectionPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_fold_sketch(axes: Axes, section: SectionPlan, system: System) -> None:
    """Draw the sketch of a section on axes of `SIZE_MM`."""
    wide, high = SIZE_MM
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, high)
    axes.axis("off")
    for mark in fold_marks(section, system):
        _draw(axes, mark)


def _draw(axes: Axes, mark: Mark) -> None:
    if not isinstance(mark, Stroke):
        say(
            axes, *mark.at, mark.text, fontsize=mark.size, ha=mark.across, va=mark.up,
            style="italic" if mark.italic else "normal", color=mark.colour,
            rotation=90 if mark.upright else 0,
        )  # fmt: skip
    elif mark.head:
        ends = {"shrinkA": 0, "shrinkB": 0, "mutation_scale": 5} if mark.tail else {}
        axes.annotate(
            "", mark.points[-1], mark.points[0],
            arrowprops={"arrowstyle": "<->" if mark.tail else "->", "linewidth": mark.width,
                        "color": look.INK, **ends},
        )  # fmt: skip
    else:
        xs, ys = zip(*mark.points, strict=True)
        axes.plot(xs, ys, color=look.INK, linewidth=mark.width, **_cap(mark))


def _cap(mark: Stroke) -> dict[str, Any]:
    # Plies end where their cloth does.
    return {"solid_capstyle": "butt"} if mark.width > 1.0 and len(mark.points) == 2 else {}
