"""Where the stash is kept, unless an option says otherwise."""

from __future__ import annotations

import os
from pathlib import Path

from pieces.files.user_folders import user_data_folder

VARIABLE = "LAYWRIGHT_STASH"


def default_stash_path() -> Path:
    """File named by `$LAYWRIGHT_STASH`, or one where the platform keeps a user's data.

    Raises
    ------
    InputError
        If nothing tells where the user is at home.
    """
    chosen = os.environ.get(VARIABLE)
    return Path(chosen).expanduser() if chosen else user_data_folder() / "stash.sqlite"
