"""Costs with and without a currency in one table."""

from __future__ import annotations

from fabrics.spread import Fold
from pieces.lengths import System
from plans.compare.cells import Cell
from plans.compare.table import NO_CURRENCY, comparison_text


def cell(cloth: str, currency: str) -> Cell:
    return Cell(
        ("main",), cloth, 1400.0, Fold.OPEN, False, 1000.0, 1000.0, 900.0, 0.2, 12.0, currency
    )


def text(*cells: Cell) -> str:
    return " ".join(comparison_text(cells, System.METRIC).split())


def test_costs_without_a_currency_beside_some_with_one() -> None:
    """Such costs cannot be ranked by whoever reads them, and the table says why."""
    assert NO_CURRENCY in text(cell("linen", "EUR"), cell("140 cm", ""))
    assert NO_CURRENCY not in text(cell("linen", "EUR"), cell("140 cm", "EUR"))
    assert NO_CURRENCY not in text(cell("linen", ""), cell("140 cm", ""))
