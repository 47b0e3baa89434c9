"""From a request to an order: garments and cloth are looked up."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from pathlib import Path

from fabrics.fabric import Fabric
from pieces.drafting.garment import Garment
from pieces.drafting.outfit import (
    OWN,
    Ordered,
    Outfit,
    OutfitError,
    outfit_of,
    require_few,
)
from pieces.drawings.loading import load_any
from pieces.errors import PieceError
from pieces.readers.shelf import find_garment
from plans.errors import ContradictionError
from plans.folds.jobs import require_cloth
from plans.order import Order
from plans.orders.cloth import as_known, cloth_by_role, in_order_file
from plans.orders.request import Request

Load = Callable[[str, str | None], Garment]
"""Loads a garment by its name or file, in a size."""

IN_FILE = 'write {role} = "FABRIC" into the table cloth of the order file'
"""How a role is given cloth by whoever wrote an order file."""


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
    outfit, named = _named(request, load)
    cloth = cloth_by_role(
        ((outfit.roles(roles), text) for roles, text in named), stash, request.source
    )
    try:
        known = as_known(
            cloth,
            {outfit.roles(role): width for role, width in request.measured_width.items()},
            {outfit.roles(role): amount for role, amount in request.on_hand.items()},
        )
        order = _order(request, outfit, known)
        require_cloth(order, *((IN_FILE,) if request.source else ()))
    except ContradictionError as error:
        raise in_order_file(request.source, "cloth", error) from error
    return order


def order_without_cloth(request: Request, load: Load = load_by_name) -> Order:
    """Make the order of a request whose cloth is known from elsewhere: roles are called as there.

    Raises
    ------
    InputError, OutfitError
        If a garment or a size is not what it should be.
    """
    return _order(request, _named(request, load)[0], {})


def order_to_compare(
    request: Request, roles: Iterable[str], load: Load = load_by_name
) -> tuple[Order, Callable[[str], str]]:
    """Make an order of which only the garments and options count, whatever its cloth.

    Parameters
    ----------
    request : Request
    roles : iterable of str
        Roles as they are typed; ROLE@GARMENT becomes a role of its own.
    load : callable, optional
        Loads a garment; by default as `load_by_name`.

    Returns
    -------
    Order, callable
        And what the order calls a role (or ROLE+ROLE) that was typed.

    Raises
    ------
    InputError, OutfitError, ContradictionError
    """
    outfit = _outfit(request, _ordered(request, load), roles)
    return _order(request, outfit, {}), outfit.roles


def _named(request: Request, load: Load) -> tuple[Outfit, list[tuple[str, str]]]:
    """The garments of a request, and its cloth by roles as they are typed."""
    ordered = _ordered(request, load)
    named = list(request.cloth.items())
    for asked, whose in zip(request.garments, ordered, strict=True):
        named += [(_own(roles, whose), text) for roles, text in asked.cloth.items()]
    typed = [*(roles for roles, _ in named), *request.measured_width, *request.on_hand]
    return _outfit(request, ordered, typed), named


def _outfit(request: Request, ordered: list[Ordered], typed: Iterable[str]) -> Outfit:
    names = [role.strip() for roles in typed for role in roles.split("+")]
    try:
        outfit = outfit_of(ordered, dict.fromkeys(role for role in names if OWN in role))
        require_few(sum(part.count for part in ordered) * request.makes)
    except OutfitError as error:
        raise in_order_file(request.source, "garment", error) from error
    return outfit


def _order(request: Request, outfit: Outfit, cloth: dict[str, Fabric]) -> Order:
    same = {field.name for field in fields(Request)} & {field.name for field in fields(Order)}
    return Order(
        garment=replace(outfit.garment, title=request.title or outfit.garment.title),
        cloth=cloth,
        makes=request.makes * outfit.makes,
        **{name: getattr(request, name) for name in same - {"cloth", "makes"}},
    )


def _ordered(request: Request, load: Load) -> list[Ordered]:
    ordered = []
    for nth, asked in enumerate(request.garments, start=1):
        try:
            ordered.append(Ordered(load(asked.name, asked.size), asked.count, asked.called))
        except PieceError as error:
            raise in_order_file(request.source, f"garment[{nth}]", error) from error
    return ordered


def _own(roles: str, whose: Ordered) -> str:
    return "+".join(f"{role.strip()}{OWN}{whose.owner}" for role in roles.split("+"))
