"""Names that come from outside and become paths: never outside the folder that they belong to."""

from __future__ import annotations

import os
import unicodedata
from pathlib import Path

from pieces.name_length import MOST_BYTES, MOST_MADE_BYTES, name_too_long, numbered
from plans.errors import PlanError
from plans.outputs.folder import PLAN_FILE

RESERVED = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)))
)
"""Names of devices on Windows, also with an ending (from memory)."""


class NameRefusedError(PlanError):
    """A name that cannot be that of a file; the message says why."""


class NotThereError(PlanError):
    """Nothing of that name is there (any more)."""


def sound_name(text: str, what: str, most: int = MOST_BYTES) -> str:
    """Return a name that can be that of a file in a folder, of so many bytes.

    Raises
    ------
    NameRefusedError
        If it is empty, too long, hidden, reserved, or holds what separates folders.
    """
    name = unicodedata.normalize("NFC", text.strip())
    if not name:
        raise NameRefusedError(f"{what}: give it a name")
    too_long = name_too_long(name, most)
    if too_long:
        raise NameRefusedError(f"{what}: '{name[:40]}...' {too_long}")
    wrong = [c for c in name if c in '/\\:*?"<>|' or unicodedata.category(c) in ("Cc", "Cs")]
    if wrong:
        raise NameRefusedError(f"{what}: '{name}' holds {wrong[0]!r}, which no file name may")
    if name.startswith((".", "-", "~")) or name.endswith("."):
        raise NameRefusedError(
            f"{what}: '{name}' may not begin with '.', '-' or '~', nor end with '.'"
        )
    if name.split(".")[0].casefold() in RESERVED:
        raise NameRefusedError(f"{what}: '{name}' is the name of a device on some systems")
    return name


def plan_folder(plans: Path, name: str) -> Path:
    """Return the folder of a plan by its name.

    Raises
    ------
    NotThereError
        If there is no plan of that name, or what bears it lies elsewhere.
    """
    try:
        folder = plans / sound_name(name, "plan", MOST_MADE_BYTES)
    except NameRefusedError as error:
        raise NotThereError(str(error)) from error
    file = folder / PLAN_FILE
    if folder.is_symlink() or file.is_symlink() or not file.is_file():
        raise NotThereError(f"there is no plan '{name}' in {plans}")
    return folder


def free_name(folder: Path, name: str) -> str:
    """Return a name that is not taken in a folder: this one, or with a number behind it.

    A link that leads nowhere takes its name, too.
    """
    tried, number = name, 1
    while os.path.lexists(folder / tried):
        number += 1
        tried = numbered(name, number)
    return tried
