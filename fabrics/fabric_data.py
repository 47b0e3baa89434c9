"""A fabric as plain data for JSON, and back."""

from __future__ import annotations

from typing import Any

from fabrics.fabric import Fabric, Repeat
from fabrics.spread import Faces
from pieces.files.json_file import LONGEST_MM, NOTHING, Fields, finite

MOST_SHRINKAGE = 0.9999
"""Cloth that shrinks by more has nothing left."""


def fabric_to_data(fabric: Fabric) -> dict[str, Any]:
    """Return everything about a fabric as plain data; lengths in mm."""
    repeat = fabric.repeat
    return {
        "name": fabric.name,
        "title": fabric.title,
        "width_mm": fabric.width,
        "selvage_mm": fabric.selvage,
        "washed": fabric.washed,
        "one_way": fabric.one_way,
        "faces_alike": fabric.faces_alike,
        "grainless": fabric.grainless,
        "faces": fabric.faces.value,
        "repeat": None if repeat is None else [repeat.along, repeat.across, repeat.axis],
        "shrink_along": fabric.shrink_along,
        "shrink_across": fabric.shrink_across,
        "shrinkage_known": fabric.shrinkage_known,
        "price": fabric.price,
        "currency": fabric.currency,
        "price_unit_mm": fabric.price_unit,
        "step_mm": fabric.step,
        "minimum_mm": fabric.minimum,
        "own_step": fabric.own_step,
        "on_hand_mm": fabric.on_hand,
        "bolt": fabric.bolt,
        "flaws": [[list(point) for point in flaw] for flaw in fabric.flaws],
        "imperial": fabric.imperial,
        "colour": fabric.colour,
        "fibre": fabric.fibre,
        "description": fabric.description,
        "source": fabric.source,
        "lot": fabric.lot,
    }


def read_fabric(data: Fields) -> Fabric:
    """Read a fabric back; what is wrong with it goes to the findings of `data`."""
    before = len(data.findings)
    width = data.number("width_mm", above=0.0)
    selvage = data.number("selvage_mm")
    if len(data.findings) == before and data.is_object and not 2.0 * selvage < width:
        data.fault("selvage_mm", f"two selvages of {selvage:g} mm leave nothing of {width:g} mm")
    return Fabric(
        name=data.text("name"),
        title=data.text("title"),
        width=width,
        selvage=selvage,
        washed=data.flag("washed"),
        one_way=data.flag("one_way"),
        faces_alike=data.flag("faces_alike"),
        grainless=data.flag("grainless"),
        faces=Faces(data.text("faces", [faces.value for faces in Faces])),
        repeat=_read_repeat(data),
        shrink_along=data.number("shrink_along", most=MOST_SHRINKAGE),
        shrink_across=data.number("shrink_across", most=MOST_SHRINKAGE),
        shrinkage_known=data.flag("shrinkage_known", True),
        price=data.optional_number("price"),
        currency=data.text("currency"),
        price_unit=data.number("price_unit_mm", above=0.0),
        step=data.number("step_mm", above=0.0),
        minimum=data.number("minimum_mm"),
        own_step=data.flag("own_step", True),
        on_hand=data.optional_number("on_hand_mm", above=0.0),
        bolt=data.text("bolt", default=""),
        flaws=data.rings("flaws"),
        imperial=data.flag("imperial"),
        colour=data.text("colour"),
        fibre=data.text("fibre"),
        description=data.text("description", long=True),
        source=data.text("source", default="", long=True),
        lot=data.text("lot", default=""),
    )


def _read_repeat(data: Fields) -> Repeat | None:
    if data.data.get("repeat", NOTHING) is None:
        return None
    values = data.items("repeat", 3, 3)
    if not values:
        return None
    along, across = finite(values[0]), finite(values[1])
    axis = None if values[2] is None else finite(values[2])
    sound = along is not None and across is not None and (axis is None) == (values[2] is None)
    if along is None or across is None or not sound:
        data.fault("repeat", "is no repeat", "write [along, across, axis] in mm, or null")
        return None
    within = 0.0 <= along <= LONGEST_MM and 0.0 <= across <= LONGEST_MM and along + across > 0.0
    if not within or (axis is not None and not -LONGEST_MM <= axis <= LONGEST_MM):
        data.fault("repeat", "its lengths cannot be", "0 mm or more, one of them more than 0")
        return None
    return Repeat(along, across, axis)
