"""Bolts and leftovers from plain data: rows of the stash and of exported files alike."""

from __future__ import annotations

import math
import re

from fabrics.fabric_data import read_fabric
from fabrics.region import Region, region_of
from fabrics.stash.records import Bolt, LeftoverRecord
from pieces.files.json_file import LONGEST_MM, Fields

LARGEST_MM = (200_000.0, 20_000.0)
"""No leftover is longer along the grain, or wider across it: strips and rows are counted on it."""

WITHIN_MM = 1.0
"""The largest rectangle of a leftover may stick out by this much, after rounding."""


def read_bolt(data: Fields) -> Bolt:
    """Read a bolt; what is wrong goes to the findings of `data`."""
    tag, added = _tag(data, "B"), data.text("added")
    fabric = read_fabric(data.fields("fabric"))
    return Bolt(
        tag=tag,
        fabric=fabric,
        length=data.number("length_mm", above=0.0),
        washed=data.flag("washed"),
        note=data.text("note", long=True),
        added=added,
        ident=_ident(data, tag, added, fabric.name),
    )


def read_leftover(data: Fields) -> LeftoverRecord:
    """Read a leftover; what is wrong goes to the findings of `data`."""
    tag, added = _tag(data, "L"), data.text("added")
    fabric = read_fabric(data.fields("fabric"))
    before = len(data.findings)
    outline, holes = data.ring("outline"), data.rings("holes")
    rectangle = data.rectangle("rectangle_mm")
    area = 0.0
    if len(data.findings) == before and data.is_object:
        area = _area(data, outline, holes, rectangle)
    return LeftoverRecord(
        tag=tag,
        fabric=fabric,
        region=Region(outline, holes, area, rectangle),
        note=data.text("note", long=True),
        added=added,
        made_by=data.whole("made_by", 1) if data.data.get("made_by") is not None else None,
        ident=_ident(data, tag, added, fabric.name),
    )


def derived_ident(tag: str, added: str, fabric: str) -> str:
    """What tells a record of an older version from all others: there was no more."""
    return f"{tag} {added} {fabric}"


def _ident(data: Fields, tag: str, added: str, fabric: str) -> str:
    return data.text("id", default="") or derived_ident(tag, added, fabric)


def _tag(data: Fields, letter: str) -> str:
    tag = data.text("tag")
    if tag and not re.fullmatch(rf"{letter}[1-9]\d{{0,8}}", tag):
        data.fault("tag", f"'{tag}' is not {letter} and a number")
    if "tag" in data and data.data["tag"] == "":
        data.fault("tag", "is empty", f"{letter} and a number")
    return tag


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
