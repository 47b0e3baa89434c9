"""The stash as text: lists of bolts, leftovers and cuts, and one of them in full."""

from __future__ import annotations

import textwrap
from datetime import datetime

from fabrics.stash.records import Bolt, Change, CutRecord, Damaged, LeftoverRecord, TakenIn
from fabrics.stash.store import Stash
from pieces.lengths import System, format_length
from plans.words.columns import cloth_length, format_area, length_column, long_column
from plans.words.lists.moments import moment_words
from plans.words.lists.tables import COLUMNS, fabric_table, grid_table, shelf_table

NOTHING_MATCHES = "nothing in the stash matches; laywright stash list shows what there is\n"

CHANGE_WORDS = {
    "out": ("taken out", "back"),
    "correct": ("corrected", "as before"),
}
"""What a change did to a tag, and what undoing it does."""


def empty_text(name: str) -> str:
    """Say that a stash is empty, and what to do first."""
    return (
        f"the stash ({name}) is empty; put something in first:\n"
        "  laywright stash bolt demo-cotton-lawn --length 3m --unwashed      cloth on hand\n"
        "  laywright stash leftover demo-cotton-lawn --rectangle 60x20cm     what was left\n"
        "  laywright stash import stash.json                                 another stash\n"
        "(laywright fabrics lists fabrics by name; a file or a width such as 140cm will do, too)\n"
    )


def whole_text(base: Stash, system: System) -> str:
    """List all that is there; say what to do first if that is nothing (and nothing is damaged)."""
    bolts, leftovers = base.bolts(), base.leftovers()
    if bolts or leftovers:
        return stash_text(bolts, leftovers, system)
    return "" if base.damaged() else empty_text(base.path.name)


def found_text(
    base: Stash, bolts: list[Bolt], leftovers: list[LeftoverRecord], system: System
) -> str:
    """List what was found; where that is nothing, say whether there is anything at all."""
    if bolts or leftovers:
        return stash_text(bolts, leftovers, system)
    if base.bolts() or base.leftovers() or base.damaged():
        return NOTHING_MATCHES
    return empty_text(base.path.name)


def out_text(tags: tuple[str, ...], number: int) -> str:
    """Say what was taken out, and how it comes back; `number` is that of the change."""
    names = list(dict.fromkeys(tag.strip().upper() for tag in tags))
    is_, it = ("is", "it") if len(names) == 1 else ("are", "them")
    return f"{' and '.join(names)} {is_} out\n(laywright stash undo {number} brings {it} back)\n"


def damaged_text(damaged: list[Damaged]) -> str:
    """Say which rows cannot be used, why, and what to do; empty if there are none."""
    if not damaged:
        return ""
    lines = ["damaged, and left out everywhere:"]
    for bad in damaged:
        more = f"; and {len(bad.faults) - 3} more faults" if len(bad.faults) > 4 else ""
        listed = "; ".join(bad.faults[:3] if more else bad.faults)
        lines += textwrap.wrap(
            f"{bad.tag}: {listed}{more}", COLUMNS, initial_indent="  ",
            subsequent_indent="    ",
        )  # fmt: skip
    tags = " ".join(bad.tag for bad in damaged)
    lines += textwrap.wrap(
        f"laywright stash out {tags} takes {'it' if len(damaged) == 1 else 'them'} out; then put "
        "in anew what is really there",
        COLUMNS,
    )
    return "\n".join(lines)


def changes_text(changes: list[Change]) -> str:
    """List what was taken out or corrected."""
    if not changes:
        return "nothing was taken out or corrected\n"
    lines = []
    for change in changes:
        lines += textwrap.wrap(changed_words(change), COLUMNS, subsequent_indent="  ")
    return "\n".join(lines) + "\n"


def changed_words(change: Change) -> str:
    """Say what was taken out or corrected, when, and whether that was undone."""
    undone = f" (undone {_when(change.undone)})" if change.undone else ""
    return (
        f"change {change.number}, {_when(change.made)}: {', '.join(change.tags)} "
        f"{CHANGE_WORDS[change.kind][0]}{undone}"
    )


