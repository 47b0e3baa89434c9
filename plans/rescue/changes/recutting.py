"""Changes of single pieces: joined in two, from another cloth, seamed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pieces.drafting.strips import split_strip
from pieces.lengths import System, format_length
from plans.problem.demand import Demand
from plans.problem.joins import can_split
from plans.rescue.changes.change import Attempt, Change, Intrusion, with_pieces
from plans.rescue.changes.reshaping import in_two, with_centre_seam


def demand_of(attempt: Attempt, key: str) -> Demand | None:
    """The demand of a key, if it is still wanted."""
    return next((demand for demand in attempt.job.demands if demand.key == key), None)


@dataclass(frozen=True)
class OfOnePiece(Change):
    """A change of one piece: the demand of this key."""

    key: str

    @property
    def touches(self) -> frozenset[str]:
        """That piece alone."""
        return frozenset((self.key,))


@dataclass(frozen=True)
class JoinedInTwo(OfOnePiece):
    """A strip cut in two parts that the garment file does not allow to be joined."""

    allowance: float
    on_grain: bool
    made_by_size: bool

    @property
    def intrusion(self) -> Intrusion:
        """A join more."""
        return Intrusion.JOIN

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Cut it in two."""
        demand = demand_of(attempt, self.key)
        if demand is None:
            return None
        parts = in_two(demand, self.allowance)
        return replace(attempt, known=None, job=with_pieces(attempt.job, self.key, parts))

    def words(self, system: System) -> str:
        """Which, and with what allowance."""
        where = " on the straight grain" if self.on_grain else ""
        return (
            f"'{self.key}' in two, joined{where} with {format_length(self.allowance, system)} of "
            "allowance"
        )

    def how(self, system: System) -> str:
        """What the garment file may say."""
        if not self.made_by_size:
            return ""
        return f"joinable = {{ min_part, allowance }} in the garment file's '{self.key}'"


@dataclass(frozen=True)
class InParts(OfOnePiece):
    """A strip that may be joined anyway, in more parts than the planner tried."""

    parts: int

    @property
    def intrusion(self) -> Intrusion:
        """The garment file allows it."""
        return Intrusion.NOTHING

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Cut it in that many parts, and no more."""
        demand = demand_of(attempt, self.key)
        if demand is None or not can_split(demand, self.parts):
            return None
        parts = split_strip(demand.piece, self.parts)
        whole = tuple(replace(part, joining=None) for part in parts)
        return replace(attempt, known=None, job=with_pieces(attempt.job, self.key, whole))

    def words(self, system: System) -> str:
        """How many."""
        return f"'{self.key}', which may be joined, in {self.parts} parts"


@dataclass(frozen=True)
class FromOtherCloth(OfOnePiece):
    """One piece that is cut from something else."""

    @property
    def intrusion(self) -> Intrusion:
        """Another cloth shows, or is felt."""
        return Intrusion.OTHER_CLOTH

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Leave it out."""
        rest = tuple(d for d in attempt.job.demands if d.key != self.key)
        if not rest or len(rest) == len(attempt.job.demands):
            return None
        return replace(attempt, known=None, job=replace(attempt.job, demands=rest))

    def words(self, system: System) -> str:
        """Which."""
        return f"'{self.key}' from another cloth"

    def how(self, system: System) -> str:
        """A role of its own."""
        return "a role of its own in the garment file"


@dataclass(frozen=True)
class CentreSeam(OfOnePiece):
    """A piece drawn on the fold, cut in two halves with a seam."""

    allowance: float

    @property
    def intrusion(self) -> Intrusion:
        """A seam that the garment did not have."""
        return Intrusion.CENTRE_SEAM

    def applied(self, attempt: Attempt) -> Attempt | None:
        """Cut halves with an allowance."""
        demand = demand_of(attempt, self.key)
        if demand is None:
            return None
        piece = with_centre_seam(demand, self.allowance)
        return replace(attempt, known=None, job=with_pieces(attempt.job, self.key, (piece,)))

    def words(self, system: System) -> str:
        """Where the seam runs, and what is added."""
        return (
            f"'{self.key}' with a seam down the middle in place of the fold, "
            f"{format_length(self.allowance, system)} of allowance added"
        )

    def how(self, system: System) -> str:
        """What the garment file would say."""
        return (
            "in the garment file: no fold, cut as a pair, and the allowance along that edge added"
        )
