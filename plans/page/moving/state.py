"""What a browser says of a lay: where each piece lies, which were moved, which are kept."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from layout.layout import Placement
from layout.problem import Pose
from pieces.lengths import EXCESS_MM
from plans.by_hand.moves import placed_at
from plans.by_hand.reopened import MOVED_MM, OpenLay
from plans.by_hand.ways import same_turn
from plans.page.asking import Asked, AskedError, is_figure

FURTHEST_MM = 1_000_000.0
"""A piece that is put further away was put there by a slip."""

_Place = tuple[float, bool, float, float]
"""Turn in degrees, whether printed side down, x and y of the reference, mm."""


@dataclass(frozen=True)
class State:
    """A lay as somebody left it.

    `kept` are the pieces (by index) that stayed while the rest was laid again, if it was.
    """

    lay: OpenLay
    kept: tuple[int, ...]


def state_of(asked: Asked, lay: OpenLay) -> State:
    """The lay as a browser says that its pieces lie.

    Raises
    ------
    AskedError
        If that is not a place for each piece.
    NotPermittedError
        If a piece may not lie as it is said to.
    """
    places = _places(asked, len(lay.layout.placements))
    there: dict[int, Placement] = {}
    for index, (angle, flip, x, y) in enumerate(places):
        now = lay.layout.placements[index]
        same_pose = now.pose.flip == flip and same_turn(now.pose.angle_deg, angle)
        if same_pose and abs(now.x - x) <= MOVED_MM and abs(now.y - y) <= MOVED_MM:
            continue
        there[index] = placed_at(lay, index, Pose(angle, flip), x, y)
    by_hand, kept = indices(asked, "by_hand", len(places)), indices(asked, "kept", len(places))
    moved = lay.put_all(there)
    marks = tuple(
        index in by_hand or (mark and index not in there) for index, mark in enumerate(lay.by_hand)
    )
    shortest = asked.number("shortest") if "shortest" in asked else math.inf
    asked.raw("shortest")
    # A browser cannot make a lay shorter than what is known to be impossible.
    least = lay.entry.bound - lay.job.beyond - EXCESS_MM
    return State(replace(moved, by_hand=marks, shortest=max(shortest, least)), tuple(sorted(kept)))


def places_of(lay: OpenLay) -> list[list[Any]]:
    """The places of a lay's pieces, for a browser."""
    return [
        [placement.pose.angle_deg % 360.0, placement.pose.flip, placement.x, placement.y]
        for placement in lay.layout.placements
    ]


def _places(asked: Asked, count: int) -> list[_Place]:
    said = asked.raw("places")
    if not isinstance(said, list) or len(said) != count:
        raise AskedError("places", f"is no list of {count} places: the plan was changed meanwhile")
    return [_place(one) for one in said]


def _place(said: Any) -> _Place:
    if not (isinstance(said, list) and len(said) == 4 and isinstance(said[1], bool)):
        raise AskedError("places", "holds what is no place")
    figures = (said[0], said[2], said[3])
    if not all(
        isinstance(one, (int, float))
        and not isinstance(one, bool)
        and is_figure(one)
        and abs(one) <= FURTHEST_MM
        for one in figures
    ):
        raise AskedError("places", "holds what is no place")
    return float(said[0]), said[1], float(said[2]), float(said[3])


def indices(asked: Asked, field: str, count: int) -> set[int]:
    """Pieces by index.

    Raises
    ------
    AskedError
    """
    said = asked.raw(field)
    if said is None:
        return set()
    if not isinstance(said, list) or not all(
        isinstance(one, int) and not isinstance(one, bool) and 0 <= one < count for one in said
    ):
        raise AskedError(field, "is no list of pieces")
    return set(said)
