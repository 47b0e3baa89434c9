"""A sheet drawn on axes in mm, line for line as in the other formats."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pieces.geometry_types import Point
from plans.drawing.writing import say
from plans.full_size.marks import LINE_SPACING, LOOKS, arrow_head
from plans.full_size.sheet import Group, Label, LineKind, Sheet

if TYPE_CHECKING:
    from matplotlib.axes import Axes

POINTS_PER_MM = 72.0 / 25.4


def draw_sheet(axes: Axes, sheet: Sheet) -> None:
    """Draw everything on a sheet; what lies beyond the axes is clipped."""
    for group in sheet.groups:
        _draw_group(axes, group)


def _draw_group(axes: Axes, group: Group) -> None:
    for line in group.lines:
        points = (*line.points, line.points[0]) if line.closed else line.points
        stroke(axes, points, **line_style(line.kind))
        if line.kind is LineKind.GRAIN:
            stroke(axes, arrow_head(line.points), **line_style(line.kind))
    for notch in group.notches:
        stroke(axes, notch, **line_style(LineKind.OUTLINE))
    if group.label is not None:
        _draw_label(axes, group.label)


def line_style(kind: LineKind) -> dict[str, Any]:
    """Width (points) and dashes of a line."""
    width, dashes = LOOKS[kind]
    points = width * POINTS_PER_MM
    style: dict[str, Any] = {"linewidth": points, "color": "black"}
    if dashes:
        style["dashes"] = tuple(dash / width for dash in dashes)
    return style


def stroke(axes: Axes, points: tuple[Point, ...], **style: Any) -> None:
    """Draw a line through points in mm."""
    axes.plot(
        [x for x, _ in points], [y for _, y in points], solid_capstyle="butt",
        solid_joinstyle="miter", **style,
    )  # fmt: skip


def _draw_label(axes: Axes, label: Label) -> None:
    say(
        axes, *label.at, "\n".join(label.lines), fontsize=label.height * POINTS_PER_MM,
        rotation=label.turn, rotation_mode="anchor" if label.from_left else "default",
        ha="left" if label.from_left else "center", va="center", linespacing=LINE_SPACING,
        clip_on=True,
    )  # fmt: skip
