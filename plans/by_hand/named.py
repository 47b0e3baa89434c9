"""Pieces of a plan by what people call them: their names, or their numbers on the drawing."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from plans.by_hand.errors import NoSuchPieceError
from plans.plan import FabricPlan, PlacedPiece, Plan


def pieces_named(plan: Plan, names: Iterable[str]) -> dict[int, tuple[int, ...]]:
    """Find placements by names.

    A name means all placements of that piece, a number the one that bears it; where several
    fabrics are cut, ROLE:NAME or ROLE:NUMBER says on which.

    Returns
    -------
    dict of int to tuple of int
        Placements by index, by the index of their fabric.

    Raises
    ------
    NoSuchPieceError
        With what the plan holds.
    """
    found: dict[int, set[int]] = {}
    for name in names:
        matched = _matched(plan, name.strip(), plan.fabrics)
        if not matched:
            raise NoSuchPieceError(f"'{name}' is no piece of this plan{_meant(plan, name)}")
        fabrics = {at for at, _ in matched}
        if name.strip().isdigit() and len(fabrics) > 1:
            roles = " or ".join(f"{plan.fabrics[at].roles[0]}:{name.strip()}" for at in fabrics)
            raise NoSuchPieceError(f"'{name}': several fabrics have one of that number: {roles}")
        for at, index in matched:
            found.setdefault(at, set()).add(index)
    return {at: tuple(sorted(indices)) for at, indices in sorted(found.items())}


def _matched(plan: Plan, name: str, fabrics: tuple[FabricPlan, ...]) -> list[tuple[int, int]]:
    here = [
        (at, index)
        for at, entry in enumerate(plan.fabrics)
        if entry in fabrics
        for index, placed in enumerate(entry.placements)
        if _is_called(placed, name)
    ]
    role, colon, rest = name.partition(":")
    if here or not colon:
        return here
    of_role = tuple(entry for entry in fabrics if role.strip() in entry.roles)
    return _matched(plan, rest.strip(), of_role) if of_role else []


def _is_called(placed: PlacedPiece, name: str) -> bool:
    wanted = name.casefold()
    return wanted in (
        str(placed.number), placed.piece.casefold(), f"{placed.number} {placed.piece}".casefold(),
    )  # fmt: skip


def _meant(plan: Plan, name: str) -> str:
    """The names that it has, the likeliest first."""
    names = list(dict.fromkeys(p.piece for entry in plan.fabrics for p in entry.placements))
    likely = difflib.get_close_matches(name, names, 1)
    if likely:
        return f"; did you mean '{likely[0]}'?"
    return f"; it has {', '.join(names)}, or the numbers of the drawing"
