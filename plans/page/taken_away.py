"""What was taken away from a shelf: kept in a folder of it until it is brought back."""

from __future__ import annotations

import os
from pathlib import Path

from pieces.files.own_shelf import own_shelf
from pieces.system_words import system_words
from plans.outputs.folder import FolderError
from plans.page.asking import AskedError
from plans.page.names import NotThereError

FOLDER = ".taken-away"
"""No shelf lists what lies in it."""


def taken_away(kind: str) -> list[str]:
    """Names of what was taken away from the shelf of a kind, sorted."""
    folder = own_shelf(kind) / FOLDER
    return sorted(path.stem for path in folder.glob("*.toml")) if folder.is_dir() else []


def take_away(path: Path) -> str:
    """Take a file from its shelf; return the name by which it is brought back.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    folder = path.parent / FOLDER
    aside, number = path.stem, 1
    try:
        folder.mkdir(exist_ok=True)
        while True:
            try:
                # A second name for the same file, so that no change of it can be lost between.
                os.link(path, folder / f"{aside}.toml")
                break
            except FileExistsError:
                number += 1
                aside = f"{path.stem}-{number}"
        path.unlink()
    except OSError as error:
        raise FolderError(f"{path}: cannot be taken away: {system_words(error)}") from error
    return aside


def bring_back(kind: str, aside: str, what: str) -> str:
    """Put back what was taken away; return its name.

    Parameters
    ----------
    kind : str
        Whose shelf.
    aside : str
    what : str
        What it is, for messages: "garment".

    Raises
    ------
    NotThereError
        If it is not there.
    AskedError
        If there is another of that name now.
    FolderError
        If the disk refuses.
    """
    if aside not in taken_away(kind):
        raise NotThereError(f"'{aside}' was not taken away, or was brought back already")
    path = own_shelf(kind) / FOLDER / f"{aside}.toml"
    try:
        os.link(path, own_shelf(kind) / path.name)
        path.unlink()
    except FileExistsError as error:
        raise AskedError(
            "aside", f"there is a {what} '{aside}' now; take that one away first, or rename it"
        ) from error
    except OSError as error:
        raise FolderError(f"{path}: cannot be brought back: {system_words(error)}") from error
    return aside
