"""Drafts while they are typed: kept as they are, sound or not, beside the garments they become.

A draft is what stands in the form and the text of the garment file that it began from. The garment
file itself is only written when it is put on the shelf. Each state that is kept has a stamp: a tab
that saw another one than what is kept now learns that somebody else changed it.
"""

from __future__ import annotations

import json
import secrets
import threading
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pieces.files.own_shelf import GARMENTS, own_files, own_shelf
from pieces.files.text_file import read_text
from pieces.files.toml_merge import ORIGIN, plain
from pieces.findings import InputError
from pieces.name_length import MOST_MADE_BYTES, cut_to_length, numbered, with_ending
from pieces.readers.shelf import shelf_names
from plans.errors import PlanError
from plans.outputs.folder import write_text
from plans.outputs.keeping import put_file
from plans.page.asking import AskedError
from plans.page.garments.shelf import digest
from plans.page.names import NameRefusedError, NotThereError, sound_name

FOLDER, ENDING = ".drafts", ".json"

LOCK = threading.Lock()
"""Held from looking at what is kept to keeping something else."""


@dataclass(frozen=True)
class Draft:
    """A garment in the making.

    Attributes
    ----------
    name : str
    data : dict
        What its file would say; pieces bear the number that they had in `former`.
    former : str or None
        Text of the garment file that it began from; None where there was none.
    stamp : str
        Tells this state from others; `file:...` where nothing but the garment file is kept.
    """

    name: str
    data: dict[str, Any]
    former: str | None
    stamp: str

    @property
    def is_kept(self) -> bool:
        """Whether it is more than what the garment file says."""
        return not self.stamp.startswith("file:")


class NoFormError(PlanError):
    """A garment file that the form would lose something of; it is mended as a text."""


def drafts_folder() -> Path:
    """Where drafts are kept; it need not exist yet."""
    return own_shelf(GARMENTS) / FOLDER


def draft_names() -> list[str]:
    """Names of the drafts that are kept, sorted."""
    folder = drafts_folder()
    return sorted(path.stem for path in folder.glob(f"*{ENDING}")) if folder.is_dir() else []


def taken() -> set[str]:
    """Names of the user's own garments and of drafts."""
    return {*own_files(GARMENTS), *draft_names()}


def refuse_taken(name: str, field: str = "name") -> None:
    """See to it that no garment and no draft of the user's own has a name.

    Raises
    ------
    AskedError
        At `field`, if one has.
    """
    if name in own_files(GARMENTS):
        raise taken_by("garment", name, field)
    if name in draft_names():
        raise taken_by("draft", name, field)


def taken_by(what: str, name: str, field: str = "name") -> AskedError:
    """What is said of a name that a "garment" or a "draft" has."""
    return AskedError(field, f"there is a {what} '{name}' already; say another name")


def free_for(name: str) -> str:
    """A name that no garment and no draft has: this one, or with a number behind it."""
    known = {*taken(), *shelf_names()}
    name = cut_to_length(name)
    tried, number = name, 1
    while tried in known:
        number += 1
        tried = numbered(name, number)
    return tried


def file_text(name: str) -> str | None:
    """Text of a garment file of the user's own; None where there is none or it is no text."""
    path = own_files(GARMENTS).get(name)
    if path is None:
        return None
    try:
        return read_text(path)
    except InputError:
        return None


def data_of(text: str) -> dict[str, Any]:
    """What a garment file says, as the form takes it.

    Raises
    ------
    NoFormError
        If it is no TOML, or its pieces are no tables.
    """
    try:
        data: dict[str, Any] = plain(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise NoFormError(f"the form cannot take this file: {error}") from error
    except RecursionError as error:
        raise NoFormError("the form cannot take this file: it is nested too deeply") from error
    pieces = data.setdefault("piece", [])
    if not isinstance(pieces, list) or not all(isinstance(piece, dict) for piece in pieces):
        raise NoFormError("the form cannot take this file: its pieces are no tables")
    for number, piece in enumerate(pieces):
        piece[ORIGIN] = number
    return data


def opened(name: str) -> Draft:
    """Return a draft as it is kept, else as its garment file has it.

    Raises
    ------
    NotThereError
        If there is neither.
    NoFormError
        If the form cannot take the garment file.
    """
    kept = _kept(name)
    if kept is not None:
        return kept
    path = own_files(GARMENTS).get(name)
    if path is None:
        raise NotThereError(f"there is no garment '{name}' of yours, and no draft of one")
    try:
        text = read_text(path)
    except InputError as error:
        raise NoFormError(f"the form cannot take this file: {error}") from error
    return Draft(name, data_of(text), text, f"file:{digest(text.encode('utf-8'))}")


def begin(name: str, data: dict[str, Any], former: str | None = None) -> bool:
    """Begin a draft; False if there is one, or a garment, of that name."""
    if name in own_files(GARMENTS):
        return False
    content = _written(data, former, _stamp("new")).encode("utf-8")
    return put_file(content, _path(name), replace=False)


def keep(draft: Draft, tab: str) -> str:
    """Keep a draft as a tab has it now; return its new stamp, which begins with the tab's name."""
    stamp = _stamp(tab)
    path = _path(draft.name)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_text(path, _written(draft.data, draft.former, stamp))
    return stamp


def drop(name: str) -> None:
    """Keep a draft no longer."""
    _path(name).unlink(missing_ok=True)


def kept_at(name: str) -> Path:
    """Where a draft is kept.

    Raises
    ------
    NotThereError
        If there is none.
    """
    path = _path(name)
    if not path.is_file():
        raise NotThereError(f"there is no draft '{name}'")
    return path


def move(name: str, to: str) -> None:
    """Let a draft go with its garment to another name."""
    kept = _kept(name)
    if kept is not None:
        keep(Draft(to, kept.data, kept.former, kept.stamp), "new")
        drop(name)


def _stamp(tab: str) -> str:
    return f"{tab}.{secrets.token_hex(6)}"


def _path(name: str) -> Path:
    try:
        return drafts_folder() / f"{sound_name(name, 'garment', MOST_MADE_BYTES)}{ENDING}"
    except NameRefusedError as error:
        raise NotThereError(str(error)) from error


def _kept(name: str) -> Draft | None:
    path = _path(name)
    try:
        read = json.loads(path.read_text(encoding="utf-8"))
        return Draft(name, dict(read["data"]), read["former"], str(read["stamp"]))
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError, RecursionError):
        # No draft of ours: it is set aside, so that nothing is written over.
        ending = f".{secrets.token_hex(3)}.unreadable"
        path.rename(path.with_name(with_ending(path.stem, ending, MOST_MADE_BYTES)))
        return None


def _written(data: dict[str, Any], former: str | None, stamp: str) -> str:
    return json.dumps({"stamp": stamp, "former": former, "data": data}, ensure_ascii=False)
