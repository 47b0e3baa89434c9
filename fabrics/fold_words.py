"""Folds in words: how they are called and how to make one, in figures that a person can fold."""

from __future__ import annotations

import math

from fabrics.spread import Faces, Fold, Spread
from pieces.lengths import INCH_MM, System, format_length

_TAUGHT = {
    Fold.OPEN: "single layer",
    Fold.LENGTHWISE: "lengthwise fold",
    Fold.PARTIAL: "partial lengthwise fold",
    Fold.DOUBLE: "double lengthwise fold",
    Fold.CROSSWISE: "crosswise fold",
    Fold.TURNED: "crosswise, cut and turned",
    Fold.SECTIONED: "combined folds",
}


def taught_name(fold: Fold) -> str:
    """Return the name under which a fold is taught."""
    return _TAUGHT[fold]


FOLDABLE_MM = (5.0, INCH_MM / 4.0)
"""What a person can fold to with a tape: half centimetres, quarter inches. Both always count, so
that the units that figures are shown in do not change a layout."""


def explained_name(fold: Fold) -> str:
    """Return the taught name, explained where it does not say how the cloth lies."""
    if fold is Fold.SECTIONED:
        return "combined folds: the cloth is cut across, each part folded in its own way"
    return taught_name(fold)


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


def how_to_fold(spread: Spread, system: System) -> str:
    """Say in a sentence or two how to lay the cloth."""
    folded = spread.faces is not Faces.OUT
    faces = "right sides together" if folded else "right sides out"
    side = "right side up" if folded else "right side down"

    def tape(length: float) -> str:
        return format_length(length, system)

    if spread.fold is Fold.OPEN:
        return f"Lay the cloth out in a single layer, {side}."
    if spread.fold is Fold.LENGTHWISE:
        return f"Fold the cloth in half along its length, {faces}, selvage on selvage."
    if spread.fold is Fold.PARTIAL:
        return (
            f"Lay the cloth {side} and fold one selvage in by {fold_tape(spread.d1, system)}, "
            f"{faces}; a single layer {tape(spread.lay_height - spread.d1)} wide is left beside it."
        )
    if spread.fold is Fold.DOUBLE:
        return _double(spread, faces, side, system)
    if spread.fold is Fold.CROSSWISE:
        return (
            f"Fold the cloth in half across its width, {faces}, cut end on cut end; the selvages "
            "lie on each other at both sides."
        )
    return (
        f"Fold the cloth in half across its width, {faces}, cut end on cut end. Cut along the "
        "fold, then turn the upper layer half round on the table, without turning it over, so "
        "that its nap runs the same way as the lower layer's."
    )


def _double(spread: Spread, faces: str, side: str, system: System) -> str:
    first, second = fold_tape(spread.d1, system), fold_tape(spread.d2, system)
    meet = abs(spread.d1 + spread.d2 - spread.width / 2.0) < INCH_MM / 2.0
    if meet and abs(spread.d1 - spread.d2) < 1.0:
        return (
            f"Lay the cloth {side} and fold both selvages in to meet in the middle, {faces} "
            f"(each side by {first})."
        )
    rest = spread.lay_height - spread.d1 - spread.d2
    end = (
        "the selvages all but meet."
        if meet
        else f"a single layer {format_length(rest, system)} wide is left between them."
    )
    # The first fold is at the right hand of who looks along the cloth, unless the lay is mirrored.
    right, left = (first, second) if spread.faces is not Faces.OUT else (second, first)
    return (
        f"Lay the cloth {side} and fold the selvage at your right in by {right} and the one at "
        f"your left by {left}, as you look along the cloth from its cut end, {faces}; {end}"
    )
