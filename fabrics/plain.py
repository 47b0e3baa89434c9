"""Plain widths that stand for a fabric: `140cm`, `60in,selvage=0,shrinkage=4%x2%,nap`."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from dataclasses import replace

from fabrics.buying import SHOP_STEP_MM
from fabrics.fabric import Fabric
from fabrics.price import PriceError, parse_price
from pieces.lengths import YARD_MM, LengthError, System, format_width, parse_length, unit_system

NARROWEST_MM, WIDEST_MM = 50.0, 4000.0
"""Widths outside these are questioned."""

PLAIN_SELVAGE_MM = 10.0
"""Selvage of a plain width (design)."""

MOST_SHRINKAGE = 0.5
"""No cloth that is cut loses half its length; a larger figure is a slip."""

_NEXT_PROPERTY = re.compile(r",\s*(?=[^\W\d])")
"""A comma before a word; one before a digit is a decimal comma."""


def plain_fabric(text: str) -> Fabric:
    """Make the fabric that a plain width stands for, with the properties that follow it.

    Without properties: selvages of 10 mm, no nap, no repeat, no shrinkage that anyone stated; sold
    by the eighth of a yard when typed in inches, else in the units of whoever asks.

    Raises
    ------
    LengthError
        If the text is not a positive width with properties that are known.
    """
    if text.rstrip().endswith(","):
        raise LengthError(f"'{text.strip()}': nothing follows its last comma; leave it out")
    width_text, *properties = _NEXT_PROPERTY.split(text.strip())
    width = parse_length(width_text)
    if not NARROWEST_MM <= width <= WIDEST_MM:
        raise LengthError(
            f"'{width_text}' is no usual width of cloth; 36 to 60 in, 90 to 150 cm are"
        )
    imperial = unit_system(width_text) is System.IMPERIAL
    fabric = Fabric(
        name="".join(text.split()),
        title=f"plain cloth, {_spaced(width_text)} wide",
        width=width,
        selvage=PLAIN_SELVAGE_MM,
        shrinkage_known=False,
        step=SHOP_STEP_MM[System.IMPERIAL if imperial else System.METRIC],
        own_step=imperial,
        price_unit=YARD_MM if imperial else 1000.0,
        imperial=imperial,
    )
    given: set[str] = set()
    for one in properties:
        name = one.partition("=")[0].strip().lower()
        if name in given:
            raise LengthError(f"'{text.strip()}' says {name} twice; once is enough")
        given.add(name)
        fabric = _with_property(fabric, one)
    fabric = replace(fabric, title=", ".join((fabric.title, *_stated(fabric))))
    if fabric.width <= 2.0 * fabric.selvage:
        taken = format_width(2.0 * fabric.selvage, unit_system(width_text))
        raise LengthError(f"'{width_text}' is too narrow: the two selvages take {taken} of it")
    return fabric


def _spaced(width: str) -> str:
    """A width as a person reads it: "60 in" for `60in`."""
    return re.sub(r"(?<=[\d½¼¾])(?=[^\W\d])", " ", width.strip())


def _stated(fabric: Fabric) -> list[str]:
    """What was stated of plain cloth that a shopper would ask for, in words."""
    words = []
    if fabric.one_way:
        words.append("with nap")
    if fabric.shrink_along or fabric.shrink_across:
        along, across = 100.0 * fabric.shrink_along, 100.0 * fabric.shrink_across
        words.append(f"that shrinks {along:g} % along and {across:g} % across")
    words += ["washed"] if fabric.washed else []
    words += ["both sides alike"] if fabric.faces_alike else []
    return words + (["without grain"] if fabric.grainless else [])


def properties_of(name: str) -> str:
    """What follows the width in the name of a plain cloth: "shrinkage=4%x2%, nap", or nothing."""
    return ", ".join(_NEXT_PROPERTY.split(name)[1:])


def _with_property(fabric: Fabric, text: str) -> Fabric:
    name, sign, value = (part.strip() for part in text.partition("="))
    name = name.lower()
    if name in _FLAGS:
        if sign:
            raise LengthError(f"'{text}': {name} takes no value; write {name} alone")
        return _FLAGS[name](fabric)
    if name not in _VALUES:
        near = difflib.get_close_matches(name, [*_FLAGS, *_VALUES], n=1)
        hint = f"; did you mean {near[0]}?" if near else ""
        known = ", ".join((*(f"{key}=..." for key in _VALUES), *_FLAGS))
        raise LengthError(f"plain cloth has no property '{name}'{hint} (it may have {known})")
    if not value:
        raise LengthError(f"'{text}' has no value; write {_EXAMPLES[name]}")
    return _VALUES[name](fabric, value)


def _selvage(fabric: Fabric, value: str) -> Fabric:
    return replace(fabric, selvage=parse_length(value))


def _shrinkage(fabric: Fabric, value: str) -> Fabric:
    parts = [part.strip().removesuffix("%").strip() for part in value.lower().split("x")]
    try:
        shares = [float(part.replace(",", ".")) / 100.0 for part in parts if "-" not in part]
    except ValueError:
        shares = []
    sound = len(shares) == len(parts) <= 2 and all(0.0 <= s < MOST_SHRINKAGE for s in shares)
    if not sound:
        raise LengthError(
            f"shrinkage '{value}' is not understood; write 4%x2% (along x across), or 4% for both, "
            "below 50 %"
        )
    return replace(fabric, shrink_along=shares[0], shrink_across=shares[-1], shrinkage_known=True)


def _price(fabric: Fabric, value: str) -> Fabric:
    try:
        price = parse_price(value)
    except PriceError as error:
        raise LengthError(str(error)) from error
    return replace(fabric, price=price.amount, currency=price.currency, price_unit=price.unit)


def _step(fabric: Fabric, value: str) -> Fabric:
    step = parse_length(value)
    if step <= 0.0:
        raise LengthError(f"a step of '{value}' is no length to cut; write step=10cm or step=1/8yd")
    imperial = unit_system(value) is System.IMPERIAL
    return replace(fabric, step=step, own_step=True, imperial=imperial)


_FLAGS: dict[str, Callable[[Fabric], Fabric]] = {
    "nap": lambda fabric: replace(fabric, one_way=True),
    "washed": lambda fabric: replace(fabric, washed=True),
    "reversible": lambda fabric: replace(fabric, faces_alike=True),
    "grainless": lambda fabric: replace(fabric, grainless=True),
}
_VALUES: dict[str, Callable[[Fabric, str], Fabric]] = {
    "selvage": _selvage,
    "shrinkage": _shrinkage,
    "price": _price,
    "step": _step,
}
_EXAMPLES = {
    "selvage": "selvage=1.5cm",
    "shrinkage": "shrinkage=4%x2%",
    "price": "price=12/m",
    "step": "step=10cm",
}


def in_lot(fabric: Fabric, roles: list[str]) -> Fabric:
    """Plain cloth for these roles alone: it is no other role's, however alike that is."""
    lot = " and ".join(roles)
    return replace(fabric, lot=lot, title=f"{fabric.title}, for {lot}")
