"""What a piece is called on a plan: its name, and its hand where the garment states it.

Left and right are those of the wearer.
"""

from __future__ import annotations

from pieces.piece import Cut, CutKind, Piece, Side
from plans.plan import LeftoverCopy, PlacedPiece


def side_words(sides: tuple[Side, ...]) -> str:
    """Return "left", "right" or "left and right"; empty where nothing is stated."""
    return " and ".join(side.value for side in sides)


def piece_words(copy: PlacedPiece | LeftoverCopy) -> str:
    """Name of what lies in one place, for example "front, left"."""
    sides = side_words(copy.sides)
    return f"{copy.piece}, {sides}" if sides else copy.piece


def cut_by_hand(piece: Piece, cut: Cut) -> str:
    """Cut label, with the hand where it is stated: "cut 1 (left)", "cut 2 (left drawn)"."""
    if piece.drawn_hand is None or cut.kind is CutKind.FOLD:
        return cut.label
    drawn = " drawn" if cut.kind is CutKind.PAIR else ""
    return f"{cut.label} ({piece.drawn_hand.value}{drawn})"
