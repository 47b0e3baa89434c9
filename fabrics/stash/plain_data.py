"""Bolts and leftovers as plain data; lengths in mm."""

from __future__ import annotations

from typing import Any

from fabrics.fabric_data import fabric_to_data
from fabrics.stash.records import Bolt, LeftoverRecord


def bolt_data(bolt: Bolt) -> dict[str, Any]:
    """Return a bolt as plain data."""
    return {
        "tag": bolt.tag,
        "id": bolt.ident,
        "fabric": fabric_to_data(bolt.fabric),
        "length_mm": bolt.length,
        "washed": bolt.washed,
        "note": bolt.note,
        "added": bolt.added,
    }


def leftover_data(one: LeftoverRecord) -> dict[str, Any]:
    """Return a leftover as plain data."""
    return {
        "tag": one.tag,
        "id": one.ident,
        "fabric": fabric_to_data(one.fabric),
        "outline": [list(point) for point in one.region.outline],
        "holes": [[list(point) for point in hole] for hole in one.region.holes],
        "rectangle_mm": list(one.region.rectangle),
        "long_mm": one.region.long,
        "wide_mm": one.region.wide,
        "area_mm2": one.region.area,
        "warp_deg": 0.0,
        "right_side": "up",
        "washed": True,
        "note": one.note,
        "added": one.added,
        "made_by": one.made_by,
    }
