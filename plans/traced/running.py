"""Tracing photographs one after another, and writing what came of it."""

from __future__ import annotations

from collections.abc import Sequence

from pieces.lengths import System
from pieces.tracing.picture.photo import Photo, read_photo
from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.garment_pieces import (
    GarmentPiece,
    NamingError,
    garment_pieces,
    look_the_same,
    on_fold,
)
from pieces.tracing.result.garment_text import garment_text
from pieces.tracing.result.traced_photo import TracedPhoto
from pieces.tracing.result.tracing import trace_photo
from plans.outputs.folder import write_bytes, write_text
from plans.traced.overlay import overlay_png, refusal_png
from plans.traced.request import TraceRequest
from plans.traced.words import photo_lines, piece_table, same_lines, unlike_lines


def trace(request: TraceRequest) -> list[str]:
    """Trace all photographs, write the garment file and the pictures, and return what to tell.

    Raises
    ------
    InputError
        If a file cannot be read, or one to be written is there.
    UntraceableError
        If a photograph is refused; its picture with marks is written.
    NamingError
        If names or folds do not suit what was found; the pictures are written, so that the
        numbers can be looked up.
    """
    request.refuse_overwriting()
    traced: list[TracedPhoto] = []
    for index, path in enumerate(request.photos):
        first = 1 + sum(len(photo.pieces) for photo in traced)
        traced.append(_one(request, index, read_photo(path), first))
        write_bytes(request.overlay(index), overlay_png(traced[-1], request.system))
    pieces = _pieces(request, traced)
    if folds := {number: p.fold for p in pieces if p.fold for number in p.numbers}:
        for index, photo in enumerate(traced):
            write_bytes(request.overlay(index), overlay_png(photo, request.system, folds))
    unit = "in" if request.system is System.IMPERIAL else "cm"
    told = [line for photo in traced for line in photo_lines(photo)]
    write_text(request.out, garment_text(pieces, request.out.stem, unit, told))
    lines = [*told, "", piece_table(pieces, request.system)]
    if not request.names:
        lines += [*unlike_lines(traced), *same_lines(look_the_same(traced))]
    lines.append("")
    for index in range(len(request.photos)):
        lines.append(f"{request.overlay(index)}: what was found; look at it")
    lines.append(f"{request.out}: written; laywright check {request.out} lists what to fill in")
    return lines


def _one(request: TraceRequest, index: int, photo: Photo, first: int) -> TracedPhoto:
    try:
        return trace_photo(photo, request.paper, first, request.known)
    except UntraceableError as error:
        where = ""
        if error.places:
            write_bytes(request.overlay(index), refusal_png(photo, error.places))
            where = f" (marked in {request.overlay(index)})"
        raise UntraceableError(f"{photo.source}: {error}{where}", error.places) from error


def _pieces(request: TraceRequest, traced: Sequence[TracedPhoto]) -> list[GarmentPiece]:
    seen = " and ".join(str(request.overlay(k)) for k in range(len(request.photos)))
    try:
        pieces = garment_pieces(traced, request.names)
        for name, edge in request.folds:
            index = next((k for k, piece in enumerate(pieces) if piece.name == name), None)
            if index is None:
                known = ", ".join(piece.name for piece in pieces)
                raise NamingError(f"--fold: there is no piece '{name}': {known}")
            pieces[index] = on_fold(pieces[index], edge)
    except NamingError as error:
        raise NamingError(f"{error} (see {seen})") from error
    return pieces
