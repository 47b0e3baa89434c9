"""A drawing that was handed in: what is in it, what it leaves open, and the garment made of it."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from pieces.drawings.answers import DRAWING_UNITS, Answers
from pieces.drawings.drawn_piece import DrawnPiece
from pieces.drawings.garment_data import ONE_ROLE
from pieces.drawings.loading import DrawnGarment, draw_garment, is_drawing
from pieces.drawings.outline_edges import straight_sides
from pieces.files.own_shelf import GARMENTS, own_shelf
from pieces.findings import Finding, InputError
from pieces.lengths import parse_length
from pieces.outline import ring_of
from pieces.readers.cut_words import parse_cut
from pieces.readers.piece_table import GRAIN_WORDS
from plans.drawing.garment.light import LightLine, LightPicture, extents, path_data
from plans.page.asking import Asked, AskedError, sent
from plans.page.garments import drafts
from plans.page.garments.listing import put_new
from plans.page.garments.shelf import address, finding_words, new_name
from plans.page.names import NameRefusedError, NotThereError, sound_name
from plans.page.rendering import page

FOLDER = ".handed-in"

KEPT_S = 7 * 24 * 3600.0
"""Whoever has not gone on with a file after a week does not mean to; pictures may show a room."""

INCLUDED = "included"
"""Said where a drawing holds its allowance already."""

_FIELDS = ("cut", "drawn", "allowance", "grain", "fold")
"""What is asked for of a piece; `drawn` is asked with `allowance`."""


def drawn_path(name: str) -> Path:
    """Where a drawing is kept that was handed in."""
    return own_shelf(GARMENTS) / FOLDER / name


def clear_old() -> None:
    """Remove what was handed in and not gone on with for longer than anyone waits."""
    folder = own_shelf(GARMENTS) / FOLDER
    oldest = time.time() - KEPT_S
    for path in folder.iterdir() if folder.is_dir() else ():
        if path.is_file() and path.lstat().st_mtime < oldest:
            path.unlink(missing_ok=True)


def drawn_address(name: str) -> str:
    """Address of the view of such a drawing."""
    return f"/new/garment/drawn/{quote(name, safe='')}"


@dataclass(frozen=True)
class Found:
    """A piece as it was found in a drawing, with what is to be told of it."""

    name: str
    where: str
    picture: LightPicture
    sides: tuple[str, ...]
    known: dict[str, str]


def _path(request: Request) -> Path:
    try:
        path = drawn_path(sound_name(str(request.path_params["file"]), "drawing"))
    except NameRefusedError as error:
        raise NotThereError(str(error)) from error
    if not path.is_file() or path.is_symlink() or not is_drawing(path):
        raise NotThereError("this drawing is not here any more; hand it in again")
    return path


def _read(path: Path, answers: Answers) -> tuple[DrawnGarment | None, tuple[Finding, ...]]:
    try:
        drawn = draw_garment(path, answers)
    except InputError as error:
        return None, error.findings
    return drawn, drawn.findings


def drawing(request: Request) -> Response:
    """Show what was found in the drawing and ask for what is missing."""
    path = _path(request)
    drawn, findings = _read(path, Answers())
    pieces = _pieces(drawn)
    return page(
        request,
        "garment_drawn.html",
        f"From the drawing {path.name}",
        here="garments",
        scripts=["garment_drawn.js"],
        where=drawn_address(path.name),
        name=drafts.free_for(path.stem),
        found=[_found(piece) for piece in pieces],
        findings=[_at(finding, pieces) for finding in findings],
        ignored=drawn.drawing.ignored if drawn is not None else (),
        is_dxf=path.suffix.lower() == ".dxf",
        drawing_units=DRAWING_UNITS,
        ways=tuple(GRAIN_WORDS),
    )


def _pieces(drawn: DrawnGarment | None) -> list[DrawnPiece]:
    """Pieces of a drawing, each once where there are several sizes."""
    if drawn is None:
        return []
    return list({piece.name: piece for piece in drawn.drawing.pieces[::-1]}.values())[::-1]


def _found(piece: DrawnPiece) -> Found:
    ring = ring_of(piece.edges)
    left, bottom, right, top = extents([("piece", ring, True)])
    room = 0.05 * max(right - left, top - bottom)
    box = (left - room, -top - room, right - left + 2 * room, top - bottom + 2 * room)
    picture = LightPicture(
        box, (LightLine("piece", path_data(ring, True)),), words=f"{piece.name}, as it is drawn"
    )
    known = {
        "cut": "; ".join(f"{role or ONE_ROLE}: {label}" for role, label in piece.cuts),
        "allowance": INCLUDED if piece.net is False else "",
        "fold": piece.fold or "",
        "grain": "drawn" if piece.grain is not None else "",
    }
    sides = tuple(f"{edge.name} ({side})" for edge, side in straight_sides(piece.edges))
    return Found(piece.name, piece.where, picture, sides, known)


def _at(finding: Finding, pieces: list[DrawnPiece]) -> dict[str, Any]:
    """A finding at its field: `pieces[2].cut`; what the field itself answers needs no option."""
    names = [piece.name for piece in pieces]
    field = (finding.field or "").split(".")[0]
    place = ""
    if finding.piece in names and field in _FIELDS:
        asked = "allowance" if field == "drawn" else field
        place = f"pieces[{names.index(finding.piece) + 1}].{asked}"
    words = finding.message if place else finding_words(finding)
    return {"kind": finding.kind, "field": place, "words": words}


def make(request: Request) -> Response:
    """Make a garment of the drawing and what was told; or say what is still missing."""
    path = _path(request)
    first, _ = _read(path, Answers())
    asked = sent(request)
    name = new_name(asked.text("name"))
    answers = _answers(asked, _pieces(first))
    asked.finished()
    drawn, findings = _read(path, answers)
    if drawn is None or drawn.garment is None:
        pieces = _pieces(drawn)
        told = [_at(finding, pieces) for finding in findings if finding.fatal]
        again = [piece.name for piece in pieces] != [piece.name for piece in _pieces(first)]
        return JSONResponse({"findings": told, "pieces_changed": again})
    drafts.refuse_taken(name)
    put_new(drawn.text().encode("utf-8"), name, "name")
    path.unlink()
    return JSONResponse({"go": address(name)})


def _answers(asked: Asked, pieces: list[DrawnPiece]) -> Answers:
    every = _of_piece(asked)
    told: dict[str, dict[str, Any]] = {}
    for row in asked.rows("pieces"):
        number = row.whole("number", 1, max(len(pieces), 1))
        if number <= len(pieces):
            told[pieces[number - 1].name] = _of_piece(row)
        row.finished()
    lengths = {}
    if "line" in asked:
        lengths[asked.text("line")] = asked.length("measures")
    else:
        asked.raw("line"), asked.raw("measures")
    unit = asked.one_of("unit", DRAWING_UNITS, "")
    left_out = tuple(
        part.strip() for part in asked.text("leave_out", "").split(",") if part.strip()
    )
    return Answers(lengths, {}, every, told, left_out=left_out, drawing_unit=unit or None)


def _of_piece(asked: Asked) -> dict[str, Any]:
    """What was told of a piece, or of all, in the keys of a garment file."""
    told: dict[str, Any] = {}
    if "cut" in asked:
        told["cut"] = _cuts(asked)
    asked.raw("cut")
    allowance = asked.text("allowance", "")
    if allowance.lower() == INCLUDED:
        told["drawn"] = "with allowance"
    elif allowance:
        asked.read("allowance", lambda: parse_length(allowance))
        told["drawn"], told["allowance"] = "net", allowance
    grain, fold = asked.text("grain", ""), asked.text("fold", "")
    if grain:
        told["grain"] = grain.lower()
    if fold:
        told["fold"] = re.sub(r" \((?:left|right|top|bottom)\)$", "", fold)
    return told


def _cuts(asked: Asked) -> dict[str, str]:
    """Cut labels: "1 on fold", or "main: 1 on fold; lining: 2"."""
    found: dict[str, str] = {}
    for part in asked.text("cut").split(";"):
        head, sign, tail = part.rpartition(":")
        role, label = (head.strip() or ONE_ROLE) if sign else ONE_ROLE, tail.strip()
        try:
            parse_cut(role, label)
        except ValueError as error:
            raise AskedError(asked.name_of("cut"), str(error)) from error
        found[role] = label
    return found


ROUTES = [
    Route("/new/garment/drawn/{file}", drawing),
    Route("/new/garment/drawn/{file}", make, methods=["POST"]),
]