def undone_words(change: Change) -> str:
    """Say what undoing a change brought about."""
    what = CHANGE_WORDS[change.kind][1]
    return f"change {change.number} is undone: {' and '.join(change.tags)} {what}"


def taken_in_text(taken: TakenIn) -> str:
    """Say what an import did: what came, under which tags, and what was known already."""
    there = len(taken.there) + len(taken.differs)
    known = "1 was known already" if there == 1 else f"{there} were known already"
    lines = [f"{len(taken.came)} put in, {known} and left alone"]
    for tag, here in taken.came:
        if tag != here:
            lines.append(
                f"  {tag} is {here} here, where {tag} was given before; write {here} on it"
            )
    for tag, here, differing in taken.differs:
        name = tag if tag == here else f"{tag} (here {here})"
        lines.append(f"  {name} {differing}; left as it is")
    return "\n".join(lines) + "\n"


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
        along = length_column([one.region.long for one in leftovers], system)
        across = length_column([one.region.wide for one in leftovers], system)
        rows = [
            (
                one.tag,
                _short(one.fabric.title or one.fabric.name, 32),
                _short(one.fabric.colour, 14),
                long,
                wide,
                format_area(one.region.area, system),
                _short(one.note, 14),
            )
            for one, long, wide in zip(leftovers, along, across, strict=True)
        ]
        heads = ("leftover", "fabric", "colour", "along", "across", "area", "note")
        text = grid_table(heads, rows)
        parts.append(f"{text}\n(along and across the grain: the largest rectangle)")
    return "\n\n".join(parts) + "\n" if parts else NOTHING_MATCHES


def one_text(one: Bolt | LeftoverRecord, system: System) -> str:
    """Describe a bolt or a leftover."""
    table = shelf_table(("", ""), one_rows(one, system)).lstrip("\n")
    return f"{table}\n\n{fabric_table(one.fabric, system)}\n"


def one_rows(one: Bolt | LeftoverRecord, system: System) -> list[tuple[str, str]]:
    """What is known of a bolt or a leftover beside its fabric."""
    rows = [("tag", one.tag), ("put in", _when(one.added))]
    if isinstance(one, Bolt):
        state = "washed" if one.washed else "unwashed"
        rows += [("length on hand", f"{cloth_length(one.length, system)}, {state}")]
    else:
        rows += [
            (
                "largest rectangle",
                f"{format_length(one.region.long, system)} along the grain x "
                f"{format_length(one.region.wide, system)} across",
            ),
            ("area", format_area(one.region.area, system)),
            ("outline", f"{len(one.region.outline)} corners, {len(one.region.holes)} holes"),
            ("state", "washed; warp along the arrow, right side up"),
        ]
        if one.made_by is not None:
            rows.append(("left by", f"cut {one.made_by}"))
    if one.note:
        rows.append(("note", one.note))
    return rows


def cuts_text(cuts: list[CutRecord], system: System) -> str:
    """List the cuts that were recorded."""
    if not cuts:
        return "no cut was recorded\n"
    lines = []
    for cut in cuts:
        lines += textwrap.wrap(cut_line(cut, system), COLUMNS, subsequent_indent="  ")
    return "\n".join(lines) + "\n"


def cut_line(cut: CutRecord, system: System) -> str:
    """Say what a cut took and left, when, and whether it was undone."""
    taken = [f"{cloth_length(length, system)} off {tag}" for tag, length in cut.taken]
    facts = [*taken]
    if cut.used:
        facts.append(f"used {', '.join(cut.used)}")
    facts.append(f"left {', '.join(cut.left)}" if cut.left else "nothing left worth keeping")
    undone = f" (undone {_when(cut.undone)})" if cut.undone else ""
    return f"cut {cut.number}, {_when(cut.made)}, {cut.garment}: {'; '.join(facts)}{undone}"


def _short(text: str, most: int) -> str:
    return textwrap.shorten(text, most, placeholder=" ...") if text else ""


def _when(text: str) -> str:
    """A time of the stash as a person reads it; as it stands if it is none."""
    try:
        return moment_words(datetime.fromisoformat(text))
    except ValueError:
        return text
