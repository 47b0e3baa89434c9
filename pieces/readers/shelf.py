"""Garments by name, the user's own before the demo ones, or by path."""

from __future__ import annotations

from pathlib import Path

from pieces.files.own_shelf import GARMENTS, own_files
from pieces.files.toml_file import nearest
from pieces.findings import Finding, InputError

SHELF = Path(__file__).parents[1] / "shelf"


def shelf_names() -> list[str]:
    """Names of the demo garments, sorted."""
    return sorted(path.stem for path in SHELF.glob("*.toml"))


def all_names() -> list[str]:
    """Names of all garments, the user's own first."""
    return list(dict.fromkeys([*own_files(GARMENTS), *shelf_names()]))


def find_garment(text: str) -> Path:
    """Return the file of a shelf name or path; the user's own shelf is looked at first.

    Raises
    ------
    InputError
        If there is neither.
    """
    own = own_files(GARMENTS)
    if text in own:
        return own[text]
    if text in shelf_names():
        return SHELF / f"{text}.toml"
    path = Path(text)
    if path.exists() or "/" in text or text.endswith(".toml"):
        return path
    raise InputError(
        [
            Finding(
                text,
                "is neither a garment on the shelf nor a file",
                fix=nearest(text, all_names()),
            )
        ]
    )
