"""What is sewn to what: the `sew` and `shorter` lists at the head of a garment file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pieces.drafting.draft import Draft
from pieces.drafting.seam import WITHIN_MM, EdgeOf, Seam, SeamCheck, SeamSide, Shorter
from pieces.files.toml_file import Table, as_typed, nearest
from pieces.lengths import LengthError, parse_length

EXAMPLE = '["front.side", "back.side"]'

TIMES = re.compile(r"^\s*([1-9]\d?)\s*x\s+(.+)$")
"""How often a seam meets an edge, before its name."""

Drafts = Mapping[str, Draft | None]
"""Every piece of the file by name; None where it could not be drawn."""


def read_seams(table: Table, drafts: Drafts) -> tuple[tuple[str, Seam], ...]:
    """Read `sew`: for each seam its field, for messages, and its two sides."""
    found: list[tuple[str, Seam]] = []
    for field, entry in _entries(table, "sew", f"write sew = [{EXAMPLE}]"):
        where = field
        if isinstance(entry, list):
            entry, where = {"edges": entry}, ""
        if not isinstance(entry, dict):
            table.fault(field, f"{as_typed(entry)} is no seam", f"write {EXAMPLE}")
            continue
        inner = Table(
            entry, table.file, table.findings, None, f"{where}." if where else "", table.unit
        )
        inner.known(("edges", "ease", "within", "on_top", "leave"))
        named = entry.get("edges")
        at = "edges" if where else field
        if not isinstance(named, list) or len(named) != 2:
            said = "a seam has two sides" if "edges" in entry else "is missing"
            inner.fault(at, said, f"write {EXAMPLE}")
            continue
        sides = [_side(inner, at, side, drafts) for side in named]
        ease, within = inner.length("ease", 0.0), inner.length("within", WITHIN_MM)
        on_top, leave = inner.flag("on_top"), _leave(inner)
        if sides[0] and sides[1] and ease is not None and within is not None:
            if not sides[0].edges and not sides[1].edges:
                inner.fault(at, "neither side names an edge", f"write {EXAMPLE}")
                continue
            found.append((field, Seam((sides[0], sides[1]), ease, within, on_top, leave)))
    return tuple(found)


def read_shorter(table: Table, drafts: Drafts) -> tuple[tuple[str, Shorter], ...]:
    """Read `shorter`: for each entry its field, and which edge is shorter than which."""
    hint = 'write { edge = "overlay.centre", than = "front.centre", by = "7 cm" }'
    found: list[tuple[str, Shorter]] = []
    for field, entry in _entries(table, "shorter", hint):
        if not isinstance(entry, dict):
            table.fault(field, f"{as_typed(entry)} says too little", hint)
            continue
        inner = Table(entry, table.file, table.findings, None, f"{field}.", table.unit)
        inner.known(("edge", "than", "by", "within"))
        edges = []
        for key in ("edge", "than"):
            text = inner.text(key)
            edges.append(read_edge(inner, key, text, drafts) if text else None)
            if not inner.has(key):
                inner.fault(key, "is missing", hint)
        by, within = inner.length("by"), inner.length("within", WITHIN_MM)
        if not inner.has("by"):
            inner.fault("by", "is missing", hint)
        if edges[0] and edges[1] and by is not None and within is not None:
            found.append((field, Shorter(edges[0], edges[1], by, within)))
    return tuple(found)


def _entries(table: Table, key: str, hint: str) -> list[tuple[str, Any]]:
    value = table.data.get(key, [])
    if not isinstance(value, list):
        table.fault(key, f"{as_typed(value)} is not a list", hint)
        return []
    return [(f"{key}[{index}]", entry) for index, entry in enumerate(value, start=1)]


def _side(table: Table, field: str, value: Any, drafts: Drafts) -> SeamSide | None:
    """Read one side: an edge, a length, or a list of them."""
    listed = value if isinstance(value, list) else [value]
    edges: list[EdgeOf] = []
    lengths: list[float] = []
    sound = bool(listed)
    if not listed:
        table.fault(field, "a side of a seam is empty", f"write {EXAMPLE}")
    for entry in listed:
        length = _length(entry, table.unit)
        edge = read_edge(table, field, entry, drafts) if length is None else None
        if length is not None:
            lengths.append(length)
        elif edge is not None:
            edges.append(edge)
        else:
            sound = False
    return SeamSide(tuple(edges), tuple(lengths)) if sound else None


def _length(value: Any, unit: str | None) -> float | None:
    """Return a stated length in mm; None for what names an edge."""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        return None
    try:
        return parse_length(value, unit)
    except LengthError:
        return None


def read_edge(table: Table, field: str, value: Any, drafts: Drafts) -> EdgeOf | None:
    """Read "piece.edge", or "2 x piece.edge"; None with a finding, or where the piece is faulty."""
    if not isinstance(value, str) or "." not in value:
        table.fault(field, f"{as_typed(value)} names no edge of a piece", f"write {EXAMPLE}")
        return None
    times = TIMES.match(value)
    name = times[2] if times else value
    cuts = [k for k, sign in enumerate(name) if sign == "."]
    # Names may hold points of their own: any split that names a piece will do.
    for piece, edge in ((name[:k].strip(), name[k + 1 :].strip()) for k in cuts):
        if piece not in drafts:
            continue
        draft = drafts[piece]
        if draft is None:
            return None
        if edge in draft.edge_names:
            return EdgeOf(piece, edge, int(times[1]) if times else None)
        table.fault(field, f"'{piece}' has no edge '{edge}'", nearest(edge, draft.edge_names))
        return None
    piece = name[: cuts[0]].strip()
    table.fault(field, f"there is no piece '{piece}'", nearest(piece, drafts))
    return None


def _leave(table: Table) -> frozenset[SeamCheck]:
    value = table.data.get("leave", [])
    listed = [value] if isinstance(value, str) else value
    names = [check.value for check in SeamCheck]
    if not isinstance(listed, list):
        table.fault("leave", f"{as_typed(value)} is not a list", f"of {', '.join(names)}")
        return frozenset()
    for name in listed:
        if name not in names:
            table.fault("leave", f"{as_typed(name)} is not looked at", nearest(str(name), names))
    return frozenset(SeamCheck(name) for name in listed if name in names)
