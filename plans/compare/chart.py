"""A comparison as a chart: what to buy, and what it costs, against the width of the cloth."""

from __future__ import annotations

from itertools import cycle
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fabrics.spread import Fold
from pieces.lengths import INCH_MM, YARD_MM, System
from plans.compare.cells import Cell
from plans.compare.chart_names import Named, Taken, write_names
from plans.drawing import look
from plans.drawing.writing import families, write_figure
from plans.drawing.writing import shown as drawable

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

DPI = 150

MOST_TICKS = 14
"""Widths that can be named side by side below a panel."""

LINES = ("-", "--", "-.", ":", (0, (6, 1.5)), (0, (3, 1, 1, 1, 1, 1)), (0, (1, 2.5)))
MARKS = ("o", "s", "^", "D", "v", "P", "X")
HUES = ("#0072b2", "#d55e00", "#009e73", "#7a4b94", "#333333", "#b8860b", "#56789a")
"""A line, a mark and a hue for each fold: any one of them tells it (hues after Okabe and Ito,
Color universal design, 2008)."""


class _Panel(NamedTuple):
    roles: tuple[str, ...]
    one_way: bool
    cost: str | None = None
    """Currency of what it costs ("" if none was named); None for what is bought."""

    def value(self, cell: Cell, unit: float) -> float:
        """What is drawn of a cell; lengths in units of so many mm."""
        return (cell.buy or 0.0) / unit if self.cost is None else cell.cost or 0.0

    def shows(self, cell: Cell) -> bool:
        """Whether a cell stands in it."""
        if (cell.roles, cell.one_way) != (self.roles, self.one_way):
            return False
        return self.cost is None or (cell.cost is not None and cell.currency == self.cost)


def write_chart(cells: tuple[Cell, ...], title: str, path: Path, system: System) -> None:
    """Draw the chart into a PNG, SVG or PDF file."""
    write_figure(comparison_figure(cells, title, system), path, dpi=DPI)


