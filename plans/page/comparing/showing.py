"""A comparison as a view shows it: a table for each set of roles and nap, and what a cell says."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from fabrics.fold_words import explained_name, taught_name
from fabrics.plain import properties_of
from fabrics.spread import Fold
from pieces.lengths import System, format_length, format_width
from plans.compare.cells import Cell
from plans.compare.table import cell_row
from plans.folds.outcome import NEEDLESS
from plans.page.comparing.wanted import Wanted

NOT_YET = "not reached"
"""The reason of a cell that nothing is known of yet."""

NO_BETTER = "no better than one fold"
"""What a cell says whose folds were laid, and which one fold throughout equals."""

CANNOT_BE = "cannot be"

DEEP = (Fold.PARTIAL, Fold.DOUBLE, Fold.SECTIONED)
"""Folds of which the depths are chosen: what is proved of some is not of others."""


def tables_of(cells: tuple[Cell, ...], system: System) -> list[dict[str, Any]]:
    """Tables of cloths against folds; each cell tells its number among all of them."""
    tables = []
    for roles, one_way in dict.fromkeys((cell.roles, cell.one_way) for cell in cells):
        mine = {k: c for k, c in enumerate(cells) if (c.roles, c.one_way) == (roles, one_way)}
        folds = [fold for fold in Fold if fold in {cell.fold for cell in mine.values()}]
        rows: dict[tuple[str, float], dict[Fold, dict[str, Any]]] = {}
        for k, cell in mine.items():
            rows.setdefault((cell.cloth, cell.width), {})[cell.fold] = _short(k, cell)
        tables.append(
            {
                "title": group_title(roles, one_way),
                "folds": [taught_name(fold) for fold in folds],
                "rows": [
                    {
                        "cloth": _cloth(next(c for c in mine.values() if (c.cloth, c.width) == key),
                                        system),
                        "cells": [row.get(fold) for fold in folds],
                    }
                    for key, row in rows.items()
                ],
            }
        )  # fmt: skip
    return tables


def group_title(roles: tuple[str, ...], one_way: bool) -> str:
    """What is made in one table: "base: without nap"."""
    nap = "one way (nap, pile or one-way print)" if one_way else "without nap"
    return f"{', '.join(roles)}: {nap}"


def _short(k: int, cell: Cell) -> dict[str, Any]:
    if cell.buy is None:
        return {"k": k, "buy": "", "cost": "", "why": _why(cell), "best": False}
    _, _, buy, _, _, cost, _, _ = cell_row(cell, "")
    return {"k": k, "buy": buy, "cost": cost, "why": "", "best": cell.best}


def _why(cell: Cell) -> str:
    """Why a cell has no figures, in a few words; empty where nothing is known of it yet."""
    if cell.reason == NOT_YET:
        return ""
    return NO_BETTER if cell.reason in NEEDLESS else CANNOT_BE


def _cloth(cell: Cell, system: System) -> str:
    width = format_width(cell.width, system)
    if cell.plain:
        said = properties_of(cell.cloth)
        return f"{width}, {said}" if said else width
    return f"{cell.cloth}, {width}"


def cell_facts(cell: Cell, cloth: str, wanted: Wanted, system: System) -> dict[str, Any]:
    """All that is known of one cell, and the address of a plan that asks for the same.

    `cloth` is its cloth as one types it.
    """
    title = f"{_cloth(cell, system)}; {taught_name(cell.fold)}; " + group_title(
        cell.roles, cell.one_way
    )
    if cell.length is None:
        return {"title": title, "reason": _reason(cell), "rows": [], "plan": ""}
    _, length, buy, above, waste, cost, effort, _ = cell_row(
        cell, format_length(cell.length, system)
    )
    rows = [
        ("fold", explained_name(cell.fold)),
        ("exact length, washed", length),
        ("to buy", buy),
        ("cost", cost),
        ("above the least possible, spread so", above),
        ("waste", waste),
        ("searched", effort),
    ]
    if cell.best:
        rows.append(("best", "nothing for this needs less"))
    if cell.proved:
        takes = "takes" if cell.on_hand else "buys"
        here = " with just these depths" if cell.fold in DEEP else ""
        rows.append(("proved", f"no layout spread so{here} {takes} less"))
    return {
        "title": title, "reason": "", "rows": [row for row in rows if row[1]],
        "plan": plan_address(cell, cloth, wanted),
    }  # fmt: skip


def _reason(cell: Cell) -> str:
    """Why a cell has no figures, as a sentence."""
    why = _why(cell)
    if not why:
        return "Nothing is known of it yet."
    head = "It is no better than one fold" if why == NO_BETTER else "It cannot be"
    return f"{head}: {cell.reason}."


def plan_address(cell: Cell, cloth: str, wanted: Wanted) -> str:
    """The form of a new plan, filled with what a cell was asked for."""
    fields: dict[str, str] = {}
    for row, garment in enumerate(wanted.request.garments, start=1):
        fields[f"garment-{row}"] = garment.name
        fields[f"size-{row}"] = garment.size or ""
        fields[f"count-{row}"] = str(garment.count)
    first, *others = cell.roles
    fields[f"cloth-{first}"] = cloth
    fields |= {f"cloth-{other}": f"=with:{first}" for other in others}
    fields |= {"fold": cell.fold.value, "effort": wanted.request.effort}
    usual = type(wanted.request)(())
    for name in ("gap", "ends", "margin"):
        length = getattr(wanted.request, name)
        if length != getattr(usual, name):
            fields[name] = f"{length:g} mm"
    return f"/new/plan?{urlencode({key: value for key, value in fields.items() if value})}"
