"""Moves of one piece by hand: moved, turned, turned over; judged by nobody yet.

A piece keeps to what ties it: a half to its fold edge, match points to the design of the cloth.
"""

from __future__ import annotations

import numpy as np

from layout.layout import Placement, posed
from layout.problem import Pose
from layout.search.model import Choice
from pieces.geometry_types import FloatArray
from pieces.piece import Turns
from plans.by_hand.errors import NotPermittedError
from plans.by_hand.reopened import OpenLay
from plans.by_hand.ways import missed_by, same_turn, tied

TURNS = {
    Turns.ALONG: "along the grain",
    Turns.ACROSS: "across the grain",
    Turns.BIAS: "on the bias",
    Turns.ANY: "any way round",
}


def moved(lay: OpenLay, index: int, dx: float, dy: float) -> OpenLay:
    """Move a piece by so much along and across the lay, mm.

    On cloth with a design it goes from one place that is in phase to the next, at least one.
    """
    placement = lay.layout.placements[index]
    there = placed_at(lay, index, placement.pose, placement.x + dx, placement.y + dy)
    if (there.x, there.y) == (placement.x, placement.y) and (dx or dy):
        choice = next(
            one
            for one in lay.ways.like(placement)
            if (one.slot, one.pose) == (placement.slot, placement.pose)
        )
        step_x, step_y = np.sign(dx) * choice.pitch_x, np.sign(dy) * choice.pitch_y
        there = placed_at(
            lay, index, placement.pose, placement.x + float(step_x), placement.y + float(step_y)
        )
    return lay.put(index, there)


def put_at(lay: OpenLay, index: int, pose: Pose, x: float, y: float) -> OpenLay:
    """Put a piece down in a pose, its reference point at a place of the lay, mm.

    Raises
    ------
    NotPermittedError
        If it may not lie so.
    """
    return lay.put(index, placed_at(lay, index, pose, x, y))


def turned(lay: OpenLay, index: int, back: bool = False) -> OpenLay:
    """Turn a piece to the next pose that it may have, counter-clockwise, about its middle.

    Raises
    ------
    NotPermittedError
        If it may lie in no other.
    """
    here = lay.layout.placements[index].pose
    poses = [pose for pose in _poses(lay, index) if pose.flip == here.flip]
    at = next(k for k, pose in enumerate(poses) if same_turn(pose.angle_deg, here.angle_deg))
    if len(poses) < 2:
        raise NotPermittedError(f"{lay.name(index)} may not be turned: {_why(lay, index)}")
    return _about_middle(lay, index, poses[(at + (-1 if back else 1)) % len(poses)])


def turned_over(lay: OpenLay, index: int) -> OpenLay:
    """Turn a piece over about its grain, in the turn that is nearest to the one it has.

    Raises
    ------
    NotPermittedError
        If it may not lie so: its other hand would come off the cloth.
    """
    here = lay.layout.placements[index].pose
    over = [pose for pose in _poses(lay, index) if pose.flip != here.flip]
    if not over:
        raise NotPermittedError(
            f"{lay.name(index)} may not be turned over: {_why_not_over(lay, index)}"
        )
    return _about_middle(lay, index, min(over, key=lambda pose: _turn(pose, here)))


def placed_at(lay: OpenLay, index: int, pose: Pose, x: float, y: float) -> Placement:
    """A piece put down as near to a place (mm) as what ties it permits.

    Raises
    ------
    NotPermittedError
        If it may not lie in this pose.
    """
    placement = lay.layout.placements[index]
    choice, x, y = min(
        (_tied(lay, placement, one, x, y) for one in ways_of(lay, index, pose)),
        key=lambda found: missed_by(*found) + abs(found[1] - x) + abs(found[2] - y),
    )
    return Placement(placement.item, choice.slot, choice.pose, x, y)


def ways_of(lay: OpenLay, index: int, pose: Pose) -> list[Choice]:
    """The ways in which a piece may lie in a pose, in its section.

    Raises
    ------
    NotPermittedError
        If there is none.
    """
    placement = lay.layout.placements[index]
    ways = [
        one
        for one in lay.ways.like(placement)
        if one.pose.flip == pose.flip and same_turn(one.pose.angle_deg, pose.angle_deg)
    ]
    if not ways:
        raise NotPermittedError(f"{lay.name(index)} may not lie so: {_why(lay, index)}")
    return ways


def _tied(
    lay: OpenLay, placement: Placement, choice: Choice, x: float, y: float
) -> tuple[Choice, float, float]:
    on_fold = lay.built.problem.items[placement.item].slots[choice.slot].fold_edge is not None
    return (choice, *tied(choice, on_fold, x, y))


def _poses(lay: OpenLay, index: int) -> tuple[Pose, ...]:
    return lay.ways.poses(lay.layout.placements[index])


def _about_middle(lay: OpenLay, index: int, pose: Pose) -> OpenLay:
    placement = lay.layout.placements[index]
    shift = middle(lay, index, placement.pose) - middle(lay, index, pose)
    x, y = placement.x + float(shift[0]), placement.y + float(shift[1])
    return put_at(lay, index, pose, x, y)


def middle(lay: OpenLay, index: int, pose: Pose) -> FloatArray:
    """The middle of a piece in a pose, from its reference point, mm."""
    placement = lay.layout.placements[index]
    item = lay.built.problem.items[placement.item]
    points = posed(item.shapes[item.slots[placement.slot].shape], pose)
    return np.asarray((points.min(axis=0) + points.max(axis=0)) / 2.0)


def _turn(one: Pose, other: Pose) -> float:
    return abs((one.angle_deg - other.angle_deg + 180.0) % 360.0 - 180.0)


def _why(lay: OpenLay, index: int) -> str:
    fabric, on_fold = lay.job.fabric, lay.entry.placements[index].on_fold
    if on_fold:
        return "its fold edge lies on the fold"
    if fabric.one_way and not lay.demand(index).piece.heading_free:
        return "this cloth is one way, and all heads point the same way"
    return f"it is cut {TURNS[lay.demand(index).piece.turns]}, and fits the cloth in no other turn"


def _why_not_over(lay: OpenLay, index: int) -> str:
    if lay.entry.placements[index].on_fold:
        return "its fold edge lies on the fold"
    if lay.demand(index).hands_matter:
        return "its other hand would come off the cloth"
    return "turned over it is the same"
