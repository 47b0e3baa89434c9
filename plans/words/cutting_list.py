"""The cutting list: what to cut in which order, and how."""

from __future__ import annotations

from plans.cutting_order import cutting_order
from plans.plan import FabricPlan, PlacedPiece
from plans.words.piece_names import merged, named
from plans.words.pinning import cut_words, through

HEADS = ("step", "piece", "role", "cut", "numbers", "how")

SHARES = (7, 20, 12, 26, 15, 34)


def cutting_rows(entry: FabricPlan) -> tuple[tuple[str, ...], ...]:
    """Pieces in the order of cutting, like ones together."""
    groups: dict[tuple[int, str, str], list[PlacedPiece]] = {}
    for placed in cutting_order(entry.placements):
        how = through(placed) + (
            "; traced whole, opened out from the half" if placed.opened else ""
        )
        kind = (placed.section, named(placed.piece, None, placed.sides), how)
        groups.setdefault(kind, []).append(placed)
    rows = []
    for order, ((section, _, how), placed_here) in enumerate(groups.items(), start=1):
        first = placed_here[0]
        copies = sum(len(placed.copies) for placed in placed_here)
        name = entry.sections[section].name
        where = f", section {name}" if len(entry.sections) > 1 else ""
        numbers = ", ".join(str(placed.number) for placed in placed_here)
        rows.append(
            (
                str(order),
                named(first.piece, merged(placed.whose for placed in placed_here), first.sides),
                first.role,
                f"{cut_words(first)} ({copies} from here)",
                f"no. {numbers}",
                how + where,
            )
        )
    return tuple(rows)
