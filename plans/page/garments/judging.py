"""What the reader of garment files says of a draft, and the garment that it makes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from pieces.drafting.garment import Garment
from pieces.files.toml_file import Table
from pieces.files.toml_merge import ORIGIN
from pieces.files.unfit_text import unfit_texts
from pieces.findings import Finding
from pieces.lengths import System
from pieces.readers import edit_table, made_from
from pieces.readers.garment_toml import garment_of
from pieces.readers.sizes import read_sizes
from plans.page.settings import figures_in

Judged = tuple[Garment | None, list[Finding]]
"""The garment as far as one can be made of what was typed, and every finding."""


def file_data(data: dict[str, Any]) -> dict[str, Any]:
    """What would stand in the file: without what only the form needs."""
    pieces = data.get("piece", [])
    if not isinstance(pieces, list):
        return data
    listed = [
        {key: value for key, value in piece.items() if key != ORIGIN}
        if isinstance(piece, dict)
        else piece
        for piece in pieces
    ]
    return {**data, "piece": listed}


def judged(
    data: dict[str, Any], name: str, size: str | None = None, system: System | None = None
) -> Judged:
    """Make a garment of a draft, with every finding; figures in a person's units if named."""
    unit = data.get("units") if isinstance(data.get("units"), str) else None
    told_in = None if system is None else figures_in(unit, system)
    findings: list[Finding] = unfit_texts(file_data(data), name)
    garment = garment_of(file_data(data), Path(f"{name}.toml"), findings, size, told_in)
    return garment, sorted(dict.fromkeys(findings), key=lambda finding: not finding.fatal)


def judged_in_all_sizes(data: dict[str, Any], name: str) -> list[Finding]:
    """Every finding in any size, as `laywright check` gives them."""
    findings = judged(data, name)[1]
    known = {(f.piece, f.field, f.message) for f in findings}
    quiet = Table(file_data(data), name, [])
    for size in read_sizes(quiet):
        for finding in judged(data, name, size)[1]:
            key = (finding.piece, finding.field, finding.message)
            if key not in known:
                known.add(key)
                findings.append(finding)
    return findings


def judged_alone(
    data: dict[str, Any], name: str, number: int, system: System | None = None
) -> Judged:
    """Judge one piece (counted from 0) with those alone that it is made from.

    What is asked about the garment as a whole is left out, for this is only a part of it.
    """
    pieces = file_data(data).get("piece", [])
    if not isinstance(pieces, list) or not 0 <= number < len(pieces):
        return judged(data, name, system=system)
    wanted = _with_bases(pieces, number)
    head = {key: value for key, value in data.items() if key not in ("sew", "shorter")}
    garment, findings = judged({**head, "piece": [pieces[k] for k in wanted]}, name, system=system)
    told = [_counted_anew(finding, wanted) for finding in findings]
    return garment, [f for f in told if f.piece is not None or (f.field or "").startswith("piece[")]


def _with_bases(pieces: list[Any], number: int) -> list[int]:
    """Numbers of a piece and of all that it is made from, in the order of the file."""
    names = {str(piece.get("name")): k for k, piece in enumerate(pieces) if isinstance(piece, dict)}
    found = {number}
    ahead = [number]
    while ahead:
        piece = pieces[ahead.pop()]
        for other in _named(piece) if isinstance(piece, dict) else ():
            if other in names and names[other] not in found:
                found.add(names[other])
                ahead.append(names[other])
    return sorted(found)


def _named(piece: dict[str, Any]) -> Iterable[str]:
    return (
        str(piece.get("like", "")),
        *made_from.named_pieces(piece),
        *edit_table.named_pieces(piece),
    )


def _counted_anew(finding: Finding, numbers: list[int]) -> Finding:
    """A finding about the n-th piece tells its number in the whole file."""
    field = finding.field or ""
    if not field.startswith("piece[") or "]" not in field:
        return finding
    count, rest = field.removeprefix("piece[").split("]", 1)
    if not count.isdigit() or not 0 < int(count) <= len(numbers):
        return finding
    return replace(finding, field=f"piece[{numbers[int(count) - 1] + 1}]{rest}")
