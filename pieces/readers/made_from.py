"""Pieces made from edges of others: facings cut to an edge, bands and bindings to its length."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pieces.drafting.draft import Draft
from pieces.drafting.seam import EdgeOf
from pieces.drafting.strips import strip_draft
from pieces.edits.cutting import EditError
from pieces.edits.facing import facing_draft
from pieces.files.toml_file import Table, nearest
from pieces.outline import OutlineError
from pieces.readers.sew_table import TIMES, read_edge
from pieces.seams.measured import total_length

MADE_FROM = ("facing", "band", "binding")
"""Keys that make a piece from edges of others."""

Others = Mapping[str, Draft | None]


def named_pieces(entry: Mapping[str, Any]) -> list[str]:
    """Pieces that a facing, band or binding is made from."""
    facing = entry.get("facing")
    found = [facing["of"]] if isinstance(facing, dict) and isinstance(facing.get("of"), str) else []
    for key in ("band", "binding"):
        inner = entry.get(key)
        listed = inner.get("along", []) if isinstance(inner, dict) else []
        for text in listed if isinstance(listed, list) else [listed]:
            if isinstance(text, str):
                times = TIMES.match(text)
                name = times[2] if times else text
                found += [name[:k].strip() for k, sign in enumerate(name) if sign == "."]
    return found


def read_made(table: Table, key: str, others: Others) -> Draft | None:
    """Read a piece that is made from edges of `others`; None, with a finding, if it cannot be."""
    return _facing(table, others) if key == "facing" else _band(table, key, others)


def _facing(table: Table, others: Others) -> Draft | None:
    """Read `facing`: of which piece, along which edge, how wide."""
    inner = table.table("facing")
    if inner is None:
        return None
    inner.known(("of", "edge", "width"))
    of, name = inner.text("of"), inner.text("edge")
    width = inner.length("width", positive=True)
    if of not in others:
        said = f"there is no piece '{of}'" if of else "is missing"
        inner.fault("of", said, nearest(of, others))
        return None
    if not inner.has("width"):
        inner.fault("width", "is missing", 'say how wide: width = "6 cm"')
    base = others[of]
    if base is None or width is None:
        return None
    if name not in base.edge_names:
        inner.fault("edge", f"'{of}' has no edge '{name}'", nearest(name, base.edge_names))
        return None
    if not base.net:
        inner.fault("of", f"'{of}' is drawn with its allowance", "a facing needs the net line")
        return None
    try:
        return facing_draft(base, name, width)
    except OutlineError as error:
        told = error.told(table.unit) if isinstance(error, EditError) else str(error)
        inner.fault("width", told)
        return None


def _band(table: Table, key: str, others: Others) -> Draft | None:
    """Read `band` or `binding`: a strip as long as the edges that it is sewn to."""
    inner = table.table(key)
    if inner is None:
        return None
    inner.known(("along", "width", "bias", "longer"))
    listed = inner.data.get("along")
    entries = listed if isinstance(listed, list) else [listed]
    if not entries or listed is None:
        inner.fault("along", "is missing", 'write along = ["front.neck", "back.neck"]')
        return None
    edges: list[EdgeOf] = []
    for entry in entries:
        edge = read_edge(inner, "along", entry, others)
        if edge is not None:
            edges.append(edge)
    width = inner.length("width", positive=True)
    if not inner.has("width"):
        inner.fault("width", "is missing", 'say how wide: width = "3.2 cm"')
    longer = inner.length("longer", 0.0) or 0.0
    bias = inner.flag("bias", key == "binding")
    net = table.text("drawn", "net", ("net", "with allowance")) == "net"
    allowance = table.length("allowance", 0.0) or 0.0
    if net and not table.has("allowance"):
        table.fault("allowance", "is missing on a net piece", "state it, even if it is 0")
    if len(edges) != len(entries) or width is None:
        return None
    drafts = {name: draft for name, draft in others.items() if draft is not None}
    length = total_length(tuple(edges), drafts) + longer
    return strip_draft("", length, width, bias, allowance if net else 0.0)
