"""The unit of a DXF drawing: told by the user, by its texts or by its header, never guessed."""

from __future__ import annotations

from collections.abc import Iterable

from pieces.drawings.dxf.texts import sort_texts
from pieces.findings import Finding
from pieces.lengths import INCH_MM

UNIT_MM = {"mm": 1.0, "cm": 10.0, "in": INCH_MM}

_WORDS = {
    "metric": "mm", "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm",
    "millimeters": "mm", "english": "in", "imperial": "in", "inch": "in", "inches": "in",
    "in": "in", "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm",
    "centimeters": "cm",
}  # fmt: skip

HEADER_MM = {1: INCH_MM, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 10: 914.4, 14: 100.0}
"""Units by their number in the header of a DXF file ($INSUNITS)."""


def unit_of(
    told: str | None, texts: Iterable[str], number: int, file: str, findings: list[Finding]
) -> tuple[float | None, str]:
    """Return the length of a drawing unit in mm (None, with a finding, if nothing tells it).

    With it comes the unit in which its user thinks.

    Parameters
    ----------
    told : str or None
        What the user says.
    texts : iterable of str
        Texts of the drawing.
    number : int
        What the header says; 0 if nothing.
    file : str
        For messages.
    findings : list of Finding
        Faults and questions are added to it.
    """
    word = sort_texts(texts).one("units").strip().lower().rstrip(".")
    by_text = _WORDS.get(word)
    if told is not None:
        return UNIT_MM[told], told
    by_header = HEADER_MM.get(number)
    if by_text is not None:
        size = UNIT_MM[by_text]
        if by_header is not None and abs(by_header - size) > 1e-9:
            findings.append(
                Finding(
                    file,
                    f"its text says units are {word.upper()} and is believed; its header says "
                    f"one is {by_header:g} mm. Is that right?",
                    fix="if not, say --unit mm, --unit cm or --unit in",
                    fatal=False,
                )
            )
        return size, "in" if by_text == "in" else "cm"
    if word and by_header is not None:
        findings.append(
            Finding(
                file,
                f"its text says units are {word.upper()}, which is not known; its header says one "
                f"is {by_header:g} mm. Is that right?",
                fix="if not, say --unit mm, --unit cm or --unit in",
                fatal=False,
            )
        )
    if by_header is not None:
        return by_header, "in" if number in (1, 2, 10) else "cm"
    said = f"'Units: {word}' is not known" if word else "says nothing of its unit"
    findings.append(
        Finding(file, f"{said}, and figures alone do not tell it",
                fix="say --unit mm, --unit cm or --unit in")
    )  # fmt: skip
    return None, "cm"
