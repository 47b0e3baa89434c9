"""Bolts and leftovers as a table for spreadsheets: CSV as in RFC 4180, a column for each fact.

Outlines stand in cells as corners in mm, "0,0 600,0 600,200 0,200"; several of them (holes, flaws)
are parted by semicolons. Figures have a decimal point and no unit.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fabrics.fabric_data import FABRIC
from fabrics.stash.records import Bolt, LeftoverRecord
from fabrics.stash.rows import BOLT, LEFTOVER
from pieces.files.json_file import MOST_ENTRIES, Fields, finite, shown
from pieces.files.record import Cell
from pieces.findings import Finding, InputError

FABRIC_COLUMNS = {
    "fabric": "name", "title": "title", "colour": "colour", "fibre": "fibre",
    "width_mm": "width_mm", "selvage_mm": "selvage_mm", "fabric_washed": "washed",
    "one_way": "one_way", "faces_alike": "faces_alike", "grainless": "grainless",
    "faces": "faces", "shrink_along": "shrink_along", "shrink_across": "shrink_across",
    "shrinkage_known": "shrinkage_known",
    "price": "price", "currency": "currency", "price_unit_mm": "price_unit_mm",
    "step_mm": "step_mm", "minimum_mm": "minimum_mm", "own_step": "own_step",
    "imperial": "imperial",
    "description": "description",
}  # fmt: skip
"""Columns that tell of the fabric, and what they are in its plain data."""

REPEAT_COLUMNS = ("repeat_along_mm", "repeat_across_mm", "repeat_axis_mm")

HEADS = (
    "kind", "tag", "length_mm", "washed", "long_mm", "wide_mm", "area_mm2", "note", "added",
    *FABRIC_COLUMNS, *REPEAT_COLUMNS, "flaws_mm", "outline_mm", "holes_mm", "rectangle_mm", "id",
)  # fmt: skip

OLDER_HEADS = ("kind", "tag", "length_mm", "washed", "note", "added", "body")
"""What a table of an older version is known by: `body` held as JSON what had no column."""

BOLT_COLUMNS = ("tag", "length_mm", "washed", "note", "added")
"""Columns that tell of bolts and leftovers by themselves."""

CELLS = {column: FABRIC.kinds()[name].cell for column, name in FABRIC_COLUMNS.items()} | {
    column: BOLT.kinds()[column].cell for column in BOLT_COLUMNS
}
"""How each column is read."""

NAMES = {f"fabric.{field}": column for column, field in FABRIC_COLUMNS.items()} | {
    "fabric.repeat": "repeat_along_mm", "fabric.flaws": "flaws_mm", "outline": "outline_mm",
    "holes": "holes_mm",
}  # fmt: skip
"""Columns of fields, for messages."""

LARGEST_CELL = 50_000_000
"""Letters in one cell; Python's own limit is far below a large outline."""


def cloth_to_csv(bolts: list[Bolt], leftovers: list[LeftoverRecord]) -> str:
    """Return bolts and leftovers as CSV (RFC 4180)."""
    stream = io.StringIO()
    writer = csv.DictWriter(stream, HEADS)
    writer.writeheader()
    for bolt in bolts:
        writer.writerow(_row("bolt", BOLT.write(bolt)))
    for one in leftovers:
        writer.writerow(_row("leftover", LEFTOVER.write(one)))
    return stream.getvalue()


def _row(kind: str, data: dict[str, Any]) -> dict[str, str]:
    fabric = data["fabric"]
    repeat = fabric["repeat"] or (None, None, None)
    row: dict[str, Any] = {column: fabric[field] for column, field in FABRIC_COLUMNS.items()}
    row |= dict(zip(REPEAT_COLUMNS, repeat, strict=True))
    row |= {
        head: data[head]
        for head in ("tag", "length_mm", "washed", "long_mm", "wide_mm", "area_mm2", "note",
                     "added", "id")
        if head in data
    }  # fmt: skip
    row["flaws_mm"] = _rings(fabric["flaws"])
    if "outline" in data:
        x1, y1, x2, y2 = data["rectangle_mm"]
        row["outline_mm"], row["holes_mm"] = _rings([data["outline"]]), _rings(data["holes"])
        row["rectangle_mm"] = _rings([[(x1, y1), (x2, y2)]])
    return {"kind": kind} | {head: _cell(value) for head, value in row.items()}


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def _rings(rings: list[Any]) -> str:
    return "; ".join(" ".join(f"{x},{y}" for x, y in ring) for ring in rings)


