"""Cutting a joinable strip in parts where the whole has nowhere to lie."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from layout.problem import Wanted
from pieces.drafting.strips import split_strip
from plans.problem.demand import Demand, demands_for

MOST_PARTS = 12
"""A strip in more parts than this is not worth wearing."""


def can_split(demand: Demand, parts: int) -> bool:
    """Whether a strip may be cut in this many parts without one below its least length."""
    joining = demand.piece.joining
    if joining is None or demand.piece.strip is None or parts > MOST_PARTS:
        return False
    length = demand.piece.strip[0]
    return (length + (parts - 1) * 2.0 * joining.allowance) / parts >= joining.min_part


def split(demand: Demand, parts: int, fabric: Fabric, makes: int) -> tuple[Demand, ...]:
    """Return the demands of the parts that replace a strip, for the strips still wanted."""
    pieces = split_strip(demand.piece, parts)
    made = tuple(
        # Two roles that share a cloth tell their strips apart by the key.
        replace(
            part,
            key=demand.key + part.key[len(demand.piece.name) :],
            part_of=demand.key,
            parts=parts,
        )
        for part in demands_for(pieces, (demand.cut.role,), fabric, makes)
    )
    whole = demands_for((demand.piece,), (demand.cut.role,), fabric, makes)[0].wanted.total
    if whole == demand.wanted.total:
        return made
    return tuple(replace(part, wanted=share(part.wanted, demand.wanted, whole)) for part in made)


def share(part: Wanted, wanted: Wanted, whole: int) -> Wanted:
    """What is wanted of a part where only some of the `whole` strips are still wanted."""
    each = part.total // whole
    if part.either:
        return Wanted(either=each * wanted.total)
    return Wanted(drawn=each * (wanted.drawn + wanted.either), other=each * wanted.other)


def extra_length(demand: Demand, parts: int) -> float:
    """Length that the joins add to one strip, mm."""
    joining = demand.piece.joining
    return 0.0 if joining is None else (parts - 1) * 2.0 * joining.allowance
