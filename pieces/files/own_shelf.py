"""The shelf of the user: garments and fabrics of one's own, found by name before the demo ones."""

from __future__ import annotations

import re
from pathlib import Path

from pieces.files.user_folders import named_by, user_data_folder
from pieces.findings import Finding, InputError

VARIABLE = "LAYWRIGHT_SHELF"
"""Names the folder of the shelf."""

GARMENTS, FABRICS = "garments", "fabrics"
"""Folders on it."""


NAME_RULE = "a name begins with a letter and holds letters, digits, - and _"

_NAME = re.compile(r"[^\W\d_][\w-]*")


def is_shelf_name(text: str) -> bool:
    """Whether something can be kept under this name."""
    return _NAME.fullmatch(text) is not None


def own_shelf(kind: str) -> Path:
    """Return the folder of a kind, `GARMENTS` or `FABRICS`; it need not exist yet.

    Raises
    ------
    InputError
        If nothing tells where the user is at home.
    """
    return (named_by(VARIABLE) or user_data_folder() / "shelf") / kind


def own_files(kind: str) -> dict[str, Path]:
    """Return the files of a kind that the user keeps, by name; none if there is no shelf.

    Raises
    ------
    InputError
        If `$LAYWRIGHT_SHELF` names no folder.
    """
    named = named_by(VARIABLE)
    if named is not None and named.exists() and not named.is_dir():
        raise InputError([Finding(f"${VARIABLE}", f"'{named}' is no folder")])
    try:
        found = sorted(own_shelf(kind).glob("*.toml"))
    except (InputError, OSError):
        return {}
    return {path.stem: path for path in found if path.is_file()}
