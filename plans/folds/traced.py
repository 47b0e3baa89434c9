"""How much outline is traced for a layout. Lengths in mm."""

from __future__ import annotations

import math

from layout.layout import Layout
from layout.problem import Item, Slot
from layout.strip_problem import StripProblem
from pieces.outline import ring_length


def outline_traced(item: Item, slot: Slot) -> float:
    """Length (mm) of outline that is traced for one placement; a fold edge is not."""
    length = ring_length(item.shapes[slot.shape])
    line = item.fold_lines[slot.shape] if len(item.fold_lines) > slot.shape else None
    return length if slot.fold_edge is None or line is None else length - math.dist(*line)


def tracing(problem: StripProblem, layout: Layout) -> float:
    """Length (mm) of outline that is traced for a whole layout."""
    items = problem.items
    return sum(
        outline_traced(items[p.item], items[p.item].slots[p.slot]) for p in layout.placements
    )
