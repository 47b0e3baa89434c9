"""What the reader of garment files says of a draft, and the garment that it makes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
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
from pieces.readers.sizes import chosen_size, read_sizes
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


@dataclass(frozen=True)
class InSize:
    """What was found in one size, and nowhere before.

    `size` is empty for the one that is drawn.
    """

    size: str
    garment: Garment | None
    findings: list[Finding]


def judged_in_all_sizes(
    data: dict[str, Any], name: str, first: str = "", system: System | None = None
) -> list[InSize]:
    """Judge a draft in each size, as `laywright check` does; each finding once.

    Parameters
    ----------
    data : dict
    name : str
    first : str
        The size that is judged first; the one that is drawn unless it is named.
    system : System, optional
        As `judged`.
    """
    sizes, drawn = _sizes(data, name)
    shown = first if first in sizes else ""
    known: set[tuple[Any, ...]] = set()
    found = []
    for size in (shown, *(one for one in sizes if one != (shown or drawn))):
        garment, findings = judged(data, name, size or None, system)
        fresh = [f for f in findings if (f.piece, f.field, f.message) not in known]
        known |= {(f.piece, f.field, f.message) for f in fresh}
        found.append(InSize("" if size == drawn != shown else size, garment, fresh))
    return found


def _sizes(data: dict[str, Any], name: str) -> tuple[tuple[str, ...], str]:
    """Names of the sizes, and the one that is drawn."""
    quiet = Table(file_data(data), name, [])
    sizes = read_sizes(quiet)
    return sizes, chosen_size(quiet, sizes, None)


def data_in_size(data: dict[str, Any], size: str) -> dict[str, Any]:
    """What would stand in the file if it gave one size only; as drawn where that is empty."""
    whole = file_data(data)
    pieces = whole.get("piece", [])
    if not size or not isinstance(pieces, list):
        return whole
    return {**whole, "piece": [_piece_in_size(piece, size) for piece in pieces]}


def _piece_in_size(piece: Any, size: str) -> Any:
    sizes = piece.get("sizes") if isinstance(piece, dict) else None
    changes = sizes.get(size) if isinstance(sizes, dict) else None
    return {**piece, **changes} if isinstance(changes, dict) else piece


def judged_alone(
    data: dict[str, Any], name: str, number: int, size: str = "", system: System | None = None
) -> Judged:
    """Judge one piece (counted from 0) in a size, with those alone that it is made from.

    What is asked about the garment as a whole is left out, for this is only a part of it.
    """
    pieces = file_data(data).get("piece", [])
    wanted_size = size if size in _sizes(data, name)[0] else None
    if not isinstance(pieces, list) or not 0 <= number < len(pieces):
        return judged(data, name, wanted_size, system)
    wanted = _with_bases(pieces, number)
    head = {key: value for key, value in data.items() if key not in ("sew", "shorter")}
    part = {**head, "piece": [pieces[k] for k in wanted]}
    garment, findings = judged(part, name, wanted_size, system)
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
