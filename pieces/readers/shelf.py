"""The shelf of demo garments, and finding a garment file by name or path."""

from __future__ import annotations

from pathlib import Path

from pieces.files.toml_file import nearest
from pieces.findings import Finding, InputError

SHELF = Path(__file__).parents[1] / "shelf"


def shelf_names() -> list[str]:
    """Names of the demo garments, sorted."""
    return sorted(path.stem for path in SHELF.glob("*.toml"))


def find_garment(text: str) -> Path:
    """Return the file of a shelf name or path.

    Raises
    ------
    InputError
        If there is neither.
    """
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
                fix=nearest(text, shelf_names()),
            )
        ]
    )
