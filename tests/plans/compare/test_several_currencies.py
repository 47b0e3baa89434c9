"""Cloth of several prices side by side: what is compared, and what a chart says of it."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from matplotlib.text import Annotation, Text

from fabrics.spread import Fold
from pieces.lengths import System
from plans.compare.cells import Cell, with_best
from plans.compare.chart import comparison_figure
from plans.compare.table import comparison_text


def cell(cloth: str, width: float, buy: float, currency: str, fold: Fold = Fold.OPEN) -> Cell:
    plain = cloth[0].isdigit()
    return Cell(
        ("main",), cloth, width, fold, False, length=buy - 20.0, buy=buy, bound=0.8 * buy,
        waste=0.4, cost=buy / 50.0, currency=currency, step=100.0, plain=plain,
    )  # fmt: skip


MIXED = with_best(
    [
        cell("115cm", 1150.0, 700.0, ""),
        cell("140cm", 1400.0, 600.0, ""),
        cell("150cm", 1500.0, 600.0, ""),
        cell("demo-linen", 1500.0, 600.0, "EUR"),
        cell("demo-jersey", 1500.0, 600.0, "EUR"),
        cell("demo-cotton-lawn", 1400.0, 600.0, "EUR"),
        cell("demo-quilting-cotton", 1100.0, 700.0, "USD"),
        cell("demo-quilting-cotton", 1100.0, 900.0, "USD", Fold.DOUBLE),
    ]
)


def words(cells: tuple[Cell, ...]) -> str:
    return " ".join(comparison_text(cells, System.METRIC).split())


def test_costs_that_cannot_be_compared_say_so() -> None:
    """Without a currency, or in two; where all are in one, nothing needs to be said."""
    assert "without a currency cannot be compared with those in EUR and USD" in words(MIXED)
    named = tuple(one for one in MIXED if one.currency)
    assert "Costs in EUR and USD cannot be compared" in words(named)
    for currency in ("", "EUR", "USD"):
        alone = tuple(one for one in MIXED if one.currency == currency)
        assert "cannot be compared" not in words(alone)


def test_a_chart_has_a_panel_for_each_currency() -> None:
    """They share no scale; one that is not named is not taken for another."""
    figure = comparison_figure(MIXED, "", System.METRIC)
    labels = [axes.get_ylabel() for axes in figure.axes]
    assert labels == ["to buy (m)", "cost (no currency named)", "cost (EUR)", "cost (USD)"]
    for axes in figure.axes:
        highest = max(float(np.max(line.get_ydata())) for line in axes.lines)
        assert highest < 0.95 * axes.get_ylim()[1], "cut off by the edge"


def test_folds_that_need_the_same_hide_nothing_of_each_other() -> None:
    """Each fold's mark can be seen, and each width is named, though two be next to each other."""
    alike = [Fold.OPEN, Fold.PARTIAL, Fold.DOUBLE]
    cells = [
        cell(cloth, width, 600.0, "EUR", fold)
        for cloth, width in (("112cm", 1120.0), ("150cm", 1500.0), ("60in", 1524.0))
        for fold in alike
    ]
    figure = comparison_figure(with_best(cells), "", System.METRIC)
    figure.draw_without_rendering()
    axes = figure.axes[0]
    assert [tick.get_text() for tick in axes.get_xticklabels()] == ["112", "150, 152.4"]
    point = figure.dpi / 72.0
    marks = [
        line.get_transform().transform(line.get_xydata())[0]
        for line in axes.lines
        if line.get_marker() in {"o", "^", "D"} and line.get_markerfacecolor() != "none"
    ]
    assert len(marks) == len(cells)
    assert min(np.hypot(*(a - b)) for a, b in combinations(marks, 2)) > 5.5 * point
    (legend,) = figure.legends
    told = {
        text.get_text(): (handle.get_linestyle(), handle.get_marker())
        for text, handle in zip(legend.get_texts(), legend.get_lines(), strict=True)
    }
    assert len(set(told.values())) == len(alike) == len(told)
    assert not {"", "None"} & {kind for _, kind in told.values()}


def test_names_on_a_chart_cover_no_mark_and_no_other_name() -> None:
    """Cloth of one width and one length lies on the same mark, and its names do not."""
    figure = comparison_figure(MIXED, "", System.METRIC)
    figure.draw_without_rendering()
    axes = figure.axes[0]
    names = [child for child in axes.get_children() if isinstance(child, Annotation)]
    assert {name.get_text() for name in names} == {one.cloth for one in MIXED if not one.plain}
    extents = [Text.get_window_extent(name) for name in names]
    for one, other in combinations(extents, 2):
        assert not one.overlaps(other)
    marks = axes.transData.transform([(c.width / 10.0, (c.buy or 0.0) / 1000.0) for c in MIXED])
    for extent in extents:
        assert not any(extent.contains(*mark) for mark in marks)
