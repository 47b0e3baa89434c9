"""Folds in words: how they are called and how to make one, in figures that a person can fold."""

from __future__ import annotations

from fabrics.spread import Fold, Spread
from pieces.lengths import System


def taught_name(fold: Fold) -> str:
    """Return the name under which a fold is taught."""
    return fold.taught


def explained_name(fold: Fold) -> str:
    """Return the taught name, explained where it does not say how the cloth lies."""
    return fold.explained


def how_to_fold(spread: Spread, system: System, place: float | None = None) -> str:
    """Say in a sentence or two how to lay the cloth.

    `place` is how far (mm) from the cut end it is folded across, where that is not half way.
    """
    if place is None:
        return spread.fold.how(spread, system)
    return spread.fold.how_at(spread, place, system)
