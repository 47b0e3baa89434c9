"""A garment from whatever it is kept in: a garment file, or a drawing with the user's answers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pieces.drafting.garment import Garment
from pieces.drawings.answers import Answers, answers_beside
from pieces.drawings.drawn_piece import Drawing
from pieces.drawings.garment_data import garment_data
from pieces.files.toml_text import toml_text
from pieces.findings import Finding, InputError
from pieces.readers.garment_toml import check_garment, garment_of, load_garment

DRAWINGS: dict[str, str] = {".svg": "SVG", ".dxf": "DXF"}
"""Endings of drawings, and what they are called."""


@dataclass(frozen=True)
class DrawnGarment:
    """What became of a drawing: the garment, what a garment file of it says, and what was asked.

    `garment` is None where a finding is fatal.
    """

    drawing: Drawing
    data: dict[str, Any]
    garment: Garment | None
    findings: tuple[Finding, ...]

    def text(self) -> str:
        """Return the garment file that says the same."""
        return toml_text(self.data, f"Read from {Path(self.drawing.source).name}.")


def is_drawing(path: Path) -> bool:
    """Whether a file is a drawing by its ending."""
    return path.suffix.lower() in DRAWINGS


def read_drawing(path: Path, answers: Answers) -> Drawing:
    """Read a drawing by the reader of its format.

    Parameters
    ----------
    path : Path
    answers : Answers
        What the user adds; lengths, the unit and what to leave out are of use here.

    Raises
    ------
    InputError
        If nothing can be made of the file, or the answers are for drawings of another format.
    """
    if path.suffix.lower() == ".dxf":
        from pieces.drawings.dxf.reader import read_dxf

        if answers.lengths:
            raise InputError([_not_for(path, "--length", "say what its unit is: --unit mm")])
        return read_dxf(path, answers.drawing_unit, answers.left_out)
    if answers.drawing_unit is not None:
        raise InputError([_not_for(path, "--unit", "say what a line measures: --length ID=26.5cm")])
    from pieces.drawings.svg.reader import read_svg

    return read_svg(path, answers.lengths, answers.left_out)


def _not_for(path: Path, option: str, fix: str) -> Finding:
    kind = DRAWINGS[path.suffix.lower()]
    return Finding(str(path), f"{option} is not for {kind} drawings", fix=fix)


def draw_garment(
    path: Path, answers: Answers | None = None, size: str | None = None
) -> DrawnGarment:
    """Read a drawing and make its garment, with every finding about both.

    Parameters
    ----------
    path : Path
    answers : Answers, optional
        From options; they count over the file of answers beside the drawing.
    size : str, optional
        The size to make, where the drawing holds several.

    Raises
    ------
    InputError
        If nothing can be made of the file.
    """
    beside = answers_beside(path)
    known = (answers or Answers()).over(beside)
    drawing = read_drawing(path, known)
    return garment_of_drawing(drawing, known, size)


def garment_of_drawing(drawing: Drawing, answers: Answers, size: str | None = None) -> DrawnGarment:
    """Make the garment that a drawing and the user's answers describe."""
    findings = list(drawing.findings)
    if not drawing.pieces:
        return DrawnGarment(drawing, {}, None, tuple(findings))
    data = garment_data(drawing, answers, findings)
    garment: Garment | None = None
    if not any(finding.fatal for finding in findings):
        garment = garment_of(data, Path(drawing.source), findings, size)
    sound = garment is not None and not any(finding.fatal for finding in findings)
    ordered = tuple(sorted(dict.fromkeys(findings), key=lambda finding: not finding.fatal))
    if garment is None or not sound:
        return DrawnGarment(drawing, data, None, ordered)
    questions = (*ordered, *_left_out(drawing))
    return DrawnGarment(drawing, data, replace(garment, questions=questions), ordered)


def _left_out(drawing: Drawing) -> tuple[Finding, ...]:
    """A reminder that something in the drawing was left out, for those who do not list it."""
    if not drawing.ignored:
        return ()
    shown = "; ".join(drawing.ignored[:3])
    more = len(drawing.ignored) - 3
    return (
        Finding(
            drawing.source,
            f"left out: {shown}{f'; and {more} more' if more > 0 else ''}",
            fix=f"laywright read {drawing.source} names all",
            fatal=False,
        ),
    )


def load_any(path: Path, size: str | None = None, answers: Answers | None = None) -> Garment:
    """Load a garment from a garment file or a drawing.

    Raises
    ------
    InputError
        With every fault, or every fact that is missing.
    """
    if not is_drawing(path):
        return load_garment(path, size)
    drawn = draw_garment(path, answers, size)
    if drawn.garment is None:
        raise InputError([finding for finding in drawn.findings if finding.fatal])
    return drawn.garment


def check_any(path: Path, answers: Answers | None = None) -> list[Finding]:
    """List everything that is wrong or questionable with a garment file or a drawing."""
    if not is_drawing(path):
        return check_garment(path)
    try:
        return list(draw_garment(path, answers).findings)
    except InputError as error:
        return list(error.findings)
