"""A layout: where each placement lies, and how much cloth that takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from layout.problem import Placement as Placement
from layout.problem import Pose
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray, Ring

LONG_RING, MOST_ARRAYS = 100, 1000
"""Points from which a ring's array is kept, and how many arrays are."""

_ARRAYS: dict[int, tuple[Ring, FloatArray]] = {}


class EndedBy(Enum):
    """Why a search stopped."""

    EFFORT = "effort"
    """Its work was done."""
    TARGET = "target"
    """The length asked for was reached."""
    BOUND = "bound"
    """The lower bound was reached: no shorter layout exists."""
    NEAR = "near"
    """The lower bound was reached but for a thousandth or less."""
    TIME = "time"
    """The time limit came first; another run may differ."""
    INTERRUPT = "interrupt"
    """The user stopped it; another run may differ."""


@dataclass(frozen=True)
class Layout:
    """Placements and the lay extent (mm) of each section; immutable.

    `extents[k]` is the greatest lay x that the placements of section k reach. `unplaced` holds
    item indices, once for each missing placement (bounded pieces of cloth only). `curtailed` tells
    that not all was tried of what goes into which section, so that many pieces take no longer.
    """

    placements: tuple[Placement, ...]
    extents: tuple[float, ...]
    ended_by: EndedBy = EndedBy.EFFORT
    unplaced: tuple[int, ...] = ()
    curtailed: bool = False

    def with_ending(self, ended_by: EndedBy) -> Layout:
        """Return the same layout with another reason for its end."""
        return replace(self, ended_by=ended_by)


def pose_matrix(pose: Pose) -> FloatArray:
    """Matrix of shape (2, 2) that a pose applies to column vectors; exact at right angles."""
    quarter = pose.angle_deg % 360.0
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    cos, sin = exact.get(
        quarter, (math.cos(math.radians(quarter)), math.sin(math.radians(quarter)))
    )
    flip = -1.0 if pose.flip else 1.0
    return np.array([[cos, -sin * flip], [sin, cos * flip]])


def posed(ring: Ring, pose: Pose, x: float = 0.0, y: float = 0.0) -> FloatArray:
    """Points of a ring in the lay, shape (N, 2) in mm; clockwise if the pose flips."""
    return np.asarray(_array_of(ring) @ pose_matrix(pose).T + np.array([x, y]))


def _array_of(ring: Ring) -> FloatArray:
    """Points of a ring as an array; long ones are kept, since a planner asks thousands of times.

    By identity, for to hash thousands of points takes as long as to convert them; a ring that is
    kept lives on, so that nothing else can take its identity.
    """
    if not isinstance(ring, tuple) or len(ring) < LONG_RING:
        return np.asarray(ring, dtype=float)
    kept = _ARRAYS.get(id(ring))
    if kept is None:
        if len(_ARRAYS) >= MOST_ARRAYS:
            _ARRAYS.clear()
        kept = _ARRAYS[id(ring)] = (ring, np.array(ring, dtype=float))
    return kept[1]


def cloth_length(problem: StripProblem, extents: tuple[float, ...]) -> float:
    """Exact length of cloth (mm, squared-off ends not included) of a layout on a strip."""
    laid = problem.spans(extents)
    return laid[-1].end if laid else 0.0


def kept_extents(problem: StripProblem) -> tuple[float, ...]:
    """Greatest lay x (mm) of what is kept in each section; 0 where nothing is."""
    return reached(problem, problem.kept)


def reached(problem: StripProblem, placements: tuple[Placement, ...]) -> tuple[float, ...]:
    """Greatest lay x (mm) that placements reach in each section; 0 where there is none."""
    extents = [0.0] * len(problem.sections)
    for placement in placements:
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        extents[slot.section] = max(extents[slot.section], float(points[:, 0].max()))
    return tuple(extents)


def section_part(
    problem: StripProblem, layout: Layout, section: int
) -> tuple[dict[int, int], tuple[Placement, ...]]:
    """Return how often each item lies in a section of a strip, and its placements.

    What the problem keeps where it is does not count.
    """
    placed = tuple(
        p
        for p in problem.movable(layout.placements)
        if problem.items[p.item].slots[p.slot].section == section
    )
    counts: dict[int, int] = {}
    for p in placed:
        counts[p.item] = counts.get(p.item, 0) + 1
    return dict(sorted(counts.items())), placed
