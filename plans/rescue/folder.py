"""Writing what would rescue a garment into a plan's folder, beside what is there."""

from __future__ import annotations

import json
from pathlib import Path

from pieces.name_length import MOST_MADE_BYTES, numbered
from pieces.system_words import system_words
from plans.outputs.folder import FolderError, file_stem, write_text
from plans.rescue.data import rescues_to_data
from plans.rescue.picture import write_shortage_picture
from plans.rescue.rescue import Rescue

SHORTAGE_FILE = "shortage.json"


def picture_names(rescues: list[Rescue]) -> list[str]:
    """Name of the picture of each fabric, once each; empty where nothing was laid."""
    names: list[str] = []
    for rescue in rescues:
        stem = f"shortage-{file_stem(rescue.shortage.job.fabric.name)}"
        name, number = f"{stem}.png", 1
        while name in names:
            number += 1
            name = f"{numbered(stem, number, MOST_MADE_BYTES)}.png"
        names.append(name if rescue.lain is not None else "")
    return names


def write_shortage(garment: str, rescues: list[Rescue], names: list[str], target: Path) -> None:
    """Write the pictures and `shortage.json` into a folder; a plan that is there stays.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    try:
        target.mkdir(exist_ok=True)
        for rescue, name in zip(rescues, names, strict=True):
            if name:
                write_shortage_picture(rescue, target / name)
    except OSError as error:
        raise FolderError(f"{target}: cannot be written: {system_words(error)}") from error
    data = rescues_to_data(garment, rescues, names)
    write_text(target / SHORTAGE_FILE, json.dumps(data, indent=1) + "\n")
