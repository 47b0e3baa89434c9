"""Where each of a few pieces may lie in a lay, and how many units they come to.

A *place* is an outline in one pose with the range of its middle. Outlines are simplified inward
only, ranges are those of the true outline, so that whatever is ruled out for a place is ruled out
for the piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from layout.bounds.terms.relaxation import SLACK_MM
from layout.geometry.simplify import simplify_inward
from layout.layout import pose_matrix, posed
from layout.problem import Item, Pose
from layout.search.model import Choice, strip_model
from layout.strip_problem import StripProblem
from pieces.geometry_types import FloatArray
from pieces.outline import ring_area

INWARD_MM = 0.5
"""How far outlines may be simplified inward: what a proof gives away at each of them."""


@dataclass(frozen=True, eq=False)
class Place:
    """An outline in one pose, located by its middle (that of its true extent), mm.

    Attributes
    ----------
    base : (N, 2) array
        Its item's outline, counter-clockwise, simplified inward.
    pose : Pose
    middle : (2,) array
        The middle of the outline in this pose, seen from its item's origin.
    true : (M, 2) array
        The outline in this pose, not simplified, its middle at the origin.
    slot, zone : int
        The slot of its item, and the zone of the spread.
    x_from, x_fixed, x_reach : float or None
        Least x of the middle, the only one if there is one, and how far the outline reaches beyond.
    y_from, y_to : float
        Range of the middle's y.
    plies : frozenset of int
        Plies that are surely cut there: what is cut through no ply in common keeps no gap.
    doubled : bool
        Whether it lies on two plies and off their fold: then it may give two copies.
    """

    base: FloatArray
    pose: Pose
    middle: FloatArray
    true: FloatArray
    slot: int
    zone: int
    x_from: float
    x_fixed: float | None
    x_reach: float
    y_from: float
    y_to: float
    plies: frozenset[int]
    doubled: bool

    @cached_property
    def outline(self) -> FloatArray:
        """The simplified outline in this pose, counter-clockwise, its middle at the origin."""
        turned = self.base @ pose_matrix(self.pose).T - self.middle
        return np.ascontiguousarray(turned[::-1] if self.pose.flip else turned)

    @cached_property
    def key(self) -> tuple[bytes, Pose]:
        """Equal for outlines that are alike."""
        return self.base.tobytes(), self.pose

    @property
    def where(self) -> tuple[object, ...]:
        """Equal for places that are alike but for their plies."""
        ranges = (self.x_from, self.x_reach, self.y_from, self.y_to)
        return (self.key, self.x_fixed, *(round(value, 6) for value in ranges))


@dataclass(frozen=True, eq=False)
class Kind:
    """Units that have the same places to choose from; by slots, one after another."""

    places: tuple[Place, ...]

    @cached_property
    def sets(self) -> tuple[tuple[int, ...], ...]:
        """Sets of places: those of each slot first, then each place of what has several."""
        by_slot: dict[int, list[int]] = {}
        for index, place in enumerate(self.places):
            by_slot.setdefault(place.slot, []).append(index)
        groups = [tuple(group) for group in by_slot.values()]
        return tuple(groups + [(one,) for group in groups if len(group) > 1 for one in group])

    @cached_property
    def slots(self) -> int:
        """How many of the sets are those of slots."""
        return len({place.slot for place in self.places})

    def parts(self, number: int) -> tuple[int, int]:
        """Where the sets begin that a set is told apart into, and how many they are."""
        chosen = self.sets[number]
        if len(chosen) == 1:
            return 0, 0
        return self.sets.index((chosen[0],), self.slots), len(chosen)


Case = tuple[Kind, ...]
"""The kinds of all units; those of one kind follow one another."""


def cases(problem: StripProblem, items: Sequence[int]) -> Iterator[Case]:
    """All numbers of units that some items may come to, on a spread of one section.

    Items are wanted as often as they have copies. One that no place takes gives no case.
    """
    # What takes room besides is left out.
    problem = replace(problem, flaws=(), kept=())
    model = strip_model(problem, 0, {index: problem.items[index].demand for index in items})
    ways: list[list[Case]] = []
    for index, kind in zip(model.items, model.kinds, strict=True):
        item = problem.items[index]
        places = [_place(problem, item, choice) for choice in kind]
        ways.append(list(_numbers(item.demand, places)))
    yield from _products(ways)


def _numbers(copies: int, places: list[Place]) -> Iterator[Case]:
    """The units that so many copies of one item may be, none of them in vain.

    Two copies on one zone's two plies, each cut by itself, take no less room than both of them
    where one lies. So they count as a pair where there is a place for that; and where they can be
    told apart by their plies, wherever one of them may lie.
    """
    if not places:
        return
    if copies == 1:
        yield (Kind(tuple(places)),)
        return
    pairs = [p for p in places if p.doubled and len(p.plies) > 1]
    loose = [p for p in places if p.doubled and len(p.plies) == 1]
    alone = [p for p in places if not p.doubled]
    ends = alone
    if len({(p.zone, p.plies) for p in loose}) > len({p.zone for p in loose}):
        pairs, most = _merged(pairs + loose), (copies + 1) // 2
    elif {p.where for p in loose} <= {p.where for p in pairs}:
        # Of two on one ply, only that ply is surely cut.
        pairs, ends, most = _merged(pairs + loose), alone + loose, copies // 2
    else:
        alone, most = alone + loose, copies // 2
        ends = alone
    pair, rest, end = Kind(tuple(pairs)), Kind(tuple(alone)), Kind(tuple(ends))
    for number in range(most + 1 if pairs else 1):
        left = max(0, copies - 2 * number)
        if (left > 1 and not alone) or (left and not ends):
            continue
        same = end if ends is not alone else rest
        yield (pair,) * number + (rest,) * max(0, left - 1) + (same,) * min(left, 1)


def _products(ways: list[list[Case]]) -> Iterator[Case]:
    if not ways:
        yield ()
        return
    for first in ways[0]:
        for rest in _products(ways[1:]):
            yield first + rest


def _merged(places: list[Place]) -> list[Place]:
    """Places of both plies and of each of them as one: only what all cut is surely cut."""
    found: dict[tuple[object, ...], Place] = {}
    for place in places:
        other = found.get(place.where)
        if other is None:
            found[place.where] = place
        else:
            found[place.where] = replace(other, plies=other.plies & place.plies)
    return list(found.values())


def _place(problem: StripProblem, item: Item, choice: Choice) -> Place:
    slot = item.slots[choice.slot]
    ring = item.shapes[slot.shape]
    line = item.fold_lines[slot.shape] if len(item.fold_lines) > slot.shape else None
    true = posed(ring, choice.pose)
    middle = 0.5 * (true.min(axis=0) + true.max(axis=0))
    zone = problem.spread(slot).zones[slot.zone]
    return Place(
        base=simplify_inward(ring, INWARD_MM, line),
        pose=choice.pose,
        middle=middle,
        true=(true[::-1] if choice.pose.flip else true) - middle,
        slot=choice.slot,
        zone=slot.zone,
        x_from=choice.x_from + float(middle[0]) - SLACK_MM,
        x_fixed=None if choice.x_fixed is None else choice.x_fixed + float(middle[0]),
        x_reach=choice.x_reach - float(middle[0]) - SLACK_MM,
        y_from=choice.y_from + float(middle[1]) - SLACK_MM,
        y_to=choice.y_to + float(middle[1]) + SLACK_MM,
        plies=frozenset(slot.plies),
        doubled=len(zone.plies) > 1 and slot.fold_edge is None,
    )


def area_of(item: Item) -> float:
    """Area of an item's first shape, mm2."""
    return ring_area(item.shapes[0])
