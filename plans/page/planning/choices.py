"""What can be chosen for a new plan: garments and their sizes, roles, cloth, folds, efforts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from fabrics.fold_words import taught_name
from fabrics.shelf import shelf_names as demo_fabrics
from fabrics.spread import Fold
from pieces.drafting.garment import Garment
from pieces.files.own_shelf import FABRICS, GARMENTS, own_files
from pieces.readers.shelf import find_garment
from pieces.readers.shelf import shelf_names as demo_garments
from plans.folds.levels import EFFORTS as KNOWN_EFFORTS
from plans.orders.making import load_by_name, order_to_compare
from plans.orders.request import GarmentAsked, Request
from plans.page.bolts import offered_bolts

WORTH = {
    "quick": "a first look, a second or two",
    "normal": "as a rule",
    "thorough": "minutes, where every centimetre counts",
}
EFFORTS = tuple((name, WORTH[name]) for name in KNOWN_EFFORTS)
"""Each effort, and what it is for."""

TYPED, WITH = "=typed", "=with:"
"""Choices of cloth that are no name: a width that is typed, and the cloth of another role."""


@dataclass(frozen=True)
class Choice:
    """One of several: what is sent, and what is read."""

    value: str
    words: str


@dataclass(frozen=True)
class Group:
    """Choices under a heading."""

    heading: str
    choices: tuple[Choice, ...]


def garment_groups() -> tuple[Group, ...]:
    """Garments of the user, then the demo ones."""
    return _shelf(own_files(GARMENTS), demo_garments())


def cloth_groups(stash: Path) -> tuple[Group, ...]:
    """Fabrics of the user, bolts of the stash, then the demo fabrics."""
    own, *demo = _shelf(own_files(FABRICS), demo_fabrics())
    return tuple(group for group in (own, _bolts(stash), *demo) if group.choices)


def _shelf(own: Iterable[str], demo: Iterable[str]) -> tuple[Group, ...]:
    mine = list(own)
    return (
        Group("Yours", tuple(Choice(name, name) for name in mine)),
        Group("Demo", tuple(Choice(name, name) for name in demo if name not in mine)),
    )


def _bolts(stash: Path) -> Group:
    bolts = offered_bolts(stash)
    return Group(
        "Bolts in the stash",
        tuple(Choice(f"stash:{bolt.tag}", f"{bolt.tag}: {bolt.fabric.title}") for bolt in bolts),
    )


def fold_choices() -> tuple[Choice, ...]:
    """Whichever buys least, then every fold."""
    return (
        Choice("auto", "whichever takes least"),
        *(Choice(fold.value, taught_name(fold)) for fold in Fold),
    )


def loaded(name: str, size: str | None) -> Garment:
    """Load a garment of the shelf; kept until its file changes.

    Raises
    ------
    InputError
        If there is none, or it is at fault.
    """
    path = find_garment(name)
    stat = path.stat()
    return _loaded(name, size, str(path), stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=100)
def _loaded(name: str, size: str | None, _: str, __: int, ___: int) -> Garment:
    return load_by_name(name, size)


def roles_of(garments: tuple[GarmentAsked, ...]) -> tuple[str, ...]:
    """Roles that garments need cloth for, in the order of their files.

    Raises
    ------
    InputError, OutfitError
        If a garment or a size is not what it should be.
    """
    order, _ = order_to_compare(Request(garments), (), loaded)
    return tuple(order.garment.roles)


def is_garment(name: str) -> bool:
    """Whether a name is on a shelf."""
    return name in own_files(GARMENTS) or name in demo_garments()


def is_fabric(name: str) -> bool:
    """Whether a name is on a shelf."""
    return name in own_files(FABRICS) or name in demo_fabrics()
