"""The area account of a purchase: pieces, leftovers worth keeping, scrap; it adds up to 100 %."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import Ring


@dataclass(frozen=True)
class AreaAccount:
    """Shares of the washed cloth of the length bought, full width; they add up to 1."""

    pieces: float
    leftovers: float
    scrap: float


def ring_area(ring: Ring) -> float:
    """Area of a simple ring, mm2 (shoelace formula)."""
    x, y = np.asarray(ring, dtype=float).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2.0


def area_account(
    piece_area: float, leftover_area: float, bought_washed: float, width: float
) -> AreaAccount:
    """Share out the cloth. Areas in mm2, washed length bought and full washed width in mm."""
    whole = bought_washed * width
    pieces = piece_area / whole
    leftovers = leftover_area / whole
    return AreaAccount(pieces, leftovers, 1.0 - pieces - leftovers)


def utilisation(piece_area: float, exact_length: float, width: float) -> float:
    """Pieces over exact length x full width."""
    return piece_area / (exact_length * width) if exact_length > 0.0 else 0.0
