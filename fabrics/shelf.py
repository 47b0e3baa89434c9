"""Fabrics by name, the user's own before the demo ones, by path or as a plain width."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fabrics.fabric import Fabric
from fabrics.fabric_toml import load_fabric
from fabrics.plain import plain_fabric
from pieces.files.own_shelf import FABRICS, own_files
from pieces.files.toml_file import nearest
from pieces.findings import Finding, InputError
from pieces.lengths import LengthError

SHELF = Path(__file__).parent / "shelf"


def shelf_names() -> list[str]:
    """Names of the demo fabrics, sorted."""
    return sorted(path.stem for path in SHELF.glob("*.toml"))


def all_names() -> list[str]:
    """Names of all fabrics, the user's own first."""
    return list(dict.fromkeys([*own_files(FABRICS), *shelf_names()]))


def fabric_file(name: str) -> Path | None:
    """Return the file of a name on a shelf, the user's own first; None if there is none."""
    demo = SHELF / f"{name}.toml" if name in shelf_names() else None
    return own_files(FABRICS).get(name, demo)


@dataclass(frozen=True)
class ShelfFabric:
    """A fabric on one of the shelves: the user's own or a demo, and what its file says.

    `fabric` is None where the file is at fault; `faults` then tells why.
    """

    name: str
    own: bool
    fabric: Fabric | None
    faults: tuple[Finding, ...] = ()


def on_shelves() -> list[ShelfFabric]:
    """All fabrics by name, the user's own first, one at fault among them."""
    own = own_files(FABRICS)
    found = []
    for name in all_names():
        try:
            found.append(ShelfFabric(name, name in own, find_fabric(name)))
        except InputError as error:
            found.append(ShelfFabric(name, name in own, None, error.findings))
    return found


def find_fabric(text: str, files: bool = True) -> Fabric:
    """Return the fabric of a shelf name, of a file, or of a plain width such as `140cm`.

    Parameters
    ----------
    text : str
    files : bool
        Whether it may name a file that is on no shelf.

    Raises
    ------
    InputError
        If it is none of these, or the file is at fault.
    """
    on_shelf = fabric_file(text)
    if on_shelf is not None:
        return load_fabric(on_shelf)
    if text[:1].isdigit() and not (files and Path(text).exists()):
        try:
            return plain_fabric(text)
        except LengthError as error:
            raise InputError([Finding(text, str(error), field="width")]) from error
    if files and ("/" in text or text.endswith(".toml") or Path(text).exists()):
        return load_fabric(Path(text))
    raise InputError(
        [
            Finding(
                text,
                f"is neither a fabric on the shelf{', nor a file,' if files else ''} nor a width",
                fix=nearest(text, all_names()),
            )
        ]
    )
