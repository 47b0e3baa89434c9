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
from plans.order import MOST_BESIDE_MM, MOST_SEED
from plans.orders.amounts import parse_on_hand, parse_size
from plans.orders.cloth import find_cloth
from plans.orders.request import MOST_MAKES, GarmentAsked, Request
from plans.page.asking import Asked, AskedError
from plans.page.planning.choices import (
    EFFORTS,
    TYPED,
    WITH,
    is_fabric,
    is_garment,
    loaded,
    roles_of,
)

T = TypeVar("T")

MOST_ROWS = 20
"""Garments of one form; each may be made many times."""

LONGEST_TITLE = 200

USUAL_UNIT = {System.METRIC: "cm", System.IMPERIAL: "in"}
"""What a bare number is taken as."""


def typed_order(asked: Asked, system: System, stash: Path) -> Request:
    """Read what the form says.

    Raises
    ------
    AskedError
        With the field that is at fault.
    """
    garments = typed_garments(asked)
    try:
        roles = roles_of(garments)
    except (PieceError, PlanError) as error:
        raise AskedError("garment-1", str(error)) from error
    unit = USUAL_UNIT[system]
    title = asked.text("title", "")
    if len(title) > LONGEST_TITLE:
        raise AskedError("title", f"is too long; at most {LONGEST_TITLE} letters")
    request = Request(
        garments=garments,
        cloth=_cloth(asked, roles, stash),
        measured_width=_by_role(asked, "measured", roles, lambda text: parse_length(text, unit)),
        on_hand=_by_role(asked, "onhand", roles, lambda text: parse_on_hand(text, unit)),
        leftovers=asked.flag("leftovers"),
        fold=_one_of(asked, "fold", ("auto", *(fold.value for fold in Fold))),
        makes=asked.whole("makes", 1, MOST_MAKES, 1),
        gap=_length(asked, "gap", Request.gap, unit),
        ends=_length(asked, "ends", Request.ends, unit),
        margin=_length(asked, "margin", Request.margin, unit),
        effort=_one_of(asked, "effort", tuple(name for name, _ in EFFORTS), Request.effort),
        seed=asked.whole("seed", 0, MOST_SEED, Request.seed),
        members=asked.whole("members", 1, MOST_MEMBERS) if "members" in asked else None,
        leftover_size=_size(asked, unit),
        leftover_neck=_length(asked, "leftover_neck", Request.leftover_neck, unit),
        nap_optional=asked.flag("nap_optional"),
        system=system,
        title=title,
    )
    asked.raw("members")
    asked.finished()
    return request


def typed_garments(asked: Asked) -> tuple[GarmentAsked, ...]:
    """Garments of the form, each with its size and how many.

    Raises
    ------
    AskedError
    """
    found = []
    for row in range(1, MOST_ROWS + 1):
        if f"garment-{row}" not in asked:
            # A row that nothing is chosen in counts for nothing.
            for field in ("garment", "size", "count"):
                asked.raw(f"{field}-{row}")
            continue
        name = asked.text(f"garment-{row}")
        if not is_garment(name):
            raise AskedError(f"garment-{row}", f"'{name}' is no garment on your shelf")
        size = asked.text(f"size-{row}", "") or None
        count = asked.whole(f"count-{row}", 1, MOST_MAKES, 1)
        try:
            loaded(name, size)
        except (PieceError, PlanError) as error:
            field = "size" if size else "garment"
            raise AskedError(f"{field}-{row}", str(error)) from error
        found.append(GarmentAsked(name, size, count))
    if not found:
        raise AskedError("garment-1", "choose what is made")
    return tuple(found)


def _cloth(asked: Asked, roles: tuple[str, ...], stash: Path) -> dict[str, str]:
    """Cloth by role; roles that lie on the cloth of another stand beside it: "base+overlay"."""
    own: dict[str, str] = {}
    beside: dict[str, list[str]] = {}
    chosen = {role: asked.text(f"cloth-{role}", "") for role in roles}
    for role, choice in chosen.items():
        typed = asked.text(f"width-{role}", "")
        if not choice:
            raise AskedError(f"cloth-{role}", f"choose the cloth for {role}")
        if choice.startswith(WITH):
            other = choice.removeprefix(WITH)
            if other == role or chosen.get(other, WITH).startswith(WITH):
                raise AskedError(f"cloth-{role}", f"'{other}' has no cloth of its own to share")
            beside.setdefault(other, []).append(role)
        elif choice == TYPED:
            own[role] = _width(asked, f"width-{role}", typed)
        else:
            own[role] = _named(f"cloth-{role}", choice)
        if role in own:
            field = f"width-{role}" if choice == TYPED else f"cloth-{role}"
            _found(field, own[role], stash)
    return {"+".join((role, *beside.get(role, []))): text for role, text in own.items()}


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
    asked: Asked, field: str, roles: tuple[str, ...], reader: Callable[[str], T]
) -> dict[str, T]:
    found = {}
    for role in roles:
        name = f"{field}-{role}"
        if name in asked:
            text = asked.text(name)
            found[role] = asked.read(name, partial(reader, text))
        else:
            asked.raw(name)
    return found


def _one_of(asked: Asked, field: str, known: tuple[str, ...], usual: str = "") -> str:
    chosen = asked.text(field, usual or known[0])
    if chosen not in known:
        raise AskedError(field, f"is none of {', '.join(known)}")
    return chosen


def _length(asked: Asked, field: str, usual: float, unit: str) -> float:
    length = asked.length(field, usual, unit)
    if not 0.0 <= length <= MOST_BESIDE_MM:
        raise AskedError(field, f"is too much; at most {MOST_BESIDE_MM / 1000.0:g} m")
    return length


def _size(asked: Asked, unit: str) -> tuple[float, float]:
    if "leftover_size" not in asked:
        asked.raw("leftover_size")
        return Request.leftover_size
    text = asked.text("leftover_size")
    return asked.read("leftover_size", lambda: parse_size(text, unit))
