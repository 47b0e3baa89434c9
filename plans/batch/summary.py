"""The table of a batch: a line for each fabric of each order, and why others have none."""

from __future__ import annotations

import textwrap
from typing import Any

from fabrics.price import money
from pieces.files.kinds import in_hundredths
from pieces.lengths import System, format_purchase
from plans.batch.answer import Cloth, State
from plans.batch.running import Entry, Outcome
from plans.words.lists.tables import COLUMNS, grid_table, rows_csv

HEADS = ("order", "cloth", "for", "fold", "length", "buy", "cost", "")

FIELDS = (
    "order", "state", "before", "title", "cloth", "roles", "width_mm", "fold", "length_mm",
    "buy_mm", "cost", "currency", "reason",
)  # fmt: skip

LONGEST_NAME = 24


TOGETHER = ("in all", "buy", "cost")

ALL, ALL_PRICED = "all cloth", "all cloth with a price"

ON_STASH = (
    "Several orders use the stash ({names}), and each counts on all of it: cut one, record that "
    "with laywright cut, and plan the others again."
)


def summary_text(outcome: Outcome, passed_over: tuple[str, ...] = ()) -> str:
    """Print the table for people; `passed_over` are TOML files that are no orders."""
    entries, parts = outcome.entries, []
    # Of those that nobody came to, their number is told below.
    reached = [entry for entry in entries if entry.answer.state is not State.NOT_REACHED]
    rows = [row for entry in reached for row in _rows(entry)]
    if rows:
        parts.append(grid_table(HEADS, rows))
    together = _together(entries)
    if together:
        parts.append(grid_table(TOGETHER, together))
    told = [_told(entry) for entry in reached if entry.answer.reason]
    if told:
        parts.append("\n".join(told))
    if len(outcome.on_stash) > 1:
        words = ON_STASH.format(names=", ".join(outcome.on_stash))
        parts.append(textwrap.fill(words, COLUMNS))
    if passed_over:
        names = ", ".join(passed_over)
        parts.append(textwrap.fill(f"No orders, so passed over: {names}.", COLUMNS))
    parts.append(textwrap.fill(counted(entries), COLUMNS))
    return "\n\n".join(parts) + "\n"


def _together(entries: tuple[Entry, ...]) -> list[tuple[str, ...]]:
    """What several orders buy of one cloth, and what all costs in each currency."""
    paid = [
        (entry.name, cloth)
        for entry in entries
        for cloth in (entry.answer.cloths if entry.answer.state is State.PLANNED else ())
        if not cloth.on_hand
    ]
    found: dict[tuple[str, bool, str], list[Cloth]] = {}
    for _, cloth in paid:
        found.setdefault((cloth.fabric, cloth.imperial, cloth.currency), []).append(cloth)
    rows: list[tuple[str, ...]] = []
    for (fabric, imperial, currency), cloths in found.items():
        if len(cloths) < 2:
            continue
        buy = sum(cloth.buy for cloth in cloths)
        costs = _costs(cloths)
        cost = _price(sum(costs), currency) if len(costs) == len(cloths) else ""
        bought = format_purchase(buy, System.IMPERIAL if imperial else System.METRIC)
        rows.append((fabric, bought, cost))
    of_all = [cloth for _, cloth in paid]
    named = ALL if len(_costs(of_all)) == len(of_all) else ALL_PRICED
    for currency in dict.fromkeys(cloth.currency for cloth in of_all if cloth.cost is not None):
        mine = [(name, cloth) for name, cloth in paid if cloth.currency == currency]
        # Of one order, or of one cloth, it stands in a row already.
        if min(len({name for name, _ in mine}), len({one.fabric for _, one in mine})) > 1:
            total = sum(_costs([cloth for _, cloth in mine]))
            rows.append((named, "", _price(total, currency)))
    return rows


def _costs(cloths: list[Cloth]) -> list[float]:
    """Each is paid by itself, in whole hundredths, as it stands in its own row."""
    return [in_hundredths(cloth.cost) for cloth in cloths if cloth.cost is not None]


def _price(amount: float, currency: str) -> str:
    return f"{money(amount)} {currency}".rstrip()


def counted(entries: tuple[Entry, ...]) -> str:
    """Say how many orders there are of each state."""
    states = [entry.answer.state for entry in entries]
    words = [f"{state.value} {states.count(state)}" for state in State if state in states]
    before = sum(entry.before for entry in entries)
    known = f"; {before} of them in an earlier run" if before else ""
    return f"{len(entries)} order{'s' if len(entries) != 1 else ''}: {', '.join(words)}{known}."


def _rows(entry: Entry) -> list[tuple[str, ...]]:
    state = entry.answer.state.value + (", as before" if entry.before else "")
    name = _shortened(entry.name)
    if not entry.answer.cloths or entry.answer.state is not State.PLANNED:
        return [(name, "", "", "", "", "", "", state)]
    return [
        (
            # Each order is named once.
            name if k == 0 else "",
            _shortened(cloth.fabric),
            ", ".join(cloth.roles),
            cloth.fold,
            cloth.length_text,
            f"{cloth.buy_text} on hand" if cloth.on_hand else cloth.buy_text,
            "" if cloth.cost is None or cloth.on_hand else _price(cloth.cost, cloth.currency),
            state if k == 0 else "",
        )
        for k, cloth in enumerate(entry.answer.cloths)
    ]


def _shortened(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 3]}..."


def _told(entry: Entry) -> str:
    lines = entry.answer.reason.splitlines()
    first = textwrap.wrap(
        f"{entry.name}: {entry.answer.state.value}: {lines[0]}", COLUMNS,
        subsequent_indent="  ", break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    rest = [
        wrapped
        for line in lines[1:]
        for wrapped in textwrap.wrap(
            line.strip(), COLUMNS, initial_indent="  ", subsequent_indent="    ",
            break_long_words=False, break_on_hyphens=False,
        )
    ]  # fmt: skip
    return "\n".join([*first, *rest])


def summary_data(entries: tuple[Entry, ...]) -> dict[str, Any]:
    """Return the table as plain data, a row for each fabric; lengths in mm."""
    return {"orders": [row for entry in entries for row in _data(entry)]}


def _data(entry: Entry) -> list[dict[str, Any]]:
    answer = entry.answer
    planned = answer.cloths if answer.state is State.PLANNED else ()
    cloths: tuple[Cloth | None, ...] = planned or (None,)
    return [_datum(entry, cloth) for cloth in cloths]


def _datum(entry: Entry, cloth: Cloth | None) -> dict[str, Any]:
    figures: dict[str, Any] = dict.fromkeys(FIELDS)
    figures |= {
        "order": entry.name,
        "state": entry.answer.state.value,
        "before": entry.before,
        "title": entry.answer.title,
        "reason": entry.answer.reason or None,
    }
    if cloth is not None:
        figures |= {
            "cloth": cloth.fabric,
            "roles": " ".join(cloth.roles),
            "width_mm": round(cloth.width, 3),
            "fold": cloth.fold,
            "length_mm": round(cloth.length, 3),
            "buy_mm": round(cloth.buy, 3),
            "cost": None if cloth.cost is None else in_hundredths(cloth.cost),
            "currency": cloth.currency,
        }
    return figures


def summary_csv(entries: tuple[Entry, ...]) -> str:
    """Return the table as CSV, a line for each fabric."""
    rows = summary_data(entries)["orders"]
    return rows_csv(FIELDS, [[row[name] for name in FIELDS] for row in rows])
