"""A strip problem without its places: what every layout must find room for, and the room there is.

A *room* is a zone of a section: what lies across it at any lay x fits its height together, with a
gap between any two. A *part* is a piece with the *ways* in which copies of it can be got; each way
puts one outline down in one room. Whatever holds here for every choice of ways holds for every
layout.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fabrics.spread import Spread
from layout.bounds.terms.profile import Profile, profile_of
from layout.layout import posed
from layout.problem import Item, Pose, Slot
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray, Ring
from pieces.outline import ring_area

SLACK_MM = 0.02
"""Layouts may be this much closer than they should be: rounding, which no bound may count on."""


@dataclass(frozen=True)
class Room:
    """A zone of a section.

    Lengths in mm: its `height`, half the gap that is kept in it (`radius`), how much cloth a unit
    of its lay takes (`cost`: 2 where the cloth is folded across) and how many plies lie there.
    """

    section: int
    height: float
    radius: float
    cost: float
    plies: int

    @property
    def capacity(self) -> float:
        """Height for outlines that are blown up by half the gap, mm."""
        return self.height + SLACK_MM + 2.0 * self.radius


@dataclass(frozen=True)
class Way:
    """One way of putting a piece down.

    Attributes
    ----------
    room : int
        Index of the room.
    gives : int
        Copies that it gives.
    area : float
        Area of the outline that lies there, mm2.
    free : Profile or None
        Its cross-sections, but for those on the fold; None if it may be turned anyhow, or cut in
        parts.
    on_edge : Profile or None
        Its cross-sections where it lies on a fold edge along the lay: no two pieces lie on one
        edge at one place.
    edge : (int, int) or None
        Section and index of that fold edge.
    whole : Profile or None
        All its cross-sections in their order.
    edge_range : (float, float)
        From where to where it lies on the fold edge, mm from where it begins.
    """

    room: int
    gives: int
    area: float
    free: Profile | None
    on_edge: Profile | None = None
    edge: tuple[int, int] | None = None
    whole: Profile | None = None
    edge_range: tuple[float, float] = (0.0, 0.0)

    def free_at_least(self, widths: FloatArray, radius: float) -> FloatArray:
        """Length (mm) of its free cross-sections of at least these widths (mm), blown up."""
        if self.free is None:
            return np.zeros(len(widths))
        if self.on_edge is None:
            return self.free.grown(widths, radius)
        # What lies beside the fold edge's ends is counted there, blown up as it is.
        beside = self.free.at_least(np.maximum(widths - 2.0 * radius, 0.0))
        return np.maximum(beside - 2.0 * radius, 0.0)

    def on_edge_at_least(self, widths: FloatArray, radius: float) -> FloatArray:
        """The same of its cross-sections on the fold."""
        if self.on_edge is None:
            return np.zeros(len(widths))
        return self.on_edge.grown(widths, radius)


@dataclass(frozen=True)
class Part:
    """A piece of which so many copies are wanted.

    At most `pairs` of its placements give two copies. What is `divisible` may be cut in any
    number of pieces.
    """

    key: str
    copies: int
    pairs: int
    ways: tuple[Way, ...]
    divisible: bool = False

    @cached_property
    def _giving(self) -> tuple[list[int], list[int]]:
        """Ways that give one copy, and those that give two."""
        one = [k for k, way in enumerate(self.ways) if way.gives == 1]
        return one, [k for k, way in enumerate(self.ways) if way.gives == 2]

    def least(self, costs: FloatArray) -> FloatArray:
        """Least cost of all copies, the cost of each way given (the last axis of `costs`)."""
        one, two = self._giving
        double = costs[..., two].min(axis=-1) if two else None
        if not one and double is not None:
            return np.asarray(self.copies * double / 2.0)
        single = costs[..., one].min(axis=-1)
        if double is None:
            return np.asarray(self.copies * single)
        if self.divisible:
            return np.asarray(self.copies * np.minimum(single, double / 2.0))
        # The cost is linear in the number of pairs: none is best, or as many as may be.
        pairs = min(self.pairs, self.copies // 2)
        mixed = pairs * double + (self.copies - 2 * pairs) * single
        return np.asarray(np.minimum(self.copies * single, mixed))


@dataclass(frozen=True)
class Relaxation:
    """Parts and rooms of a strip problem, whose sections cost so much cloth a unit of lay."""

    rooms: tuple[Room, ...]
    parts: tuple[Part, ...]
    gap: float
    spreads: tuple[Spread, ...]

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """The ways of all parts, one after another."""
        return tuple(way for part in self.parts for way in part.ways)

    def by_part(self, costs: FloatArray) -> list[FloatArray]:
        """Least cost of all copies of each part, the cost of each of `ways` given."""
        result, at = [], 0
        for part in self.parts:
            result.append(part.least(costs[..., at : at + len(part.ways)]))
            at += len(part.ways)
        return result

    def least(self, costs: FloatArray) -> FloatArray:
        """Least cost of all parts together."""
        return np.asarray(sum(self.by_part(costs), np.zeros(costs.shape[:-1])))

    def cloth(self, length: float) -> float:
        """Length of cloth (mm) where all plies of the sections take so much of it."""
        length = max(0.0, length - SLACK_MM)
        if len(self.spreads) > 1 or not self.spreads[0].doubled:
            return length
        return self.spreads[0].cloth_length(length / 2.0, self.gap)


def relaxed(problem: StripProblem) -> Relaxation:
    """The relaxation of a problem: every item as often as it is wanted."""
    rooms, index = _rooms(problem)
    parts = tuple(
        Part(item.key, item.demand, 0, _ways(problem, item, index, lambda _: 1))
        for item in problem.items
    )
    return Relaxation(rooms, parts, problem.gap, _spreads(problem))


def relaxed_copies(problem: StripProblem, divided: tuple[Part, ...] = ()) -> Relaxation:
    """The relaxation of what the copies of a problem need, however many are cut two at a time.

    Each item is one piece, wanted as often as it has copies, with every slot that gives any.
    `divided` are parts beyond these, of `divisible_part`.
    """
    rooms, index = _rooms(problem)
    parts = tuple(
        Part(
            item.key,
            item.demand,
            _most_pairs(problem, item),
            _ways(problem, item, index, _copies),
        )
        for item in problem.items
    )
    return Relaxation(rooms, parts + divided, problem.gap, _spreads(problem))


def divisible_part(problem: StripProblem, key: str, copies: int, whole: Ring) -> Part:
    """What may be cut in any number of parts: only its area counts, wherever that lies."""
    rooms, _ = _rooms(problem)
    ways = tuple(Way(k, room.plies, ring_area(whole), None) for k, room in enumerate(rooms))
    return Part(key, copies, 0, ways, divisible=True)


def _spreads(problem: StripProblem) -> tuple[Spread, ...]:
    return tuple(section.spread for section in problem.sections)


def _copies(slot: Slot) -> int:
    return 1 if slot.fold_edge is not None else len(slot.plies)


def _most_pairs(problem: StripProblem, item: Item) -> int:
    wanted = problem.wanted[item.key]
    if wanted.either or problem.faces_alike:
        return wanted.total // 2
    return min(wanted.drawn, wanted.other)


def _rooms(problem: StripProblem) -> tuple[tuple[Room, ...], dict[tuple[int, int], int]]:
    """The zones of all sections, and the index of each by section and zone."""
    rooms: list[Room] = []
    index: dict[tuple[int, int], int] = {}
    for s, section in enumerate(problem.sections):
        for z, zone in enumerate(section.spread.zones):
            cut = {
                frozenset(slot.plies)
                for item in problem.items
                for slot in item.slots
                if (slot.section, slot.zone) == (s, z)
            }
            # What is cut through different plies may touch in the lay.
            apart = all(one & other for one in cut for other in cut)
            radius = problem.gap / 2.0 if apart else 0.0
            index[s, z] = len(rooms)
            cost = 2.0 if section.spread.doubled else 1.0
            rooms.append(Room(s, zone.height, radius, cost, len(zone.plies)))
    return tuple(rooms), index


def _ways(
    problem: StripProblem,
    item: Item,
    index: dict[tuple[int, int], int],
    gives: Callable[[Slot], int],
) -> tuple[Way, ...]:
    grain = problem.grain.get(item.key)
    turns = grain is not None and grain.headings is None
    found: dict[tuple[object, ...], Way] = {}
    for slot in item.slots:
        ring = item.shapes[slot.shape]
        room, copies, area = index[slot.section, slot.zone], gives(slot), ring_area(ring)
        edge = _edge_of(problem, slot)
        for pose in {_alike(pose) for pose in slot.poses}:
            key = (room, slot.shape, edge, copies, None if turns else pose)
            if key in found:
                continue
            if turns:
                found[key] = Way(room, copies, area, None)
                continue
            line = item.fold_lines[slot.shape]
            if edge is None or line is None:
                profile = profile_of(ring, pose)
                found[key] = Way(room, copies, area, profile, whole=profile)
                continue
            begin = float(posed(ring, pose)[:, 0].min())
            ends = posed(line, pose)[:, 0] - begin
            whole, on_range = profile_of(ring, pose), (float(ends.min()), float(ends.max()))
            on, beside = whole.divided(*on_range)
            found[key] = Way(room, copies, area, beside, on, edge, whole, on_range)
    return tuple(found.values())


def _edge_of(problem: StripProblem, slot: Slot) -> tuple[int, int] | None:
    """Section and index of the fold edge along the lay that a slot lies on."""
    edge = problem.fold_edge(slot)
    if slot.fold_edge is None or edge is None or not edge.along:
        return None
    zone = problem.spread(slot).zones[slot.zone]
    edges = [
        other
        for other in problem.spread(slot).fold_edges
        if other.along and set(other.plies) <= set(zone.plies)
    ]
    # Arguments about folds take it that a zone lies along one.
    return (slot.section, slot.fold_edge) if len(edges) == 1 else None


def _alike(pose: Pose) -> Pose:
    """A pose in which the cross-sections measure the same: half a turn, a reflection in an axis."""
    angle = pose.angle_deg % 180.0
    return Pose(angle) if angle % 90.0 == 0.0 else Pose(angle, pose.flip)
