"""Laying pieces on a leftover: a bounded piece of cloth, a single layer, grain kept."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fabrics.fabric import Fabric
from fabrics.stash.records import LeftoverRecord
from layout.bounded_problem import BoundedProblem
from layout.effort import Effort
from layout.hand import Hand
from layout.layout import posed
from layout.problem import Item, Pose, Slot, Wanted
from layout.solver import solve
from layout.validator import validate
from pieces.geometry_types import Ring
from plans.answer.whose import whose_piece
from plans.errors import FaultError
from plans.plan import CUT_WHOLE, LeftoverCopy
from plans.problem.demand import Demand


@dataclass(frozen=True)
class LeftoverLay:
    """What lies on one leftover, and what is still wanted of each demand."""

    leftover: LeftoverRecord
    copies: tuple[LeftoverCopy, ...]
    remaining: tuple[Demand, ...]


def lay_on(
    leftover: LeftoverRecord,
    demands: tuple[Demand, ...],
    fabric: Fabric,
    gap: float,
    effort: Effort,
    seed: int,
    worth: dict[str, float] | None = None,
) -> LeftoverLay:
    """Lay as much of the demands as goes on a leftover, by area or by a worth of each copy.

    Raises
    ------
    FaultError
        If the validator refuses the layout: a fault of ours.
    """
    items, origins = _items(demands, fabric, worth or {})
    if not items:
        return LeftoverLay(leftover, (), demands)
    problem = BoundedProblem(
        tuple(items),
        leftover.region.outline,
        leftover.region.holes,
        gap=gap,
        one_way=fabric.one_way,
        faces_alike=fabric.faces_alike,
        wanted={demand.key: demand.wanted for demand in demands},
        grain={demand.key: demand.grain_rule() for demand in demands},
    )
    layout = solve(problem, effort, seed)
    refused = validate(problem, layout)
    if refused:
        raise FaultError(f"the layout on {leftover.tag} was refused: {refused[0].message}")
    copies: list[LeftoverCopy] = []
    taken: dict[tuple[str, Hand], int] = {}
    for placement in layout.placements:
        demand, hand = origins[placement.item]
        taken[(demand.key, hand)] = taken.get((demand.key, hand), 0) + 1
        points = posed(demand.whole, placement.pose, placement.x, placement.y)
        arrow = posed(demand.arrow, placement.pose, placement.x, placement.y).tolist()
        copies.append(
            LeftoverCopy(
                len(copies) + 1, demand.piece.name, demand.cut.role, traced_label(demand), hand,
                placement.pose.flip, _ring(points), (tuple(arrow[0]), tuple(arrow[1])), demand.key,
                demand.side(hand), whose_piece(demand),
            )
        )  # fmt: skip
    remaining = tuple(left for demand in demands if (left := _less(demand, taken)).wanted.total > 0)
    return LeftoverLay(leftover, tuple(copies), remaining)


def traced_label(demand: Demand) -> str:
    """Cut label of a piece on a leftover, where a half is traced whole."""
    return demand.cut.label if demand.half is None else CUT_WHOLE


def _items(
    demands: tuple[Demand, ...], fabric: Fabric, worth: dict[str, float]
) -> tuple[list[Item], list[tuple[Demand, Hand]]]:
    """Make one item for each hand of each demand."""
    items: list[Item] = []
    origins: list[tuple[Demand, Hand]] = []
    for demand in demands:
        if demand.match and fabric.repeat is not None:
            # Where the design lies on a leftover is not known, so that nothing could match.
            continue
        for hand in Hand:
            count = demand.wanted.of(hand)
            if not count:
                continue
            flips = demand.flips if hand is Hand.EITHER else (hand is Hand.OTHER,)
            poses = tuple(
                Pose(angle, flip) for angle in demand.angles(fabric.one_way) for flip in flips
            )
            items.append(
                Item(
                    key=demand.key,
                    shapes=(demand.whole,),
                    demand=count,
                    slots=(Slot(0, 0, (0,), 0, poses),),
                    priority=worth.get(demand.key),
                )
            )
            origins.append((demand, hand))
    return items, origins


def _less(demand: Demand, taken: dict[tuple[str, Hand], int]) -> Demand:
    left = {hand.value: demand.wanted.of(hand) - taken.get((demand.key, hand), 0) for hand in Hand}
    return replace(demand, wanted=Wanted(**left))


def _ring(points: np.ndarray) -> Ring:
    x, y = points.T
    area = np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))
    ordered = points if area > 0.0 else points[::-1]
    return tuple((float(x), float(y)) for x, y in ordered)
