"""From a request to an order: garments and cloth are looked up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import TypeVar

from pieces.drafting.garment import Garment
from pieces.drafting.outfit import (
    OWN,
    Ordered,
    OutfitError,
    outfit_of,
    require_few,
)
from pieces.drawings.loading import load_any
from pieces.errors import PieceError
from pieces.readers.shelf import find_garment
from plans.order import Order
from plans.orders.cloth import as_known, cloth_by_role, in_order_file
from plans.orders.request import Request

T = TypeVar("T")

Load = Callable[[str, str | None], Garment]
"""Loads a garment by its name or file, in a size."""


def load_by_name(name: str, size: str | None) -> Garment:
    """Load a garment by its name on the shelf or its file, in a size."""
    return load_any(find_garment(name), size)


def order_of(request: Request, stash: Path | None = None, load: Load = load_by_name) -> Order:
    """Make an order of a request.

    Parameters
    ----------
    request : Request
    stash : Path, optional
        File of the stash that bolts are looked up in; the user's own unless given.
    load : callable, optional
        Loads a garment; by default as `load_by_name`.

    Raises
    ------
    InputError, OutfitError, ContradictionError, FabricError
        If a garment, a size, a cloth or a role is not what it should be.
    """
    ordered = [_ordered(request, nth, load) for nth in range(len(request.garments))]
    named = list(request.cloth.items())
    for asked, whose in zip(request.garments, ordered, strict=True):
        named += [(_own(roles, whose), text) for roles, text in asked.cloth.items()]
    typed = [role.strip() for roles, _ in named for role in roles.split("+")]
    typed += [*request.measured_width, *request.on_hand]
    try:
        outfit = outfit_of(ordered, dict.fromkeys(role for role in typed if OWN in role))
        require_few(sum(part.count for part in ordered) * request.makes)
    except OutfitError as error:
        raise in_order_file(request.source, "garment", error) from error
    renamed = _Renamed(outfit.own_roles)
    cloth = cloth_by_role(
        ((renamed.roles(roles), text) for roles, text in named), stash, request.source
    )
    known = replace(
        request,
        measured_width=renamed.keys(request.measured_width),
        on_hand=renamed.keys(request.on_hand),
    )
    garment = replace(outfit.garment, title=request.title or outfit.garment.title)
    asked_for = {field.name for field in fields(Request)} & {field.name for field in fields(Order)}
    return Order(
        garment=garment,
        cloth=as_known(cloth, known),
        makes=request.makes * outfit.makes,
        **{name: getattr(request, name) for name in asked_for - {"cloth", "makes"}},
    )


def _ordered(request: Request, nth: int, load: Load) -> Ordered:
    asked = request.garments[nth]
    try:
        return Ordered(load(asked.name, asked.size), asked.count, asked.called)
    except PieceError as error:
        raise in_order_file(request.source, f"garment[{nth + 1}]", error) from error


def _own(roles: str, whose: Ordered) -> str:
    return "+".join(f"{role.strip()}{OWN}{whose.owner}" for role in roles.split("+"))


class _Renamed:
    """Roles as the order calls them, by how they were typed."""

    def __init__(self, own_roles: dict[str, str]) -> None:
        self._own_roles = own_roles

    def roles(self, typed: str) -> str:
        """Return the name of "ROLE" or "ROLE+ROLE"."""
        names = [role.strip() for role in typed.split("+")]
        return "+".join(self._own_roles.get(role, role) for role in names)

    def keys(self, by_role: dict[str, T]) -> dict[str, T]:
        """Return the same values by the names of their roles."""
        return {self.roles(role): value for role, value in by_role.items()}
