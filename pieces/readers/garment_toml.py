"""Garment files in TOML, as they are typed from a paper draft.

A file holds a title, the unit of bare numbers, and `[[piece]]` tables. A piece is drawn by `edges`
(each from where the last ended, straight or smooth through measured points), by SVG path data, as
a strip, or `like` another piece with a change. `sew` at its head says which edges are sewn
together. A file may give several sizes: `sizes = [...]` at its head, and in a piece
`[piece.sizes.NAME]` with whatever differs there.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from pieces.drafting.allowance import AllowanceError
from pieces.drafting.alter import open_out
from pieces.drafting.draft import Draft, make_piece
from pieces.drafting.garment import Garment
from pieces.drafting.symmetry import mirror_turns
from pieces.files.toml_file import Table, list_findings, load_with_questions, nearest, read_toml
from pieces.findings import Finding, InputError
from pieces.outline import OutlineError
from pieces.piece import CutKind, Piece
from pieces.readers import edit_table as edits
from pieces.readers import made_from
from pieces.readers.piece_table import NOTHING, PIECE_KEYS, read_draft
from pieces.readers.questions import Question, garment_questions, piece_questions
from pieces.readers.seam_questions import seam_questions
from pieces.readers.sew_table import read_seams, read_shorter
from pieces.readers.sizes import chosen_size, in_size, read_sizes

_Read = tuple[Draft, bool]
"""A draft, and whether a piece can be made of it; else it is there to be referred to."""

KEYS = (
    "title", "description", "caution", "units", "sizes", "drawn_size", "sew", "shorter", "piece",
)  # fmt: skip


def load_garment(path: Path, size: str | None = None) -> Garment:
    """Read a garment file, in one of its sizes (the drawn one unless named).

    Raises
    ------
    InputError
        With every fault of the file, or if it gives no such size.
    """
    garment, questions = load_with_questions(partial(_read, size=size), path)
    return replace(garment, questions=tuple(questions))


def check_garment(path: Path) -> list[Finding]:
    """List everything that is wrong or questionable with a garment file, in any size."""
    findings = list_findings(_read, path)
    for size in _sizes_of(path):
        asked = {(f.piece, f.field) for f in findings if not f.fatal}
        findings += [
            replace(finding, message=f"{finding.message} (size {size})")
            for finding in list_findings(partial(_read, size=size), path)
            if finding not in findings
            and (finding.fatal or (finding.piece, finding.field) not in asked)
        ]
    return findings


def _sizes_of(path: Path) -> tuple[str, ...]:
    """Sizes that a file gives, as far as it can be read."""
    try:
        garment, _ = _read(path)
    except InputError:
        return ()
    return garment.sizes if garment is not None else ()


def _read(path: Path, size: str | None = None) -> tuple[Garment | None, list[Finding]]:
    findings: list[Finding] = []
    return garment_of(read_toml(path, findings), path, findings, size), findings


def garment_of(
    data: dict[str, Any],
    path: Path,
    findings: list[Finding],
    size: str | None = None,
    told_in: str | None = None,
) -> Garment | None:
    """Make a garment of what a garment file says; None where it is too faulty for that.

    Parameters
    ----------
    data : dict
        What stands in the file, or would stand there if what came from a drawing were written.
    path : Path
        Where it came from, for its name and for messages.
    findings : list of Finding
        Every fault and question is added to it; with a fatal one the garment is not to be used.
    size : str, optional
        The size to make; the drawn one unless named.
    told_in : str, optional
        Unit that questions give measured figures in; that of the file unless named.
    """
    table = Table(data, str(path), findings)
    table.known(KEYS)
    table.unit_field()
    listed = table.data.get("piece", [])
    if not isinstance(listed, list) or not all(isinstance(entry, dict) for entry in listed):
        table.fault("piece", "is not a list of tables", "write [[piece]] before each piece")
        return None
    if not listed:
        if "piece" not in table.meant:
            table.fault("piece", "there is no piece", "write [[piece]] before each piece")
        return None
    sizes = read_sizes(table)
    chosen = chosen_size(table, sizes, size)
    pieces, drafts, drawn = _pieces(
        [in_size(data, chosen, sizes, table) for data in listed], table, told_in
    )
    seams, shorter = read_seams(table, drawn), read_shorter(table, drawn)
    garment = Garment(
        name=path.stem,
        title=table.text("title", path.stem),
        pieces=tuple(pieces),
        description=" ".join(table.text("description").split()),
        caution=" ".join(table.text("caution").split()),
        source=str(path),
        sizes=sizes,
        size=chosen,
        unit=table.unit,
        drafts=tuple(drafts),
        blocks=tuple(
            draft
            for data in listed
            if data.get("block") is True and (draft := drawn.get(str(data.get("name")))) is not None
        ),
        seams=tuple(seam for _, seam in seams),
        shorter=tuple(entry for _, entry in shorter),
    )
    if not any(finding.fatal for finding in findings) and not garment.roles:
        table.fault("piece", "no piece says how often it is cut", 'write cut = { base = "2" }')
    _bars_agree(table, garment.pieces)
    if not any(finding.fatal for finding in findings):
        words = f"{garment.title} {garment.description} {garment.name}"
        _ask(table, garment_questions(garment.pieces, words, garment.unit))
        fields = [field for field, _ in seams], [field for field, _ in shorter]
        _ask(table, seam_questions(replace(garment, unit=told_in or garment.unit), *fields))
    return garment


def _bars_agree(table: Table, pieces: tuple[Piece, ...]) -> None:
    """One match group lies on one bar of the design."""
    named: dict[str, tuple[str, str | float]] = {}
    for piece in pieces:
        for match in piece.match_points:
            if match.bar is None:
                continue
            first, bar = named.setdefault(match.group, (piece.name, match.bar))
            if bar != match.bar:
                table.findings.append(
                    Finding(
                        table.file,
                        f"'{first}' names another bar for group '{match.group}'",
                        piece.name,
                        "match",
                        "one group lies on one bar; give it a group of its own, or the same bar",
                    )
                )


def _ask(table: Table, questions: list[Question]) -> None:
    for question in questions:
        table.findings.append(
            Finding(
                table.file, question.message, question.piece, question.field, question.fix,
                fatal=False,
            )
        )  # fmt: skip


def _pieces(
    listed: list[dict[str, Any]], table: Table, told_in: str | None
) -> tuple[list[Piece], list[Draft], dict[str, Draft | None]]:
    """Make the pieces, each after the one that it is like; and give what they were made from.

    Last the drafts by name of all that the file names, None where one cannot be drawn.
    """
    tables: dict[str, Table] = {}
    for index, data in enumerate(listed, start=1):
        name, nth = data.get("name"), f"piece[{index}]."
        entry = Table(data, table.file, table.findings, unit=table.unit)
        if not isinstance(name, str) or not name.strip():
            table.fault(f"{nth}name", "is missing", 'write name = "front"')
            entry.prefix = name = nth
        elif name in tables:
            table.fault(f"{nth}name", f"there are two pieces '{name}'", "give each its own name")
            entry.prefix = name = nth
        else:
            entry.piece = name
        entry.known(PIECE_KEYS)
        tables[name] = entry
    drafts: dict[str, _Read] = {}
    for name in tables:
        _draft(name, tables, drafts, ())
    pieces: list[Piece] = []
    made: list[Draft] = []
    for name, entry in tables.items():
        draft, sound = drafts[name]
        opened_out = entry.flag("opened_out")
        piece = _piece(draft, entry, opened_out, told_in) if sound else None
        if piece is not None and not entry.flag("block"):
            pieces.append(piece)
            made.append(replace(draft, like=entry.text("like"), opened_out=opened_out))
    drawn = {name: draft if sound else None for name, (draft, sound) in drafts.items()}
    return pieces, made, drawn


def _draft(
    name: str, tables: dict[str, Table], drafts: dict[str, _Read], path: tuple[str, ...]
) -> _Read:
    """Read a piece after the one that it is like, whose faults are told there alone."""
    if name not in drafts:
        entry = tables[name]
        like = entry.text("like")
        base: Draft | None = None
        sound = True
        if like and (like == name or like in path):
            entry.fault("like", f"'{name}' is like itself: {' -> '.join([*path, name, like])}")
            base, sound = NOTHING, False
        elif like and like not in tables:
            entry.fault("like", f"there is no piece '{like}'", nearest(like, tables))
            base, sound = NOTHING, False
        elif like:
            base, sound = _draft(like, tables, drafts, (*path, name))
        others: dict[str, Draft | None] = {}
        named = [*made_from.named_pieces(entry.data), *edits.named_pieces(entry.data)]
        for other in dict.fromkeys(named):
            if other == name or other in path:
                way = " -> ".join([*path, name, other])
                entry.fault("of", f"'{name}' is made from itself: {way}")
                base, sound = base or NOTHING, False
                others[other] = None
            elif other in tables:
                draft, drawn = _draft(other, tables, drafts, (*path, name))
                others[other] = draft if drawn else None
        drafts[name] = read_draft(entry, base, sound, others)
    return drafts[name]


def _piece(draft: Draft, entry: Table, opened_out: bool, told_in: str | None) -> Piece | None:
    try:
        piece = make_piece(draft)
        if opened_out:
            piece = open_out(piece)
        open_out(piece)
    except AllowanceError as error:
        entry.fault("allowance", str(error))
        return None
    except OutlineError as error:
        entry.fault("edges" if draft.fold is None else "fold", str(error))
        return None
    # What a piece has from the one that it is like is asked about there.
    alike = entry.has("like")
    questions = piece_questions(draft, piece, entry.unit, told_in)
    _ask(entry, [q for q in questions if not alike or entry.has(q.field.partition(".")[0])])
    for cut in piece.cuts:
        if cut.kind is CutKind.FOLD and piece.fold is None:
            entry.fault(
                f"cut.{cut.role}",
                f"'{cut.label}' needs a fold edge",
                'name it: fold = "EDGE"',
            )
        odd = cut.kind is CutKind.PAIR and cut.count % 2
        if odd and 0.0 not in mirror_turns(piece):
            entry.fault(
                f"cut.{cut.role}",
                f"{cut.count} copies are no pairs, and left and right differ",
                f'write "{cut.count} same way" or an even count',
            )
    return piece
