"""Fold depths that a person can fold to with a tape, and how they are printed. Lengths in mm."""

from __future__ import annotations

import math

from pieces.lengths import INCH_MM, System, format_length

FOLDABLE_MM = (5.0, INCH_MM / 4.0)
"""What a person can fold to with a tape: half centimetres, quarter inches. Both always count, so
that the units that figures are shown in do not change a layout."""


def foldable_depth(depth: float) -> float:
    """Round a fold depth (mm) up to the next one that a tape of either kind shows."""
    return min(math.ceil(depth / step - 1e-9) * step for step in FOLDABLE_MM)


def foldable_below(depth: float) -> float:
    """Round a fold depth (mm) down to the next one that a tape of either kind shows."""
    return max(math.floor(depth / step + 1e-9) * step for step in FOLDABLE_MM)


def fold_tape(depth: float, system: System) -> str:
    """Print a fold depth (mm); with the other tape beside it where only that one shows it."""
    text = format_length(depth, system)
    imperial = system is System.IMPERIAL
    own, their = FOLDABLE_MM[::-1] if imperial else FOLDABLE_MM
    if _is_multiple(depth, own) or not _is_multiple(depth, their):
        return text
    return f"{text} ({format_length(depth, System.METRIC if imperial else System.IMPERIAL)})"


def _is_multiple(length: float, step: float) -> bool:
    return abs(length / step - round(length / step)) < 1e-6
