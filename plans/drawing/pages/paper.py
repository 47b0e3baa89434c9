"""Pages: paper sizes, and text and tables that flow over as many pages as they need."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from plans.drawing import look
from plans.drawing.labels import POINT_MM
from plans.drawing.writing import say, text_width, tied

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PAPERS = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Landscape sizes, mm (ISO 216; US Letter 11 x 8.5 in)."""

EDGE_MM = 12.0
LINE_MM = 1.32
"""Line height, in font sizes (times the size in mm)."""


RULE_MM = 1.4
"""Kept for the line under a row of a table."""

BOLD_SHARE = 0.88
"""How much of a line bold text may fill, measured in letters that are not."""


@dataclass
class Pages:
    """Pages of text under construction: a cursor that goes down and starts a new page at the foot.

    Attributes
    ----------
    paper : (float, float)
        Width and height, mm.
    running : str
        Line at the foot of every page.
    """

    paper: tuple[float, float]
    running: str
    figures: list[Figure] = field(default_factory=list)
    at: float = 0.0

    def new_page(self) -> Figure:
        """Begin a page and put the cursor at its top."""
        from matplotlib.figure import Figure

        wide, high = self.paper
        figure = Figure(figsize=(wide / 25.4, high / 25.4))
        self.figures.append(figure)
        self.at = EDGE_MM
        # The number of the page stands at the right.
        running = shortened(self.running, wide - 2 * EDGE_MM - 30.0, 6.5)
        self.write_at(EDGE_MM, high - 6.0, running, 6.5, color=look.QUIET)
        return figure

    @property
    def room(self) -> float:
        """Height left on this page, mm."""
        return self.paper[1] - EDGE_MM - self.at

    def write_at(
        self, x: float, y: float, text: str, size: float, bold: bool = False,
        color: str = look.INK, right: bool = False,
    ) -> None:  # fmt: skip
        """Write one line; x and y in mm from the upper left corner, y at its middle."""
        wide, high = self.paper
        say(
            self.figures[-1], x / wide, 1.0 - y / high, tied(text), fontsize=size, va="center",
            ha="right" if right else "left", weight="bold" if bold else "normal", color=color,
        )  # fmt: skip

    def heading(self, text: str, size: float = 11.0) -> None:
        """Write a heading, wrapped to the page; it never stands alone at the foot."""
        if not self.figures or self.room < 26.0:
            self.new_page()
        self.at += 3.0
        for line in wrap(text, (self.paper[0] - 2 * EDGE_MM) * BOLD_SHARE, size):
            self.write_at(EDGE_MM, self.at + 2.5, line, size, bold=True)
            self.at += 5.0
        self.at += 2.5

    def paragraph(
        self, text: str, size: float = 8.5, indent: float = 0.0, bold: bool = False
    ) -> None:
        """Write text, wrapped to the page."""
        height = size * POINT_MM * LINE_MM
        # Bold letters are wider than those that lines are measured in.
        width = (self.paper[0] - 2 * EDGE_MM - indent) * (BOLD_SHARE if bold else 1.0)
        for line in wrap(text, width, size):
            if self.room < height:
                self.new_page()
            self.write_at(EDGE_MM + indent, self.at + height / 2, line, size, bold=bold)
            self.at += height
        self.at += 1.0

    def table(
        self, heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...],
        shares: tuple[float, ...], size: float = 8.0, numeric: tuple[int, ...] = (),
    ) -> None:  # fmt: skip
        """Write a table; heads are repeated on every page and cells wrap.

        `shares` are the relative widths of the columns; `numeric` columns are set right.
        """
        room = self.paper[0] - 2 * EDGE_MM
        widths = [room * share / sum(shares) for share in shares]
        heights = [_row_height(row, widths, size) for row in rows]
        self._row(heads, widths, size, numeric, bold=True)
        whole_page = self.paper[1] - 2 * EDGE_MM - _row_height(heads, widths, size)
        first = page_starts(heights, self.room, whole_page)
        for k, row in enumerate(rows):
            if k in first:
                self.new_page()
                self._row(heads, widths, size, numeric, bold=True)
            self._row(row, widths, size, numeric)
        self.at += 2.0

    def _row(
        self, cells: tuple[str, ...], widths: list[float], size: float, numeric: tuple[int, ...],
        bold: bool = False,
    ) -> None:  # fmt: skip
        from matplotlib.lines import Line2D

        height = size * POINT_MM * LINE_MM
        x = EDGE_MM
        most = 1
        for k, (cell, width) in enumerate(zip(cells, widths, strict=True)):
            lines = wrap(cell, width - 2.0, size)
            most = max(most, len(lines))
            for n, line in enumerate(lines):
                right = k in numeric
                self.write_at(
                    x + (width - 3.0 if right else 0.0), self.at + (n + 0.5) * height, line, size,
                    bold=bold, right=right,
                )  # fmt: skip
            x += width
        self.at += most * height + RULE_MM / 2.0
        wide, high = self.paper
        y = 1.0 - (self.at - 0.2) / high
        self.figures[-1].add_artist(
            Line2D(
                [EDGE_MM / wide, 1.0 - EDGE_MM / wide], [y, y],
                linewidth=0.7 if bold else 0.25, color=look.INK if bold else "#b9b9b9",
            )
        )  # fmt: skip
        self.at += RULE_MM / 2.0


