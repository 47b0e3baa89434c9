"""Cloth that there is beside cloth to buy: the one costs nothing, the others are compared."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fabrics.plain import plain_fabric
from fabrics.spread import Fold
from layout.effort import Effort
from pieces.lengths import System
from plans.compare.cells import Cell, Question, cell_of, with_best
from plans.compare.table import comparison_json, comparison_text
from plans.folds.fold_search import screen
from plans.folds.jobs import jobs_for
from plans.order import Order
from tests.plans.demo import garment

PRICED = replace(plain_fabric("140cm"), price=10.0, currency="EUR")
THERE = replace(PRICED, name="blue linen", width=1100.0, on_hand=5000.0, bolt="B1", lot="")


@pytest.fixture(scope="module")
def cells() -> tuple[Cell, ...]:
    found = []
    for cloth in (PRICED, replace(PRICED, width=900.0, name="90cm"), THERE):
        (job,) = jobs_for(Order(garment("wrap-skirt"), {"main": cloth}, effort="quick"))
        for fold in (Fold.OPEN, Fold.LENGTHWISE):
            outcome = screen(job, fold, Effort.GLANCE, Effort.GLANCE)
            found.append(cell_of(Question(job, fold), outcome))
    return with_best(found)


def test_what_is_there_costs_nothing(cells: tuple[Cell, ...]) -> None:
    """In the table, and as data."""
    there = [cell for cell in cells if cell.on_hand and cell.length is not None]
    assert there
    assert all(cell.cost is None for cell in there)
    text = comparison_text(cells, System.METRIC)
    lines = [line for line in text.splitlines() if "on hand" in line]
    assert len(lines) == len(there)
    assert not any("EUR" in line for line in lines)
    written = [one for one in comparison_json(cells)["cells"] if one["cloth"] == "blue linen"]
    assert [one["cost"] for one in written] == [None, None]


def test_what_is_bought_is_still_compared_by_cost(cells: tuple[Cell, ...]) -> None:
    """One best of what is bought, by its cost; and one of what there is, by its length."""
    there = [cell for cell in cells if cell.on_hand]
    dear = [
        replace(cell, best=False, cost=(cell.cost or 0.0) * (9.0 if cell.width > 1000.0 else 1.0))
        for cell in cells
        if not cell.on_hand and cell.length is not None
    ]
    assert min(dear, key=lambda cell: cell.buy or 0.0).cloth == "140cm"
    marked = with_best([*dear, *there])
    assert {cell.cloth for cell in marked if cell.best} == {"90cm", "blue linen"}
