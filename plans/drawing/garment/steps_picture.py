"""A picture of how a piece was edited: before and after each line, one beside the other."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pieces.drafting.draft import Draft, Step
from pieces.geometry_types import Point
from pieces.lengths import System
from pieces.outline import Edge, ring_of
from plans.drawing import look
from plans.drawing.garment.piece_picture import save_figure
from plans.drawing.writing import say
from plans.errors import PlanError

if TYPE_CHECKING:
    from matplotlib.axes import Axes

CELL_MM, GAP_MM, HEAD_MM = 110.0, 8.0, 20.0
"""Largest extent of one drawing, room around it and above it, mm of paper."""

COLUMNS = 3

CAPTION = 46
"""Letters in a line of a caption."""


def write_steps_picture(draft: Draft, path: Path, system: System) -> None:
    """Draw each edit of a draft into a PNG, SVG or PDF file: dashed before, filled after.

    Raises
    ------
    PlanError
        If the draft was not edited, the ending names no picture or the file cannot be written.
    """
    from matplotlib.figure import Figure

    if path.suffix.lower() not in (".png", ".svg", ".pdf"):
        raise PlanError(f"--picture {path}: the ending must be .png, .svg or .pdf")
    if not draft.steps:
        raise PlanError(f"piece '{draft.name}' has no edits to draw")
    points = [p for step in draft.steps for e in (*step.before, *step.after) for p in e.points]
    low = min(x for x, _ in points), min(y for _, y in points)
    high = max(x for x, _ in points), max(y for _, y in points)
    extent = high[0] - low[0], high[1] - low[1]
    scale = max(*extent) / CELL_MM
    wide, tall = (value / scale + 2 * GAP_MM for value in extent)
    wide = max(wide, 70.0)
    columns = min(COLUMNS, len(draft.steps))
    rows = -(-len(draft.steps) // columns)
    page = columns * wide, rows * (tall + HEAD_MM) + 12.0
    figure = Figure(figsize=(page[0] / 25.4, page[1] / 25.4))
    say(
        figure, GAP_MM / page[0], 1.0 - 6.0 / page[1],
        f"{draft.name}: {_count(draft)}, scale 1 : {scale:.3g}", fontsize=11,
        weight="bold", va="center",
    )  # fmt: skip
    for k, step in enumerate(draft.steps):
        left = (k % columns) * wide
        bottom = page[1] - 12.0 - (k // columns + 1) * (tall + HEAD_MM)
        axes = figure.add_axes((left / page[0], bottom / page[1], wide / page[0], tall / page[1]))
        middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
        axes.set_xlim(middle[0] - wide * scale / 2, middle[0] + wide * scale / 2)
        axes.set_ylim(middle[1] - tall * scale / 2, middle[1] + tall * scale / 2)
        axes.axis("off")
        _draw(axes, step)
        words = textwrap.wrap(f"{k + 1}. {step.change.words(system)}", CAPTION)
        say(
            figure, (left + GAP_MM) / page[0], (bottom + tall + 2.0) / page[1], "\n".join(words),
            fontsize=9, va="bottom", linespacing=look.LINE_SPACING,
        )  # fmt: skip
    save_figure(figure, path)


def _count(draft: Draft) -> str:
    return f"{len(draft.steps)} edit{'s' if len(draft.steps) > 1 else ''}"


def _draw(axes: Axes, step: Step) -> None:
    after, before = ring_of(step.after), ring_of(step.before)
    axes.fill(
        [x for x, _ in after], [y for _, y in after], facecolor=look.ROLE_FILLS[0],
        edgecolor="none", zorder=2,
    )  # fmt: skip
    _line(axes, (*before, before[0]), color=look.FLAW, linewidth=1.0, linestyle=(0, (4, 2)))
    changed = _changed(step)
    for edge in step.after:
        width = 2.0 if edge.name in changed else 0.9
        _line(axes, edge.points, color=look.INK, linewidth=width)


def _line(axes: Axes, points: tuple[Point, ...], **style: Any) -> None:
    axes.plot([x for x, _ in points], [y for _, y in points], zorder=3, **style)


def _changed(step: Step) -> set[str]:
    """Edges whose line is not what it was."""
    old: dict[str, Edge] = {edge.name: edge for edge in step.before}
    return {edge.name for edge in step.after if old.get(edge.name) != edge}
