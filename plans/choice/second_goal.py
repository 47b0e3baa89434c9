"""A larger leftover from the same purchase: the second goal, once no less cloth can be bought."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import Polygon, box

from fabrics.buying import purchase
from layout.effort import Effort
from layout.layout import Layout
from layout.second_goal import second_goal
from pieces.lengths import EXCESS_MM
from plans.choice.tracing import longest_drawn, traced_for
from plans.folds.job import FabricJob
from plans.folds.leftovers import find_leftovers
from plans.folds.outcome import FoldResult
from plans.folds.traced import tracing
from plans.problem.on_cloth import copy_poses

AREA_SHARE = 0.05
"""How much the area of all leftovers counts beside that of the largest rectangle."""


def with_second_goal(job: FabricJob, result: FoldResult, effort: Effort) -> FoldResult:
    """Lay the same pieces on the same purchase so that more is left in one rectangle.

    The exact length stays that of the shortest layout; the layout itself may reach further, but
    leaves what a hand needs to cut safely.

    Repeats and flaws keep a layout as it is: what is left is then not what a rectangle shows.
    """
    fabric = job.fabric
    if fabric.flaws or fabric.repeat is not None:
        return result
    traced = traced_for(result)

    def score(layout: Layout) -> float:
        # A half that leaves its fold edge is traced whole: no leftover is worth that work.
        kept = tracing(result.built.problem, layout) <= traced + EXCESS_MM
        return worth_of_leftovers(job, result, layout) if kept else -1.0

    limit = longest_drawn(job, result)
    layout = second_goal(
        result.built.problem,
        result.layout,
        limit,
        score,
        effort,
        job.seed,
    )
    if layout is result.layout or not result.variant.is_sound(layout):
        return result
    stretched = replace(result, layout=layout)
    if stretched.laid > limit + EXCESS_MM:
        return result
    # A layout that leaves more may happen to be shorter, too.
    length = min(result.length, stretched.laid)
    return replace(stretched, length=length, bought=job.bought(length))


def worth_of_leftovers(job: FabricJob, result: FoldResult, layout: Layout) -> float:
    """Area (mm2) of the largest rectangle left of the purchase, and a little of all leftovers."""
    problem, fabric = result.built.problem, job.fabric
    there = purchase(result.length + job.beyond, fabric, job.margin).bought_washed
    usable = box(
        -job.ends / 2.0, fabric.selvage_cut, there - job.ends / 2.0,
        fabric.width_cut - fabric.selvage_cut,
    )  # fmt: skip
    copies = []
    for copy in copy_poses(problem, layout):
        placed = layout.placements[copy.placement]
        item = problem.items[placed.item]
        copies.append(Polygon(copy.outline(item, item.slots[placed.slot].shape)))
    left = find_leftovers(usable, copies, job.gap, job.leftover_neck, job.leftover_size)
    rectangles = [leftover.long * leftover.wide for leftover in left]
    return max(rectangles, default=0.0) + AREA_SHARE * sum(leftover.area for leftover in left)
