"""The user's own fabric files: kept, corrected where nobody else has meanwhile, taken away, back.

A name becomes a path in one place, `_new_path`; elsewhere it is looked up among the files that are
there.
"""

from __future__ import annotations

import hashlib
import tempfile
import threading
from dataclasses import dataclass
from pathlib import Path

from fabrics.fabric_toml import check_fabric
from pieces.files.own_shelf import FABRICS, NAME_RULE, is_shelf_name, own_files, own_shelf
from pieces.files.text_file import read_text
from pieces.findings import Finding
from pieces.name_length import name_too_long
from plans.outputs.folder import write_bytes
from plans.outputs.keeping import put_file
from plans.page import taken_away as away
from plans.page.asking import AskedError
from plans.page.names import NameRefusedError, NotThereError, sound_name

NEW = "# A fabric of your own.\n"


@dataclass(frozen=True)
class Seen:
    """A file as somebody saw it."""

    text: str
    digest: str


class ChangedError(AskedError):
    """A file changed on disk since it was seen; `now` is how it is."""

    def __init__(self, name: str, now: Seen) -> None:
        self.now = now
        super().__init__("", f"the file of '{name}' was changed elsewhere since you opened it")


def own_file(name: str) -> Path:
    """Return the file of one of the user's fabrics.

    Raises
    ------
    NotThereError
    """
    path = own_files(FABRICS).get(name)
    if path is None:
        raise NotThereError(f"there is no fabric '{name}' of your own (any more)")
    return path


def seen(path: Path) -> Seen:
    """Read a file; what tells whether it is still the same comes with it.

    Raises
    ------
    InputError
    """
    text = read_text(path)
    return Seen(text, hashlib.sha256(text.encode()).hexdigest())


def findings_of(text: str, name: str) -> list[Finding]:
    """What `laywright check` would say of a text as the file of a name."""
    with tempfile.TemporaryDirectory(prefix="laywright-") as folder:
        can_be = is_shelf_name(name) and not name_too_long(name)
        path = Path(folder) / f"{name if can_be else 'fabric'}.toml"
        path.write_text(text, encoding="utf-8")
        return check_fabric(path)


def keep_new(name: str, text: str) -> None:
    """Put a fabric on the shelf under a new name.

    Raises
    ------
    AskedError
        If the name cannot be, or is taken.
    FolderError
    """
    if not put_file(text.encode(), _new_path(name), False):
        raise AskedError("name", _taken(name))


def name_fault(name: str) -> str:
    """What is wrong with the name of a new fabric; empty for nothing."""
    try:
        path = _new_path(name)
    except AskedError as error:
        return str(error)
    return _taken(name) if path.exists() else ""


def _taken(name: str) -> str:
    return f"'{name}' is on your shelf already; choose another name"


LOCK = threading.Lock()
"""Held from looking at a file to writing it: two tabs may keep at once."""


def keep_corrected(name: str, text: str, digest: str) -> None:
    """Write a corrected file, unless it is no longer the one that was seen.

    Raises
    ------
    NotThereError
        If it is gone.
    ChangedError
        If it is another.
    FolderError
    """
    with LOCK:
        path = own_file(name)
        now = seen(path)
        if now.digest != digest:
            raise ChangedError(name, now)
        write_bytes(path, text.encode())


def take_away(name: str) -> str:
    """Take a fabric off the shelf; return what brings it back. Raises NotThereError."""
    return away.take_away(own_file(name))


def taken_away() -> list[str]:
    """Names of fabrics that were taken away."""
    return away.taken_away(own_shelf(FABRICS))


def bring_back(aside: str) -> str:
    """Put a fabric that was taken away on the shelf again; return its name.

    Raises
    ------
    NotThereError, AskedError, FolderError
        As `plans.page.taken_away.bring_back` does.
    """
    return away.bring_back(own_shelf(FABRICS), aside, "fabric")


def _new_path(name: str) -> Path:
    try:
        sound = sound_name(name, "name")
    except NameRefusedError as error:
        raise AskedError("name", str(error)) from error
    if not is_shelf_name(sound):
        raise AskedError("name", f"'{sound}' cannot be a name on the shelf; {NAME_RULE}")
    return own_shelf(FABRICS) / f"{sound}.toml"
