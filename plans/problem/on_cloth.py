"""Where the copies of a layout come off the cloth, as poses of their wholes.

Every ply is an isometry, so a copy is its whole outline in some pose at some place on the cloth;
pose, hand and heading follow from those of the placement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fabrics.spread import Ply
from layout.layout import Layout, Placement, posed
from layout.problem import Item, Pose, Span
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray


@dataclass(frozen=True)
class CopyPose:
    """One copy: which placement it comes from, and its whole's pose and place on the cloth."""

    placement: int
    ply: int
    pose: Pose
    x: float
    y: float

    @property
    def drawn(self) -> bool:
        """Whether it is of the hand that is drawn."""
        return not self.pose.flip

    def outline(self, item: Item, shape: int) -> FloatArray:
        """Outline on the cloth, counter-clockwise, shape (N, 2) in mm."""
        points = posed(item.whole(shape), self.pose, self.x, self.y)
        return points[::-1] if self.pose.flip else points


def copy_poses(problem: StripProblem, layout: Layout) -> tuple[CopyPose, ...]:
    """Follow every placement through its plies to the cloth."""
    laid = problem.spans(layout.extents)
    result = []
    for index, placement in enumerate(layout.placements):
        slot = problem.items[placement.item].slots[placement.slot]
        plies = slot.plies[:1] if slot.fold_edge is not None else slot.plies
        for ply in plies:
            span = laid[slot.section]
            result.append(_follow(index, placement, ply, problem.ply(slot, ply), span))
    return tuple(result)


def _follow(index: int, placement: Placement, ply_index: int, ply: Ply, span: Span) -> CopyPose:
    at = np.array([[placement.x, placement.y]])
    x, y = ply.to_cloth(at, span.lay_length, span.start)[0].tolist()
    angle = ply.heading_on_cloth(placement.pose.angle_deg)
    # A ply that looks down turns the piece over; a mirror in y keeps "flip, then turn" as it is.
    flip = placement.pose.flip if ply.face_up else not placement.pose.flip
    return CopyPose(index, ply_index, Pose(angle, flip), x, y)
