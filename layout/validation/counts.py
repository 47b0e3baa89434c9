"""Counts and hands, exact; slots and poses as permitted."""

from __future__ import annotations

import math
from collections import Counter

from layout.hand import Hand
from layout.layout import Layout
from layout.problem import Problem, Slot
from layout.strip_problem import StripProblem
from layout.validation.copies import ClothCopy
from layout.validation.violation import Code, Violation


def check_counts(
    problem: Problem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    """Check that every copy wanted is there once, of the right hand."""
    found: list[Violation] = []
    made: dict[str, Counter[Hand]] = {}
    for copy in copies:
        made.setdefault(copy.key, Counter())[copy.hand] += 1
    allowed_less = problem.may_leave_out
    if allowed_less:
        placed = Counter(placement.item for placement in layout.placements)
        placed.update(layout.unplaced)
        for k, item in enumerate(problem.items):
            if placed[k] != item.demand:
                found.append(
                    Violation(Code.COUNT, f"'{item.key}' is neither placed nor named as left out")
                )
    for key in {*made, *problem.wanted}:
        wanted = problem.wanted.get(key)
        counts = made.get(key, Counter())
        if wanted is None:
            if problem.wanted:
                found.append(Violation(Code.COUNT, f"'{key}' is not wanted at all"))
            continue
        for hand in Hand:
            count = wanted.of(hand)
            if counts[hand] > count or (counts[hand] < count and not allowed_less):
                found.append(
                    Violation(
                        Code.COUNT,
                        f"'{key}': {counts[hand]} copies of hand '{hand.value}', wanted {count}",
                    )
                )
    return found


def check_kept(problem: Problem, layout: Layout) -> list[Violation]:
    """Check that what stays where it is lies there, to the last digit."""
    if not isinstance(problem, StripProblem):
        return []
    lacking = Counter(problem.kept) - Counter(layout.placements)
    return [
        Violation(Code.KEPT, f"'{problem.items[kept.item].key}' is kept, but lies elsewhere")
        for kept in lacking.elements()
    ]


def check_slots(problem: Problem, layout: Layout) -> list[Violation]:
    """Check that every placement uses a slot, pose and place that exist; the rest relies on it."""
    found = []
    for index, placement in enumerate(layout.placements):
        if not 0 <= placement.item < len(problem.items):
            found.append(Violation(Code.SLOT, "a placement of no item", (index,)))
            continue
        item = problem.items[placement.item]
        exists = 0 <= placement.slot < len(item.slots)
        slot = item.slots[placement.slot] if exists else None
        if (
            slot is None
            or placement.pose not in slot.poses
            or not (math.isfinite(placement.x) and math.isfinite(placement.y))
            or not _plies_exist(problem, slot)
        ):
            found.append(
                Violation(Code.SLOT, f"'{item.key}' lies as its item does not permit", (index,))
            )
    return found


def _plies_exist(problem: Problem, slot: Slot) -> bool:
    edge = problem.fold_edge(slot)
    if edge is not None and set(edge.plies) != set(slot.plies):
        return False
    return set(slot.plies) <= set(problem.zone_plies(slot))
