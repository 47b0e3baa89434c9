"""What was taken away from a folder: kept in a folder of it until it is brought back."""

from __future__ import annotations

import os
from pathlib import Path

from pieces.name_length import MOST_MADE_BYTES, numbered
from pieces.system_words import system_words
from plans.outputs.folder import FolderError
from plans.page.asking import AskedError
from plans.page.names import NotThereError
from plans.whole_files import move_to_free

FOLDER = ".taken-away"
"""No shelf lists what lies in it."""


def taken_away(shelf: Path, ending: str = ".toml") -> list[str]:
    """Names of what was taken away from a folder, sorted."""
    folder = shelf / FOLDER
    return sorted(path.stem for path in folder.glob(f"*{ending}")) if folder.is_dir() else []


def take_away(path: Path) -> str:
    """Take a file from its folder; return the name by which it is brought back.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    try:
        (path.parent / FOLDER).mkdir(exist_ok=True)
        claimed = _claimed(path)
        try:
            # In one step, so that nothing that is written there meanwhile is lost.
            os.replace(path, claimed)
        except OSError:
            claimed.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise FolderError(f"{path}: cannot be taken away: {system_words(error)}") from error
    return claimed.stem


def _claimed(path: Path) -> Path:
    """An empty file that nobody else can take, of this name or with a number behind it."""
    stem, number = path.stem, 1
    while True:
        aside = path.parent / FOLDER / f"{stem}{path.suffix}"
        try:
            aside.touch(exist_ok=False)
        except FileExistsError:
            number += 1
            stem = numbered(path.stem, number, MOST_MADE_BYTES)
        else:
            return aside


def bring_back(
    shelf: Path, aside: str, what: str, ending: str = ".toml", field: str = "aside"
) -> str:
    """Put back what was taken away; return its name.

    Parameters
    ----------
    shelf : Path
        The folder that it was taken from.
    aside : str
    what : str
        What it is, for messages: "garment".
    ending : str
    field : str
        The field that names it.

    Raises
    ------
    NotThereError
        If it is not there.
    AskedError
        If there is another of that name now.
    FolderError
        If the disk refuses.
    """
    if aside not in taken_away(shelf, ending):
        raise NotThereError(f"'{aside}' was not taken away, or was brought back already")
    path = shelf / FOLDER / f"{aside}{ending}"
    try:
        move_to_free(path, shelf / path.name)
    except FileExistsError as error:
        raise AskedError(
            field, f"there is a {what} '{aside}' now; take that one away first, or rename it"
        ) from error
    except OSError as error:
        raise FolderError(f"{path}: cannot be brought back: {system_words(error)}") from error
    return aside
