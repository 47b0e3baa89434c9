"""A fabric as plain data for JSON, and back: to the last digit, so that it comes back equal."""

from __future__ import annotations

from typing import Any

from fabrics.fabric import Fabric, Repeat
from fabrics.spread import Faces
from pieces.files.json_file import LONGEST_MM, Fields, finite
from pieces.files.kinds import EXACT, FLAG, LONG_TEXT, TEXT, choice
from pieces.files.record import Entry, Kind, Record

MOST_SHRINKAGE = 0.9999
"""Cloth that shrinks by more has nothing left."""


def _read_repeat(data: Fields, name: str) -> Repeat | None:
    if name in data and data.data[name] is None:
        return None
    values = data.items(name, 3, 3)
    if not values:
        return None
    along, across = finite(values[0]), finite(values[1])
    axis = None if values[2] is None else finite(values[2])
    sound = along is not None and across is not None and (axis is None) == (values[2] is None)
    if along is None or across is None or not sound:
        data.fault(name, "is no repeat", "write [along, across, axis] in mm, or null")
        return None
    within = 0.0 <= along <= LONGEST_MM and 0.0 <= across <= LONGEST_MM and along + across > 0.0
    if not within or (axis is not None and not -LONGEST_MM <= axis <= LONGEST_MM):
        data.fault(name, "its lengths cannot be", "0 mm or more, one of them more than 0")
        return None
    return Repeat(along, across, axis)


def _write_repeat(repeat: Repeat | None) -> list[float | None] | None:
    return None if repeat is None else [repeat.along, repeat.across, repeat.axis]


def _with_room(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    """Refuse selvages that leave nothing."""
    width, selvage = values["width"], values["selvage"]
    if data.sound("width_mm", "selvage_mm") and not 2.0 * selvage < width:
        data.fault("selvage_mm", f"two selvages of {selvage:g} mm leave nothing of {width:g} mm")
    return values


FABRIC = Record(
    Fabric,
    (
        Entry("name", TEXT),
        Entry("title", TEXT),
        Entry("width_mm", EXACT.number(above=0.0), "width"),
        Entry("selvage_mm", EXACT.number(), "selvage"),
        Entry("washed", FLAG),
        Entry("one_way", FLAG),
        Entry("faces_alike", FLAG),
        Entry("grainless", FLAG),
        Entry("faces", choice(Faces)),
        Entry("repeat", Kind(_read_repeat, _write_repeat)),
        Entry("shrink_along", EXACT.number(most=MOST_SHRINKAGE)),
        Entry("shrink_across", EXACT.number(most=MOST_SHRINKAGE)),
        Entry("shrinkage_known", FLAG, older=True),
        Entry("price", EXACT.optional()),
        Entry("currency", TEXT),
        Entry("price_unit_mm", EXACT.number(above=0.0), "price_unit"),
        Entry("step_mm", EXACT.number(above=0.0), "step"),
        Entry("minimum_mm", EXACT.number(), "minimum"),
        Entry("own_step", FLAG, older=True),
        Entry("on_hand_mm", EXACT.optional(above=0.0), "on_hand"),
        Entry("bolt", TEXT, older=""),
        Entry("flaws", EXACT.rings),
        Entry("imperial", FLAG),
        Entry("colour", TEXT),
        Entry("fibre", TEXT),
        Entry("description", LONG_TEXT),
        Entry("source", LONG_TEXT, older=""),
        Entry("lot", TEXT, older=""),
    ),
    _with_room,
)
