"""Filling a comparison in a process of its own: cells as they come, each with its layout."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path
from typing import Any

from fabrics.fabric import Fabric
from fabrics.plain import properties_of
from fabrics.spread import Fold
from layout.kernels.cache import is_warm
from plans.compare.cells import Cell, Question, cell_of, with_best
from plans.compare.results import ResultCache
from plans.compare.search import compare
from plans.compare.table import EFFORT_WORDS
from plans.folds.outcome import FoldResult, Outcome
from plans.folds.sketching import sketch_of
from plans.page.comparing.wanted import STASH, Wanted, looked_up
from plans.page.sketched import FIRST_RUN, sketch_data
from plans.page.work.process import Tell

ASKED = "asked"
"""What is told of a cell beside its own fields: its cloth as one types it."""

BETWEEN_S = 0.25
"""The table is told no more often: nobody reads faster."""


def comparing_task(tell: Tell, wanted: Wanted, stash: str) -> dict[str, Any]:
    """Fill every cell, or those that were reached when it is asked to end.

    It tells `cells` (all of them as they are), `layout-K` (what lies where in cell K) and `step`.
    """
    if not is_warm():
        tell({"kind": "step", "words": FIRST_RUN})
    found = looked_up(wanted, Path(stash))
    filling = _Filling(tell, found.questions)
    try:
        filling.show()
        cells, interrupted = compare(
            found.questions, found.order.effort, ResultCache(), on_step=filling.step,
            on_cell=filling.take,
        )  # fmt: skip
    except KeyboardInterrupt:
        # Before the first cell, or after the last one.
        cells, interrupted = with_best(filling.cells), True
    efforts = {cell.effort for cell in cells} - {"quick"}
    return {
        "cells": filling.data(cells),
        "title": found.order.garment.title,
        "words": [text for text in (found.price, _efforts(efforts)) if text],
        "interrupted": interrupted,
    }


def _efforts(searched: set[str]) -> str:
    if not searched:
        return (
            "Quick effort, a first look: lengths may be a good deal too long. Normal effort "
            "searches on where it decides."
        )
    return EFFORT_WORDS[max(searched)]


class _Filling:
    """The cells as they are, told now and then."""

    def __init__(self, tell: Tell, questions: list[Question]) -> None:
        self._tell = tell
        self._questions = questions
        self.cells = [cell_of(question, None) for question in questions]
        self._told = 0.0

    def take(self, k: int, cell: Cell, outcome: Outcome) -> None:
        """A cell holds this from now on."""
        self.cells[k] = cell
        if isinstance(outcome, FoldResult):
            sketch = sketch_of(self._questions[k].job, outcome)
            self._tell({"kind": f"layout-{k}", "sections": sketch_data(sketch)})
        if time.monotonic() - self._told >= BETWEEN_S:
            self.show()

    def step(self, done: int, of: int) -> None:
        """So many steps of so many are done."""
        self._tell({"kind": "step", "words": f"{done} of {of} steps", "done": done, "of": of})

    def show(self) -> None:
        """Tell all cells."""
        self._told = time.monotonic()
        self._tell({"kind": "cells", "cells": self.data(self.cells)})

    def data(self, cells: Iterable[Cell]) -> list[dict[str, Any]]:
        """Cells as plain data, each with the cloth as one types it to plan on it."""
        return [
            _data(cell) | {ASKED: _as_typed(question.job.fabric)}
            for cell, question in zip(cells, self._questions, strict=True)
        ]


def _data(cell: Cell) -> dict[str, Any]:
    data = {field.name: getattr(cell, field.name) for field in fields(cell)}
    return data | {"fold": cell.fold.value, "roles": list(cell.roles)}


def cell_from(data: dict[str, Any]) -> Cell:
    """A cell again from plain data."""
    own = {name: value for name, value in data.items() if name != ASKED}
    return Cell(**own | {"fold": Fold.named(data["fold"]), "roles": tuple(data["roles"])})


def _as_typed(fabric: Fabric) -> str:
    """A cloth as it is asked for again; plain cloth with the nap that it has in its table."""
    if fabric.bolt:
        return f"{STASH}{fabric.bolt}"
    napped = "nap" in [part.strip() for part in properties_of(fabric.name).split(",")]
    return f"{fabric.name},nap" if fabric.plain and fabric.one_way and not napped else fabric.name
