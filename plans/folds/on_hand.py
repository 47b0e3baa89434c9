"""Whether a layout fits on the cloth that there is, and by how much it does not."""

from __future__ import annotations

from dataclasses import dataclass

from fabrics.buying import off_the_bolt
from fabrics.fold_words import taught_name
from fabrics.spread import Fold
from pieces.lengths import EXCESS_MM, format_length, shown_rest
from plans.errors import NothingFitsError
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult, Outcome
from plans.order import Order


def needed(job: FabricJob, result: FoldResult) -> float:
    """Length (mm) that a result takes off the cloth on hand, in its own state."""
    return off_the_bolt(result.length + job.beyond, job.fabric, job.margin)


def fits(job: FabricJob, result: FoldResult) -> bool:
    """Whether there is as much; cloth that is yet to be bought always fits."""
    on_hand = job.fabric.on_hand
    return on_hand is None or needed(job, result) <= on_hand + EXCESS_MM


@dataclass(frozen=True)
class Shortage:
    """One fabric of which there is too little, and what was found: nothing of it fits."""

    job: FabricJob
    order: Order
    results: tuple[FoldResult, ...]

    @property
    def best(self) -> FoldResult:
        """The shortest layout found."""
        return min(self.results, key=lambda result: needed(self.job, result))

    @property
    def on_hand(self) -> float:
        """Length that there is, mm, in its own state."""
        return self.job.fabric.on_hand or 0.0

    @property
    def missing(self) -> float:
        """By how much the shortest layout is too long, mm of cloth in its own state."""
        return needed(self.job, self.best) - self.on_hand

    def headline(self, longer: float | None = None) -> str:
        """Say what there is, what it takes, and how much is missing.

        `longer` is what the unchanged garment takes (mm) after a search that went on, if shorter.
        """
        job = self.job
        takes = needed(job, self.best)
        how = f"({taught_name(self.best.fold)})"
        if longer is not None and self.on_hand < longer < takes - EXCESS_MM:
            takes, how = longer, "(after a longer search)"
        state = "washed" if job.fabric.washed else "unwashed"

        def tape(length: float) -> str:
            return format_length(length, job.system)

        return (
            f"fabric '{job.fabric.name}' ({', '.join(job.roles)}): {tape(self.on_hand)} on hand "
            f"({state}), and the shortest layout found takes {tape(takes)} {how}: "
            f"{tape(shown_rest(job.system, takes, self.on_hand))} too little"
        )


class ShortageError(NothingFitsError):
    """There is too little cloth on hand; `plans.rescue` works out what would help."""

    def __init__(self, shortages: tuple[Shortage, ...]) -> None:
        super().__init__("\n  ".join(shortage.headline() for shortage in shortages))
        self.shortages = shortages


def shortage_of(job: FabricJob, order: Order, results: dict[Fold, Outcome]) -> Shortage | None:
    """Return by how much the cloth on hand is too short for every layout found; None if it is not.

    Parameters
    ----------
    job : FabricJob
        Its fabric says what is on hand.
    order : Order
    results : dict of Fold to outcome
        What was tried.
    """
    found = tuple(result for result in results.values() if isinstance(result, FoldResult))
    if any(fits(job, result) for result in found):
        return None
    return Shortage(job, order, found)
