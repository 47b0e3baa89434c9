"""The first page: what lies on which page, how to join them, and squares to measure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plans.drawing.pages.paper import BOLD_SHARE, shortened, wrap
from plans.drawing.writing import say
from plans.full_size.sheet import LineKind
from plans.printing.arranging import Arranged
from plans.printing.canvas import stroke
from plans.printing.contents import contents
from plans.printing.media import MARGIN_MM, OVERLAP_MM, Medium

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

CM_SQUARE_MM, INCH_SQUARE_MM = 100.0, 101.6
"""Sides of the test squares: 100 mm and 4 in."""

HEAD_MM = 36.0
"""Paper for the title and what to do, above the squares."""

ROLL_PAGE_MM = 200.0

LIST_POINTS = (8.0, 7.0, 6.0, 5.0)
"""Sizes of the list of what lies where; the largest at which it has room is taken."""

LEAST_LIST_MM = 40.0
"""Narrower paper beside the squares takes no list."""

KINDS = (LineKind.OUTLINE, LineKind.CLOTH, LineKind.FOLDED)
"""Lines that the map shows."""


def draw_map(arranged: Arranged, paper: Medium) -> Figure:
    """Draw the first page on upright paper, or on a stretch of the roll."""
    from matplotlib.figure import Figure

    roll = arranged.medium.roll
    wide = arranged.medium.wide if roll else paper.wide
    high = ROLL_PAGE_MM if roll else paper.high
    figure = Figure(figsize=(wide / 25.4, high / 25.4))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, high)
    axes.axis("off")
    pages = len(arranged.tiles)
    top = high - MARGIN_MM - 4.0
    title = shortened(arranged.sheet.title, (wide - 2 * MARGIN_MM) * BOLD_SHARE, 13.0)
    say(axes, MARGIN_MM, top, title, fontsize=13, weight="bold", va="center")
    for k, line in enumerate(_advice(pages, arranged.medium)):
        say(axes, MARGIN_MM, top - 8.0 - 5.0 * k, line, fontsize=8, va="center")
    level = high - MARGIN_MM - HEAD_MM - INCH_SQUARE_MM
    inner = MARGIN_MM + CM_SQUARE_MM
    _square(axes, (MARGIN_MM, level), CM_SQUARE_MM, "100 mm\nmeasure before you cut")
    beside = inner + 8.0
    if beside + INCH_SQUARE_MM <= wide - MARGIN_MM:
        _square(axes, (beside, level), INCH_SQUARE_MM, "4 in\nmeasure before you cut")
        free = beside + INCH_SQUARE_MM + 8.0
    else:
        # On narrow paper the squares share a corner: the smaller lies in the larger.
        _square(axes, (MARGIN_MM, level), INCH_SQUARE_MM, "", corner="4 in")
        free = MARGIN_MM + INCH_SQUARE_MM + 15.0
    if pages > 1:
        _draw_contents(axes, arranged, (free, level + INCH_SQUARE_MM), wide - MARGIN_MM - free)
    if pages > 1 and not roll:
        place = (MARGIN_MM, MARGIN_MM, wide - 2 * MARGIN_MM, level - 2 * MARGIN_MM)
        _draw_pages(axes, arranged, place)
    return figure


def _advice(pages: int, medium: Medium) -> tuple[str, ...]:
    if medium.roll:
        many = f"{pages} page{'s' if pages > 1 else ''} more on a {medium.name}."
    elif pages == 1:
        many = f"One page more, {medium.name}."
    else:
        many = (
            f"{pages} pages more, {medium.name}. Pages that meet show the same "
            f"{OVERLAP_MM:g} mm: lay circles of one number on each other, then tape."
        )
    return (
        "Print at 100 % (actual size), without fitting to the page; measure the test squares "
        "before cutting.",
        many,
        "Thick line: cut. Broken line: stitch. Dash and dots: fold. Arrow: grain.",
    )


def _square(
    axes: Axes, corner_at: tuple[float, float], side: float, words: str, corner: str = ""
) -> None:
    x, y = corner_at
    ring = ((x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y))
    stroke(axes, ring, color="black", linewidth=0.7)
    if words:
        say(axes, x + side / 2, y + side / 2, words, fontsize=9, ha="center", va="center")
    if corner:
        say(axes, x + side + 2.0, y + side - 3.0, corner, fontsize=9, va="center")


def _draw_contents(
    axes: Axes, arranged: Arranged, corner: tuple[float, float], width: float
) -> None:
    """Beside the squares, from an upper left corner (mm): the pages of each piece or lay."""
    if width < LEAST_LIST_MM:
        return
    told = contents(arranged.sheet, arranged.tiles)
    for size in LIST_POINTS:
        lines = [line for text in ("On pages", *told) for line in wrap(text, width, size)]
        step = size * 25.4 / 72 * 1.4
        room = int(INCH_SQUARE_MM / step)
        if len(lines) <= room:
            break
    if len(lines) > room:
        lines = [*lines[: room - 1], f"and {len(lines) - room + 1} lines more"]
    for k, line in enumerate(lines):
        say(axes, corner[0], corner[1] - (k + 0.5) * step, line, fontsize=size, va="center")


def _draw_pages(axes: Axes, arranged: Arranged, place: tuple[float, float, float, float]) -> None:
    """The sheet in small with its pages; (left, bottom, wide, high) of the paper, mm."""
    tiles, sheet = arranged.tiles, arranged.sheet
    x1 = min(tile.left for tile in tiles)
    y1 = min(tile.bottom for tile in tiles)
    x2 = max(tile.left + tile.wide for tile in tiles)
    y2 = max(tile.bottom + tile.high for tile in tiles)
    scale = min(place[2] / (x2 - x1), place[3] / (y2 - y1))

    def small(x: float, y: float) -> tuple[float, float]:
        return place[0] + (x - x1) * scale, place[1] + place[3] - (y2 - y) * scale

    for group in sheet.groups:
        for line in group.lines:
            if line.kind in KINDS:
                points = (*line.points, line.points[0]) if line.closed else line.points
                stroke(axes, tuple(small(x, y) for x, y in points), color="0.4", linewidth=0.6)
    for tile in tiles:
        left, bottom = small(tile.left, tile.bottom)
        right, top = small(tile.left + tile.wide, tile.bottom + tile.high)
        ring = ((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom))
        stroke(axes, ring, color="black", linewidth=0.5, dashes=(4.0, 3.0))
        size = max(5.0, min(11.0, (right - left) * 0.35 * 72 / 25.4))
        say(
            axes, (left + right) / 2, (bottom + top) / 2, str(tile.number), fontsize=size,
            ha="center", va="center", weight="bold",
            bbox={"boxstyle": "circle,pad=0.2", "facecolor": "white", "edgecolor": "none",
                  "alpha": 0.8},
        )  # fmt: skip