def page_starts(heights: list[float], room: float, whole_page: float) -> set[int]:
    """Rows of a table that begin a new page; none stands there alone if it need not.

    Parameters
    ----------
    heights : list of float
        Of the rows, mm.
    room : float
        Left for rows on the page on which the table begins, mm.
    whole_page : float
        Room for rows on every further page, mm.
    """
    starts: list[int] = []
    for k, height in enumerate(heights):
        if room < height:
            starts.append(k)
            room = whole_page
        room -= height
    last = len(heights) - 1
    # The row before keeps the last one company, unless it would leave another one alone.
    before = starts[-2] if len(starts) > 1 else 0
    if starts and starts[-1] == last and last - before > 2 and sum(heights[-2:]) <= whole_page:
        starts[-1] -= 1
    return set(starts)


def _row_height(cells: tuple[str, ...], widths: list[float], size: float) -> float:
    """Height of a row, its rule included, mm."""
    pairs = zip(cells, widths, strict=True)
    lines = max(len(wrap(cell, width - 2.0, size)) for cell, width in pairs)
    return lines * size * POINT_MM * LINE_MM + RULE_MM


def shortened(text: str, width: float, size: float) -> str:
    """Return a line that is no wider than `width` mm at a font size, cut off with an ellipsis."""
    lines = wrap(text, width, size)
    return lines[0] if len(lines) == 1 else f"{wrap(text, width - 4.0, size)[0]} \u2026"


def wrap(text: str, width: float, size: float) -> list[str]:
    """Break text into lines no wider than `width` mm at a font size in points.

    Figures are not parted from their units: a no-break space is no place to break.
    """
    lines: list[str] = []
    line = ""
    for word in re.split(r"[ \t\r\n]+", tied(text).strip(" \t\r\n")):
        for part in _breakable(word, width, size):
            tried = f"{line} {part}".strip()
            if line and _wide(tried, size) > width:
                lines.append(line)
                line = part
            else:
                line = tried
    return [*lines, line] if line or not lines else lines


def _breakable(word: str, width: float, size: float) -> list[str]:
    if _wide(word, size) <= width:
        return [word]
    count = max(1, int(len(word) * width / _wide(word, size)) - 1)
    return [word[k : k + count] for k in range(0, len(word), count)]


def _wide(text: str, size: float) -> float:
    # Bold text is wider by about a tenth.
    return text_width(text) * size * POINT_MM * 1.06
