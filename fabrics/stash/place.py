"""Where the stash is kept, unless an option says otherwise."""

from __future__ import annotations

import os
import sys
from pathlib import Path

VARIABLE = "LAYWRIGHT_STASH"


def default_stash_path() -> Path:
    """File named by `$LAYWRIGHT_STASH`, or one where the platform keeps a user's data.

    Folders as in the XDG Base Directory Specification 0.8 on Linux.
    """
    chosen = os.environ.get(VARIABLE)
    if chosen:
        return Path(chosen).expanduser()
    if sys.platform == "win32":
        folder = Path(os.environ.get("APPDATA", "~")).expanduser()
    elif sys.platform == "darwin":
        folder = Path("~/Library/Application Support").expanduser()
    else:
        folder = Path(os.environ.get("XDG_DATA_HOME") or "~/.local/share").expanduser()
    return folder / "laywright" / "stash.sqlite"
