"""Whose pieces are, where several garments are cut together, and for which of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from layout.hand import Hand
from plans.order import Order
from plans.plan import LeftoverCopy, PlacedPiece, Plan, PlannedGarment, Whose
from plans.problem.demand import Demand

_Kind = tuple[str, str, Hand]
"""Piece, role and hand: copies of one kind are alike."""


def whose_piece(demand: Demand) -> Whose | None:
    """Whose a piece is; for which of several such garments, `told_apart` says."""
    return Whose(demand.piece.owner) if demand.piece.owner else None


def told_apart(plan: Plan, order: Order) -> Plan:
    """Say for each piece of several garments for which of them it is.

    Copies that are alike go to the garments in the order in which they lie: those on leftovers
    first, then along the cloth.
    """
    counts = {
        piece.owner: order.makes * piece.times for piece in order.garment.pieces if piece.owner
    }
    if not counts:
        return plan
    shares = _Shares(plan, counts)
    return replace(
        plan,
        on_leftovers=tuple(
            replace(cut, copies=tuple(shares.of_copy(copy) for copy in cut.copies))
            for cut in plan.on_leftovers
        ),
        fabrics=tuple(
            replace(entry, placements=tuple(shares.of_placed(p) for p in entry.placements))
            for entry in plan.fabrics
        ),
        garments=tuple(PlannedGarment(name, count) for name, count in counts.items()),
    )


class _Shares:
    """Gives copies out, as they come, to the garments of one name."""

    def __init__(self, plan: Plan, counts: dict[str, int]) -> None:
        self._counts = counts
        copies = [copy for cut in plan.on_leftovers for copy in cut.copies]
        placed = [one for entry in plan.fabrics for one in entry.placements]
        self._all = Counter(
            [_kind(copy) for copy in copies]
            + [(one.piece, one.role, copy.hand) for one in placed for copy in one.copies]
        )
        self._given: Counter[_Kind] = Counter()

    def of_copy(self, copy: LeftoverCopy) -> LeftoverCopy:
        """A copy on a leftover, with the garment that it is for."""
        return replace(copy, whose=self._whose(copy.whose, [_kind(copy)]))

    def of_placed(self, placed: PlacedPiece) -> PlacedPiece:
        """A placement, with the garments that its copies are for."""
        kinds = [(placed.piece, placed.role, copy.hand) for copy in placed.copies]
        return replace(placed, whose=self._whose(placed.whose, kinds))

    def _whose(self, whose: Whose | None, kinds: list[_Kind]) -> Whose | None:
        if whose is None:
            return None
        of = self._counts[whose.garment]
        which = set()
        for kind in kinds:
            which.add(self._given[kind] * of // self._all[kind] + 1)
            self._given[kind] += 1
        return Whose(whose.garment, tuple(sorted(which)), of)


def _kind(copy: LeftoverCopy) -> _Kind:
    return copy.key, copy.role, copy.hand
