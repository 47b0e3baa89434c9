"""Whether every item has room at all, and the error that says by how much it has not."""

from __future__ import annotations

import numpy as np

from fabrics.spread import Fold
from layout.errors import LayoutError
from layout.layout import posed
from layout.problem import Item, Slot
from layout.strip_problem import StripProblem

FIT_MM = 1e-6
"""An item that is larger than its room by no more than this fits."""


class NoLayoutError(LayoutError, ValueError):
    """No layout exists, or none was found: an item has no room.

    Attributes
    ----------
    key : str
        The item's key; empty where no single item is to blame.
    section : str
        Name of the section that comes nearest to taking it.
    needed, available : float or None
        Extent across the lay that it needs in its best permitted turn, and what that section's
        zone leaves, mm.
    width : float or None
        Width of cloth (mm, washed, selvages included) that would do, spread alike.
    """

    def __init__(
        self,
        key: str,
        message: str,
        section: str = "",
        needed: float | None = None,
        available: float | None = None,
        width: float | None = None,
    ) -> None:
        self.key = key
        self.section = section
        self.needed = needed
        self.available = available
        self.width = width
        super().__init__(message)


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
    # A fold halves or quarters what more cloth gives to its zones.
    parts = {Fold.LENGTHWISE: 2, Fold.DOUBLE: 4}.get(section.spread.fold, 1)
    width = section.spread.width + parts * (needed - available)
    message = (
        f"'{item.key}' needs {needed:.1f} mm across the lay in its best permitted turn, "
        f"{needed - available:.1f} mm more than the {available:.1f} mm that section "
        f"'{section.name}' leaves; cloth {width:.0f} mm wide would do"
    )
    return NoLayoutError(item.key, message, section.name, needed, available, width)


def left_over(problem: StripProblem, item: Item, section: int) -> NoLayoutError:
    """Say that an item found no place among the others in a section."""
    name = problem.sections[section].name
    if all(slot.fold_edge is not None for slot in item.slots):
        reason = "the fold edges that it may lie on are full"
    elif any(slot.lattice is not None for slot in item.slots):
        reason = "the repeat leaves no place in phase"
    else:
        reason = "the flaws of this cloth leave no room"
    return NoLayoutError(item.key, f"'{item.key}' finds no place in '{name}': {reason}", name)
