"""Pages at full size: the part of the sheet that each shows, and the marks to join them by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pieces.geometry_types import Point
from plans.drawing.pages.paper import shortened
from plans.drawing.writing import say
from plans.full_size.sheet import Sheet
from plans.printing.canvas import POINTS_PER_MM, draw_sheet, stroke
from plans.printing.joint_marks import CIRCLE_MM
from plans.printing.media import MARGIN_MM, Medium
from plans.printing.tiles import Joint, Tile

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PLACE_MM = 90.0
"""Kept at the foot of a page for which page it is, and how to print it."""

JOINT_STYLE = {"color": "0.45", "linewidth": 0.25 * POINTS_PER_MM, "dashes": (8.0, 4.0)}


def draw_tile(
    sheet: Sheet, medium: Medium, tile: Tile, joints: tuple[Joint, ...],
    places: dict[int, tuple[Point, Point]], count: int,
) -> Figure:  # fmt: skip
    """Draw one page, the circles of its joints at their `places`: 1 mm is 1 mm of paper."""
    from matplotlib.figure import Figure

    wide, high = medium.wide, tile.high + 2 * MARGIN_MM
    figure = Figure(figsize=(wide / 25.4, high / 25.4))
    axes = figure.add_axes((MARGIN_MM / wide, MARGIN_MM / high, tile.wide / wide, tile.high / high))
    axes.set_xlim(tile.left, tile.left + tile.wide)
    axes.set_ylim(tile.bottom, tile.bottom + tile.high)
    axes.axis("off")
    draw_sheet(axes, sheet)
    for joint in joints:
        if tile.number in (joint.first, joint.second):
            _draw_joint(axes, joint, places[joint.number])
    title = shortened(sheet.title, wide - 2 * MARGIN_MM - PLACE_MM, 7.0)
    words = f"{title}, page {tile.number} of {count}"
    if count > 1:
        words += f": row {tile.row + 1}, column {tile.name.split()[1]}"
    say(
        figure, MARGIN_MM / wide, (MARGIN_MM - 5.0) / high,
        f"{words}. Print at 100 % (actual size).", fontsize=7, va="center",
    )  # fmt: skip
    return figure


def _draw_joint(axes: Axes, joint: Joint, places: tuple[Point, Point]) -> None:
    """A broken line in the middle of what both pages show, and circles that come to coincide.

    They are not filled: where a joint is crowded, the lines below them must still be seen.
    """
    from matplotlib.patches import Circle

    if joint.beside:
        stroke(axes, ((joint.at, joint.start), (joint.at, joint.end)), **JOINT_STYLE)
    else:
        stroke(axes, ((joint.start, joint.at), (joint.end, joint.at)), **JOINT_STYLE)
    for x, y in places:
        axes.add_patch(
            Circle((x, y), CIRCLE_MM, facecolor="none", edgecolor="0.3", linewidth=0.7, zorder=5)
        )
        stroke(axes, ((x - CIRCLE_MM, y), (x - 3.0, y)), color="0.3", linewidth=0.7, zorder=6)
        stroke(axes, ((x + 3.0, y), (x + CIRCLE_MM, y)), color="0.3", linewidth=0.7, zorder=6)
        say(axes, x, y, str(joint.number), fontsize=9, ha="center", va="center", zorder=6)
