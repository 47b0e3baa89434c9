"""Lengths: parse and print them. Millimetres inside, any unit outside, nothing else.

1 in = 25.4 mm and 1 yd = 914.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import difflib
import math
import re
from enum import Enum
from fractions import Fraction

from pieces.errors import PieceError

INCH_MM = 25.4
YARD_MM = 914.4

_UNITS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "yd": Fraction(9144, 10),
}

_SPELLINGS = {
    **{name: name for name in _UNITS},
    **dict.fromkeys(("millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("inch", "inches", '"', "”", "″", "''"), "in"),
    **dict.fromkeys(("foot", "feet", "'", "’", "′"), "ft"),
    **dict.fromkeys(("yard", "yards", "yds"), "yd"),
}

_ELSEWHERE = {
    **dict.fromkeys(
        ("zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollice", "pollici", "duim", "tum",
         "tommer", "cal", "cale", "ins", "inchs"), "in"),
    **dict.fromkeys(("cms", "zentimeter", "centimètre", "centimètres", "centimetro", "centimetri",
                     "centímetro", "centímetros", "cmm"), "cm"),
    **dict.fromkeys(("mms", "millimètre", "millimètres", "milimetro"), "mm"),
    **dict.fromkeys(("mètre", "mètres", "metro", "metri", "metros", "mtr", "ms"), "m"),
    **dict.fromkeys(("fuß", "fuss", "pied", "pieds", "pie", "piede"), "ft"),
    **dict.fromkeys(("yarda", "yardas", "yrd", "yrds"), "yd"),
}  # fmt: skip
"""Words of other languages, and slips, for units that we know by another name."""

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip

_NUMBER = re.compile(
    r"""^(?P<sign>[+-]?)\s*
    (?:(?P<whole>\d+)[\s-]+(?P<num>\d+)\s*/\s*(?P<den>\d+)
      |(?P<num2>\d+)\s*/\s*(?P<den2>\d+)
      |(?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+))
    \s*(?P<unit>.*)$""",
    re.VERBOSE,
)

_NO_FIGURE = re.compile(
    r"^(?:(?P<word>[+-]?(?:nan|inf(?:inity)?))(?![^\W_])|[+-]?(?P<exponent>\d+(?:[.,]\d+)?e[+-]?\d+))",
    re.IGNORECASE,
)

MOST, MOST_LETTERS = 1e15, 60
"""Greatest number, and letters of a length, that are read at all."""

GAP_MM = 3.0
"""Distance kept between pieces unless another is asked for."""

JOIN_MM = 6.0
"""Seam allowance of a join of strips unless another is asked for."""

DRAWN_MM = 0.2
"""Nobody draws a line truer than this with a ruler (no source)."""

EXCESS_MM = 0.01
"""Rounding up to a step ignores an excess below this."""


class LengthError(PieceError):
    """A length that cannot be read; the message says why and what would be right."""


class NoUnitError(LengthError):
    """A bare number where no unit is declared."""


class System(Enum):
    """Units that figures are shown in."""

    METRIC = "metric"
    IMPERIAL = "imperial"


def parse_length(text: str | int | float, unit: str | None = None, signed: bool = False) -> float:
    """Read a length into mm.

    Parameters
    ----------
    text : str, int or float
        A number with a unit in any usual spelling (`12 cm`, `5mm`, `2 1/2"`, `1 3/8 yd`), or a bare
        number. Fractions are exact.
    unit : str, optional
        Unit of bare numbers.
    signed : bool
        Whether the length may be negative (a coordinate); zero is always allowed.

    Raises
    ------
    LengthError
        If there is no number, no unit, an unknown unit, or a sign where none belongs.
    """
    if isinstance(text, bool):
        raise LengthError(f"{text} is not a length; write a number with a unit, such as 12 cm")
    if isinstance(text, (int, float)):
        unfit = unfit_number(text)
        if unfit:
            raise LengthError(f"{unfit}, so it is not a length; write one such as 12 cm")
        return _scaled(Fraction(str(text)), None, str(text), unit, signed)
    if len(text) > MOST_LETTERS:
        raise LengthError(f"'{text[:20]}...' is not a length; write a number, such as 12 cm")
    plain = text.strip()
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    plain = plain.strip()
    unfit = unfit_figure(plain)
    if unfit:
        raise LengthError(f"'{text}' is not a length: {unfit}")
    match = _NUMBER.match(plain)
    if match is None:
        raise LengthError(f"'{text}' is not a length; write a number with a unit, such as 12 cm")
    value = _number(match, text)
    if match["sign"] == "-":
        value = -value
    return _scaled(value, match["unit"].strip() or None, text, unit, signed)


def unfit_number(value: float) -> str:
    """Say why a number is none that anything can be measured or paid by; empty if it is one."""
    if value != value:
        return "nan is no number"
    if abs(value) == math.inf:
        return f"{value:g} is endless"
    return "" if abs(value) <= MOST else f"{_shown(value)} is more than anything here can be"


def _shown(value: float) -> str:
    """Print a number of any size in a few signs."""
    if isinstance(value, float):
        return f"{value:g}"
    return f"a whole number of {int(math.log10(abs(value))) + 1} digits"


def unfit_figure(text: str) -> str:
    """Say why a text begins with a figure that cannot be read as one; empty if it does not."""
    word = _NO_FIGURE.match(text.strip())
    if word is None:
        return ""
    if word["exponent"]:
        return f"{word['exponent']} has an exponent; write the figure out, such as 1200"
    return unfit_number(float(word["word"]))


def _number(match: re.Match[str], text: str) -> Fraction:
    if match["decimal"]:
        return Fraction(match["decimal"].replace(",", "."))
    numerator = match["num"] or match["num2"]
    denominator = int(match["den"] or match["den2"])
    if denominator == 0:
        raise LengthError(f"'{text}' divides by zero")
    return Fraction(int(match["whole"] or 0)) + Fraction(int(numerator), denominator)


def _scaled(
    value: Fraction, typed: str | None, text: str, default: str | None, signed: bool
) -> float:
    name = typed if typed is not None else default
    if name is None and value == 0:
        return 0.0  # Nought is nought in every unit.
    if name is None:
        raise NoUnitError(f"'{text}' has no unit; write {text} cm or {text} in")
    unit = _SPELLINGS.get(name.lower().rstrip("."))
    if unit is None:
        near = meant_unit(name)
        hint = f"; did you mean {near}?" if near else ""
        raise LengthError(f"'{text}' has the unknown unit '{name}'{hint} (mm, cm, m, in, ft, yd)")
    if abs(value) > MOST:
        raise LengthError(f"'{text[:20]}' is more than any length, so it is not a length")
    if value < 0 and not signed:
        raise LengthError(f"'{text}' is negative; a length here is 0 or more")
    return float(value * _UNITS[unit])


def meant_unit(name: str) -> str | None:
    """Return the unit that an unknown word probably means, or None."""
    plain = name.strip().lower().rstrip(".")
    if plain in _SPELLINGS:
        return _SPELLINGS[plain]
    if plain in _ELSEWHERE:
        return _ELSEWHERE[plain]
    near = difflib.get_close_matches(plain, [*_SPELLINGS, *_ELSEWHERE], n=1, cutoff=0.5)
    return {**_SPELLINGS, **_ELSEWHERE}[near[0]] if near else None


def bare_fraction(text: str, unit: str) -> bool:
    """Whether a text is a fraction without a unit where bare numbers are metric: `5/8` in cm."""
    metric = unit_system(unit) is System.METRIC
    fraction = "/" in text or any(sign in _VULGAR for sign in text)
    return metric and fraction and not any(sign.isalpha() or sign in "\"'”″" for sign in text)


def unit_system(text: str, unit: str | None = None) -> System:
    """Tell whether a typed length is metric or imperial (metric if in doubt).

    Parameters
    ----------
    text : str
        Its own unit goes before any other; a unit alone will do.
    unit : str, optional
        Unit of bare numbers.
    """
    letters = re.sub(rf"[\d\s.,/+{''.join(_VULGAR)}-]", "", text.lower())
    own = _SPELLINGS.get(letters)
    if own is None:
        return System.METRIC if unit is None else unit_system(unit)
    return System.IMPERIAL if own in ("in", "ft", "yd") else System.METRIC


def round_up_to_step(length: float, step: float) -> float:
    """Round a length up to a multiple of `step` (both mm); an excess below 0.01 mm is ignored."""
    if step <= 0.0:
        return length
    return math.ceil((length - EXCESS_MM) / step - 1e-12) * step


def format_length(length: float, system: System) -> str:
    """Print a length as a tape shows it: millimetres as tenths of a cm, or sixteenths of an inch.

    From one metre on, metric lengths are given in metres (`1.425 m`).
    """
    if system is System.IMPERIAL:
        return f"{_fraction(length / INCH_MM, 16)} in"
    if abs(length) >= 999.5:
        return f"{_trimmed(length / 1000.0, 3)} m"
    return f"{_trimmed(length / 10.0, 1)} cm"


def format_allowance(width: float, system: System) -> str:
    """Print a width that somebody measures and draws: hundredths of a cm, or sixteenths of an inch.

    What no sixteenth gives within 0.2 mm, having been said in centimetres, is given in those too.
    """
    if system is System.METRIC:
        return f"{_trimmed(width / 10.0, 2)} cm"
    shown = format_length(width, system)
    if abs(parse_length(shown) - width) <= DRAWN_MM:
        return shown
    return f"{shown} (exactly {_trimmed(width / 10.0, 2)} cm)"


def shown_rest(system: System, whole: float, *parts: float) -> float:
    """What is left of a length without others, all mm as they are shown: print it beside them.

    Printed lengths then add up to the last tenth of a cm or sixteenth of an inch, which they need
    not do where each is rounded on its own.
    """
    left, *taken = (
        parse_length(format_length(length, system), signed=True) for length in (whole, *parts)
    )
    return left - sum(taken)


def format_width(width: float, system: System) -> str:
    """Print a width of cloth as it is asked for: centimetres however wide, or inches."""
    if system is System.IMPERIAL:
        return format_length(width, system)
    return f"{_trimmed(width / 10.0, 1)} cm"


def format_in(length: float, unit: str | None) -> str:
    """Print a length (mm) in the unit that a file is written in: 12.3 cm, 4 7/8 in, 123 mm.

    Yards and feet are given in inches, for the figures are those of a pattern piece.
    """
    name = _SPELLINGS.get((unit or "cm").lower().rstrip("."), "cm")
    if name in ("in", "ft", "yd"):
        return f"{_fraction(length / INCH_MM, 16)} in"
    if name == "mm":
        return f"{_trimmed(length, 1)} mm"
    return f"{_trimmed(length / 10.0, 1)} cm" if name == "cm" else f"{_trimmed(length / 1000, 3)} m"


def format_point(point: tuple[float, float], unit: str | None) -> str:
    """Print a place on a piece (mm) in the unit of its file: (12.3, 4) cm."""
    x, y = (format_in(value, unit).rsplit(" ", 1) for value in point)
    return f"({x[0]}, {y[0]}) {x[1]}"


def format_tape(length: float, system: System) -> str:
    """Print a distance for the table without changing units: cm to a tenth, or sixteenths."""
    if system is System.IMPERIAL:
        return _fraction(length / INCH_MM, 16)
    return f"{length / 10.0:.1f}"


def format_purchase(length: float, system: System) -> str:
    """Print a purchase: metres to the cm, or eighths of a yard rounded up."""
    if system is System.IMPERIAL:
        eighths = round_up_to_step(length, YARD_MM / 8.0) / YARD_MM
        return f"{_fraction(eighths, 8)} yd"
    return f"{_trimmed(length / 1000.0, 2)} m"


def _trimmed(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _fraction(value: float, parts: int) -> str:
    """Print a number as whole and reduced fraction with the given denominator."""
    sign = "-" if value < 0 else ""
    total = Fraction(round(abs(value) * parts), parts)
    whole, rest = divmod(total, 1)
    if rest == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"
