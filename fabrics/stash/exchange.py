"""The stash as JSON or CSV, out and in again."""

from __future__ import annotations

import csv
import io
import json
import re
from typing import Any

from fabrics.fabric_data import fabric_from_data, fabric_to_data
from fabrics.stash.errors import StashError
from fabrics.stash.records import Bolt, LeftoverRecord, NewLeftover
from fabrics.stash.region import region_of
from fabrics.stash.store import Stash

FORMAT, VERSION = "laywright stash", 1

HEADS = (
    "kind", "tag", "fabric", "colour", "fibre", "width_mm", "length_mm", "washed", "long_mm",
    "wide_mm", "area_mm2", "note", "added", "body",
)  # fmt: skip
"""Columns of the CSV; `body` carries as JSON what the others do not."""


def stash_to_data(stash: Stash) -> dict[str, Any]:
    """Return bolts, leftovers and cuts as plain data; lengths in mm."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "bolts": [bolt_data(bolt) for bolt in stash.bolts()],
        "leftovers": [leftover_data(one) for one in stash.leftovers()],
        "cuts": [
            {
                "number": cut.number,
                "garment": cut.garment,
                "made": cut.made,
                "undone": cut.undone,
                "taken_mm": dict(cut.taken),
                "left": list(cut.left),
                "used": list(cut.used),
                "plan": json.loads(cut.plan),
            }
            for cut in stash.cuts()
        ],
    }


def stash_to_csv(stash: Stash) -> str:
    """Return all bolts and leftovers as CSV."""
    return cloth_to_csv(stash.bolts(), stash.leftovers())


def cloth_to_csv(bolts: list[Bolt], leftovers: list[LeftoverRecord]) -> str:
    """Return bolts and leftovers as CSV (RFC 4180)."""
    rows: list[dict[str, Any]] = [{"kind": "bolt", **bolt_data(bolt)} for bolt in bolts] + [
        {"kind": "leftover", **leftover_data(one)} for one in leftovers
    ]
    stream = io.StringIO()
    writer = csv.DictWriter(stream, HEADS, extrasaction="ignore")
    writer.writeheader()
    for row in rows:
        fabric = row["fabric"]
        body = {
            key: row[key] for key in ("fabric", "outline", "holes", "rectangle_mm") if key in row
        }
        writer.writerow(
            row
            | {
                "fabric": fabric["name"],
                "colour": fabric["colour"],
                "fibre": fabric["fibre"],
                "width_mm": fabric["width_mm"],
                "body": json.dumps(body),
            }
        )
    return stream.getvalue()


def take_in_json(stash: Stash, text: str) -> tuple[list[str], list[str]]:
    """Put in the bolts and leftovers of an exported file; see `Stash.take_in`.

    Raises
    ------
    StashError
        If it is no such file, or a tag is taken.
    """
    try:
        data = json.loads(text)
    except ValueError as error:
        raise StashError(f"no JSON: {error}") from error
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise StashError(f"no export of a stash: its format is not '{FORMAT}'")
    if data.get("version") != VERSION:
        raise StashError(f"version {data.get('version')} of the export is not known here")
    bolts = [_read_bolt(row, f"bolt {k}") for k, row in enumerate(data.get("bolts", []), 1)]
    leftovers = [
        _read_leftover(row, f"leftover {k}") for k, row in enumerate(data.get("leftovers", []), 1)
    ]
    return stash.take_in(bolts, leftovers)


def take_in_csv(stash: Stash, text: str) -> tuple[list[str], list[str]]:
    """Put in the rows of an exported CSV file; raises as `take_in_json`."""
    reader = csv.DictReader(io.StringIO(text))
    missing = [head for head in HEADS if head not in (reader.fieldnames or [])]
    if missing:
        raise StashError(f"no export of a stash: there is no column '{missing[0]}'")
    bolts: list[Bolt] = []
    leftovers: list[tuple[str, NewLeftover]] = []
    for number, row in enumerate(reader, start=2):
        where = f"line {number}"
        try:
            merged = row | json.loads(row["body"])
        except (ValueError, TypeError) as error:
            raise StashError(f"{where}, body: is no JSON object ({error})") from error
        if row["kind"] == "bolt":
            bolts.append(_read_bolt(merged | {"washed": row["washed"] == "True"}, where))
        elif row["kind"] == "leftover":
            leftovers.append(_read_leftover(merged, where))
        else:
            raise StashError(f"{where}, kind: '{row['kind']}' is neither bolt nor leftover")
    return stash.take_in(bolts, leftovers)


def bolt_data(bolt: Bolt) -> dict[str, Any]:
    """Return a bolt as plain data."""
    return {
        "tag": bolt.tag,
        "fabric": fabric_to_data(bolt.fabric),
        "length_mm": bolt.length,
        "washed": bolt.washed,
        "note": bolt.note,
        "added": bolt.added,
    }


def leftover_data(one: LeftoverRecord) -> dict[str, Any]:
    """Return a leftover as plain data."""
    return {
        "tag": one.tag,
        "fabric": fabric_to_data(one.fabric),
        "outline": [list(point) for point in one.outline],
        "holes": [[list(point) for point in hole] for hole in one.holes],
        "rectangle_mm": list(one.rectangle),
        "long_mm": one.long,
        "wide_mm": one.wide,
        "area_mm2": one.area,
        "warp_deg": 0.0,
        "right_side": "up",
        "washed": True,
        "note": one.note,
        "added": one.added,
        "made_by": one.made_by,
    }


def _read_bolt(row: dict[str, Any], where: str) -> Bolt:
    try:
        bolt = Bolt(
            _tag(row["tag"], "B"), fabric_from_data(row["fabric"]), float(row["length_mm"]),
            bool(row["washed"]), str(row["note"]), str(row["added"]),
        )  # fmt: skip
    except (KeyError, TypeError, ValueError) as error:
        raise StashError(f"{where}: {_said(error)}") from error
    if not bolt.length > 0.0:
        raise StashError(f"{where}, length_mm: {bolt.length:g} is no length of a bolt")
    return bolt


def _read_leftover(row: dict[str, Any], where: str) -> tuple[str, NewLeftover]:
    try:
        outline = tuple((float(x), float(y)) for x, y in row["outline"])
        holes = tuple(tuple((float(x), float(y)) for x, y in hole) for hole in row["holes"])
        x1, y1, x2, y2 = (float(value) for value in row["rectangle_mm"])
        region = region_of(outline, holes)
        new = NewLeftover(
            fabric_from_data(row["fabric"]), outline, holes, (x1, y1, x2, y2), region.area,
            str(row["note"]),
        )  # fmt: skip
        return _tag(row["tag"], "L"), new
    except (KeyError, TypeError, ValueError) as error:
        raise StashError(f"{where}: {_said(error)}") from error


def _tag(text: Any, letter: str) -> str:
    if not re.fullmatch(rf"{letter}[1-9]\d{{0,8}}", str(text)):
        raise ValueError(f"tag '{text}' is not {letter} and a number")
    return str(text)


def _said(error: Exception) -> str:
    return f"{error} is missing" if isinstance(error, KeyError) else str(error)
