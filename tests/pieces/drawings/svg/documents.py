"""Helpers of the tests: an SVG document written, walked, read."""

from __future__ import annotations

from pathlib import Path

from pieces.drawings.answers import Answers
from pieces.drawings.loading import DrawnGarment, draw_garment
from pieces.drawings.svg.document import read_document
from pieces.drawings.svg.lines import Line, lines_of
from pieces.drawings.svg.sheet import Sheet
from pieces.drawings.svg.walk import walk

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def document(
    body: str, attributes: str = 'width="300mm" height="400mm" viewBox="0 0 300 400"'
) -> str:
    return f"{HEAD} {attributes}>\n{body}\n</svg>\n"


def written(folder: Path, text: str, name: str = "drawing.svg") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def sheet_of(folder: Path, text: str) -> Sheet:
    file = written(folder, text)
    return walk(read_document(file), str(file))


def pixel_lines(folder: Path, text: str) -> list[Line]:
    """Lines of a document in pixels, y up."""
    sheet = sheet_of(folder, text)
    assert not sheet.findings, sheet.findings
    return lines_of(sheet, 1.0, "drawing.svg")


def drawn(folder: Path, text: str, answers: Answers | None = None) -> DrawnGarment:
    return draw_garment(written(folder, text), answers)
