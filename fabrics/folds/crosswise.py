"""Folds across the grain: two plies of the full width, with the fold or cut along it."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping

from fabrics.folds.cloth import ClothToFold
from fabrics.folds.fold import Depths, Fold, Spread
from fabrics.folds.plies import Faces, FoldEdge, Ply, Zone
from fabrics.folds.ply_name import PlyName
from fabrics.folds.tape import fold_tape
from pieces.lengths import System


class FoldAcross(Fold):
    """What is folded in half across its width."""

    __slots__ = ()

    rank = 2
    doubled = True

    def depths(self, width: float, d1: float | None, d2: float | None) -> Depths:
        """None: the cloth keeps its width."""
        return 0.0, 0.0

    def plies(self, width: float, depths: Depths) -> tuple[Ply, ...]:
        """The lower ply after the fold, the upper one before it."""
        return (Ply(PlyName.LOWER, 1, 1, 1, 0.0, 0.0, width), self.upper(width))

    @abstractmethod
    def upper(self, width: float) -> Ply:
        """The upper ply."""

    def zones(self, width: float, selvage: float, depths: Depths) -> tuple[Zone, ...]:
        """One of two plies, between the selvages."""
        return (Zone(selvage, width - selvage, (0, 1)),)


class Crosswise(FoldAcross):
    """The upper ply heads the other way."""

    __slots__ = ()

    value = "crosswise"
    taught = "crosswise fold"
    keeps_heads = False
    begins_at = "crosswise fold"

    def upper(self, width: float) -> Ply:
        """Mirrored lengthwise."""
        return Ply(PlyName.UPPER, -1, 1, 1, 0.0, 0.0, width)

    def edges(self, width: float, depths: Depths) -> tuple[FoldEdge, ...]:
        """The fold, across the grain."""
        return (FoldEdge(False, 0.0, 1, (0, 1)),)

    def refusal(self, cloth: ClothToFold) -> str | None:
        """Not on one-way cloth."""
        if cloth.one_way:
            return (
                "fold crosswise: the plies of a crosswise fold run in opposite directions and "
                f"'{cloth.name}' is one-way cloth; turned (crosswise, cut and turned) keeps heads "
                "alike"
            )
        return super().refusal(cloth)

    def how_at(self, spread: Spread, place: float, system: System) -> str:
        """Fold where flaws come to lie clear of the pieces."""
        return (
            f"Fold the cloth across its width {fold_tape(place, system)} from the cut end from "
            f"which its flaws are measured, {_faces(spread)}, that end uppermost; the selvages lie "
            "on each other at both sides, the cut ends need not."
        )

    def how(self, spread: Spread, system: System) -> str:
        """Fold in half across."""
        return (
            f"Fold the cloth in half across its width, {_faces(spread)}, cut end on cut end; the "
            "selvages lie on each other at both sides."
        )

    def least_width(self, spread: Spread, used: Mapping[int, tuple[float, float]]) -> float:
        """What is used, and the selvages."""
        low, high = used[0]
        return high - low + 2.0 * spread.selvage


class Turned(FoldAcross):
    """Cut along the fold, the upper ply turned half round, so that all heads run one way."""

    __slots__ = ()

    value = "turned"
    taught = "crosswise, cut and turned"
    cut_apart = True
    begins_at = "edge cut along the fold"
    note = "After turning there is no crosswise fold left, so nothing is placed on a fold."

    def upper(self, width: float) -> Ply:
        """Mirrored from selvage to selvage."""
        return Ply(PlyName.UPPER, 1, -1, 0, width, 0.0, width)

    def edges(self, width: float, depths: Depths) -> tuple[FoldEdge, ...]:
        """None is left."""
        return ()

    def how_at(self, spread: Spread, place: float, system: System) -> str:
        """Cut where flaws come to lie clear of the pieces."""
        return (
            f"Fold the cloth across its width {fold_tape(place, system)} from the cut end from "
            f"which its flaws are measured, {_faces(spread)}, that end uppermost. Cut along the "
            "fold, then turn the upper layer half round on the table, without turning it over, so "
            "that its nap runs the same way as the lower layer's."
        )

    def how(self, spread: Spread, system: System) -> str:
        """Fold, cut, and turn."""
        return (
            f"Fold the cloth in half across its width, {_faces(spread)}, cut end on cut end. Cut "
            "along the fold, then turn the upper layer half round on the table, without turning it "
            "over, so that its nap runs the same way as the lower layer's."
        )

    def least_width(self, spread: Spread, used: Mapping[int, tuple[float, float]]) -> float:
        """The upper ply is turned end for end, so both sides must give up alike."""
        low, high = used[0]
        spare = min(low - spread.selvage, spread.width - spread.selvage - high)
        return spread.width - 2.0 * max(0.0, spare)


def _faces(spread: Spread) -> str:
    return "right sides together" if spread.faces is Faces.IN else "right sides out"


Fold.CROSSWISE = Fold.add(Crosswise)
Fold.TURNED = Fold.add(Turned)
