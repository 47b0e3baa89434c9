"""Where the stash is kept, unless an option says otherwise."""

from __future__ import annotations

from pathlib import Path

from pieces.files.user_folders import named_by, user_data_folder

VARIABLE = "LAYWRIGHT_STASH"


def default_stash_path() -> Path:
    """File named by `$LAYWRIGHT_STASH`, or one where the platform keeps a user's data.

    Raises
    ------
    InputError
        If nothing tells where the user is at home.
    """
    return named_by(VARIABLE) or user_data_folder() / "stash.sqlite"
