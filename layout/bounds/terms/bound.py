"""What a lower bound says, and which pieces it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class BoundKind(Enum):
    """The argument that gives a bound; the value is what is printed and stands in files."""

    AREA = "area"
    LONGEST_PIECE = "longest piece"
    FOLD_EDGES = "fold edges"
    SIDE_BY_SIDE = "pieces too wide to lie side by side"
    SO_MANY_ACROSS = "how many pieces lie side by side"
    WIDTHS = "widths weighed"
    SLICES = "slices across"
    LINES = "lines that pieces must cross"
    ARRANGED = "pieces arranged along the cloth"
    PLACED = "places ruled out"


@dataclass(frozen=True)
class Share:
    """What one piece contributes to a bound: of so many copies, so much of the length (mm)."""

    key: str
    copies: int
    length: float


@dataclass(frozen=True)
class Bound:
    """A lower bound on the cloth length, mm, and the argument that gives it.

    `shares` are the pieces that it rests on (none named: all of them), and `across` how many of
    them lie side by side at most, where it follows from that.
    """

    kind: BoundKind
    length: float
    shares: tuple[Share, ...] = ()
    across: int = 0