def comparison_figure(cells: tuple[Cell, ...], title: str, system: System) -> Figure:
    """Draw a panel for each set of roles and direction of nap, and one for each currency in it."""
    from matplotlib.figure import Figure

    found = [cell for cell in cells if cell.buy is not None]
    groups = list(dict.fromkeys((cell.roles, cell.one_way) for cell in found))
    panels = [
        panel
        for group in groups
        for panel in (_Panel(*group), *(_Panel(*group, one) for one in _currencies(found, group)))
    ]
    columns = 2 if len(panels) > 1 else 1
    rows = max(1, -(-len(panels) // columns))
    figure = Figure(figsize=(5.2 * columns + 1.4, 3.5 * rows + 1.1), layout="constrained")
    figure.suptitle(
        drawable(title), fontsize=12, weight="bold", color=look.INK, parse_math=False,
        fontfamily=families(title),
    )  # fmt: skip
    handles: dict[str, Artist] = {}
    named: list[tuple[Axes, list[Named], Taken]] = []
    for index, panel in enumerate(panels):
        axes = figure.add_subplot(rows, columns, index + 1)
        handles |= _draw(axes, panel, found, system)
        named.append((axes, *_named(panel, found, system)))
    if handles:
        figure.legend(
            list(handles.values()), list(handles), loc="outside lower center",
            ncols=min(4, len(handles)), fontsize=8.5, frameon=False, handlelength=4.0,
        )  # fmt: skip
    if any(names for _, names, _ in named):
        # Only now is it known where marks lie on the paper.
        figure.draw_without_rendering()
        for axes, names, taken in named:
            write_names(axes, names, taken)
    return figure


def _currencies(cells: list[Cell], group: tuple[tuple[str, ...], bool]) -> list[str]:
    """Currencies in which cells of a group cost something, each once: they share no scale."""
    mine = [cell for cell in cells if (cell.roles, cell.one_way) == group]
    return list(dict.fromkeys(cell.currency for cell in mine if cell.cost is not None))


def _units(system: System) -> tuple[float, float]:
    """What a width and a length are drawn in, mm."""
    return (INCH_MM, YARD_MM) if system is System.IMPERIAL else (10.0, 1000.0)


def _named(panel: _Panel, cells: list[Cell], system: System) -> tuple[list[Named], Taken]:
    """Cloth that is named beside its lowest mark, and what names keep clear of."""
    wide, long = _units(system)
    shown = [cell for cell in cells if panel.shows(cell)]
    at = [(cell.width / wide, panel.value(cell, long)) for cell in shown]
    lowest: dict[str, tuple[float, float]] = {}
    for cell, (x, y) in zip(shown, at, strict=True):
        if not cell.plain and (cell.cloth not in lowest or y < lowest[cell.cloth][1]):
            lowest[cell.cloth] = x, y
    names = [Named(name, *place) for name, place in sorted(lowest.items(), key=lambda n: n[1])]
    lines = tuple(
        tuple(
            sorted(
                place
                for cell, place in zip(shown, at, strict=True)
                if cell.plain and cell.fold is fold
            )
        )
        for fold in Fold
    )
    ringed = tuple(place for cell, place in zip(shown, at, strict=True) if cell.best)
    return names, Taken(tuple(at), ringed, lines)


def _draw(axes: Axes, panel: _Panel, cells: list[Cell], system: System) -> dict[str, Artist]:
    wide, long = _units(system)
    handles: dict[str, Artist] = {}
    shown = [cell for cell in cells if panel.shows(cell)]
    looks = zip(cycle(LINES), cycle(MARKS), cycle(HUES), Fold, strict=False)
    for line, mark, hue, fold in looks:
        # Plain widths make a line; a fabric of the shelf is a mark of its own, named below.
        for is_plain in (True, False):
            points = sorted(
                (cell.width / wide, panel.value(cell, long))
                for cell in shown
                if cell.fold is fold and cell.plain is is_plain
            )
            if not points:
                continue
            handles[fold.value] = axes.plot(
                *zip(*points, strict=True), linestyle=line if is_plain else "",
                marker=mark, color=hue, markersize=5.5, linewidth=1.5, alpha=0.9,
            )[0]  # fmt: skip
    for cell in shown:
        if cell.best:
            axes.plot(
                [cell.width / wide], [panel.value(cell, long)], "o", markersize=14,
                markerfacecolor="none", markeredgecolor=look.INK, markeredgewidth=1.2,
            )  # fmt: skip
    nap = "one way" if panel.one_way else "without nap"
    roles = drawable(", ".join(panel.roles))
    axes.set_title(
        f"{roles}: {nap}", fontsize=10, color=look.INK, parse_math=False,
        fontfamily=families(roles),
    )  # fmt: skip
    unit = "yd" if system is System.IMPERIAL else "m"
    cost = drawable(f"cost ({panel.cost})") if panel.cost else "cost (no currency named)"
    axes.set_ylabel(
        f"to buy ({unit})" if panel.cost is None else cost, fontsize=9,
        parse_math=False, fontfamily=families(panel.cost or ""),
    )  # fmt: skip
    axes.set_xlabel(
        f"width ({'in' if system is System.IMPERIAL else 'cm'}), best ringed", fontsize=9
    )
    axes.set_xticks(_ticks({round(cell.width / wide, 1) for cell in shown}))
    axes.set_ylim(bottom=0.0)
    axes.margins(x=0.05 if all(cell.plain for cell in shown) else 0.2)
    axes.tick_params(labelsize=8.5)
    axes.grid(True, color=look.DEAD, linewidth=0.6)
    axes.spines[["top", "right"]].set_visible(False)
    return handles


def _ticks(widths: set[float]) -> list[float]:
    """Widths to be named on the axis: of two that are next to each other the narrower one."""
    near = (max(widths) - min(widths)) / MOST_TICKS
    found: list[float] = []
    for width in sorted(widths):
        if not found or width - found[-1] > near:
            found.append(width)
    return found
