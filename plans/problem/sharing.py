"""Sharing copies out between double cloth and the single cloth beside it, so that both fill alike.

Of many equal pieces cut two at a time the single cloth beside a flap stays empty, and of pieces
cut singly the double cloth does: the lay is shortest where both are as long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class ToShare:
    """What sharing out needs to know of a piece.

    Attributes
    ----------
    along : float
        Extent along the lay, mm.
    double_rows, single_rows : int
        How many lie side by side on double and on single cloth; 0 where it has no place.
    pairs : int
        Placements that are cut two at a time.
    alone : int
        Copies that are cut one at a time whatever is shared out, on single cloth.
    on_fold : int
        Copies laid as halves against a fold, on double cloth.
    """

    along: float
    double_rows: int
    single_rows: int
    pairs: int
    alone: int = 0
    on_fold: int = 0

    @property
    def double_length(self) -> float:
        """Length of double cloth (mm) that it takes."""
        return self.along * (self.pairs + self.on_fold) / max(1, self.double_rows)

    @property
    def single_length(self) -> float:
        """Length of single cloth (mm) that it takes."""
        return self.along * self.alone / max(1, self.single_rows)


def evened(pieces: Sequence[ToShare]) -> tuple[int, ...]:
    """Pairs of each piece that leave double and single cloth as long as each other.

    Those go over to single cloth first of which most lie side by side there.
    """
    shared = list(pieces)
    order = sorted(
        (k for k, one in enumerate(shared) if one.pairs and one.single_rows and one.double_rows),
        key=lambda k: (-shared[k].single_rows / shared[k].double_rows, -shared[k].along, k),
    )
    for k in order:
        one = shared[k]
        longer = sum(p.double_length for p in shared) - sum(p.single_length for p in shared)
        each = one.along / one.double_rows + 2.0 * one.along / one.single_rows
        moved = min(one.pairs, round(longer / each))
        if moved > 0:
            shared[k] = replace(one, pairs=one.pairs - moved, alone=one.alone + 2 * moved)
    return tuple(one.pairs for one in shared)