def rows_from_csv(text: str, file: str, findings: list[Finding]) -> Iterator[tuple[str, Fields]]:
    """Give each row's kind ("bolt" or "leftover") and its fields.

    Raises
    ------
    InputError
        If the text is no table of a stash.
    """
    with _large_cells():
        reader = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        try:
            heads = list(reader.fieldnames or [])
            older = "body" in heads
            for head in OLDER_HEADS if older else HEADS:
                if head not in heads and head not in ("long_mm", "wide_mm", "area_mm2", "id"):
                    raise InputError([_no_column(file, heads, head)])
            line = reader.line_num + 1
            for count, row in enumerate(reader):
                if count >= MOST_ENTRIES:
                    findings.append(Finding(file, f"more than {MOST_ENTRIES} rows", line=line))
                    return
                fields = _older_fields if older else _fields
                yield from _one(fields(row), row, file, line, findings)
                line = reader.line_num + 1
        except csv.Error as error:
            raise InputError(
                [
                    Finding(
                        file, "is no table: a cell in quotes does not end, or is too large",
                        fix="write it again, from the program or as CSV with commas",
                        line=reader.line_num,
                    )
                ]
            ) from error  # fmt: skip


def _one(
    data: dict[str, Any], row: dict[str, Any], file: str, line: int, findings: list[Finding]
) -> Iterator[tuple[str, Fields]]:
    fields = Fields(data, file, findings, line=line, names=NAMES)
    kind = row["kind"]
    if None in row or None in row.values():
        fields.fault("kind", "this row has more or fewer cells than there are columns")
    elif kind not in ("bolt", "leftover"):
        fields.fault("kind", f"{shown(kind)} is not known", "bolt or leftover")
    else:
        yield kind, fields


def _no_column(file: str, heads: list[str], head: str) -> Finding:
    fix = "write it with laywright stash export"
    if len(heads) == 1 and (";" in heads[0] or "\t" in heads[0]):
        fix = "its columns must be parted by commas; save it as CSV with commas"
    return Finding(file, f"is no table of a stash: there is no column '{head}'", fix=fix, line=1)


@contextmanager
def _large_cells() -> Iterator[None]:
    former = csv.field_size_limit(LARGEST_CELL)
    try:
        yield
    finally:
        csv.field_size_limit(former)


def _fields(row: dict[str, Any]) -> dict[str, Any]:
    """The row as plain data, as `BOLT` and `LEFTOVER` read it."""
    fabric: dict[str, Any] = {
        field: value
        for column, field in FABRIC_COLUMNS.items()
        if (value := _value(column, row[column])) is not None or column == "price"
    }
    repeat = [_number(row[column]) for column in REPEAT_COLUMNS]
    fabric["repeat"] = None if repeat[:2] == [None, None] else _with_noughts(repeat)
    fabric["on_hand_mm"] = None
    fabric["flaws"] = _outlines(row["flaws_mm"])
    data: dict[str, Any] = {"fabric": fabric, "id": row.get("id") or ""}
    for head in BOLT_COLUMNS:
        value = _value(head, row[head])
        if value is not None:
            data[head] = value
    outlines = _outlines(row["outline_mm"])
    if row["outline_mm"]:
        data["outline"] = outlines[0] if len(outlines) == 1 else outlines
    data["holes"] = _outlines(row["holes_mm"])
    if row["rectangle_mm"]:
        corners = _outlines(row["rectangle_mm"])
        data["rectangle_mm"] = [c for point in corners[0] for c in point] if corners else []
    return data


def _with_noughts(repeat: list[Any]) -> list[Any]:
    return [0.0 if value is None else value for value in repeat[:2]] + repeat[2:]


def _older_fields(row: dict[str, Any]) -> dict[str, Any]:
    """The row of an older version: `body` holds fabric and outline."""
    data: dict[str, Any] = {
        head: value for head in BOLT_COLUMNS if (value := _value(head, row[head])) is not None
    }
    try:
        body = json.loads(row["body"])
    except (ValueError, TypeError, RecursionError):
        body = None
    return data | (body if isinstance(body, dict) else {})


def _value(column: str, cell: str | None) -> Any:
    """What a cell says: a figure, true or false, or words; None for an empty one that is missed."""
    if CELLS[column] is Cell.FIGURE:
        return _number(cell)
    if CELLS[column] is Cell.FLAG:
        words = {"true": True, "false": False, "yes": True, "no": False}
        return words.get((cell or "").strip().lower(), cell or None)
    return cell


def _number(cell: str | None) -> Any:
    if not cell:
        return None
    try:
        number = float(cell)
    except ValueError:
        return cell
    return cell if finite(number) is None else number


def _outlines(cell: str | None) -> list[Any]:
    """Corners parted by spaces, outlines by semicolons; what is no corner stays as it stands."""
    return [
        [[_number(part) for part in pair.split(",")] for pair in ring.split()]
        for ring in (cell or "").split(";")
        if ring.strip()
    ]
