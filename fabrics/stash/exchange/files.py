"""The stash as JSON or CSV, out and in again."""

from __future__ import annotations

import json
from typing import Any

from fabrics.stash.exchange.csv_table import cloth_to_csv, rows_from_csv
from fabrics.stash.records import Bolt, CutRecord, LeftoverRecord, TakenIn
from fabrics.stash.rows import BOLT, LEFTOVER
from fabrics.stash.store import Stash
from pieces.files.json_file import Fields, shown
from pieces.files.json_text import parse_json
from pieces.files.kinds import TEXT, TEXTS, told, whole
from pieces.files.record import Entry, Record
from pieces.findings import Finding, InputError

FORMAT, VERSION = "laywright stash", 1


def stash_to_data(stash: Stash) -> dict[str, Any]:
    """Return bolts, leftovers and cuts as plain data; lengths in mm."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "bolts": [BOLT.write(bolt) for bolt in stash.bolts()],
        "leftovers": [LEFTOVER.write(one) for one in stash.leftovers()],
        "cuts": [CUT_WITH_PLAN.write(cut) for cut in stash.cuts()],
    }


def plan_data(text: str) -> Any:
    """The plan that was kept with a cut; None if what was kept is no JSON."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


CUT = Record(
    CutRecord,
    (
        Entry("number", whole(1)),
        Entry("garment", TEXT),
        Entry("made", TEXT),
        Entry("undone", TEXT),
        Entry("taken_mm", told(dict), "taken"),
        Entry("left", TEXTS),
        Entry("used", TEXTS),
    ),
)
"""What is told of a cut; it is not put in again."""

CUT_WITH_PLAN = Record(CutRecord, (*CUT.entries, Entry("plan", told(plan_data))))


def stash_to_csv(stash: Stash) -> str:
    """Return all bolts and leftovers as CSV."""
    return cloth_to_csv(stash.bolts(), stash.leftovers())


def take_in_json(stash: Stash, text: str, file: str) -> TakenIn:
    """Put in the bolts and leftovers of an exported file; see `Stash.take_in`.

    Parameters
    ----------
    stash : Stash
    text : str
        What stands in the file.
    file : str
        Its name, for messages and notes.

    Raises
    ------
    InputError
        With everything that is wrong with the file; nothing was put in.
    StashError
        If the stash cannot be changed.
    """
    data = parse_json(text, file)
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise InputError([Finding(file, f"is no export of a stash: its format is not '{FORMAT}'")])
    version = data.get("version")
    if isinstance(version, bool) or version != VERSION:
        raise InputError(
            [
                Finding(
                    file, f"is an export of version {shown(version)}",
                    fix=f"this program reads version {VERSION}",
                )
            ]
        )  # fmt: skip
    findings: list[Finding] = []
    fields = Fields(data, file, findings)
    rows = [
        (kind, row)
        for kind, name in (("bolt", "bolts"), ("leftover", "leftovers"))
        if name in fields
        for row in fields.each(name)
    ]
    return _take_in(stash, rows, file, findings)


def take_in_csv(stash: Stash, text: str, file: str) -> TakenIn:
    """Put in the rows of an exported CSV file; as `take_in_json`."""
    findings: list[Finding] = []
    return _take_in(stash, list(rows_from_csv(text, file, findings)), file, findings)


def _take_in(
    stash: Stash, rows: list[tuple[str, Fields]], file: str, findings: list[Finding]
) -> TakenIn:
    bolts: list[Bolt] = []
    leftovers: list[LeftoverRecord] = []
    tags: set[str] = set()
    idents: set[str] = set()
    for kind, fields in rows:
        one: Bolt | LeftoverRecord
        if kind == "bolt":
            bolts.append(one := BOLT.read(fields))
        else:
            leftovers.append(one := LEFTOVER.read(fields))
        for field, value, before in (("tag", one.tag, tags), ("id", one.ident, idents)):
            if value and value in before:
                fields.fault(field, f"'{value}' stands there twice", "each only once")
            before.add(value)
    if findings:
        raise InputError(findings)
    return stash.take_in(bolts, leftovers, file.replace("\\", "/").rpartition("/")[2])
