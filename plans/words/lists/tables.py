"""Plain text tables of what is on the shelves; 100 columns at most."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Sequence

from fabrics.fabric import Fabric
from fabrics.price import money
from fabrics.spread import Faces
from pieces.drafting.garment import Garment
from pieces.lengths import System, format_length, format_purchase
from plans.words.columns import per_words

COLUMNS = 98


def shelf_table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """Align rows under heads; the last column wraps."""
    widths = [max(len(str(row[k])) for row in [heads, *rows]) for k in range(len(heads) - 1)]
    room = max(20, COLUMNS - sum(widths) - 2 * len(widths))
    lines = []
    for row in [heads, *rows]:
        wrapped = textwrap.wrap(row[-1], room) or [""]
        first = "  ".join(cell.ljust(width) for cell, width in zip(row[:-1], widths, strict=True))
        lines.append(f"{first}  {wrapped[0]}".rstrip())
        indent = " " * (sum(widths) + 2 * len(widths))
        lines += [indent + more for more in wrapped[1:]]
    return "\n".join(lines)


def rows_csv(heads: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """Write rows as CSV (RFC 4180); None is an empty cell."""
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(heads)
    writer.writerows([["" if cell is None else cell for cell in row] for row in rows])
    return stream.getvalue()


def grid_table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """Align columns under heads: words left, figures right; one without content is left out."""
    kept = [k for k in range(len(heads)) if not rows or any(row[k] for row in rows)]
    heads = tuple(heads[k] for k in kept)
    rows = [tuple(row[k] for k in kept) for row in rows]
    table = [heads, *rows]
    widths = [max(len(row[k]) for row in table) for k in range(len(heads))]
    figures = [any(row[k][:1].isdigit() for row in rows) and k > 0 for k in range(len(heads))]
    lines = [
        "  ".join(
            cell.rjust(width) if right else cell.ljust(width)
            for cell, width, right in zip(row, widths, figures, strict=True)
        ).rstrip()
        for row in table
    ]
    return "\n".join([lines[0], "-" * (sum(widths) + 2 * len(widths) - 2), *lines[1:]])


def garment_table(garment: Garment, system: System) -> str:
    """Describe the pieces of a garment: size, turns, how often they are cut in which role."""
    lines = [garment.title]
    lines += textwrap.wrap(garment.description, COLUMNS)
    if garment.caution:
        lines += textwrap.wrap(f"Caution: {garment.caution}", COLUMNS)
    rows = []
    for piece in garment.pieces:
        xs = [x for x, _ in piece.outline]
        ys = [y for _, y in piece.outline]
        size = (
            f"{format_length(max(xs) - min(xs), system)} x "
            f"{format_length(max(ys) - min(ys), system)}"
        )
        cuts = (
            "; ".join(f"{cut.role}: {piece.label_of(cut)}" for cut in piece.cuts) or "pattern only"
        )
        notes = f" ({'; '.join(note.words(system) for note in piece.notes)})" if piece.notes else ""
        rows.append((piece.name, size, piece.turns.value, cuts + notes))
    lines += ["", shelf_table(("piece", "drawn size", "turns", "cut"), rows)]
    return "\n".join(lines)


def fabric_table(fabric: Fabric, system: System) -> str:
    """Describe a fabric, a property on each line."""
    lines = [fabric.title, *textwrap.wrap(fabric.description, COLUMNS), ""]
    return "\n".join(lines) + "\n" + shelf_table(("property", "value"), fabric_rows(fabric, system))


def fabric_rows(fabric: Fabric, system: System) -> list[tuple[str, str]]:
    """Properties of a fabric and what they are."""

    def length(value: float) -> str:
        return format_length(value, system)

    rows = [("width", f"{length(fabric.width)} as bought")]
    if fabric.width_cut != fabric.width:
        rows.append(("width after washing", length(fabric.width_cut)))
    rows.append(("selvage", f"{length(fabric.selvage)} at each side"))
    rows.append(("washed", "yes" if fabric.washed else "no"))
    if fabric.shrink_along or fabric.shrink_across:
        rows.append(
            (
                "shrinkage",
                f"{fabric.shrink_along * 100:g} % along, {fabric.shrink_across * 100:g} % across",
            )
        )
    rows.append(("one way", "yes: nap, pile, print or knit" if fabric.one_way else "no"))
    rows.append(("faces", "alike" if fabric.faces_alike else "differ"))
    if fabric.grainless:
        rows.append(("grain", "none: pieces lie any way round"))
    together = "right sides together" if fabric.faces is Faces.IN else "right sides out"
    rows.append(("when folded", together))
    if fabric.repeat is not None:
        repeat = f"{length(fabric.repeat.along)} along, {length(fabric.repeat.across)} across"
        if fabric.repeat.axis is not None:
            repeat += f", an axis {length(fabric.repeat.axis)} from the selvage"
        rows.append(("repeat", repeat))
    if fabric.price is not None:
        amount = f"{money(fabric.price)} {fabric.currency}".rstrip()
        rows.append(("price", f"{amount} {per_words(fabric.price_unit, system)}"))
    own = System.IMPERIAL if fabric.imperial else System.METRIC
    rows.append(("sold in steps of", format_purchase(fabric.step, own)))
    if fabric.minimum:
        rows.append(("least cut", length(fabric.minimum)))
    if fabric.on_hand is not None:
        rows.append(("on hand", length(fabric.on_hand)))
    if fabric.flaws:
        rows.append(("flaws", f"{len(fabric.flaws)} to keep clear of"))
    for name, value in (("colour", fabric.colour), ("fibre", fabric.fibre)):
        if value:
            rows.append((name, value))
    return rows
