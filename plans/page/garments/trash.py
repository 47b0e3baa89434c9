"""Garments that were taken away from the shelf, and bringing them back."""

from __future__ import annotations

from pathlib import Path

from pieces.files.own_shelf import GARMENTS, own_shelf
from plans.page import taken_away as away
from plans.page.garments.shelf import own_garment


def trash_folder() -> Path:
    """Where garments lie that were taken away; it need not exist yet."""
    return own_shelf(GARMENTS) / away.FOLDER


def taken_away() -> list[str]:
    """Names of what was taken away, sorted."""
    return away.taken_away(GARMENTS)


def take_away(name: str) -> str:
    """Take a garment from the shelf; return the name by which it is brought back.

    Raises
    ------
    NotThereError
        If there is no such garment of the user's own.
    FolderError
        If the disk refuses.
    """
    return away.take_away(own_garment(name).path)


def bring_back(aside: str) -> str:
    """Put back what was taken away; return its name.

    Raises
    ------
    NotThereError, AskedError, FolderError
        As `plans.page.taken_away.bring_back` does.
    """
    return away.bring_back(GARMENTS, aside, "garment")
