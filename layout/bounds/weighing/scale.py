"""Dual feasible functions: what a width weighs, so that what lies side by side weighs 1 at most.

Each is true for whatever fits a capacity together. Families: how many of a width t fit side by
side (floor(w / t) / k), wide ones whole and small ones nothing, and steps at whole shares of the
width (Fekete and Schepers, arXiv cs/0402044; Clautiaux, Alves, Valerio de Carvalho, Ann. OR 179,
2010). All are superadditive, so that the one piece that lies on a fold edge weighs what the rest
of the width leaves: 1 - f(capacity - w).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray

MOST_ACROSS = 12
"""Pieces that are so narrow that more lie side by side are bounded by their area."""

MOST_SHARES = 7
"""Most shares of the width at which weights step."""

STEPS = 200
"""Even steps of the width at which functions may change."""


@dataclass(frozen=True)
class Scale:
    """A row for each function: its weights of a free piece and of one on a fold, at `widths` (mm).

    Between two widths the weight of the lower one counts. `across` tells for each function how many
    pieces it allows side by side (0: that does not describe it).
    """

    widths: FloatArray
    free: FloatArray
    on_edge: FloatArray
    across: tuple[int, ...]


def scale_for(capacity: float, widths: FloatArray) -> Scale:
    """Functions for a capacity and the widths (mm) of the pieces that matter there."""
    # What is narrower than bounds allow for weighs nothing; less than nothing has no weight.
    known = widths[(widths > 0.0) & (widths <= capacity)]
    even = np.arange(1, STEPS + 1) * capacity / STEPS
    over = (capacity / np.arange(2, MOST_ACROSS + 1)) * (1.0 + 1e-9)
    # Just more than what a piece leaves beside it.
    beyond = (capacity - known) * (1.0 + 1e-9)
    points = np.unique(np.concatenate([[0.0], even, over, known, beyond]))
    points = points[points <= capacity]
    wide = points[points > capacity / (MOST_ACROSS + 1)][:, None]
    across = np.floor(capacity / wide + 1e-9)
    small = np.unique(np.concatenate([even[::2], known]))
    small = small[small <= capacity / 2.0][:, None]

    def weights(of: FloatArray) -> FloatArray:
        # All of it for what leaves less than a small width beside it, nothing for what is smaller.
        whole = np.where(of > capacity - small, 1.0, of / capacity)
        shares = [_in_shares(of, capacity, k) for k in range(1, MOST_SHARES + 1)]
        return np.concatenate(
            [
                [of / capacity],
                np.floor(of / wide) / across,
                np.where(of < small, 0.0, whole),
                shares,
            ]
        )

    on_edge = 1.0 - weights(capacity - points)
    on_edge[:, 0] = 0.0
    many = (0, *across[:, 0].astype(int).tolist(), *(0 for _ in range(len(small) + MOST_SHARES)))
    return Scale(points, weights(points), on_edge, many)


def few_weights(widths: FloatArray, capacity: float) -> FloatArray:
    """Weights of widths (mm) by the functions that most often tell: area, and so many across.

    `MOST_ACROSS` rows: the share of the capacity, then at most 1, 2, 3 ... side by side.
    """
    allowed = np.arange(1, MOST_ACROSS)[:, None]
    over = capacity / (allowed + 1.0) * (1.0 + 1e-9)
    return np.concatenate([[widths / capacity], np.floor(widths / over) / allowed])


def _in_shares(widths: FloatArray, capacity: float, shares: int) -> FloatArray:
    steps = (shares + 1) * widths / capacity
    even = np.abs(steps - np.round(steps)) < 1e-9
    return np.where(even, widths / capacity, np.floor(steps) / shares)
