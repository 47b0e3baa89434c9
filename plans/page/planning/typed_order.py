"""From the fields of the form to a request; each fault is told at its field."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from fabrics.folds.errors import FabricError
from fabrics.shelf import find_fabric
from fabrics.spread import Fold
from layout.effort import MOST_MEMBERS
from pieces.errors import PieceError
from pieces.lengths import System, parse_length
from plans.errors import PlanError
from plans.order import MOST_BESIDE_MM, MOST_PROVE_S, MOST_SEED
from plans.orders.amounts import parse_on_hand, parse_size
from plans.orders.cloth import find_cloth
from plans.orders.request import MOST_MAKES, GarmentAsked, Request
from plans.page.asking import Asked, AskedError, Faults
from plans.page.planning.choices import (
    EFFORTS,
    TYPED,
    WITH,
    is_fabric,
    is_garment,
    loaded,
    roles_of,
)
from plans.page.settings import USUAL_UNIT

T = TypeVar("T")

MOST_ROWS = 20
"""Garments of one form; each may be made many times."""

LONGEST_TITLE = 200


def typed_order(asked: Asked, system: System, stash: Path) -> Request:
    """Read what the form says.

    Raises
    ------
    AskedError, SeveralWrongError
        With each field that is at fault.
    """
    faults = Faults()
    garments = _garments(asked, faults)
    unknown = bool(faults)
    roles: tuple[str, ...] = faults.take(partial(_roles, garments), ()) if garments else ()
    unit = USUAL_UNIT[system]

    def length(field: str, usual: float) -> float:
        return faults.take(lambda: asked.length(field, usual, system, MOST_BESIDE_MM), usual)

    def whole(field: str, least: int, most: int, usual: int) -> int:
        return faults.take(lambda: asked.whole(field, least, most, usual), usual)

    def one_of(field: str, known: tuple[str, ...], usual: str) -> str:
        return faults.take(lambda: asked.one_of(field, known, usual), usual)

    def flag(field: str) -> bool:
        return faults.take(lambda: asked.flag(field), False)

    request = Request(
        garments=garments,
        cloth=_cloth(asked, roles, stash, faults),
        measured_width=_by_role(
            asked, "measured", roles, lambda text: parse_length(text, unit), faults
        ),
        on_hand=_by_role(asked, "onhand", roles, lambda text: parse_on_hand(text, unit), faults),
        leftovers=flag("leftovers"),
        fold=one_of("fold", ("auto", *(fold.value for fold in Fold)), Request.fold),
        makes=whole("makes", 1, MOST_MAKES, 1),
        gap=length("gap", Request.gap),
        ends=length("ends", Request.ends),
        margin=length("margin", Request.margin),
        effort=one_of("effort", tuple(name for name, _ in EFFORTS), Request.effort),
        seed=whole("seed", 0, MOST_SEED, Request.seed),
        members=faults.take(lambda: _members(asked), None),
        leftover_size=faults.take(lambda: _size(asked, unit), Request.leftover_size),
        leftover_neck=length("leftover_neck", Request.leftover_neck),
        nap_optional=flag("nap_optional"),
        prove=faults.take(lambda: _seconds(asked), Request.prove),
        system=system,
        title=faults.take(lambda: _title(asked), ""),
    )
    if not unknown:
        # Fields of roles are known only with their garments.
        faults.take(asked.finished, None)
    faults.told()
    return request


def _roles(garments: tuple[GarmentAsked, ...]) -> tuple[str, ...]:
    try:
        return roles_of(garments)
    except (PieceError, PlanError) as error:
        raise AskedError("garment-1", str(error)) from error


def _title(asked: Asked) -> str:
    title = asked.text("title", "")
    if len(title) > LONGEST_TITLE:
        raise AskedError("title", f"is too long; at most {LONGEST_TITLE} letters")
    return title


def _members(asked: Asked) -> int | None:
    if "members" not in asked:
        asked.raw("members")
        return None
    return asked.whole("members", 1, MOST_MEMBERS)


def _seconds(asked: Asked) -> float:
    """How long a proof is looked for."""
    if "prove" not in asked:
        asked.raw("prove")
        return Request.prove
    return float(asked.whole("prove", 0, MOST_PROVE_S))


def _garments(asked: Asked, faults: Faults) -> tuple[GarmentAsked, ...]:
    """Garments of the form that are sound, each with its size and how many."""
    found = []
    chosen = False
    for row in range(1, MOST_ROWS + 1):
        if f"garment-{row}" not in asked:
            # A row that nothing is chosen in counts for nothing.
            for field in ("garment", "size", "count"):
                asked.raw(f"{field}-{row}")
            continue
        chosen = True
        count = faults.take(partial(asked.whole, f"count-{row}", 1, MOST_MAKES, 1), 1)
        garment = faults.take(partial(_garment, asked, row, count), None)
        if garment is not None:
            found.append(garment)
    if not chosen:
        faults.take(partial(_refuse, "garment-1", "choose what is made"), None)
    return tuple(found)


def _garment(asked: Asked, row: int, count: int) -> GarmentAsked | None:
    name, size = asked.text(f"garment-{row}"), asked.text(f"size-{row}", "") or None
    if not is_garment(name):
        raise AskedError(f"garment-{row}", f"'{name}' is no garment on your shelf")
    try:
        loaded(name, size)
    except (PieceError, PlanError) as error:
        field = "size" if size else "garment"
        raise AskedError(f"{field}-{row}", str(error)) from error
    return GarmentAsked(name, size, count)


def _refuse(field: str, message: str) -> None:
    raise AskedError(field, message)


def _cloth(asked: Asked, roles: tuple[str, ...], stash: Path, faults: Faults) -> dict[str, str]:
    """Cloth by role; roles that lie on the cloth of another stand beside it: "base+overlay"."""
    own: dict[str, str] = {}
    beside: dict[str, list[str]] = {}
    chosen = {role: faults.take(partial(asked.text, f"cloth-{role}", ""), "") for role in roles}
    for role in roles:
        text, other = faults.take(partial(_cloth_of, asked, role, chosen, stash), ("", ""))
        if text:
            own[role] = text
        elif other:
            beside.setdefault(other, []).append(role)
    return {"+".join((role, *beside.get(role, []))): text for role, text in own.items()}


def _cloth_of(asked: Asked, role: str, chosen: dict[str, str], stash: Path) -> tuple[str, str]:
    """What a role is cut from, or the role whose cloth it shares."""
    choice, typed = chosen[role], asked.text(f"width-{role}", "")
    if not choice:
        raise AskedError(f"cloth-{role}", f"choose the cloth for {role}")
    if choice.startswith(WITH):
        other = choice.removeprefix(WITH)
        if other == role or chosen.get(other, WITH).startswith(WITH):
            raise AskedError(f"cloth-{role}", f"'{other}' has no cloth of its own to share")
        return "", other
    field = f"width-{role}" if choice == TYPED else f"cloth-{role}"
    text = _width(asked, field, typed) if choice == TYPED else _named(field, choice)
    _found(field, text, stash)
    return text, ""


def _width(asked: Asked, field: str, typed: str) -> str:
    if not typed:
        raise AskedError(field, "type a width, such as 140cm or 60in")
    if not typed[:1].isdigit():
        raise AskedError(field, f"'{typed[:40]}' is no width, such as 140cm or 60in")
    # On the command line it might name a file; what is typed here never does.
    asked.read(field, lambda: find_fabric(typed, files=False))
    return typed


def _named(field: str, choice: str) -> str:
    if choice.lower().startswith("stash:") or is_fabric(choice):
        return choice
    raise AskedError(field, f"'{choice[:40]}' is no fabric on your shelf")


def _found(field: str, text: str, stash: Path) -> None:
    try:
        find_cloth(text, stash)
    except (PieceError, FabricError, PlanError) as error:
        raise AskedError(field, str(error)) from error


def _by_role(
    asked: Asked, field: str, roles: tuple[str, ...], reader: Callable[[str], T], faults: Faults
) -> dict[str, T]:
    found: dict[str, T] = {}
    for role in roles:
        name = f"{field}-{role}"
        if name in asked:
            value = faults.take(partial(_read, asked, name, reader), None)
            if value is not None:
                found[role] = value
        else:
            asked.raw(name)
    return found


def _read(asked: Asked, name: str, reader: Callable[[str], T]) -> T | None:
    return asked.read(name, partial(reader, asked.text(name)))


def _size(asked: Asked, unit: str) -> tuple[float, float]:
    if "leftover_size" not in asked:
        asked.raw("leftover_size")
        return Request.leftover_size
    text = asked.text("leftover_size")
    return asked.read("leftover_size", lambda: parse_size(text, unit))
