"""What the fills on a drawing tell apart: garments where there are several, else roles."""

from __future__ import annotations

from plans.drawing.look import ROLE_FILLS, role_fill
from plans.plan import FabricPlan, LeftoverCopy, LeftoverCut, PlacedPiece


def told_by_fill(entry: FabricPlan | LeftoverCut) -> tuple[str, ...]:
    """Names of what has a fill of its own, in the order of the garment files.

    More garments than there are fills are told by their labels alone.
    """
    lain = entry.placements if isinstance(entry, FabricPlan) else entry.copies
    owners = {one.whose.garment for one in lain if one.whose is not None}
    if not 1 < len(owners) <= len(ROLE_FILLS):
        here = {one.role for one in lain}
        return tuple(role for role in entry.roles if role in here or isinstance(entry, FabricPlan))
    pieces = [allowance.piece for allowance in entry.allowances]

    def first(owner: str) -> int:
        mine = (k for k, piece in enumerate(pieces) if piece.startswith(f"{owner}: "))
        return next(mine, len(pieces))

    return tuple(sorted(sorted(owners), key=first))


def fill_of(told: tuple[str, ...], one: PlacedPiece | LeftoverCopy) -> str:
    """Fill of a piece, by what is told apart."""
    by_owner = one.whose is not None and one.whose.garment in told
    return role_fill(told, one.whose.garment if by_owner and one.whose is not None else one.role)
