"""In which order pieces are cut at the table.

Common practice, no source: section by section, each from where its lay begins (the cut end, or a
fold across) onwards, so that what is not cut yet lies undisturbed and nobody reaches over it. Of
what lies within reach from one place, pieces on a fold come first, since the fold must not have
moved, then large ones, which hold the cloth down, then small ones. What is cut through one of two
plies comes last in its section: then the cloth around is cut away and the upper ply can be lifted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Protocol, TypeVar

from pieces.geometry_types import Ring
from pieces.outline import ring_area
from plans.plan import LeftoverCopy, PlacedPiece

REACH_MM = 500.0
"""What one reaches along the table without a step aside (common practice, no source)."""


class Lying(Protocol):
    """What lies on cloth: its number and its outline (mm, x along the cloth)."""

    @property
    def number(self) -> int:
        """Number on the drawing."""

    @property
    def outline(self) -> Ring:
        """What is cut along."""


T = TypeVar("T", bound=Lying)


def cutting_order(placements: Iterable[PlacedPiece]) -> tuple[PlacedPiece, ...]:
    """Order the placements of a plan's fabric as they are cut."""
    sections: dict[int, list[PlacedPiece]] = {}
    for placed in placements:
        sections.setdefault(placed.section, []).append(placed)
    order: list[PlacedPiece] = []
    for _, here in sorted(sections.items()):
        for upper_only in (False, True):
            alike = [placed for placed in here if placed.upper_only is upper_only]
            order += _onwards(alike, lambda placed: placed.on_fold)
    return tuple(order)


def leftover_order(copies: Iterable[LeftoverCopy]) -> tuple[LeftoverCopy, ...]:
    """Order what is cut from one leftover, which is a single layer."""
    return tuple(_onwards(list(copies), lambda copy: False))


def _onwards(lying: Sequence[T], first: Callable[[T], bool]) -> list[T]:
    """From the least x onwards, a reach at a time; in each what comes `first`, then by size."""
    left = sorted(lying, key=lambda one: (_begin(one), one.number))
    order: list[T] = []
    while left:
        end = _begin(left[0]) + REACH_MM
        within = [one for one in left if _begin(one) < end]
        within.sort(key=lambda one: (not first(one), -round(ring_area(one.outline)), one.number))
        order += within
        left = [one for one in left if _begin(one) >= end]
    return order


def _begin(one: Lying) -> float:
    return min(x for x, _ in one.outline)
