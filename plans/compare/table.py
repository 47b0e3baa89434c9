"""A comparison as a table, as JSON and as CSV."""

from __future__ import annotations

import textwrap
from typing import Any

from fabrics.fabric import Fabric
from fabrics.plain import PLAIN_SELVAGE_MM, properties_of
from fabrics.price import Price, money
from fabrics.spread import Fold
from pieces.files.kinds import EXACT, FLAG, TEXT, TEXTS, WORKED_OUT, choice, told
from pieces.files.record import Entry, Record
from pieces.lengths import System, format_purchase, format_width
from plans.compare.cells import NOT_REACHED, Cell
from plans.words.columns import length_column, per_words
from plans.words.lists.tables import COLUMNS, grid_table, rows_csv

NOTHING_COMPLETE = "Nothing was complete when it was ended."
"""What stands in the place of a table of which no cell was reached."""

HEADS = ("cloth", "fold", "length", "buy", "above bound", "waste", "cost", "effort", "")

EFFORT_WORDS = {
    "quick": "Quick effort, a first look: lengths may be a good deal too long. --effort normal "
    "searches on where it decides.",
    "normal": "The best cells and all within a cutting step of them were searched at normal "
    "effort; those marked quick had a first look and may be longer than need be.",
    "thorough": "The best cells and all within a cutting step of them were searched at thorough "
    "effort; those marked quick had a first look and may be longer than need be.",
}


PROVED = (
    "Proved: no layout on cloth spread so buys less, or takes less of cloth on hand; where depths "
    "or sections are chosen, that is true of the best that were tried."
)


def comparison_text(cells: tuple[Cell, ...], system: System, price: str = "") -> str:
    """Print a table for each set of roles and direction of nap, and why a cell cannot be.

    `price` says what plain cloth costs, if anything.
    """
    if cells and all(cell.reason == NOT_REACHED for cell in cells):
        return f"{NOTHING_COMPLETE}\n"
    lines: list[str] = []
    for roles, one_way in dict.fromkeys((cell.roles, cell.one_way) for cell in cells):
        group = [cell for cell in cells if (cell.roles, cell.one_way) == (roles, one_way)]
        nap = "one way (nap, pile or one-way print)" if one_way else "without nap"
        lines += [f"{', '.join(roles)}: {nap}", ""]
        found = [cell for cell in group if cell.length is not None]
        if found:
            lines += [grid_table(HEADS, _rows(found, system)), *_properties(found), ""]
        lines += _reasons(group)
    efforts = {cell.effort for cell in cells} - {"quick"}
    words = [price] if price else []
    words += _currency_words(cells)
    words += _selvage_words(cells, system)
    words.append(EFFORT_WORDS[max(efforts, default="quick")])
    words += [PROVED] if any(cell.proved for cell in cells) else []
    for text in words:
        lines += textwrap.wrap(text, COLUMNS)
    return "\n".join(lines).rstrip() + "\n"


def _selvage_words(cells: tuple[Cell, ...], system: System) -> list[str]:
    """What is taken for the selvages of plain widths of which nobody said it."""
    taken = any(cell.plain and "selvage" not in cell.cloth for cell in cells)
    width = format_width(PLAIN_SELVAGE_MM, system)
    return [
        f"Of a plain width {width} at each edge is selvage; selvage=0 beside it says otherwise."
    ] * taken


def _currency_words(cells: tuple[Cell, ...]) -> list[str]:
    """Why costs that stand side by side were not compared, if they were not."""
    groups: dict[tuple[tuple[str, ...], bool], dict[str, None]] = {}
    for cell in cells:
        if cell.cost is not None:
            groups.setdefault((cell.roles, cell.one_way), {})[cell.currency] = None
    found = dict.fromkeys(one for group in groups.values() if len(group) > 1 for one in group)
    if not found:
        return []
    named = " and ".join(currency for currency in found if currency)
    if "" in found:
        return [
            f"Costs without a currency cannot be compared with those in {named}, so that the best "
            "is the least to buy; --currency names it."
        ]
    return [f"Costs in {named} cannot be compared, so that the best is the least to buy."]


def _rows(cells: list[Cell], system: System) -> list[tuple[str, ...]]:
    lengths = length_column([cell.length for cell in cells], system)
    rows = []
    before: Cell | None = None
    for cell, length in zip(cells, lengths, strict=True):
        named = before is not None and (before.cloth, before.width) == (cell.cloth, cell.width)
        # Each cloth is named once.
        rows.append(("" if named else _cloth(cell, system), *cell_row(cell, length)))
        before = cell
    return rows


