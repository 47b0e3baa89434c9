"""Putting a file on the user's shelf: whole or not at all, and never over another unasked."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from pieces.system_words import system_words
from plans.outputs.folder import FolderError


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
    aside = None
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(dir=target.parent, prefix=".laywright-")
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        os.chmod(aside, 0o644)
        if replace:
            os.replace(aside, target)
        else:
            # A link is made only where there is nothing yet, whoever else writes meanwhile.
            os.link(aside, target)
    except FileExistsError:
        if replace:
            raise
        return False
    except OSError as error:
        raise FolderError(f"{target}: cannot be written: {system_words(error)}") from error
    finally:
        if aside is not None:
            Path(aside).unlink(missing_ok=True)
    return True
