"""A small sketch of how the cloth is folded, drawn on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pieces.lengths import System
from plans.drawing import look
from plans.drawing.fold_marks import SIZE_MM, Mark, Stroke, fold_marks
from plans.drawing.writing import say
from plans.plan import SectionPlan

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_fold_sketch(axes: Axes, section: SectionPlan, system: System) -> None:
    """Draw the sketch of a section on axes of `SIZE_MM`."""
    from matplotlib.collections import LineCollection

    wide, high = SIZE_MM
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, high)
    axes.axis("off")
    strokes: dict[tuple[float, Literal["butt", "projecting"]], list[Stroke]] = {}
    for mark in fold_marks(section, system):
        if isinstance(mark, Stroke) and not mark.head:
            strokes.setdefault((mark.width, _cap(mark)), []).append(mark)
        else:
            _write(axes, mark)
    # All of one width at once: the ticks of the right side are many.
    for (width, cap), together in strokes.items():
        axes.add_collection(
            LineCollection(
                [stroke.points for stroke in together], colors=look.INK, linewidths=width,
                capstyle=cap, joinstyle="round",
            ),
            autolim=False,
        )  # fmt: skip


def _write(axes: Axes, mark: Mark) -> None:
    if not isinstance(mark, Stroke):
        say(
            axes, *mark.at, mark.text, fontsize=mark.size, ha=mark.across, va=mark.up,
            style="italic" if mark.italic else "normal", color=mark.colour,
            rotation=90 if mark.upright else 0,
        )  # fmt: skip
    else:
        ends = {"shrinkA": 0, "shrinkB": 0, "mutation_scale": 5} if mark.tail else {}
        axes.annotate(
            "", mark.points[-1], mark.points[0],
            arrowprops={"arrowstyle": "<->" if mark.tail else "->", "linewidth": mark.width,
                        "color": look.INK, **ends},
        )  # fmt: skip


def _cap(mark: Stroke) -> Literal["butt", "projecting"]:
    # Plies end where their cloth does.
    return "butt" if mark.width > 1.0 and len(mark.points) == 2 else "projecting"
