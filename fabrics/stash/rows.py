"""Bolts and leftovers as plain data, and back: rows of the stash and of exported files alike."""

from __future__ import annotations

import math
import re
from typing import Any

from fabrics.fabric_data import FABRIC
from fabrics.region import Region, region_of
from fabrics.stash.records import Bolt, LeftoverRecord
from pieces.files.json_file import LONGEST_MM, Fields
from pieces.files.kinds import EXACT, FLAG, LONG_TEXT, TEXT, always, one, optional_whole
from pieces.files.record import WHOLE, Entry, Kind, Record, taken_out

LARGEST_MM = (200_000.0, 20_000.0)
"""No leftover is longer along the grain, or wider across it: strips and rows are counted on it."""

WITHIN_MM = 1.0
"""The largest rectangle of a leftover may stick out by this much, after rounding."""


def _tag(letter: str) -> Kind:
    """A letter and a number."""

    def read(data: Fields, name: str) -> str:
        tag = data.text(name)
        if tag and not re.fullmatch(rf"{letter}[1-9]\d{{0,8}}", tag):
            data.fault(name, f"'{tag}' is not {letter} and a number")
        if name in data and data.data[name] == "":
            data.fault(name, "is empty", f"{letter} and a number")
        return tag

    return Kind(read, str)


def _with_ident(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    """A record of an older version gets an id of all that tells it from others."""
    tag, added, fabric = values["tag"], values["added"], values["fabric"]
    return values | {"ident": values["ident"] or f"{tag} {added} {fabric.name}"}


def _with_region(data: Fields, values: dict[str, Any]) -> dict[str, Any]:
    """Put the region together; its area is worked out anew, whatever the file says."""
    inner = taken_out(values, "region")
    sound = data.sound("outline", "holes", "rectangle_mm")
    region = Region(**inner, area=_area(data, **inner) if sound else 0.0)
    return _with_ident(data, values) | {"region": region}


def _area(
    data: Fields,
    outline: tuple[tuple[float, float], ...],
    holes: tuple[tuple[tuple[float, float], ...], ...],
    rectangle: tuple[float, float, float, float],
) -> float:
    from shapely.geometry import box

    try:
        region = region_of(outline, holes)
    except ValueError as error:
        data.fault("holes", str(error))
        return 0.0
    low_x, low_y, high_x, high_y = region.bounds
    if high_x - low_x > LARGEST_MM[0] or high_y - low_y > LARGEST_MM[1]:
        data.fault("outline", "is larger than any leftover", "at most 200 m along, 20 m across")
    x1, y1, x2, y2 = rectangle
    inner = box(x1 + WITHIN_MM, y1 + WITHIN_MM, x2 - WITHIN_MM, y2 - WITHIN_MM)
    if min(x2 - x1, y2 - y1) > 2.0 * WITHIN_MM and not region.covers(inner):
        data.fault("rectangle_mm", "lies beyond the outline", "the largest one inside it")
    area = float(region.area)
    return area if math.isfinite(area) and area <= LONGEST_MM**2 else 0.0


BOLT = Record(
    Bolt,
    (
        Entry("tag", _tag("B")),
        Entry("id", TEXT, "ident", older=""),
        Entry("fabric", one(FABRIC)),
        Entry("length_mm", EXACT.number(above=0.0), "length"),
        Entry("washed", FLAG),
        Entry("note", LONG_TEXT),
        Entry("added", TEXT),
    ),
    _with_ident,
)

LEFTOVER = Record(
    LeftoverRecord,
    (
        Entry("tag", _tag("L")),
        Entry("id", TEXT, "ident", older=""),
        Entry("fabric", one(FABRIC)),
        Entry("outline", EXACT.ring, "region.outline"),
        Entry("holes", EXACT.rings, "region.holes"),
        Entry("rectangle_mm", EXACT.rectangle, "region.rectangle"),
        Entry("long_mm", EXACT.number(), "region.long", told=True),
        Entry("wide_mm", EXACT.number(), "region.wide", told=True),
        Entry("area_mm2", EXACT.number(), "region.area", told=True),
        Entry("warp_deg", always(0.0), WHOLE, told=True),
        Entry("right_side", always("up"), WHOLE, told=True),
        Entry("washed", always(True), WHOLE, told=True),
        Entry("note", LONG_TEXT),
        Entry("added", TEXT),
        Entry("made_by", optional_whole(1), older=None),
    ),
    _with_region,
)
