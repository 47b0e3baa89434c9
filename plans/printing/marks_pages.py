"""Pages of marks that photographs are measured by, with a ruler and a square to measure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pieces.geometry_types import Point
from pieces.tracing.marks import (
    BODY_MM,
    KNOWN_MARK_MM,
    KNOWN_MARKS,
    MARK_MM,
    MARKS_A_PAGE,
    PAGES,
    mark_corners,
    white_cells,
)
from plans.drawing.pages.paper import wrap
from plans.drawing.writing import say
from plans.printing.canvas import stroke
from plans.printing.media import Medium
from plans.printing.pdf import bound

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SQUARE_MM = 70.0
RULER_MM = 150.0

ADVICE = (
    "Print at 100 % (actual size), without fitting to the page; measure the square.",
    "Lay the sheets flat, face up, round the paper pieces, one towards each corner of the picture.",
)
"""Written between the upper and between the lower marks, which need white round them."""

ADVICE_MM = 37.0
KNOWN_ADVICE = (
    "Cut both marks out, with the white round them, and lay them flat at the two ends of a tape.",
    "The lines point at the middle of a mark: measure from middle to middle, and say --known 60cm.",
)


def marks_pdf(medium: Medium) -> bytes:
    """Return the PDF: four sheets, then two marks for a known length."""
    return bound(_figures(medium), "Marks to measure photographs by")


def _figures(medium: Medium) -> Iterator[Figure]:
    for page in range(PAGES):
        yield _sheet(medium, page)
    yield _known(medium)


def _sheet(medium: Medium, page: int) -> Figure:
    figure, axes = _blank(medium)
    left, bottom = (medium.wide - BODY_MM[0]) / 2.0, (medium.high - BODY_MM[1]) / 2.0
    for place in range(MARKS_A_PAGE):
        x, y = mark_corners(place)[3]
        _draw_mark(axes, MARKS_A_PAGE * page + place, (left + x, bottom + y), MARK_MM)
    middle, level = medium.wide / 2.0, medium.high / 2.0
    corner = (middle - SQUARE_MM / 2.0, level - 20.0)
    ring = [
        (corner[0] + dx * SQUARE_MM, corner[1] + dy * SQUARE_MM)
        for dx, dy in ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0))
    ]
    stroke(axes, tuple(ring), color="black", linewidth=0.7)
    say(
        axes, middle, corner[1] + SQUARE_MM / 2.0,
        f"sheet {page + 1} of {PAGES}\n{SQUARE_MM:g} mm\nmeasure before you trust a picture",
        fontsize=9, ha="center", va="center", linespacing=1.6,
    )  # fmt: skip
    _draw_ruler(axes, (middle - RULER_MM / 2.0, corner[1] - 14.0))
    for k, advice in enumerate(ADVICE):
        y = bottom + (BODY_MM[1] - MARK_MM / 2.0 if k == 0 else MARK_MM / 2.0)
        text = "\n".join(wrap(advice, ADVICE_MM, 7.0))
        say(axes, middle, y, text, fontsize=7, ha="center", va="center", linespacing=1.4)
    return figure


def _known(medium: Medium) -> Figure:
    figure, axes = _blank(medium)
    middle = medium.wide / 2.0
    for k, mark in enumerate(KNOWN_MARKS):
        x, y = middle - KNOWN_MARK_MM / 2.0, medium.high - 90.0 - k * 110.0
        _draw_mark(axes, mark, (x, y), KNOWN_MARK_MM)
        half = KNOWN_MARK_MM / 2.0
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            stroke(
                axes,
                (
                    (middle + dx * (half + 3.0), y + half + dy * (half + 3.0)),
                    (middle + dx * (half + 14.0), y + half + dy * (half + 14.0)),
                ),
                color="black", linewidth=0.7,
            )  # fmt: skip
        edge = half + 16.0
        ring = [
            (middle + sx * edge, y + half + sy * edge)
            for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))
        ]
        stroke(axes, tuple(ring), color="0.5", linewidth=0.5, dashes=(6.0, 4.0))
    for k, line in enumerate(KNOWN_ADVICE):
        say(axes, middle, 36.0 - 5.0 * k, line, fontsize=8, ha="center", va="center")
    return figure


def _blank(medium: Medium) -> tuple[Figure, Axes]:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(medium.wide / 25.4, medium.high / 25.4))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, medium.wide)
    axes.set_ylim(0.0, medium.high)
    axes.axis("off")
    return figure, axes


def _draw_mark(axes: Axes, mark: int, corner: Point, side: float) -> None:
    from matplotlib.patches import Polygon, Rectangle

    axes.add_patch(Rectangle(corner, side, side, facecolor="black", linewidth=0.0))
    for ring in white_cells(mark, side):
        moved = [(corner[0] + x, corner[1] + y) for x, y in ring]
        axes.add_patch(Polygon(moved, closed=True, facecolor="white", linewidth=0.0))


def _draw_ruler(axes: Axes, start: Point) -> None:
    """Centimetres upwards, with millimetres; inches downwards, with eighths."""
    x, y = start
    stroke(axes, ((x, y), (x + RULER_MM, y)), color="black", linewidth=0.5)
    for mm in range(int(RULER_MM) + 1):
        high = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.0
        stroke(axes, ((x + mm, y), (x + mm, y + high)), color="black", linewidth=0.35)
        if mm % 10 == 0:
            say(axes, x + mm, y + 6.8, f"{mm // 10}", fontsize=6, ha="center", va="center")
    say(axes, x + RULER_MM + 2.5, y + 6.8, "cm", fontsize=6, va="center")
    for eighth in range(int(RULER_MM / 25.4 * 8) + 1):
        high = 5.0 if eighth % 8 == 0 else 3.5 if eighth % 4 == 0 else 2.0
        at = x + eighth * 25.4 / 8.0
        stroke(axes, ((at, y), (at, y - high)), color="black", linewidth=0.35)
        if eighth % 8 == 0:
            say(axes, at, y - 6.8, f"{eighth // 8}", fontsize=6, ha="center", va="center")
    say(axes, x + RULER_MM + 2.5, y - 6.8, "in", fontsize=6, va="center")
