"""The area account of a purchase: pieces, leftovers worth keeping, scrap; it adds up to 100 %."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AreaAccount:
    """Shares of the washed cloth of the length bought, full width; they add up to 1."""

    pieces: float
    leftovers: float
    scrap: float


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
