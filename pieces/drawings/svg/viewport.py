"""Lengths of SVG, and how a view box lies in its viewport (SVG 1.1, sections 7.7, 7.8, 7.10)."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from pieces.drawings.svg.matrix import Matrix
from pieces.drawings.svg.numbers import numbers_in
from pieces.lengths import INCH_MM
from pieces.outline import OutlineError

PIXEL_MM = INCH_MM / 96.0
"""CSS fixes the pixel at 1/96 in (CSS Values and Units 3, section 6.2)."""

PIXELS = {
    "": 1.0, "px": 1.0, "in": 96.0, "cm": 960.0 / INCH_MM, "mm": 96.0 / INCH_MM, "pt": 96.0 / 72.0,
    "pc": 16.0, "q": 24.0 / INCH_MM,
}  # fmt: skip
"""Pixels in one of each unit."""

_LENGTH = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*([A-Za-z]*|%)\s*")
_LONGEST = 100
"""No length or keyword takes more signs."""

_ASPECT = re.compile(r"\s*(?:defer\s+)?(none|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?\s*")
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


@dataclass(frozen=True)
class Viewport:
    """Width and height that percentages refer to, in user units."""

    width: float
    height: float

    @property
    def diagonal(self) -> float:
        """What percentages of lengths without a direction refer to."""
        return math.hypot(self.width, self.height) / math.sqrt(2.0)


@dataclass(frozen=True)
class ViewBox:
    """The part of a drawing's own coordinates that is fitted into its viewport."""

    x: float
    y: float
    width: float
    height: float


def pixels(text: str, whole: float) -> float:
    """Read a length in user units (pixels); a percentage is one of `whole`.

    Raises
    ------
    OutlineError
        If it is no length.
    """
    number, unit = number_and_unit(text)
    return number / 100.0 * whole if unit == "%" else number * PIXELS[unit]


def number_and_unit(text: str) -> tuple[float, str]:
    """Split a length into its number and its unit ("" for none).

    Raises
    ------
    OutlineError
        If it is no length, or its unit is unknown.
    """
    match = _LENGTH.fullmatch(text) if len(text) <= _LONGEST else None
    number = float(match[1]) if match is not None else math.nan
    unit = match[2].lower() if match is not None else ""
    if not math.isfinite(number):
        raise OutlineError(f"'{text.strip()[:30]}' is no length")
    if unit != "%" and unit not in PIXELS:
        raise OutlineError(f"the unit of '{text.strip()[:30]}' is not understood")
    return number, unit


def read_view_box(text: str) -> ViewBox | None:
    """Read a `viewBox`; None if there is none.

    Raises
    ------
    OutlineError
        If it is not four numbers, the last two more than 0.
    """
    if not text.strip():
        return None
    numbers = numbers_in(text, 4)
    if numbers is None or len(numbers) != 4 or min(numbers[2:]) <= 0.0:
        raise OutlineError(f"viewBox '{text.strip()[:40]}' is not four numbers with a size above 0")
    return ViewBox(*numbers)


def fitted(box: ViewBox | None, aspect: str, width: float, height: float) -> Matrix:
    """Map a view box into a viewport of a width and height, as preserveAspectRatio says.

    Raises
    ------
    OutlineError
        If that attribute is not understood.
    """
    match = _ASPECT.fullmatch(aspect[:_LONGEST] or "xMidYMid meet")
    if match is None:
        raise OutlineError(f"preserveAspectRatio '{aspect[:40]}' is not understood")
    if box is None:
        return Matrix()
    sx, sy = width / box.width, height / box.height
    if match[1] == "none":
        return Matrix(a=sx, d=sy, e=-box.x * sx, f=-box.y * sy)
    scale = max(sx, sy) if match[4] == "slice" else min(sx, sy)
    left = (width - box.width * scale) * _SHARE[match[2]]
    top = (height - box.height * scale) * _SHARE[match[3]]
    return Matrix(a=scale, d=scale, e=left - box.x * scale, f=top - box.y * scale)
