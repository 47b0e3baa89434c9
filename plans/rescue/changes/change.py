"""A change that may be tried where cloth is short: what it does to a job, and its words."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Any

from fabrics.spread import Fold
from layout.problem import Wanted
from pieces.lengths import System
from pieces.piece import Piece
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult
from plans.problem.demand import Demand, demands_for
from plans.problem.joins import share


class Intrusion(IntEnum):
    """What a change does to the garment, the least first: the order in which ideas are told."""

    NOTHING = 0
    """The garment stays as it is; only the way of laying it differs."""
    NAP = 1
    JOIN = 2
    OTHER_CLOTH = 3
    CENTRE_SEAM = 4
    SHORTER = 5
    FEWER = 6

    @property
    def heading(self) -> str:
        """What stands above the ideas of this kind."""
        return {
            Intrusion.NOTHING: "Nothing about the garment changes",
            Intrusion.NAP: "Laid against the nap: panels may shade differently",
            Intrusion.JOIN: "A join more in a strip",
            Intrusion.OTHER_CLOTH: "A piece from another cloth",
            Intrusion.CENTRE_SEAM: "A seam down the middle changes the garment",
            Intrusion.SHORTER: "A shorter garment",
            Intrusion.FEWER: "Fewer garments",
        }[self]


@dataclass(frozen=True)
class Attempt:
    """What is laid, the folds in which that is tried, and whether the best is searched on.

    `known` is a layout of just these pieces that was found before: none longer is reported.
    """

    job: FabricJob
    folds: tuple[Fold, ...]
    longer: bool = False
    known: FoldResult | None = None


class Change(ABC):
    """One definite change. Implementations are frozen values that can be sent to a worker."""

    @property
    @abstractmethod
    def intrusion(self) -> Intrusion:
        """What it does to the garment."""

    @property
    def touches(self) -> frozenset[str]:
        """Keys of the demands that it changes; two changes of one piece are not combined."""
        return frozenset()

    @abstractmethod
    def applied(self, attempt: Attempt) -> Attempt | None:
        """Return what is tried with this change, or None if it cannot be."""

    @abstractmethod
    def words(self, system: System) -> str:
        """Say in plain words what changes."""

    def how(self, system: System) -> str:
        """What to type so that a plan has this change; empty where the draft must change."""
        return ""

    def asks(self) -> dict[str, Any]:
        """Options that ask for this change; empty where the garment file must change.

        By the fields of `plans.order.Order`, lengths in mm; `counts` gives how often to make a
        garment of several, by its owner.
        """
        return {}


def with_pieces(job: FabricJob, key: str, pieces: tuple[Piece, ...]) -> FabricJob:
    """Return a job in which other pieces are cut in place of one demand, as often as it is wanted.

    A demand that is only partly wanted still (the rest lies on leftovers) stays so.
    """
    demands: list[Demand] = []
    for demand in job.demands:
        demands += _instead(job, demand, pieces) if demand.key == key else [demand]
    return replace(job, demands=tuple(demands))


def _instead(job: FabricJob, demand: Demand, pieces: tuple[Piece, ...]) -> list[Demand]:
    role = (demand.cut.role,)
    whose = demand.piece
    pieces = tuple(replace(one, owner=whose.owner, times=whose.times) for one in pieces)
    made = demands_for(pieces, role, job.fabric, job.makes)
    (former,) = demands_for((demand.piece,), role, job.fabric, job.makes)
    whole = former.wanted.total
    # Two roles that share a cloth tell their pieces apart by the key.
    named = [replace(one, key=demand.key + one.key[len(demand.piece.name) :]) for one in made]
    if whole == demand.wanted.total:
        return named
    return [replace(one, wanted=_still(one.wanted, demand.wanted, whole)) for one in named]


def _still(part: Wanted, wanted: Wanted, whole: int) -> Wanted:
    """What is wanted of a part where `wanted` of `whole` pieces are."""
    if wanted.either and not part.either:
        return Wanted(
            drawn=part.drawn * wanted.total // whole, other=part.other * wanted.total // whole
        )
    return share(part, wanted, whole)
