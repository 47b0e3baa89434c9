"""Not so many garments: fewer of all that is made, or of one garment of several."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from pieces.lengths import System
from pieces.piece import Piece
from plans.folds.job import FabricJob
from plans.order import Order
from plans.problem.demand import demands_for
from plans.rescue.changes.change import Attempt, Change, Intrusion


@dataclass(frozen=True)
class Fewer(Change):
    """So many garments in place of those that were wanted.

    `owner` is the one of several that there are fewer of; empty for the only garment.
    """

    pieces: tuple[Piece, ...]
    owner: str
    count: int
    before: int

    @property
    def intrusion(self) -> Intrusion:
        """One garment or more is given up."""
        return Intrusion.FEWER

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Count again; None where nothing is left of this cloth."""
        job = attempt.job
        if not self.owner:
            demands = demands_for(self.pieces, job.roles, job.fabric, self.count)
            return replace(attempt, known=None, job=replace(job, makes=self.count, demands=demands))
        left = tuple(
            replace(
                piece, times=self.count if piece.owner == self.owner else piece.times * job.makes
            )
            for piece in self.pieces
            if self.count or piece.owner != self.owner
        )
        demands = demands_for(left, job.roles, job.fabric, 1)
        if not demands:
            return None
        return replace(attempt, known=None, job=replace(job, makes=1, demands=demands))

    def words(self, system: System) -> str:
        """Both numbers."""
        if not self.count:
            return f"without '{self.owner}'"
        of = f"'{self.owner}'" if self.owner else "the garment"
        return f"{self.count} instead of {self.before} of {of}"

    def how(self, system: System) -> str:
        """What to ask for."""
        if self.owner:
            return f"*{self.count} after its name, or count = {self.count}" if self.count else ""
        return f"--makes {self.count}"

    def asks(self) -> dict[str, Any]:
        """How many; nothing where none are left of one."""
        if self.owner:
            return {"counts": {self.owner: self.count}} if self.count else {}
        return {"makes": self.count}


def fewer(job: FabricJob, order: Order) -> list[tuple[Fewer, ...]]:
    """For the only garment, or for each of several, fewer of it, from one less to the fewest."""
    pieces = order.garment.pieces
    counts = {piece.owner: piece.times * job.makes for piece in pieces if piece.owner}
    if not counts:
        return (
            [tuple(Fewer(pieces, "", n, job.makes) for n in range(job.makes - 1, 0, -1))]
            if job.makes > 1
            else []
        )
    here = {piece.owner for piece in pieces if any(piece.cut_for(role) for role in job.roles)}
    return [
        tuple(Fewer(pieces, owner, n, count) for n in range(count - 1, -1, -1))
        for owner, count in counts.items()
        if owner in here and (count > 1 or len(here) > 1)
    ]
