"""Where the cloth goes, line by line, in shares that add up to a hundred."""

from __future__ import annotations

import math

from fabrics.region import Region
from pieces.lengths import System, format_length
from plans.plan import FabricPlan
from plans.words.line import Line

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def account(entry: FabricPlan, system: System = System.METRIC) -> tuple[Line, ...]:
    """Share out the cloth bought, washed, full width; adds up to 100 %."""
    rows = (
        ("pieces", "everything that is cut", entry.pieces_share),
        ("leftovers worth keeping", _leftover_words(entry, system), entry.leftover_share),
        ("scrap", "selvages, covered strips, ends, slivers", entry.scrap_share),
    )
    shown = _adding_up([share for _, _, share in rows])
    lines = [Line(what, how, f"{text} %") for (what, how, _), text in zip(rows, shown, strict=True)]
    waste = f"{sum(float(text) for text in shown[1:]):.1f}"
    lines.append(Line("waste", "all that is not pieces", f"{waste} %"))
    return tuple(lines)


def account_words(entry: FabricPlan) -> str:
    """Say what these are shares of, and why the share of pieces is not the utilisation."""
    return (
        "Shares of all the washed cloth that is bought, full width. Of the exact length alone the "
        f"pieces take {100.0 * entry.utilisation:.1f} % (the utilisation): what is bought beyond "
        "that length, by rounding up to what the shop cuts, is not in that figure."
    )


def leftover_letter(index: int) -> str:
    """Letter of a leftover of one fabric, until the stash gives it a tag."""
    more, letter = divmod(index, len(LETTERS))
    return LETTERS[letter] + (str(more + 1) if more else "")


def leftover_size(leftover: Region, system: System) -> str:
    """Largest rectangle of a leftover, along the grain x across."""
    return f"{format_length(leftover.long, system)} x {format_length(leftover.wide, system)}"


def _leftover_words(entry: FabricPlan, system: System) -> str:
    if not entry.leftovers:
        return "none"
    sizes = "; ".join(
        f"{leftover_letter(k)} {leftover_size(leftover, system)}"
        for k, leftover in enumerate(entry.leftovers)
    )
    return f"{sizes} (largest rectangle, along the grain x across)"


def _adding_up(shares: list[float]) -> list[str]:
    """Percentages with one decimal that add up to 100.0 (largest remainders)."""
    tenths = [share * 1000.0 for share in shares]
    floors = [math.floor(value + 1e-9) for value in tenths]
    missing = round(sum(tenths)) - sum(floors)
    order = sorted(range(len(shares)), key=lambda k: floors[k] - tenths[k])
    for k in order[: max(0, missing)]:
        floors[k] += 1
    return [f"{value / 10:.1f}" for value in floors]
