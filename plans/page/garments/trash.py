"""Garments that were taken away, drafts that were given up, and bringing them back."""

from __future__ import annotations

from pathlib import Path

from pieces.files.own_shelf import GARMENTS, own_shelf
from plans.page import taken_away as away
from plans.page.asking import AskedError
from plans.page.garments import drafts
from plans.page.garments.shelf import own_garment
from plans.page.names import NotThereError


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


def given_up() -> list[str]:
    """Names of the drafts that were given up before they were garments, sorted."""
    folder = drafts.drafts_folder() / away.FOLDER
    return sorted(path.stem for path in folder.glob("*.json")) if folder.is_dir() else []


def give_up(name: str) -> str:
    """Take away a draft that is no garment yet; return the name by which it is brought back.

    Raises
    ------
    NotThereError
        If there is none.
    """
    path = drafts.kept_at(name)
    folder = path.parent / away.FOLDER
    folder.mkdir(exist_ok=True)
    aside, number, lying = name, 1, given_up()
    while aside in lying:
        number += 1
        aside = f"{name}-{number}"
    path.rename(folder / f"{aside}.json")
    return aside


def go_on(aside: str) -> str:
    """Put back a draft that was given up; return its name.

    Raises
    ------
    NotThereError
        If it is not there.
    AskedError
        If there is a garment or a draft of that name now.
    """
    if aside not in given_up():
        raise NotThereError(f"'{aside}' was not given up, or was brought back already")
    if aside in drafts.taken():
        raise AskedError("draft", f"there is a '{aside}' now; rename that one first")
    folder = drafts.drafts_folder()
    (folder / away.FOLDER / f"{aside}.json").rename(folder / f"{aside}.json")
    return aside
