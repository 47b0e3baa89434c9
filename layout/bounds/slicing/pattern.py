"""The best that lies side by side in one room: a knapsack over strips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from layout.bounds.slicing.strips import CELLS, Strip
from layout.bounds.terms.relaxation import Part
from pieces.geometry_types import FloatArray


@dataclass(frozen=True)
class Pattern:
    """Strips side by side (how often each), the cells that they leave, and what all is worth.

    No pattern is worth more.
    """

    worth: float
    strips: dict[int, int]
    left: int


def best_pattern(
    strips: Sequence[Strip],
    here: Sequence[int],
    parts: Sequence[Part],
    worth: FloatArray,
    filling: float,
) -> Pattern:
    """The most valuable pattern of the strips `here`, their worth and that of a cell of filling.

    Of each part no more lie side by side than it has copies, and on the fold but one.
    """
    on_edge: list[int] = []
    beside: dict[int, list[int]] = {}
    for k in here:
        if worth[k] <= strips[k].cells * filling:
            continue
        if strips[k].on_edge:
            on_edge.append(k)
        else:
            beside.setdefault(strips[k].part, []).append(k)
    groups = [(on_edge, 1)] if on_edge else []
    groups += [(chosen, parts[part].copies) for part, chosen in beside.items()]
    best = np.arange(CELLS + 1) * filling
    taken: list[tuple[list[int], FloatArray]] = []
    for group, times in groups:
        group = _undominated(group, strips, worth)
        for _ in range(min(times, CELLS // strips[group[0]].cells)):
            offers = np.full((len(group) + 1, CELLS + 1), -np.inf)
            offers[0] = best
            for row, k in enumerate(group, start=1):
                cells = strips[k].cells
                offers[row, cells:] = best[: CELLS + 1 - cells] + worth[k]
            choice = offers.argmax(axis=0)
            best = np.take_along_axis(offers, choice[None, :], axis=0)[0]
            taken.append((group, choice))
    return _traced(float(best[CELLS]), taken, strips)


def _undominated(group: list[int], strips: Sequence[Strip], worth: FloatArray) -> list[int]:
    """Without those that are no narrower and worth no more than another."""
    kept: list[int] = []
    for k in sorted(group, key=lambda k: (strips[k].cells, -worth[k])):
        if not kept or worth[k] > worth[kept[-1]]:
            kept.append(k)
    return kept


def _traced(
    worth: float, taken: list[tuple[list[int], FloatArray]], strips: Sequence[Strip]
) -> Pattern:
    at = CELLS
    chosen: dict[int, int] = {}
    for group, choice in reversed(taken):
        row = int(choice[at])
        if row:
            k = group[row - 1]
            chosen[k] = chosen.get(k, 0) + 1
            at -= strips[k].cells
    return Pattern(worth, chosen, at)
