"""The stash as text: lists of bolts, leftovers and cuts, and one of them in full."""

from __future__ import annotations

import textwrap

from fabrics.stash.records import Bolt, CutRecord, LeftoverRecord
from pieces.lengths import System, format_length
from plans.columns import cloth_length, format_area, length_column, long_column
from plans.tables import COLUMNS, fabric_table, grid_table, shelf_table


def stash_text(bolts: list[Bolt], leftovers: list[LeftoverRecord], system: System) -> str:
    """List what is there; two tables."""
    parts = []
    if bolts:
        lengths = long_column([bolt.length for bolt in bolts], system)
        widths = length_column([bolt.width for bolt in bolts], system)
        rows = [
            (
                bolt.tag,
                _short(bolt.fabric.title or bolt.fabric.name, 32),
                _short(bolt.fabric.colour, 14),
                length,
                width,
                "washed" if bolt.washed else "unwashed",
                _short(bolt.note, 16),
            )
            for bolt, length, width in zip(bolts, lengths, widths, strict=True)
        ]
        heads = ("bolt", "fabric", "colour", "length", "width", "state", "note")
        parts.append(grid_table(heads, rows))
    if leftovers:
        along = length_column([one.long for one in leftovers], system)
        across = length_column([one.wide for one in leftovers], system)
        rows = [
            (
                one.tag,
                _short(one.fabric.title or one.fabric.name, 32),
                _short(one.fabric.colour, 14),
                long,
                wide,
                format_area(one.area, system),
                _short(one.note, 14),
            )
            for one, long, wide in zip(leftovers, along, across, strict=True)
        ]
        heads = ("leftover", "fabric", "colour", "along", "across", "area", "note")
        text = grid_table(heads, rows)
        parts.append(f"{text}\n(along and across the grain: the largest rectangle)")
    return "\n\n".join(parts) + "\n" if parts else "nothing in the stash that matches\n"


def one_text(one: Bolt | LeftoverRecord, system: System) -> str:
    """Describe a bolt or a leftover."""
    rows: list[tuple[str, ...]] = [("tag", one.tag), ("put in", one.added)]
    if isinstance(one, Bolt):
        state = "washed" if one.washed else "unwashed"
        rows += [("length on hand", f"{cloth_length(one.length, system)}, {state}")]
    else:
        rows += [
            (
                "largest rectangle",
                f"{format_length(one.long, system)} along the grain x "
                f"{format_length(one.wide, system)} across",
            ),
            ("area", format_area(one.area, system)),
            ("outline", f"{len(one.outline)} corners, {len(one.holes)} holes"),
            ("state", "washed; warp along the arrow, right side up"),
        ]
        if one.made_by is not None:
            rows.append(("left by", f"cut {one.made_by}"))
    if one.note:
        rows.append(("note", one.note))
    table = shelf_table(("", ""), rows).lstrip("\n")
    return f"{table}\n\n{fabric_table(one.fabric, system)}\n"


def cuts_text(cuts: list[CutRecord], system: System) -> str:
    """List the cuts that were recorded."""
    if not cuts:
        return "no cut was recorded\n"
    lines = []
    for cut in cuts:
        taken = [f"{cloth_length(length, system)} off {tag}" for tag, length in cut.taken]
        facts = [*taken]
        if cut.used:
            facts.append(f"used {', '.join(cut.used)}")
        facts.append(f"left {', '.join(cut.left)}" if cut.left else "nothing left worth keeping")
        undone = f" (undone {cut.undone})" if cut.undone else ""
        lines += textwrap.wrap(
            f"cut {cut.number}, {cut.made}, {cut.garment}: {'; '.join(facts)}{undone}", COLUMNS,
            subsequent_indent="  ",
        )  # fmt: skip
    return "\n".join(lines) + "\n"


def _short(text: str, most: int) -> str:
    return textwrap.shorten(text, most, placeholder=" ...") if text else ""
