"""Cloths that are compared: plain widths in both directions of nap, at the price asked for them."""

from __future__ import annotations

from dataclasses import replace

from fabrics.fabric import Fabric
from fabrics.plain import plain_fabric
from fabrics.price import Price, parse_price
from pieces.lengths import YARD_MM, System
from plans.errors import ContradictionError

USUAL = {
    System.METRIC: ("90cm", "115cm", "140cm", "150cm"),
    System.IMPERIAL: ("36in", "45in", "54in", "60in"),
}
"""Widths compared where none is named: those that shops have most (the commonest columns of
published width conversion charts)."""

WAYS = {"without": (False,), "with": (True,), "both": (False, True)}
"""Whether cloth has a nap (is one-way), by what is asked for."""


def asked_price(text: str, currency: str, system: System) -> Price:
    """Read a price of plain cloth; what carries no length of its own is for a metre, or a yard.

    Raises
    ------
    PriceError
        If it is none.
    """
    price = parse_price(text, YARD_MM if system is System.IMPERIAL else 1000.0)
    return price if price.currency else replace(price, currency=currency)


def usual_or(widths: tuple[str, ...], system: System, others: bool) -> tuple[str, ...]:
    """The widths that are asked for; the usual ones if there are none, nor other cloths."""
    return widths or (() if others else USUAL[system])


def plain_cloths(
    widths: tuple[str, ...], nap: str = "both", price: Price | None = None
) -> list[Fabric]:
    """Plain cloth of each width, first without nap (unless it has one), then with it.

    Parameters
    ----------
    widths : tuple of str
        As they are typed; one that comes twice counts once.
    nap : str
        A key of `WAYS`.
    price : Price, optional
        Of each cloth that names none of its own.

    Raises
    ------
    LengthError
        If a width cannot be read.
    ContradictionError
        If cloth without nap is asked for and a width says that it is one-way.
    """
    cloths = [_priced(plain_fabric(text), price) for text in dict.fromkeys(widths)]
    ways = WAYS[nap]
    for fabric in cloths:
        if fabric.one_way and True not in ways:
            raise ContradictionError(f"'{fabric.name}' is one-way cloth; leave out --nap without")
    return [
        replace(fabric, one_way=way)
        for way in ways
        for fabric in cloths
        if way or not fabric.one_way
    ]


def _priced(fabric: Fabric, price: Price | None) -> Fabric:
    if price is None or fabric.price is not None:
        return fabric
    return replace(fabric, price=price.amount, currency=price.currency, price_unit=price.unit)
