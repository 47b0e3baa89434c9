"""Checks of a layout problem when it is made: what the search and the validator then rely on."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain

from layout.errors import ProblemError
from layout.problem import Item, Placement, Problem, Slot
from pieces.geometry_types import Ring


def require_sound(problem: Problem) -> None:
    """Refuse what is wrong with items and gap, wherever they are laid.

    Raises
    ------
    ProblemError
    """
    require_length("", "gap", problem.gap)
    for item in problem.items:
        _require_item(item)
        for number, slot in numbered(item):
            _require_slot(item, number, slot)


def numbered(item: Item) -> Iterator[tuple[str, Slot]]:
    """Slots of an item with the name of each as a field."""
    for number, slot in enumerate(item.slots):
        yield f"slots[{number}]", slot


def require_index(item: str, field: str, index: int, count: int, what: str) -> None:
    """Refuse an index of something that is not there; negative ones, too.

    Raises
    ------
    ProblemError
    """
    if not 0 <= index < count:
        raise ProblemError(item, field, f"there is no {what} {index}, only {count}, counted from 0")


def require_length(item: str, field: str, length: float) -> None:
    """Refuse a length (mm) that is negative or no number.

    Raises
    ------
    ProblemError
    """
    if not (math.isfinite(length) and length >= 0.0):
        raise ProblemError(item, field, f"{length} is no length in mm: 0 or more is")


def require_plies(item: str, field: str, plies: tuple[int, ...], there: Iterable[int]) -> None:
    """Refuse plies that do not lie in the zone.

    Raises
    ------
    ProblemError
    """
    known = tuple(there)
    if not plies or len(set(plies)) < len(plies) or not set(plies) <= set(known):
        raise ProblemError(
            item, f"{field}.plies", f"{plies} are not plies of its zone, which are {known}"
        )


def require_ring(item: str, field: str, ring: Ring) -> None:
    """Refuse an outline of fewer than three points, or with one that is no number.

    Raises
    ------
    ProblemError
    """
    if len(ring) < 3:
        raise ProblemError(item, field, f"an outline has three points or more, not {len(ring)}")
    if not all(map(math.isfinite, chain.from_iterable(ring))):
        raise ProblemError(item, field, "a point of the outline is no number of mm")


def require_kept(items: tuple[Item, ...], kept: tuple[Placement, ...]) -> None:
    """Refuse what is kept though its item does not permit it, or wants fewer of it.

    Raises
    ------
    ProblemError
    """
    for number, placement in enumerate(kept):
        require_index("", f"kept[{number}].item", placement.item, len(items), "item")
        item = items[placement.item]
        require_index(item.key, f"kept[{number}].slot", placement.slot, len(item.slots), "slot")
        if placement.pose not in item.slots[placement.slot].poses:
            raise ProblemError(item.key, f"kept[{number}].pose", "its slot does not permit it")
        if not (math.isfinite(placement.x) and math.isfinite(placement.y)):
            raise ProblemError(item.key, f"kept[{number}]", "its place is no number of mm")
    for index, count in Counter(placement.item for placement in kept).items():
        item = items[index]
        if count > item.demand:
            raise ProblemError(item.key, "kept", f"{count} are kept, but {item.demand} are wanted")


def _require_item(item: Item) -> None:
    key = item.key
    if not item.shapes:
        raise ProblemError(key, "shapes", "there is no shape; one or more are needed")
    for number, shape in enumerate(item.shapes):
        require_ring(key, f"shapes[{number}]", shape)
    for field, given in (("fold_lines", item.fold_lines), ("wholes", item.wholes)):
        if len(given) > len(item.shapes):
            raise ProblemError(
                key, field, f"{len(given)} are given for {len(item.shapes)} shapes: one each is"
            )
    if item.wholes and len(item.wholes) < len(item.shapes):
        raise ProblemError(key, "wholes", "each shape has its whole, or none has")
    if item.demand < 1:
        raise ProblemError(key, "demand", f"{item.demand} placements: 1 or more are wanted")
    if not item.slots:
        raise ProblemError(key, "slots", "there is no slot: it may lie nowhere")
    if item.priority is not None and not math.isfinite(item.priority):
        raise ProblemError(key, "priority", f"{item.priority} is no number")


def _require_slot(item: Item, field: str, slot: Slot) -> None:
    key = item.key
    require_index(key, f"{field}.shape", slot.shape, len(item.shapes), "shape")
    require_length(key, f"{field}.clearance", slot.clearance)
    if not slot.poses:
        raise ProblemError(key, f"{field}.poses", "there is no pose: one or more are needed")
    if not all(math.isfinite(pose.angle_deg) for pose in slot.poses):
        raise ProblemError(key, f"{field}.poses", "an angle is no number of degrees")
    if slot.fold_edge is not None and (
        slot.shape >= len(item.fold_lines) or item.fold_lines[slot.shape] is None
    ):
        raise ProblemError(
            key,
            f"{field}.fold_edge",
            f"shape {slot.shape} has no fold edge (fold_lines) to lay on a fold",
        )
    if slot.lattice is not None:
        for name in ("pitch_x", "pitch_y"):
            require_length(key, f"{field}.lattice.{name}", getattr(slot.lattice, name))
