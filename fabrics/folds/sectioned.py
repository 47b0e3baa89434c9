"""Combined folds: the cloth is cut across, and each section folded in its own way."""

from __future__ import annotations

from fabrics.folds.fold import Depths, Fold, Spread
from fabrics.folds.plies import FoldEdge, Ply, SpreadError, Zone
from pieces.lengths import System


class Sectioned(Fold):
    """Several spreads one after another."""

    __slots__ = ()

    value = "sectioned"
    taught = "combined folds"
    rank = 3
    sectioned = True
    remark = "cut across, each part folded in its own way"
    note = (
        "Combined folds: the washed cloth is cut across into sections, and each section is "
        "folded in its own way before its pieces are pinned."
    )

    @property
    def explained(self) -> str:
        """The taught name with what it means."""
        return "combined folds: the cloth is cut across, each part folded in its own way"

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """Refuse: each section has depths of its own."""
        raise SpreadError("a sectioned spread is a sequence of spreads, one for each section")

    def plies(self, width: float, depths: Depths) -> tuple[Ply, ...]:
        """None of its own."""
        return ()

    def zones(self, width: float, selvage: float, depths: Depths) -> tuple[Zone, ...]:
        """None of its own."""
        return ()

    def edges(self, width: float, depths: Depths) -> tuple[FoldEdge, ...]:
        """None of its own."""
        return ()

    def how(self, spread: Spread, system: System) -> str:
        """The same for any of its sections."""
        return self.note


Fold.SECTIONED = Fold.add(Sectioned)
