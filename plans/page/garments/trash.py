"""Garments that were taken away, drafts that were given up, and bringing them back."""

from __future__ import annotations

from pathlib import Path

from pieces.files.own_shelf import GARMENTS, own_shelf
from plans.page import taken_away as away
from plans.page.asking import AskedError
from plans.page.garments import drafts
from plans.page.garments.shelf import own_garment


def trash_folder() -> Path:
    """Where garments lie that were taken away; it need not exist yet."""
    return own_shelf(GARMENTS) / away.FOLDER


def taken_away() -> list[str]:
    """Names of what was taken away, sorted."""
    return away.taken_away(own_shelf(GARMENTS))


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
    return away.bring_back(own_shelf(GARMENTS), aside, "garment")


def given_up() -> list[str]:
    """Names of the drafts that were given up before they were garments, sorted."""
    return away.taken_away(drafts.drafts_folder(), drafts.ENDING)


def give_up(name: str) -> str:
    """Take away a draft that is no garment yet; return the name by which it is brought back.

    Raises
    ------
    NotThereError
        If there is none.
    FolderError
        If the disk refuses.
    """
    return away.take_away(drafts.kept_at(name))


def go_on(aside: str) -> str:
    """Put back a draft that was given up; return its name.

    Raises
    ------
    NotThereError
        If it is not there.
    AskedError
        If there is a garment or a draft of that name now.
    FolderError
        If the disk refuses.
    """
    if aside in given_up() and aside in drafts.taken():
        raise AskedError("draft", f"there is a '{aside}' now; rename that one first")
    return away.bring_back(drafts.drafts_folder(), aside, "draft", drafts.ENDING, "draft")