def _properties(cells: list[Cell]) -> list[str]:
    """Say what was stated of plain cloths beside their widths, under the mark they carry."""
    stated = {cell.cloth: properties_of(cell.cloth) for cell in cells if cell.plain}
    return [
        line
        for name, words in stated.items()
        if words
        for line in textwrap.wrap(f"{name.split(',')[0]}*: {words}", COLUMNS)
    ]


def cell_row(cell: Cell, length_text: str) -> tuple[str, ...]:
    """What a cell that has an answer says, by `HEADS` but for the cloth; empty is unknown."""
    length, buy, bound = cell.length or 0.0, cell.buy or 0.0, cell.bound or 0.0
    return (
        cell.fold.value,
        length_text,
        format_purchase(buy, System.IMPERIAL if cell.imperial else System.METRIC),
        f"{100.0 * (length / bound - 1.0):.1f} %" if bound > 0.0 else "",
        f"{100.0 * (cell.waste or 0.0):.0f} %",
        _cost(cell),
        cell.effort,
        ", ".join(word for word, true in (("best", cell.best), ("proved", cell.proved)) if true),
    )


def _cost(cell: Cell) -> str:
    if cell.on_hand:
        return "on hand"
    return "" if cell.cost is None else f"{money(cell.cost)} {cell.currency}".rstrip()


def _cloth(cell: Cell, system: System) -> str:
    width = format_width(cell.width, system)
    if cell.plain:
        # What is stated beside the width stands under the table.
        return f"{width}*" if properties_of(cell.cloth) else width
    return f"{textwrap.shorten(cell.cloth, 22, placeholder='...')} {width}"


def _reasons(group: list[Cell]) -> list[str]:
    reasons: dict[str, list[str]] = {}
    for cell in group:
        if cell.length is None:
            # The same reason on several cloths is told once.
            reason = cell.reason.replace(f"'{cell.cloth}'", "this cloth")
            name = cell.cloth if cell.plain else f"'{cell.cloth}'"
            reasons.setdefault(reason, []).append(f"{name} {cell.fold.value}")
    lines: list[str] = []
    for reason, names in reasons.items():
        lines += textwrap.wrap(
            f"not {', '.join(names)}: {reason}", COLUMNS, initial_indent="  ",
            subsequent_indent="    ",
        )  # fmt: skip
    return [*lines, ""] if lines else []


CELL = Record(
    Cell,
    (
        Entry("roles", TEXTS),
        Entry("cloth", TEXT),
        Entry("width_mm", WORKED_OUT.number(), "width"),
        Entry("fold", choice(Fold)),
        Entry("one_way", FLAG),
        Entry("length_mm", WORKED_OUT.optional(), "length"),
        Entry("buy_mm", WORKED_OUT.optional(), "buy"),
        Entry("bound_mm", WORKED_OUT.optional(), "bound"),
        Entry("waste", EXACT.optional()),
        Entry("cost", EXACT.optional()),
        Entry("currency", TEXT),
        Entry("effort", TEXT),
        Entry("best", FLAG),
        Entry("proved", FLAG),
        Entry("reason", told(lambda reason: reason or None)),
    ),
)


def comparison_json(cells: tuple[Cell, ...]) -> dict[str, Any]:
    """Return the cells as plain data; lengths in mm, shares between 0 and 1."""
    return {"cells": [CELL.write(cell) for cell in cells]}


def comparison_csv(cells: tuple[Cell, ...]) -> str:
    """Return the cells as CSV, a line each."""
    rows = [CELL.write(cell) for cell in cells]
    for row in rows:
        row["roles"] = " ".join(row["roles"])
    return rows_csv(list(rows[0]) if rows else [], [list(row.values()) for row in rows])


def price_words(price: Price | None, cloths: list[Fabric], system: System) -> str:
    """Say what plain cloth costs, so that a table has one price; and what names its own."""
    if price is None:
        return ""
    unit = per_words(price.unit, system)
    asked = (price.amount, price.unit)
    own = any((cloth.price, cloth.price_unit) != asked for cloth in cloths)
    which = "Plain cloth that names no price of its own" if own else "Plain cloth"
    return f"{which} at {money(price.amount)} {price.currency}".rstrip() + f" {unit}."
