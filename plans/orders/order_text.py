"""A request as an order file that says the same."""

from __future__ import annotations

import os
from dataclasses import fields
from pathlib import Path
from typing import Any

from fabrics.shelf import all_names as fabric_names
from pieces.files.toml_text import toml_text
from pieces.readers.shelf import all_names as garment_names
from plans.orders.request import GarmentAsked, Request

COMMENT = "What to cut together; laywright plan plans it."

LENGTHS = ("gap", "ends", "margin", "leftover_neck")


def order_text(request: Request, folder: Path) -> str:
    """Write what differs from the usual; files are named from the folder that it will stand in."""
    return toml_text(order_data(request, folder), COMMENT)


def order_data(request: Request, folder: Path) -> dict[str, Any]:
    """What an order file holds, as plain data: what differs from the usual."""
    usual = Request(())
    data: dict[str, Any] = {}
    if request.title:
        data["title"] = request.title
    if request.cloth:
        data["cloth"] = _cloth(request.cloth, folder)
    if request.measured_width:
        data["measured_width"] = {r: _length(w) for r, w in request.measured_width.items()}
    if request.on_hand:
        data["on_hand"] = {role: _on_hand(*there) for role, there in request.on_hand.items()}
    for field in fields(Request):
        name, value = field.name, getattr(request, field.name)
        if name in _TOLD or value == getattr(usual, name):
            continue
        if name == "system":
            data["figures"] = value.value
        elif name == "leftover_size":
            data[name] = " x ".join(_length(side) for side in value)
        else:
            data[name] = _length(value) if name in LENGTHS else value
    data["garment"] = [_garment(asked, folder) for asked in request.garments]
    return data


_TOLD = ("garments", "cloth", "measured_width", "on_hand", "title", "source", "prove")
"""Fields that are told above, or that are no matter of an order."""


def _garment(asked: GarmentAsked, folder: Path) -> dict[str, Any]:
    data: dict[str, Any] = {"name": _place(asked.name, folder, garment_names())}
    if asked.size:
        data["size"] = asked.size
    if asked.count != 1:
        data["count"] = asked.count
    if asked.called:
        data["called"] = asked.called
    if asked.cloth:
        data["cloth"] = _cloth(asked.cloth, folder)
    return data


def _cloth(cloth: dict[str, str], folder: Path) -> dict[str, str]:
    return {roles: _place(text, folder, fabric_names()) for roles, text in cloth.items()}


def _place(text: str, folder: Path, shelf: list[str]) -> str:
    """A name as it is; a file as it is found from a folder."""
    if text in shelf or not Path(text).exists():
        return text
    try:
        place = Path(os.path.relpath(Path(text).resolve(), folder.resolve()))
    except ValueError:
        # Another drive.
        return str(Path(text).absolute())
    return place.as_posix()


def _length(length: float) -> str:
    """A length that is read back as the same number of mm."""
    return f"{length!r}".removesuffix(".0") + " mm"


def _on_hand(length: float, washed: bool | None) -> str:
    state = {None: "", True: " washed", False: " unwashed"}[washed]
    return f"{_length(length)}{state}"
