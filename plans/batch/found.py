"""The order files of a folder, each with the order that it makes or what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from fabrics.folds.errors import FabricError
from pieces.drafting.garment import Garment
from pieces.errors import PieceError
from pieces.findings import InputError
from pieces.system_words import system_words
from plans.errors import PlansError
from plans.order import Order
from plans.orders.making import load_by_name, order_of
from plans.orders.order_file import read_order_file, says_order
from plans.orders.planning import AtHand, at_hand
from plans.orders.request import Request

MOST_LOADED = 500
"""Garments kept while orders are read, for many orders name the same."""

SUMMARIES = ("summary.txt", "summary.csv")
"""Tables beside the plans; no plan may take their place."""


@dataclass(frozen=True)
class Found:
    """One order file by its name: what it asks for, or why that cannot be told."""

    name: str
    order: Order | None = None
    stash: AtHand | None = None
    request: Request | None = None
    fault: str = ""

    @property
    def uses_stash(self) -> bool:
        """Whether it counts on leftovers or a bolt of the stash."""
        cloths = self.order.cloth.values() if self.order is not None else ()
        return self.stash is not None or any(fabric.bolt for fabric in cloths)


@dataclass(frozen=True)
class Folder:
    """The order files of a folder, and the other TOML files in it: garments, fabrics."""

    orders: tuple[Path, ...]
    others: tuple[Path, ...]


def look_into(folder: Path) -> Folder:
    """Tell the order files of a folder from what else is in it.

    What cannot be read at all counts as an order, so that it is told of.

    Raises
    ------
    InputError
        If the folder is not there, cannot be read, or holds no order.
    """
    try:
        files = sorted(
            path
            for path in folder.iterdir()
            if path.suffix.lower() == ".toml" and not path.name.startswith(".") and path.is_file()
        )
    except OSError as error:
        raise _refused(folder, f"cannot be read: {system_words(error)}") from error
    for path in files:
        if any("\ud800" <= sign <= "\udfff" for sign in path.name):
            # Bytes that are no UTF-8: neither tables nor records can hold such a name.
            raise _refused(folder, f"holds {path.name!a}, a name that is no text; rename it")
    orders = [path for path in files if _is_order(path)]
    if not orders:
        more = f" ({len(files)} TOML files are none)" if files else ""
        raise _refused(folder, f"holds no order file{more}; laywright plan --save-order writes one")
    return Folder(tuple(orders), tuple(path for path in files if path not in orders))


def _refused(folder: Path, why: str) -> InputError:
    from pieces.findings import Finding

    return InputError([Finding(str(folder), why)])


def _is_order(path: Path) -> bool:
    try:
        return says_order(path)
    except (InputError, OSError):
        return True


class Reader:
    """Reads order files one after another; what several of them name is read once."""

    def __init__(self, stash: Path | None) -> None:
        self._stash = stash
        self._load = lru_cache(MOST_LOADED)(load_by_name)
        self._names: dict[str, Path] = {}

    def read(self, path: Path) -> Found:
        """Read an order file; whatever is wrong with it is its own fault."""
        name = path.stem
        first = self._names.setdefault(name.casefold(), path)
        if first != path:
            # Some file systems make one folder of the two.
            return Found(name, fault=f"{path}: is named like {first.name}; rename one of them")
        if name.casefold() in SUMMARIES:
            return Found(name, fault=f"{path}: its plan would take the place of {name}; rename it")
        try:
            request = read_order_file(path)
            order = order_of(request, self._stash, self._loaded)
            return Found(name, order, at_hand(request, self._stash), request)
        except (PieceError, FabricError, PlansError) as error:
            return Found(name, fault=str(error))
        except OSError as error:
            return Found(name, fault=f"{error.filename or path}: {system_words(error)}")

    def _loaded(self, name: str, size: str | None) -> Garment:
        return self._load(name, size)
