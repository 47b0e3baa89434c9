"""Filling the chart of sizes: every size, role and width in the folds that may be taken."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor

from fabrics.fabric import Fabric
from fabrics.spread import Fold
from plans.compare.cells import Cell, Question, cell_of
from plans.compare.questions import questions_for
from plans.compare.results import ResultCache
from plans.compare.search import OnStep, compare
from plans.compare.size_chart import SizeNeed, needs_of
from plans.order import Order

DEFAULT_FOLDS = (Fold.LENGTHWISE, Fold.PARTIAL, Fold.DOUBLE, Fold.OPEN)
"""Those that the back of a pattern may count on: everybody can lay them."""


def search_needs(
    orders: Mapping[str, Order],
    cloths: list[Fabric],
    folds: tuple[Fold, ...],
    effort: str,
    store: ResultCache | None = None,
    on_step: OnStep | None = None,
    executor: Executor | None = None,
) -> tuple[list[SizeNeed], bool]:
    """Work out what each size needs; return that and whether the user interrupted.

    Parameters
    ----------
    orders : mapping of str to Order
        What is made, by size; their cloth does not count.
    cloths : list of Fabric
        One of each width without nap and one with it.
    folds : tuple of Fold
        The shortest counts; `DEFAULT_FOLDS` if there is none.
    effort : str
    store : ResultCache, optional
    on_step : callable, optional
    executor : Executor, optional
        Processes of this machine unless given.
    """
    asked = _asked(orders, cloths, folds)
    questions = [question for mine in asked.values() for question in mine]
    cells, interrupted = compare(questions, effort, store, executor, on_step, every_cloth=True)
    return _needs(asked, cells, cloths), interrupted


def needs_before(
    orders: Mapping[str, Order], cloths: list[Fabric], folds: tuple[Fold, ...]
) -> list[SizeNeed]:
    """The same before anything is searched: what will be told, without a length."""
    asked = _asked(orders, cloths, folds)
    cells = tuple(cell_of(question, None) for mine in asked.values() for question in mine)
    return _needs(asked, cells, cloths)


def _asked(
    orders: Mapping[str, Order], cloths: list[Fabric], folds: tuple[Fold, ...]
) -> dict[str, list[Question]]:
    return {
        size: questions_for(order, (), cloths, folds=folds or DEFAULT_FOLDS)
        for size, order in orders.items()
    }


def _needs(
    asked: Mapping[str, list[Question]], cells: tuple[Cell, ...], cloths: list[Fabric]
) -> list[SizeNeed]:
    needs: list[SizeNeed] = []
    at = 0
    for size, mine in asked.items():
        needs += needs_of(size, cells[at : at + len(mine)], cloths)
        at += len(mine)
    return needs
