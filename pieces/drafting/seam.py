"""What is sewn to what: declared edges, with their ease."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

WITHIN_MM = 2.0
"""Edges that are sewn together differ by no more than this, unless it is said."""


class SeamCheck(Enum):
    """What is looked at where two edges are sewn together, besides their lengths."""

    NOTCHES = "notches"
    ALLOWANCES = "allowances"
    CORNERS = "corners"


@dataclass(frozen=True)
class EdgeOf:
    """One edge of one piece; `times` is how often the seam meets it, where that is said."""

    piece: str
    edge: str
    times: int | None = None

    def __str__(self) -> str:
        """As it is written in a garment file: piece and edge."""
        return f"{self.piece}.{self.edge}"


@dataclass(frozen=True)
class SeamSide:
    """One side of a seam: edges one after another, or plain lengths (mm) that they replace."""

    edges: tuple[EdgeOf, ...] = ()
    lengths: tuple[float, ...] = ()


@dataclass(frozen=True)
class Seam:
    """Two sides that are sewn together.

    Attributes
    ----------
    sides : (SeamSide, SeamSide)
    ease : float
        By how much (mm) the first side is to be longer than the second.
    within : float
        How far the lengths may be from that, mm.
    on_top : bool
        Whether the first side ends up lying on the second (an overlay, a facing that is turned)
        instead of beside it.
    leave : frozenset of SeamCheck
        What is meant as it is drawn, and not looked at.
    """

    sides: tuple[SeamSide, SeamSide]
    ease: float = 0.0
    within: float = WITHIN_MM
    on_top: bool = False
    leave: frozenset[SeamCheck] = frozenset()


@dataclass(frozen=True)
class Shorter:
    """An edge that is to be shorter than another by a length (mm): an overlay and its base."""

    edge: EdgeOf
    than: EdgeOf
    by: float
    within: float = WITHIN_MM
