"""Garments on the shelves by name; no name leads to a file elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from pieces.drafting.garment import Garment
from pieces.files.own_shelf import GARMENTS, own_files
from pieces.findings import Finding, InputError
from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import SHELF, shelf_names
from plans.page.asking import AskedError
from plans.page.names import NameRefusedError, NotThereError, sound_name

MOST_READ = 100
"""Garments that are remembered as they were read."""


@dataclass(frozen=True)
class Kept:
    """A garment file: its name, where it is kept, and whether it is the user's own."""

    name: str
    path: Path
    own: bool


def kept_garments() -> list[Kept]:
    """All garments, the user's own first."""
    own = own_files(GARMENTS)
    demos = [name for name in shelf_names() if name not in own]
    return [
        *(Kept(name, path, True) for name, path in own.items()),
        *(Kept(name, SHELF / f"{name}.toml", False) for name in demos),
    ]


def kept_garment(name: str) -> Kept:
    """Return a garment by its name.

    Raises
    ------
    NotThereError
        If there is none.
    """
    for kept in kept_garments():
        if kept.name == name:
            return kept
    raise NotThereError(f"there is no garment '{name}' on the shelf")


def own_garment(name: str) -> Kept:
    """Return a garment of the user's own.

    Raises
    ------
    NotThereError
        If there is none, or it is a demo.
    """
    kept = kept_garment(name)
    if not kept.own:
        raise NotThereError(f"'{name}' is a demo garment; make a copy of it, which is yours")
    return kept


def new_name(text: str, field: str = "name") -> str:
    """Return a name that a garment of the user's own can have; it may be taken.

    Raises
    ------
    AskedError
        At `field`, if it cannot be one.
    """
    try:
        return sound_name(text, "garment")
    except NameRefusedError as error:
        raise AskedError(field, str(error)) from error


def loaded(kept: Kept) -> tuple[Garment | None, tuple[Finding, ...]]:
    """Load a garment with its questions; None, with what is wrong, if that cannot be done."""
    try:
        state = kept.path.stat()
    except OSError:
        return _loaded.__wrapped__(kept.path, 0, 0)
    return _loaded(kept.path, state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=MOST_READ)
def _loaded(path: Path, _: int, __: int) -> tuple[Garment | None, tuple[Finding, ...]]:
    """Read a file; its time and its size tell whether that was done already."""
    try:
        garment = load_garment(path)
    except InputError as error:
        return None, error.findings
    return garment, garment.questions


def digest(content: bytes) -> str:
    """What tells one state of a file from another."""
    return sha256(content).hexdigest()[:24]


def address(name: str, *parts: str) -> str:
    """Address of a garment, or of something about it."""
    return "/".join(["/garments", quote(name, safe=""), *parts])


def finding_words(finding: Finding) -> str:
    """A finding where its file is known: place, what is wrong, what would be right."""
    place = ", ".join(
        part for part in (finding.piece and f"piece '{finding.piece}'", finding.field) if part
    )
    text = f"{place}: {finding.message}" if place else finding.message
    return f"{text} ({finding.fix})" if finding.fix else text
