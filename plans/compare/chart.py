"""A comparison as a chart: what to buy, and what it costs, against the width of the cloth."""

from __future__ import annotations

from itertools import cycle
from pathlib import Path
from statistics import fmean
from typing import TYPE_CHECKING, Any, NamedTuple

from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM, INCH_MM, YARD_MM, System
from plans.compare.cells import Cell
from plans.compare.chart_marks import asides, told_together, widths_text
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
"""Widths that can be named side by side below a panel; nearer ones are named together."""

ASIDE = 6.0
"""Points between marks that would lie on one another."""

PANEL_POINTS = 290.0
"""About how many points of a panel lie between the narrowest width and the widest."""

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
        marks = _marks(panel, found, system)
        handles |= _draw(axes, panel, marks, system)
        named.append((axes, *_named(marks)))
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


class _Mark(NamedTuple):
    """A cell on a panel: where it is in units of the axes, and how far aside its mark stands."""

    cell: Cell
    x: float
    y: float
    aside: float
    """Points to the right."""


def _marks(panel: _Panel, cells: list[Cell], system: System) -> list[_Mark]:
    """Where the cells of a panel are drawn: side by side where they would hide one another."""
    wide, long = _units(system)
    places = [
        (cell, cell.width / wide, panel.value(cell, long)) for cell in cells if panel.shows(cell)
    ]
    places.sort(key=lambda one: tuple(Fold).index(one[0].fold))
    widths = [x for _, x, _ in places]
    scale = PANEL_POINTS / max(max(widths) - min(widths), EXCESS_MM)
    beside = asides([(x * scale, y) for _, x, y in places], ASIDE)
    return [_Mark(*place, aside) for place, aside in zip(places, beside, strict=True)]


def _named(marks: list[_Mark]) -> tuple[list[Named], Taken]:
    """Cloth that is named beside its lowest mark, and what names keep clear of."""
    lowest: dict[str, _Mark] = {}
    for mark in marks:
        cloth = mark.cell.cloth
        if not mark.cell.plain and (cloth not in lowest or mark.y < lowest[cloth].y):
            lowest[cloth] = mark
    names = [Named(name, m.x, m.y) for name, m in sorted(lowest.items(), key=lambda n: n[1].y)]
    ringed = tuple(mark[1:] for mark in marks if mark.cell.best)
    return names, Taken(tuple(mark[1:] for mark in marks), ringed, tuple(_lines(marks).values()))


def _lines(marks: list[_Mark]) -> dict[Fold, tuple[tuple[float, float], ...]]:
    """Plain widths make a line for each fold; a fabric of the shelf is a mark of its own."""
    return {
        fold: tuple(sorted((m.x, m.y) for m in marks if m.cell.plain and m.cell.fold is fold))
        for fold in Fold
    }


def _draw(axes: Axes, panel: _Panel, marks: list[_Mark], system: System) -> dict[str, Artist]:
    from matplotlib.lines import Line2D
    from matplotlib.transforms import ScaledTranslation

    def write_mark(mark: _Mark, kind: str, **how: Any) -> None:
        aside = ScaledTranslation(mark.aside / 72.0, 0.0, axes.figure.dpi_scale_trans)
        axes.plot([mark.x], [mark.y], kind, transform=axes.transData + aside, **how)

    handles: dict[str, Artist] = {}
    lines = _lines(marks)
    # What stands aside is not counted by the axes themselves.
    axes.update_datalim([(mark.x, mark.y) for mark in marks])
    for line, kind, hue, fold in zip(cycle(LINES), cycle(MARKS), cycle(HUES), Fold, strict=False):
        mine = [mark for mark in marks if mark.cell.fold is fold]
        if not mine:
            continue
        drawn = lines[fold]
        if drawn:
            axes.plot(*zip(*drawn, strict=True), linestyle=line, color=hue, linewidth=1.5)
        for mark in mine:
            write_mark(mark, kind, color=hue, markersize=5.5)
        kinds: Any = line if drawn else ""  # dashes by their lengths, too
        handles[fold.value] = Line2D(
            [], [], linestyle=kinds, marker=kind, color=hue, markersize=5.5, linewidth=1.5
        )
    for mark in marks:
        if mark.cell.best:
            write_mark(
                mark, "o", markersize=11, markerfacecolor="none", markeredgecolor=look.INK,
                markeredgewidth=1.2,
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
    widths = sorted({round(mark.x, 1) for mark in marks})
    ticks = told_together(widths, (widths[-1] - widths[0]) / MOST_TICKS)
    axes.set_xticks([fmean(near) for near in ticks])
    axes.set_xticklabels([widths_text(near) for near in ticks])
    axes.autoscale_view()
    # Room above the highest mark for its ring.
    axes.set_ylim(0.0, 1.08 * max(mark.y for mark in marks) or 1.0)
    axes.margins(x=0.08 if all(mark.cell.plain for mark in marks) else 0.2)
    axes.tick_params(labelsize=8.5)
    axes.grid(True, color=look.DEAD, linewidth=0.6)
    axes.spines[["top", "right"]].set_visible(False)
    return handles
