"""Whether every item has room at all, and the error that says by how much it has not."""

from __future__ import annotations

from enum import Enum

import numpy as np

from layout.errors import LayoutError
from layout.layout import posed
from layout.problem import Item, Slot
from layout.strip_problem import StripProblem

FIT_MM = 1e-6
"""An item that is larger than its room by no more than this fits."""


class Why(Enum):
    """Why an item, or everything together, has no place; the value says it in words."""

    TOO_WIDE = "it is wider than every zone that it may lie in"
    FOLDS_FULL = "the fold edges that it may lie on are full"
    OUT_OF_PHASE = "the repeat leaves no place in phase"
    FLAWED = "the flaws of this cloth leave no room"
    BEYOND_FOLD = "with the flaws in the way the pieces reach beyond the fold across"
    OUTDONE = "another layout takes less cloth"
    NOTHING_FOUND = "no layout was found"


class NoLayoutError(LayoutError, ValueError):
    """No layout exists, or none was found: an item has no room.

    It carries the figures, in mm; whoever knows the units of the user puts them into words.

    Attributes
    ----------
    why : Why
    key : str
        The item's key; empty where no single item is to blame.
    section : str
        Name of the section that comes nearest to taking it.
    needed, available : float or None
        Extent across the lay that it needs in its best permitted turn, and what that section's
        zone leaves, mm; of what reaches beyond a fold, the lay length that would do and the one
        that there is; None for any other reason.
    width : float or None
        Width of cloth (mm, washed, selvages included) that would do, spread alike.
    """

    def __init__(
        self,
        why: Why,
        key: str = "",
        section: str = "",
        needed: float | None = None,
        available: float | None = None,
        width: float | None = None,
    ) -> None:
        self.why = why
        self.key = key
        self.section = section
        self.needed = needed
        self.available = available
        self.width = width
        super().__init__(f"'{key}': {why.value}" if key else why.value)


def require_room(problem: StripProblem) -> None:
    """Refuse items that are too wide for every zone that they may lie in, before any search.

    Raises
    ------
    NoLayoutError
    """
    for item in problem.items:
        short, needed, slot = min(
            (_shortage(problem, item, slot) for slot in item.slots),
            key=lambda entry: entry[0],
        )
        if short > FIT_MM:
            raise _too_wide(problem, item, needed, slot)


def _shortage(problem: StripProblem, item: Item, slot: Slot) -> tuple[float, float, Slot]:
    """By how much a slot is too narrow, what the item needs there, and the slot."""
    height = problem.spread(slot).zones[slot.zone].height
    shape = item.shapes[slot.shape]
    needed = min(float(np.ptp(posed(shape, pose)[:, 1])) for pose in slot.poses)
    return needed - height, needed, slot


def _too_wide(problem: StripProblem, item: Item, needed: float, slot: Slot) -> NoLayoutError:
    section = problem.sections[slot.section]
    available = section.spread.zones[slot.zone].height
    # A fold in half, say, halves what more cloth gives to its zones.
    width = section.spread.width + section.spread.fold.strips * (needed - available)
    return NoLayoutError(Why.TOO_WIDE, item.key, section.name, needed, available, width)


def left_over(problem: StripProblem, item: Item, section: int) -> NoLayoutError:
    """Say that an item found no place among the others in a section."""
    name = problem.sections[section].name
    if all(slot.fold_edge is not None for slot in item.slots):
        why = Why.FOLDS_FULL
    elif any(slot.lattice is not None for slot in item.slots):
        why = Why.OUT_OF_PHASE
    else:
        why = Why.FLAWED
    return NoLayoutError(why, item.key, name)
