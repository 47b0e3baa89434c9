"""Counts and hands, exact; slots and poses as permitted."""

from __future__ import annotations

from collections import Counter

from layout.layout import Layout
from layout.problem import Bounded, Problem, Slot
from layout.validation.copies import ClothCopy
from layout.validation.violation import Code, Violation


def check_counts(
    problem: Problem, layout: Layout, copies: tuple[ClothCopy, ...]
) -> list[Violation]:
    """Check that every copy wanted is there once, of the right hand, from a permitted place."""
    found = []
    for index, placement in enumerate(layout.placements):
        item = problem.items[placement.item]
        slot = item.slots[placement.slot] if placement.slot < len(item.slots) else None
        if slot is None or placement.pose not in slot.poses or not _plies_exist(problem, slot):
            found.append(
                Violation(Code.SLOT, f"'{item.key}' lies as its item does not permit", (index,))
            )
    made: dict[str, Counter[str]] = {}
    for copy in copies:
        made.setdefault(copy.key, Counter())[copy.hand] += 1
    allowed_less = isinstance(problem.container, Bounded)
    for key in {*made, *problem.wanted}:
        wanted = problem.wanted.get(key)
        counts = made.get(key, Counter())
        if wanted is None:
            continue
        for hand, count in (
            ("drawn", wanted.drawn), ("other", wanted.other), ("either", wanted.either),
        ):  # fmt: skip
            if counts[hand] > count or (counts[hand] < count and not allowed_less):
                found.append(
                    Violation(
                        Code.COUNT,
                        f"'{key}': {counts[hand]} copies of hand '{hand}', wanted {count}",
                    )
                )
    return found


def _plies_exist(problem: Problem, slot: Slot) -> bool:
    if isinstance(problem.container, Bounded):
        return slot.plies == (0,)
    spread = problem.container.sections[slot.section].spread
    return set(slot.plies) <= set(spread.zones[slot.zone].plies)
