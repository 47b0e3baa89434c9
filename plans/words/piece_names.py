"""What a piece is called on a plan: its name, and its hand where the garment states it.

Left and right are those of the wearer.
"""

from __future__ import annotations

from pieces.piece import Side
from plans.plan import LeftoverCopy, PlacedPiece


def side_words(sides: tuple[Side, ...]) -> str:
    """Return "left", "right" or "left and right"; empty where nothing is stated."""
    return " and ".join(side.value for side in sides)


def piece_words(copy: PlacedPiece | LeftoverCopy) -> str:
    """Name of what lies in one place, for example "front, left"."""
    sides = side_words(copy.sides)
    return f"{copy.piece}, {sides}" if sides else copy.piece
