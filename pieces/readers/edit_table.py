"""The `edits` of a piece: lines replayed in order, each with one verb, on edges by their names."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pieces.drafting.alter import move_edge, move_line
from pieces.drafting.draft import Draft, Step
from pieces.drafting.soundness import faults
from pieces.edits.cutting import EditError, Place
from pieces.edits.darts import move_dart
from pieces.edits.lines import ease_edge, move_corner, true_edge
from pieces.edits.parts import join, pleat, split
from pieces.edits.sides import true_sides
from pieces.edits.slash import slash
from pieces.edits.whole import whole
from pieces.files.toml_file import Table, as_typed, nearest
from pieces.outline import OutlineError
from pieces.piece import Change
from pieces.readers.match_table import on_edge

Others = Mapping[str, Draft | None]
"""Drafts of the pieces that an edit may put in, by name."""


@dataclass(frozen=True)
class _Edit:
    """What one line asks for: the change in words, and how it is made."""

    change: Change
    make: Callable[[Draft], Draft]


def read_edits(table: Table, draft: Draft, others: Others) -> Draft:
    """Replay the edits of a piece; the first that cannot be made ends it, with a finding."""
    listed = table.data.get("edits", [])
    if not isinstance(listed, list):
        table.fault("edits", f"{as_typed(listed)} is not a list", f"write edits = [{EXAMPLE}]")
        return draft
    for index, entry in enumerate(listed, start=1):
        field = f"edits[{index}]"
        if not isinstance(entry, dict):
            table.fault(field, f"{as_typed(entry)} is no edit", f"write {EXAMPLE}")
            return draft
        inner = Table(entry, table.file, table.findings, table.piece, f"{field}.", table.unit)
        known = len(table.findings)
        verbs = [verb for verb in VERBS if inner.has(verb)]
        if len(verbs) != 1:
            said = "names no edit" if not verbs else f"names two edits: {' and '.join(verbs)}"
            table.fault(field, said, f"one of {', '.join(VERBS)}")
            return draft
        edit = VERBS[verbs[0]](inner, verbs[0], draft, others)
        if edit is None or any(finding.fatal for finding in table.findings[known:]):
            return draft
        try:
            after = whole(draft, edit.make(draft))
        except OutlineError as error:
            told = error.told(table.unit) if isinstance(error, EditError) else str(error)
            table.fault(field, told)
            return draft
        found = faults(after.edges, table.unit)
        for fault in found:
            table.fault(field, f"after the edit {fault}")
        if found:
            return draft
        step = Step(edit.change, draft.edges, after.edges)
        draft = replace(after, notes=(*after.notes, edit.change), steps=(*draft.steps, step))
    return draft


def named_pieces(entry: Mapping[str, Any]) -> list[str]:
    """Pieces that the edits of a `[[piece]]` table put in."""
    listed = entry.get("edits", [])
    edits = [edit for edit in listed if isinstance(edit, dict)] if isinstance(listed, list) else []
    return [edit["of"] for edit in edits if isinstance(edit.get("of"), str)]


def _corner(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "along", "by"))
    edge, along = _edge(table, verb, draft), _edge(table, "along", draft)
    by = _amount(table, "by")
    if edge is None or along is None or by is None:
        return None
    signed = by if verb == "drop" else -by
    words = "dropped" if verb == "drop" else "raised"
    return _Edit(Change(words, by, edge), lambda d: move_corner(d, edge, along, signed))


def _longer(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "by"))
    by = _amount(table, "by")
    sign = 1.0 if verb == "lengthen" else -1.0
    value = table.data[verb]
    if isinstance(value, list):
        point = table.point(verb, value)
        if point is None or by is None:
            return None
        change = Change(f"{verb}ed", by, "a line across the grain")
        return _Edit(change, lambda d: true_sides(d, move_line(d, point, sign * by)))
    edge = _edge(table, verb, draft)
    if edge is None or by is None:
        return None
    return _Edit(Change(f"{verb}ed", by, edge), lambda d: move_edge(d, edge, sign * by))


def _slash(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "to", "spread", "overlap"))
    ways = [way for way in ("spread", "overlap") if table.has(way)]
    if len(ways) != 1:
        table.fault(verb, "is to spread or to overlap", 'write spread = "3 cm"')
        return None
    start, pivot = _place(table, verb, draft), _place(table, "to", draft)
    by = _amount(table, ways[0])
    if start is None or pivot is None or by is None:
        return None
    words = "slashed and spread" if ways == ["spread"] else "slashed and overlapped"
    signed = by if ways == ["spread"] else -by
    return _Edit(Change(words, by, start.edge), lambda d: slash(d, start, pivot, signed))


def _dart(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "to"))
    legs = table.data[verb]
    if not isinstance(legs, list) or len(legs) != 2:
        table.fault(verb, "a dart has two legs", 'write dart = ["dart in", "dart out"]')
        return None
    for leg in legs:
        if leg not in draft.edge_names:
            table.fault(verb, f"there is no edge '{leg}'", nearest(str(leg), draft.edge_names))
            return None
    to = _place(table, "to", draft)
    if to is None:
        return None
    closed = verb == "close"
    words = "dart closed, opened" if closed else "dart moved"
    pair = (str(legs[0]), str(legs[1]))
    return _Edit(
        Change(words, None, to.edge, "at" if closed else "to"),
        lambda d: move_dart(d, pair, to, closed=closed),
    )


def _true(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "square"))
    edge = _edge(table, verb, draft)
    word = table.text("square", "", ("start", "end", "both"))
    ends = frozenset({"start", "end"} if word == "both" else {word} - {""})
    if edge is None:
        return None
    return _Edit(Change("trued", None, edge), lambda d: true_edge(d, edge, ends))


def _split(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "to", "keep", "name", "allowance"))
    start, end = _place(table, verb, draft), _place(table, "to", draft)
    keep, name = _edge(table, "keep", draft), table.text("name")
    if not name:
        table.fault("name", "is missing", 'name the new edge: name = "yoke seam"')
    if table.has("allowance") and not draft.net:
        table.fault("allowance", "the piece is drawn with allowance already", "leave it out")
    width = table.length("allowance")
    if start is None or end is None or keep is None or not name:
        return None
    return _Edit(Change("split", None, name), lambda d: split(d, start, end, keep, name, width))


def _join(table: Table, verb: str, draft: Draft, others: Others) -> _Edit | None:
    table.known((verb, "of", "its"))
    edge, of = _edge(table, verb, draft), table.text("of")
    if of not in others:
        table.fault("of", f"there is no piece '{of}'" if of else "is missing", nearest(of, others))
        return None
    other = others[of]
    if other is None or edge is None:
        return None
    its = _edge(table, "its", other)
    if its is None:
        return None
    return _Edit(Change(f"joined to '{of}'", None, edge), lambda d: join(d, edge, other, its))


def _ease(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "by"))
    edge, by = _edge(table, verb, draft), _amount(table, "by")
    if edge is None or by is None:
        return None
    return _Edit(Change("eased", by, edge), lambda d: ease_edge(d, edge, by))


def _pleat(table: Table, verb: str, draft: Draft, _: Others) -> _Edit | None:
    table.known((verb, "to", "depth"))
    start, end = _place(table, verb, draft), _place(table, "to", draft)
    depth = _amount(table, "depth")
    if start is None or end is None or depth is None:
        return None
    return _Edit(
        Change(f"{verb} made, twice", depth, start.edge), lambda d: pleat(d, start, end, depth)
    )


VERBS: dict[str, Callable[[Table, str, Draft, Others], _Edit | None]] = {
    "drop": _corner, "raise": _corner, "lengthen": _longer, "shorten": _longer, "slash": _slash,
    "dart": _dart, "close": _dart, "true": _true, "split": _split, "join": _join, "ease": _ease,
    "pleat": _pleat, "tuck": _pleat,
}  # fmt: skip
"""The key that says what is done, and its reader."""

EXAMPLE = '{ drop = "neck", along = "centre front", by = "4 in" }'


def _edge(table: Table, field: str, draft: Draft) -> str | None:
    name = table.text(field)
    if name in draft.edge_names:
        return name
    said = f"there is no edge '{name}'" if table.has(field) else "is missing"
    table.fault(field, said, nearest(name, draft.edge_names))
    return None


def _place(table: Table, field: str, draft: Draft) -> Place | None:
    inner = table.table(field)
    if inner is None:
        if not table.has(field):
            table.fault(field, "is missing", 'write { edge = "hem", along = "10 cm" }')
        return None
    inner.known(("edge", "along"))
    found = on_edge(inner, draft, "along")
    return None if found is None else Place(*found)


def _amount(table: Table, field: str) -> float | None:
    if not table.has(field):
        table.fault(field, "is missing", f'say how much: {field} = "2 cm"')
    return table.length(field, positive=True)
