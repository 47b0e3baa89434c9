"""A fabric as plain data for JSON, and back."""

from __future__ import annotations

from typing import Any

from fabrics.fabric import Fabric, Repeat
from fabrics.spread import Faces


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


def fabric_from_data(data: dict[str, Any]) -> Fabric:
    """Read a fabric back.

    Raises
    ------
    KeyError, TypeError, ValueError
        If something is missing or is no fabric.
    """
    repeat = data["repeat"]
    return Fabric(
        name=str(data["name"]),
        title=str(data["title"]),
        width=float(data["width_mm"]),
        selvage=float(data["selvage_mm"]),
        washed=bool(data["washed"]),
        one_way=bool(data["one_way"]),
        faces_alike=bool(data["faces_alike"]),
        grainless=bool(data["grainless"]),
        faces=Faces(data["faces"]),
        repeat=None if repeat is None else Repeat(*repeat),
        shrink_along=float(data["shrink_along"]),
        shrink_across=float(data["shrink_across"]),
        shrinkage_known=bool(data.get("shrinkage_known", True)),
        price=data["price"],
        currency=str(data["currency"]),
        price_unit=float(data["price_unit_mm"]),
        step=float(data["step_mm"]),
        minimum=float(data["minimum_mm"]),
        own_step=bool(data.get("own_step", True)),
        on_hand=data["on_hand_mm"],
        bolt=str(data.get("bolt", "")),
        flaws=tuple(tuple((float(x), float(y)) for x, y in flaw) for flaw in data["flaws"]),
        imperial=bool(data["imperial"]),
        colour=str(data["colour"]),
        fibre=str(data["fibre"]),
        description=str(data["description"]),
        source=str(data.get("source", "")),
        lot=str(data.get("lot", "")),
    )
