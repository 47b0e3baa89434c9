"""Putting a file on the user's shelf: whole or not at all, and never over another unasked."""

from __future__ import annotations

from pathlib import Path

from pieces.system_words import system_words
from plans.outputs.folder import FolderError, whole_file, write_bytes
from plans.whole_files import move_to_free


def put_file(content: bytes, target: Path, replace: bool) -> bool:
    """Write a file in a folder that is made where it lacks; False if there is one already.

    Parameters
    ----------
    content : bytes
    target : Path
    replace : bool
        Whether a file that is there may be written over.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FolderError(f"{target}: cannot be written: {system_words(error)}") from error
    if replace:
        write_bytes(target, content)
        return True
    try:
        with whole_file(target, content) as aside:
            move_to_free(aside, target)
    except FileExistsError:
        return False
    return True
