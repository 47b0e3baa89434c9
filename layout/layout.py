"""A layout: where each placement lies, and how much cloth that takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from layout.problem import Pose, Problem, Strip
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
    TIME = "time"
    """The time limit came first; another run may differ."""
    INTERRUPT = "interrupt"
    """The user stopped it; another run may differ."""


@dataclass(frozen=True)
class Placement:
    """One item put down: slot and pose chosen, and the lay position (mm) of its frame's origin."""

    item: int
    slot: int
    pose: Pose
    x: float
    y: float


@dataclass(frozen=True)
class Layout:
    """Placements and the lay extent (mm) of each section; immutable.

    `extents[k]` is the greatest lay x that the placements of section k reach. `unplaced` holds
    item indices, once for each missing placement (bounded containers only).
    """

    placements: tuple[Placement, ...]
    extents: tuple[float, ...]
    ended_by: EndedBy = EndedBy.EFFORT
    unplaced: tuple[int, ...] = ()

    def with_ending(self, ended_by: EndedBy) -> Layout:
        """Return the same layout with another reason for its end."""
        return replace(self, ended_by=ended_by)


@dataclass(frozen=True)
class Span:
    """Where a section lies on the cloth, all mm.

    Cut `begin` to `end`; `start` is the cloth x of its lay origin (see `fabrics.spread.Ply`) and
    `lay_length` its F.
    """

    begin: float
    end: float
    start: float
    lay_length: float


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


def spans(problem: Problem, extents: tuple[float, ...]) -> tuple[Span, ...]:
    """Lay the sections of a strip one after another on the cloth.

    An inner boundary (where the cloth is cut before the next section is spread) keeps the gap on
    each side; a raw end keeps none. A section that carries nothing takes no cloth.

    Raises
    ------
    TypeError
        If the container is not a strip.
    """
    if not isinstance(problem.container, Strip):
        raise TypeError("only a strip has sections")
    result: list[Span] = []
    at = 0.0
    used = [k for k, extent in enumerate(extents) if extent > 0.0]
    for k, (section, extent) in enumerate(zip(problem.container.sections, extents, strict=True)):
        if k not in used:
            result.append(Span(at, at, at, 0.0))
            continue
        lead = problem.gap if used and k != used[0] else 0.0
        tail = problem.gap if used and k != used[-1] else 0.0
        start = at + lead
        if section.start_pitch > 0.0:
            start = math.ceil(start / section.start_pitch - 1e-9) * section.start_pitch
        lay_length = section.spread.lay_length(extent, problem.gap)
        if section.length_pitch > 0.0:
            steps = math.ceil((lay_length - section.length_phase) / section.length_pitch - 1e-9)
            lay_length = section.length_phase + steps * section.length_pitch
        length = lay_length + extent if section.spread.doubled else extent
        end = start + length + tail
        result.append(Span(at, end, start, lay_length))
        at = end
    return tuple(result)


def cloth_length(problem: Problem, extents: tuple[float, ...]) -> float:
    """Exact length of cloth (mm, squared-off ends not included) of a strip layout."""
    laid = spans(problem, extents)
    return laid[-1].end if laid else 0.0


def section_part(
    problem: Problem, layout: Layout, section: int
) -> tuple[dict[int, int], tuple[Placement, ...]]:
    """Return how often each item lies in a section of a strip, and its placements."""
    placed = tuple(
        p for p in layout.placements if problem.items[p.item].slots[p.slot].section == section
    )
    counts: dict[int, int] = {}
    for p in placed:
        counts[p.item] = counts.get(p.item, 0) + 1
    return dict(sorted(counts.items())), placed
