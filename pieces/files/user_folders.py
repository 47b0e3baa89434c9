"""Where a user's own data and caches are kept: the platform's folders, or what the user names.

On Linux these are the folders of the XDG Base Directory Specification 0.8; a variable of it that is
empty or holds no absolute path counts as not set, as it demands.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from platformdirs import PlatformDirs

from pieces.findings import Finding, InputError

NAME = "laywright"

CACHE_VARIABLE = "LAYWRIGHT_CACHE"
"""Names the folder for caches."""

DATA_HOME = "XDG_DATA_HOME"


def user_data_folder() -> Path:
    """Folder for what a user keeps; it need not exist yet.

    Raises
    ------
    InputError
        If nothing tells where the user is at home.
    """
    try:
        usual = Path(_platform().user_data_dir)
    except RuntimeError as error:
        finding = Finding("HOME", "nothing tells where your home folder is", fix="set HOME to it")
        raise InputError([finding]) from error
    return _as_before(usual)


def named_by(variable: str) -> Path | None:
    """Return the path that a variable of the environment names; None where it is not set.

    Raises
    ------
    InputError
        If it begins with ~ and nobody of that name is known.
    """
    chosen = os.environ.get(variable)
    if not chosen:
        return None
    try:
        return Path(chosen).expanduser()
    except RuntimeError as error:
        finding = Finding(f"${variable}", f"'{chosen}': nobody of that name has a home folder")
        raise InputError([finding]) from error


def user_cache_folder() -> Path:
    """Folder for what can be worked out again: `$LAYWRIGHT_CACHE`, or the platform's."""
    chosen = os.environ.get(CACHE_VARIABLE)
    if chosen:
        return Path(chosen)
    try:
        return Path(_platform().user_cache_dir)
    except RuntimeError:
        return passing_folder()


def passing_folder() -> Path:
    """Folder of this user among the temporary ones, for caches that can be kept nowhere else."""
    user = str(os.getuid()) if hasattr(os, "getuid") else "user"
    return Path(tempfile.gettempdir()) / f"{NAME}-{user}"


def _platform() -> PlatformDirs:
    # Roaming only tells on Windows: data follows a user from machine to machine, caches do not.
    return PlatformDirs(NAME, appauthor=False, roaming=True)


def _as_before(usual: Path) -> Path:
    """Keep to a folder that earlier versions made where `~` or a relative path was named."""
    named = os.environ.get(DATA_HOME, "")
    if named and not os.path.isabs(named):
        try:
            former = Path(named).expanduser() / NAME
        except RuntimeError:
            return usual
        if former.is_dir():
            return former
    return usual
