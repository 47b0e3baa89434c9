"""What was taken away from the shelf: kept in a folder of it until it is brought back."""

from __future__ import annotations

import os
from pathlib import Path

from pieces.files.own_shelf import GARMENTS, own_shelf
from plans.outputs.keeping import put_file
from plans.page.asking import AskedError
from plans.page.garments.shelf import own_garment
from plans.page.names import NotThereError

FOLDER = ".taken-away"


def trash_folder() -> Path:
    """Where garments lie that were taken away; it need not exist yet."""
    return own_shelf(GARMENTS) / FOLDER


def taken_away() -> list[str]:
    """Names of what was taken away, sorted."""
    folder = trash_folder()
    return sorted(path.stem for path in folder.glob("*.toml")) if folder.is_dir() else []


def take_away(name: str) -> str:
    """Take a garment from the shelf; return the name by which it is brought back.

    Raises
    ------
    NotThereError
        If there is no such garment of the user's own.
    """
    kept = own_garment(name)
    folder = trash_folder()
    aside, number = name, 1
    while not put_file(kept.path.read_bytes(), folder / f"{aside}.toml", replace=False):
        number += 1
        aside = f"{name}-{number}"
    kept.path.unlink()
    return aside


def bring_back(aside: str) -> str:
    """Put back what was taken away; return its name.

    Raises
    ------
    NotThereError
        If it is not there.
    AskedError
        If there is a garment of that name now.
    """
    if aside not in taken_away():
        raise NotThereError(f"'{aside}' was not taken away, or was brought back already")
    path = trash_folder() / f"{aside}.toml"
    if not put_file(path.read_bytes(), own_shelf(GARMENTS) / path.name, replace=False):
        raise AskedError("aside", f"there is a garment '{aside}' now; rename that one first")
    os.unlink(path)
    return aside
