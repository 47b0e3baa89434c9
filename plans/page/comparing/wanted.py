"""What a comparison is asked for: typed in a form, checked field by field, and looked up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from fabrics.price import Price, PriceError
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from fabrics.stash.errors import StashError
from pieces.errors import PieceError
from pieces.lengths import GAP_MM, LengthError, System
from pieces.readers.shelf import all_names
from plans.compare.cells import Question
from plans.compare.cloths import WAYS, asked_price, plain_cloths, usual_or
from plans.compare.questions import Named
from plans.compare.table import price_words
from plans.errors import ContradictionError
from plans.folds.levels import EFFORTS
from plans.order import MOST_BESIDE_MM, USUAL_ENDS_MM, Order
from plans.orders.cloth import find_cloth
from plans.orders.comparison import comparison_asked
from plans.orders.making import load_by_name
from plans.orders.request import MOST_MAKES, GarmentAsked, Request
from plans.page.asking import Asked, AskedError

MOST_CELLS = 600
"""More than anybody would read, and an hour of work."""

MOST_LISTED = 60
"""Garments, roles, cloths or widths that are asked for at once."""

STASH = "stash:"


@dataclass(frozen=True)
class Wanted:
    """A comparison as it is asked for, still by name; plain data for a task.

    `widths` are plain widths as typed; `cloths` names on the shelf or `stash:TAG`; without either
    the usual widths are compared. `nap` is a key of `WAYS`.
    """

    request: Request
    roles: tuple[str, ...] = ()
    widths: tuple[str, ...] = ()
    cloths: tuple[str, ...] = ()
    folds: tuple[str, ...] = ()
    nap: str = "both"
    price: str = ""
    currency: str = ""


@dataclass(frozen=True)
class LookedUp:
    """The order, the cells that it asks for, and what is said of the price."""

    order: Order
    questions: list[Question]
    price: str


def wanted_of(asked: Asked, system: System) -> Wanted:
    """Read a form.

    Raises
    ------
    AskedError
        With the field that is wrong.
    """
    wanted = Wanted(
        Request(
            _garments(asked),
            effort=asked.one_of("effort", EFFORTS, "normal"),
            gap=asked.length("gap", GAP_MM, system, MOST_BESIDE_MM),
            ends=asked.length("ends", USUAL_ENDS_MM, system, MOST_BESIDE_MM),
            margin=asked.length("margin", 0.0, system, MOST_BESIDE_MM),
            system=system,
        ),
        roles=tuple(_texts(asked, "roles")),
        widths=tuple(part.strip() for part in asked.text("widths", "").split(";") if part.strip()),
        cloths=tuple(_texts(asked, "cloths")),
        folds=tuple(_texts(asked, "folds")),
        nap=asked.one_of("nap", WAYS, "both"),
        price=asked.text("price", ""),
        currency=asked.text("currency", "")[:8],
    )
    asked.finished()
    if len(wanted.widths) > MOST_LISTED:
        raise AskedError("widths", f"are more than {MOST_LISTED}")
    for fold in wanted.folds:
        if fold not in [known.value for known in Fold]:
            raise AskedError("folds", f"'{fold[:20]}' is no fold")
    return wanted


def looked_up(wanted: Wanted, stash: Path) -> LookedUp:
    """Look garments and cloth up, and make the cells.

    Raises
    ------
    AskedError
        With the field that is wrong.
    """
    system = wanted.request.system
    named = [_named(text, stash) for text in wanted.cloths]
    price = _price(wanted, system)
    try:
        plain = plain_cloths(usual_or(wanted.widths, system, bool(named)), wanted.nap, price)
    except LengthError as error:
        raise AskedError("widths", str(error)) from error
    except ContradictionError as error:
        raise AskedError("nap", str(error)) from error
    # Roles that nobody named are at least one, so that this is no more than there will be.
    _require_few(
        (len(plain) + len(named)) * max(1, len(wanted.roles)) * len(wanted.folds or tuple(Fold))
    )
    try:
        order, questions = comparison_asked(
            wanted.request, wanted.roles, plain, named, wanted.folds
        )
    except ContradictionError as error:
        raise AskedError("roles", str(error)) from error
    _require_few(len(questions))
    return LookedUp(order, questions, price_words(price, plain, system))


def _require_few(count: int) -> None:
    if count > MOST_CELLS:
        raise AskedError(
            "widths",
            f"make a table of {count} cells; at most {MOST_CELLS} at once: leave out widths, roles "
            "or folds",
        )


def _garments(asked: Asked) -> tuple[GarmentAsked, ...]:
    rows = asked.rows("garments")
    if not rows:
        raise AskedError("garments", "names no garment")
    if len(rows) > MOST_LISTED:
        raise AskedError("garments", f"are more than {MOST_LISTED}")
    found = []
    for row in rows:
        name, size = row.text("name"), row.text("size", "") or None
        count = row.whole("count", 1, MOST_MAKES, 1)
        row.finished()
        if name not in all_names():
            raise AskedError(row.name_of("name"), f"'{name[:60]}' is no garment on the shelf")
        row.read("size" if size else "name", partial(load_by_name, name, size))
        found.append(GarmentAsked(name, size, count))
    return tuple(found)


def _named(text: str, stash: Path) -> Named:
    """A fabric of a shelf or a bolt; never a file elsewhere."""
    try:
        if text.startswith(STASH):
            return None, find_cloth(text, stash)
        return None, find_fabric(text, files=False)
    except (PieceError, StashError) as error:
        raise AskedError("cloths", str(error)) from error


def _price(wanted: Wanted, system: System) -> Price | None:
    if not wanted.price:
        return None
    try:
        return asked_price(wanted.price, wanted.currency, system)
    except PriceError as error:
        raise AskedError("price", str(error)) from error


def _texts(asked: Asked, field: str) -> Iterable[str]:
    found = asked.raw(field)
    if found is None:
        return []
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        raise AskedError(field, "is no list of texts")
    if len(found) > MOST_LISTED:
        raise AskedError(field, f"are more than {MOST_LISTED}")
    return list(dict.fromkeys(one.strip() for one in found if one.strip()))
